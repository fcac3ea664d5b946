"""What a measured number says: the answer that it gives to a test."""

from __future__ import annotations

from holewright.diagnosis.facts import Fact, JobFacts
from holewright.errors import InputError
from holewright.sizing.runout import G_MODEL_MEAN
from holewright.units import format_small

TROUBLE_TIR = 0.0003 * 25.4
"""Runout from which trade articles see trouble in fast reaming: .0003 in. [mm]"""


def runout_answer(facts: JobFacts, tir: float, wrong: float | None) -> Fact:
    """Return what a runout makes of what is wrong, as the answer to ``tir``.

    Parameters
    ----------
    facts : JobFacts
        The job.
    tir : float
        Total indicator runout at the lead, 0 or more. [mm]
    wrong : float, optional
        By how much the size is off; None where the size isn't what is wrong. [mm]

    Notes
    -----
    Under a quarter of what is wrong is little, half or more can be all of it: common practice.
    Where it isn't the size, a runout counts from .0003 in, where trade articles see trouble
    begin, or a third of the tolerance, whichever is more; twice that is much.
    """
    if wrong is None:
        usual = max(TROUBLE_TIR, facts.width / 3)
        text = (
            f"TIR {format_small(tir, facts.unit)}; trouble begins at about "
            f"{format_small(usual, facts.unit)}."
        )
        return Fact("tir", 0 if tir < usual else 1 if tir < 2 * usual else 2, text)
    made = G_MODEL_MEAN * facts.runout_share * tir
    share = made / wrong
    text = (
        f"TIR {format_small(tir, facts.unit)} makes about {format_small(made, facts.unit)} of the "
        f"{format_small(wrong, facts.unit)} in question."
    )
    return Fact("tir", 0 if share < 0.25 else 1 if share < 0.5 else 2, text)


def reamer_answer(facts: JobFacts, measured: float) -> Fact:
    """Return what a measured reamer diameter [mm] says, as the answer to ``mic-reamer``.

    It counts as planned within 2 µm or a fifth of the tolerance, whichever is more.
    """
    planned = facts.reamer if facts.reamer is not None else facts.expected
    off = measured - planned
    margin = max(0.002, 0.2 * facts.width)
    text = f"The reamer measures {format_small(off, facts.unit, signed=True)} against the plan."
    return Fact("mic-reamer", 0 if abs(off) <= margin else 1 if off > 0 else 2, text)


def concentration_answer(facts: JobFacts, percent: float) -> Fact | None:
    """Return what a concentration [%] says, as the answer to ``conc``; None if none is set.

    Under 0.7 of what is set it is lean, over 1.3 rich: own judgement.
    """
    if not facts.concentration:
        return None
    share = percent / facts.concentration
    text = f"The coolant has {percent:g} %, set are {facts.concentration:g} %."
    return Fact("conc", 0 if 0.7 <= share <= 1.3 else 1 if share < 0.7 else 2, text)


def warmth_answer(part_c: float, gauge_c: float) -> Fact:
    """Return what the temperatures of part and gauge [°C] say, as the answer to ``temps``."""
    apart = part_c - gauge_c
    text = f"The part had {part_c:.1f} °C, the gauge {gauge_c:.1f} °C."
    return Fact("temps", 0 if abs(apart) <= 2 else 1 if apart > 0 else 2, text)


def expansion_fact(facts: JobFacts, change: float) -> Fact:
    """Return what the stated temperatures make of the size [mm], against the tolerance."""
    share = abs(change) / facts.width
    text = f"Temperatures as stated move the reading by {format_small(change, facts.unit, True)}."
    return Fact("job-warm", 0 if share < 0.1 else 1 if share < 1 / 3 else 2, text)


def feel_fact(facts: JobFacts, sd: float) -> Fact:
    """Return what a feel study's spread [mm] says: coarse from a tenth of the tolerance on."""
    text = f"By the feel study the hand spreads by {format_small(sd, facts.unit)}."
    return Fact("job-feel", int(sd > 0.1 * facts.width), text)


PLATE_FACTORS = ("feed", "speed", "stock", "fluid", "holder", "reamer", "drift")
"""Factors of a test plate that speak for or against causes."""


def plate_fact(facts: JobFacts, factor: str, effect: float, u: float) -> Fact:
    """Return what a test plate's effect on size says.

    Parameters
    ----------
    facts : JobFacts
        The job.
    factor : str
        One of ``feed``, ``speed``, ``stock``, ``fluid``, ``holder``, ``reamer``, ``drift``.
    effect, u : float
        Its effect on the size between the levels of the plate, and its standard uncertainty.
        [mm]

    Raises
    ------
    InputError
        If the factor says nothing of any cause.
    """
    if factor not in PLATE_FACTORS:
        raise InputError("factor", factor, "must be one of " + ", ".join(PLATE_FACTORS))
    text = (
        f"On the plate {factor} moved the size by {format_small(effect, facts.unit, True)} "
        f"(± {format_small(2 * u, facts.unit)})."
    )
    return Fact(f"job-plate-{factor}", int(abs(effect) > 2 * u), text)
