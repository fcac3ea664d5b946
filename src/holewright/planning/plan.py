"""The Plan document: the route chosen, why, and what it refuses."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from holewright.reasons import Reason
from holewright.sizing.forecast import Forecast
from holewright.uncertainty import Known


class PlanVerdict(StrEnum):
    """The first line of a plan."""

    REAM = "ream"
    REAM_WITH_CONDITIONS = "ream with conditions"
    DO_NOT_REAM = "do not ream"


class OperationKind(StrEnum):
    """Steps of a route."""

    FACE = "spot-face"
    SPOT = "spot"
    DRILL = "drill"
    BORE = "bore"
    CHAMFER = "chamfer"
    WASH = "wash"
    REAM = "ream"
    HONE = "hone"


@dataclass(frozen=True)
class Operation:
    """One step of a route. Depths are below the entry face, positive down.

    Parameters
    ----------
    kind : OperationKind
        What is done.
    tool : str
        `id` in the tool room, or what would have to be got.
    holder : str
        `id` of the holder, or empty.
    diameter : float
        Diameter that it cuts. [mm]
    v_c : float
        Cutting speed. [m/min]
    n : float
        Spindle speed. [1/min]
    f : float
        Feed per revolution. [mm/rev]
    full_depth : float
        Depth to which the full diameter reaches. [mm]
    tip_depth : float
        Depth of the tool's tip, the programmed depth. [mm]
    time_s : float
        Time per hole without tool change. [s]
    peck : float
        Depth of one peck; 0 for none. [mm]
    dwell_s : float
        Dwell at depth. [s]
    feed_out : float
        Feed speed of the return as a multiple of that on the way in; 0 for rapid. [-]
    text : str
        What to do and why, in a sentence.
    numbers : tuple of (str, Known)
        The numbers behind it: name with unit, and value with tag and source.
    by_hand : bool
        Whether it is outside the program (hone, wash, wait).
    """

    kind: OperationKind
    tool: str
    diameter: float
    v_c: float = 0.0
    n: float = 0.0
    f: float = 0.0
    full_depth: float = 0.0
    tip_depth: float = 0.0
    time_s: float = 0.0
    holder: str = ""
    peck: float = 0.0
    dwell_s: float = 0.0
    feed_out: float = 0.0
    text: str = ""
    numbers: tuple[tuple[str, Known], ...] = ()
    by_hand: bool = False

    @property
    def v_f(self) -> float:
        """Feed speed. [mm/min]"""
        return self.n * self.f


@dataclass(frozen=True)
class Route:
    """A sequence of operations with what it costs and risks.

    Parameters
    ----------
    name : str
        In words, e.g. ``drill 7.8, ream 8 H7 (HSS)``.
    operations : tuple of Operation
        In order.
    cost_per_good_hole : float
        Machine, tools, changes, gauging and scrap, per hole that is inside the limits, in
        the shop's currency.
    cost_parts : tuple of (str, float)
        What that is made of.
    time_s : float
        Time per hole. [s]
    outside : float
        Forecast share of holes outside the limits. [-]
    text : str
        How it compares with the first choice.
    """

    name: str
    operations: tuple[Operation, ...]
    cost_per_good_hole: float
    cost_parts: tuple[tuple[str, float], ...]
    time_s: float
    outside: float
    text: str = ""


@dataclass(frozen=True)
class Plan:
    """What to do with the hole.

    Parameters
    ----------
    verdict : PlanVerdict
        Ream, ream with conditions, do not ream.
    sentence : str
        The verdict and its first reason in one sentence.
    route : Route, optional
        First choice; None where nothing at hand can make the hole.
    forecast : Forecast, optional
        Size that the route will give; None where no size can be forecast.
    conditions : tuple of Reason
        What must be so for the verdict to hold.
    alternatives : tuple of Route
        Others that would do, by cost of a good hole.
    refused : tuple of Reason
        What was turned down and why: the drawing's reasons, then one for each tool.
    instead : tuple of str
        What to do instead, where the verdict is not to ream.
    check_plan : tuple of str
        How to check the holes, with GO and NO-GO.
    cautions : tuple of str
        Safety lines.
    evaluated : int
        Candidate points that were computed.
    possible : int
        Of these, how many break no limit.
    """

    verdict: PlanVerdict
    sentence: str
    route: Route | None
    forecast: Forecast | None
    conditions: tuple[Reason, ...] = ()
    alternatives: tuple[Route, ...] = ()
    refused: tuple[Reason, ...] = ()
    instead: tuple[str, ...] = ()
    check_plan: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    evaluated: int = 0
    possible: int = 0
