"""Follow tools over their life: when to change, what the next run risks, what a new one will do."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from holewright.errors import NoAnswerError
from holewright.gauging.reading_interval import HoleSize, hole_sizes
from holewright.jobs.job import Job
from holewright.jobs.life_file import ToolReadings
from holewright.jobs.plan_hole import plan
from holewright.life.between import LikeTools, expected_trend, like_tools
from holewright.life.change import Change, change_hole
from holewright.life.survival import Survival, fit_survival
from holewright.life.tool_change import ToolChange, believed, judge_life
from holewright.life.trend import Trend, find_bend, trend_of_readings
from holewright.life.unattended import CheckCosts, run_risk
from holewright.planning.economy import Economy
from holewright.planning.plan import Plan
from holewright.reasons import Reason

_FOLLOW_FROM = 5
"""Holes of a life that must have been gauged before a line is drawn. [-]"""
_BREAK_RATE = 1 / 5000
"""Sudden faults per hole where the shop has seen none. [1/hole] Own judgement."""


@dataclass(frozen=True, eq=False)
class Followed:
    """One tool as it was followed.

    Parameters
    ----------
    tool : str
        The tool.
    holes : tuple of HoleSize
        What the gauges said.
    cut : dict
        Hole -> holes cut. [-]
    change : ToolChange
        When to change it, and why then.
    """

    tool: str
    holes: tuple[HoleSize, ...]
    cut: dict[str, int]
    change: ToolChange


@dataclass(frozen=True, eq=False)
class Lives:
    """All tools of a file.

    Parameters
    ----------
    job : Job
        The job.
    followed : tuple of Followed
        Tool by tool; the last one is in the machine.
    not_followed : tuple of Reason
        Tools whose readings tell no trend.
    contradictions : tuple of Reason
        Readings that can't all be true.
    like : LikeTools, optional
        What several of them have in common.
    new : Change, optional
        When a new one of their kind is expected to be due.
    survival : Survival, optional
        How long they last until they break, where breaks were seen.
    """

    job: Job
    followed: tuple[Followed, ...]
    not_followed: tuple[Reason, ...] = ()
    contradictions: tuple[Reason, ...] = ()
    like: LikeTools | None = None
    new: Change | None = None
    survival: Survival | None = None

    @property
    def current(self) -> Followed:
        """The tool in the machine: the last one."""
        return self.followed[-1]


def follow_tools(
    job: Job,
    tools: Sequence[ToolReadings],
    *,
    target: float = 0.01,
    confidence: float = 0.95,
    next_holes: int | None = None,
    broken: Sequence[str] = (),
    clearance: float | None = None,
) -> Lives:
    """Return when to change each tool, and what the next run of the last one risks.

    Parameters
    ----------
    job : Job
        The job: limits, tool room, machine.
    tools : sequence of ToolReadings
        The tools in the order of their use.
    target : float
        Share outside that may not be passed at any hole of a life. [-]
    confidence : float
        One-sided confidence. [-]
    next_holes : int, optional
        Holes of the next run; by default those of a tenth of the life, and at least one part.
    broken : sequence of str
        Tools that broke at their last hole; the others were changed before.
    clearance : float, optional
        By how much a hole must be larger than a pin that goes; by default that of the job. [mm]

    Returns
    -------
    Lives
        Tool by tool, and what they have in common.

    Raises
    ------
    NoAnswerError
        If not one tool's readings tell a trend.
    """
    planned = plan(job)
    followed: list[Followed] = []
    silent: list[Reason] = []
    contradictions: list[Reason] = []
    survival, said = _survival(tools, broken)
    silent += said
    for one in tools:
        holes, wrong = hole_sizes(
            one.readings,
            job.shop,
            material_alpha=job.material.alpha,
            clearance=job.habits.clearance if clearance is None else clearance,
            unit=job.unit,
        )
        contradictions += wrong
        cut = {hole: float(number) for hole, number in one.cut.items()}
        name = one.tool or "The tool"
        if len(set(one.cut.values())) < _FOLLOW_FROM:
            silent.append(
                Reason(
                    "too-few-holes",
                    f"{name}: gauged at {len(set(one.cut.values()))} holes of its life, "
                    f"{_FOLLOW_FROM} are the least that make a line.",
                    float(len(set(one.cut.values()))),
                    float(_FOLLOW_FROM),
                    "holes",
                )
            )
            continue
        try:
            straight = trend_of_readings(holes, cut)
            bend = find_bend(holes, cut)
        except NoAnswerError as error:
            silent.append(Reason("no-trend", f"{name}: {error}"))
            continue
        trend = believed(straight, bend)
        change = judge_life(
            one.tool or "This reamer",
            trend,
            job.gauged_limits,
            run_risk(
                trend,
                job.gauged_limits,
                one.last,
                next_holes or _usual_run(job, trend, one.last, target),
                holes_a_part=len(job.holes),
                seconds_a_part=_seconds(job, planned),
                survival=survival,
            ),
            bend=bend,
            target=target,
            confidence=confidence,
            costs=_costs(job, planned),
            unit=job.unit,
        )
        a_part = len(job.holes)
        every = a_part * max(1, round((change.check_every or a_part) / a_part))
        change = replace(change, check_every=every)
        followed.append(Followed(one.tool, holes, one.cut, change))
    if not followed:
        raise NoAnswerError(silent[0].text if silent else "There is no tool to follow.")
    like, new = _like(job, followed, target, confidence)
    return Lives(job, tuple(followed), tuple(silent), tuple(contradictions), like, new, survival)


def _usual_run(job: Job, trend: Trend, cut: int, target: float) -> int:
    """Return a tenth of the holes that are left, in whole parts."""
    a_part = len(job.holes)
    due = change_hole(trend, job.gauged_limits, target=target).likely
    left = max(due - cut, 10 * a_part)
    return max(a_part, a_part * round(min(left, 5000) / 10 / a_part))


def _seconds(job: Job, planned: Plan) -> float:
    return planned.route.time_s * len(job.holes) if planned.route else 0.0


def _costs(job: Job, planned: Plan) -> CheckCosts:
    """Return what a check, a bad hole and a change cost, by the planner's own economy."""
    economy = Economy()
    rate = job.machine.rate / 3600
    reamers = {reamer.id: reamer for reamer in job.shop.reamers}
    used = [op.tool for op in planned.route.operations] if planned.route else []
    price = next((reamers[tool].price for tool in reversed(used) if tool in reamers), 0.0)
    change_s = max((holder.change_s for holder in job.shop.holders), default=300.0)
    return CheckCosts(
        check=max(rate * economy.gauge_s, 1e-6),
        bad_hole=economy.part_value / len(job.holes),
        change=price + rate * change_s,
        break_rate=_BREAK_RATE,
    )


