"""The Verdict document: may the process be released."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from holewright.reasons import Reason

TEMPERATURE_GAP, CALIBRATION_OVERDUE = "temperature-gap", "calibration-overdue"
"""Codes of remarks on an estimate that hold a release: the readings are no evidence as they are."""


class Decision(StrEnum):
    """What to do with the process, or with the lot."""

    RELEASE = "release"
    HOLD = "hold"


@dataclass(frozen=True)
class Demands:
    """What the customer or the shop asks before a release. Thresholds are inputs.

    Parameters
    ----------
    inside : float
        Least share of holes inside the limits. [-]
    confidence : float
        Confidence at which it must be shown. [-]
    ppk : float, optional
        Least Ppk at the same confidence; None where none is asked for. [-]
    guard : float
        Factor on a gauge's standard uncertainty that a hole must keep from its limits. The
        default is that of ISO 14253-1 for 95 %. [-]
    source : str
        Who asks: ``job file``, or that it is a default.
    """

    inside: float = 0.99
    confidence: float = 0.95
    ppk: float | None = None
    source: str = "default of holewright; ask the customer"
    guard: float = 1.65


@dataclass(frozen=True)
class NextStep:
    """One thing to do that would settle it.

    Parameters
    ----------
    text : str
        The sentence for the machinist.
    holes : int, optional
        How many more holes to check.
    gauge : str
        Which pin or instrument, by `id` or by what would have to be got; empty if any.
    """

    text: str
    holes: int | None = None
    gauge: str = ""


@dataclass(frozen=True)
class Verdict:
    """Release or hold.

    Parameters
    ----------
    decision : Decision
        Release or hold.
    sentence : str
        The verdict in one sentence.
    because : tuple of Reason
        The rules applied, each with value and limit, those that hold it back first.
    next : tuple of NextStep
        What would settle it, best first; empty on a clean release.
    inside_lower : float
        Share of holes inside that is shown at the confidence asked for. [-]
    lot : int, optional
        Size of the lot judged.
    outside_in_lot_upper : int, optional
        Most holes of the lot that may be outside, at that confidence.
    ppk, ppk_lower : float, optional
        Ppk and its one-sided lower bound; None where no finite fit exists. [-]
    demands : Demands
        What was asked for.
    cautions : tuple of str
        Safety and scope lines that go with it.
    """

    decision: Decision
    sentence: str
    because: tuple[Reason, ...]
    next: tuple[NextStep, ...]
    inside_lower: float
    demands: Demands
    lot: int | None = None
    outside_in_lot_upper: int | None = None
    ppk: float | None = None
    ppk_lower: float | None = None
    cautions: tuple[str, ...] = ()
