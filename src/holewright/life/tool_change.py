"""The ToolChange document: when to change the tool, and what a run until then risks."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from holewright.callout.callout import Limits
from holewright.life.change import Change, change_hole
from holewright.life.crossing import Crossing, fieller_spread, profile_crossing
from holewright.life.trend import Bend, Trend
from holewright.life.unattended import CheckCosts, RunRisk, cheapest_interval
from holewright.reasons import Reason
from holewright.units import Unit, format_small

BELIEVE_BEND = 0.05
"""A bend is believed where chance makes one as strong less often than this. [-]"""
STRETCH = 1.5
"""A line is followed this far beyond the holes measured before it is said to be a guess. [-]"""
ANY_OUTSIDE = 0.05
"""A run is called safe to leave where any hole outside is less likely. [-] Own judgement."""

CAUTIONS = (
    "A line through sizes doesn't see a chip nest, low coolant, a chipped edge or a wrong offset: "
    "an unattended run needs its own watch for those.",
    "All parts since the last good check are held until the next check is good.",
    "Stop the spindle before you gauge or change a tool; no gloves near a turning tool.",
)


@dataclass(frozen=True, eq=False)
class ToolChange:
    """When to change a tool.

    Parameters
    ----------
    tool : str
        The tool.
    sentence : str
        The answer in one sentence.
    trend : Trend
        Size over holes cut.
    bend : Bend, optional
        Strongest bend of it; None where there were too few holes to look.
    change : Change
        The hole at which to change.
    crossing : Crossing, optional
        Where the mean reaches the limit that it runs to; None where it runs to none.
    run : RunRisk
        What the next run risks.
    check_every : int, optional
        Holes between checks that cost least; None where costs aren't known.
    because : tuple of Reason
        What it rests on, and what keeps it from being better known.
    cautions : tuple of str
        Safety and scope lines.
    """

    tool: str
    sentence: str
    trend: Trend
    bend: Bend | None
    change: Change
    crossing: Crossing | None
    run: RunRisk
    check_every: int | None
    because: tuple[Reason, ...]
    cautions: tuple[str, ...] = CAUTIONS


def judge_life(
    tool: str,
    trend: Trend,
    limits: Limits,
    run: RunRisk,
    *,
    bend: Bend | None = None,
    target: float = 0.01,
    confidence: float = 0.95,
    costs: CheckCosts | None = None,
    unit: Unit = Unit.MM,
) -> ToolChange:
    """Return when to change a tool, and why then.

    Parameters
    ----------
    tool : str
        The tool.
    trend : Trend
        Size over the holes it has cut.
    limits : Limits
        Limits of size. [mm]
    run : RunRisk
        What the next run risks, from :func:`holewright.life.unattended.run_risk`.
    bend : Bend, optional
        Strongest bend; it takes the place of the straight line where it is believed.
    target : float
        Share outside that may not be passed at any hole. [-]
    confidence : float
        One-sided confidence. [-]
    costs : CheckCosts, optional
        Costs, for the interval between checks; its life is set from the trend.
    unit : Unit
        Unit that sentences say first.

    Returns
    -------
    ToolChange
        The document.
    """
    change = change_hole(trend, limits, target=target, confidence=confidence)
    crossing = None
    if change.side:
        limit = limits.lower if change.side == "lower" else limits.upper
        crossing = profile_crossing(trend, limit)
    every = None
    if costs is not None:
        life = float(change.hole) if change.side else math.inf
        every = cheapest_interval(_with_life(costs, life))[0] if life >= 2 else 1
    return ToolChange(
        tool=tool,
        sentence=_sentence(tool, change, trend, run),
        trend=trend,
        bend=bend,
        change=change,
        crossing=crossing,
        run=run,
        check_every=every,
        because=tuple(_because(trend, bend, change, crossing, run, limits, unit)),
    )


def believed(trend: Trend, bend: Bend | None) -> Trend:
    """Return the trend with its bend where the bend is believed, else the straight one."""
    return bend.trend if bend is not None and bend.p < BELIEVE_BEND else trend


def _with_life(costs: CheckCosts, life: float) -> CheckCosts:
    return CheckCosts(costs.check, costs.bad_hole, costs.change, costs.break_rate, life)


def _sentence(tool: str, change: Change, trend: Trend, run: RunRisk) -> str:
    sure = f"{100 * change.confidence:.0f} % sure"
    share = f"{100 * change.target:.3g} %"
    if change.hole == 0:
        return (
            f"{tool}: no hole of its life keeps {share} outside, {sure}. Don't run it unattended; "
            f"gauge every hole, or know it better first."
        )
    if change.cut_off:
        return (
            f"{tool}: the size doesn't run out of its limits within {change.hole} holes, many "
            f"times what was measured. Change it by its edge and its finish, not by its size."
        )
    past = " That hole is cut already: change it now." if change.hole < run.first else ""
    return (
        f"{tool}: change it after hole {change.hole}; up to there at most {share} of holes "
        f"are outside at any time, {sure}.{past}"
    )


def _because(
    trend: Trend,
    bend: Bend | None,
    change: Change,
    crossing: Crossing | None,
    run: RunRisk,
    limits: Limits,
    unit: Unit,
) -> Sequence[Reason]:
    per = 100 * trend.slope
    grows = "grow" if per > 0 else "close in"
    reasons = [
        Reason(
            "drift",
            f"The holes {grows} by {format_small(abs(per), unit)} per 100 holes (standard error "
            f"{format_small(100 * trend.se_slope, unit)}); one hole scatters about the line with "
            f"a standard deviation of {format_small(trend.sd, unit)}.",
            per,
            100 * trend.se_slope,
            "mm per 100 holes",
        )
    ]
    if bend is not None and bend.p < BELIEVE_BEND:
        first, last = trend.coefficients[1] * 100, trend.slope * 100
        reasons.append(
            Reason(
                "bend",
                f"The line bends at about hole {bend.trend.knee or 0:.0f}: "
                f"{format_small(first, unit, signed=True)} per 100 holes before, "
                f"{format_small(last, unit, signed=True)} after. A straight line would look so "
                f"bent {100 * bend.p:.1f} % of the time at most.",
                bend.p,
                BELIEVE_BEND,
                "share",
            )
        )
    if crossing is not None and crossing.hole is not None:
        end = (
            f"{crossing.upper:.0f}" if math.isfinite(crossing.upper) else "no hole that can be told"
        )
        reasons.append(
            Reason(
                "crossing",
                f"The mean reaches the {change.side} limit at about hole {crossing.hole:.0f} "
                f"({100 * crossing.confidence:.0f} %: {max(crossing.lower, 0):.0f} to {end}; "
                f"{crossing.method}).",
                crossing.hole,
                crossing.upper if math.isfinite(crossing.upper) else None,
                "holes",
            )
        )
    if fieller_spread(trend) >= 1:
        reasons.append(
            Reason(
                "drift-not-shown",
                "These holes don't show that the size drifts at all: a line that stays level fits "
                "them as well. Follow the tool further before its life is foretold.",
                fieller_spread(trend),
                1.0,
                "",
            )
        )
    if change.reach > STRETCH and not change.cut_off:
        reasons.append(
            Reason(
                "stretched",
                f"Hole {change.hole} is {change.reach:.1f} times as far as the last one measured "
                f"({trend.last:.0f}). Wear sets in faster at the end of a life: gauge on the way "
                f"and ask again.",
                change.reach,
                STRETCH,
                "",
            )
        )
    reasons.append(_run_reason(run))
    return reasons


def _run_reason(run: RunRisk) -> Reason:
    time = f" in {run.minutes:.0f} min" if run.minutes else ""
    breaks = ""
    if run.breaks is not None and run.breaks_upper is not None:
        breaks = (
            f" The tool breaks with a probability of {100 * run.breaks:.1f} % (at most "
            f"{100 * run.breaks_upper:.1f} %)."
        )
    word = "Too much to leave alone." if run.any_outside > ANY_OUTSIDE else "It may be left alone."
    return Reason(
        "run",
        f"The next {run.holes} holes{time}: any of them outside with a probability of "
        f"{_share(run.any_outside)}. {word}{breaks} {_parts(run.parts_at_risk)} held until the "
        f"next check is good.",
        run.any_outside,
        ANY_OUTSIDE,
        "share",
    )


def _parts(count: float) -> str:
    whole = math.ceil(count - 1e-9)
    return "1 part is" if whole == 1 else f"{whole} parts are"


def _share(share: float) -> str:
    return "under 0.01 %" if share < 1e-4 else f"{100 * share:.2g} %"