def _survival(
    tools: Sequence[ToolReadings], broken: Sequence[str]
) -> tuple[Survival | None, list[Reason]]:
    if not broken:
        return None, []
    life = np.array([tool.last for tool in tools], dtype=float)
    ended = np.array([tool.tool in broken for tool in tools])
    try:
        return fit_survival(life, np.where(ended, life, math.inf)), []
    except NoAnswerError as error:
        return None, [Reason("breaks-not-fitted", str(error))]


def _like(
    job: Job, followed: Sequence[Followed], target: float, confidence: float
) -> tuple[LikeTools | None, Change | None]:
    if len(followed) < 2:
        return None, None
    measured = {reamer.id: reamer.DC for reamer in job.shop.reamers}
    known = [measured.get(one.tool) for one in followed]
    sizes = [DC.value if DC is not None and DC.is_measured else None for DC in known]
    base = job.callout.nominal
    # Without all diameters the starts differ by those too: then the same number stands for all.
    diameters = [size for size in sizes if size is not None]
    if len(diameters) < len(sizes):
        diameters = [base] * len(sizes)
    else:
        base = sum(diameters) / len(diameters)
    like = like_tools(
        [one.tool for one in followed], [one.change.trend for one in followed], diameters
    )
    trend = expected_trend(like, base)
    return like, change_hole(trend, job.gauged_limits, target=target, confidence=confidence)
