"""What comes out of a plan: ream, ream with conditions, or do not ream, and what instead."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from holewright.cutting.kinematics import feed_speed, spindle_speed, time_in_cut
from holewright.planning.instead import (
    bore_instead,
    boring,
    break_even,
    can_be_bored,
    hone_instead,
    mend_first,
)
from holewright.planning.other_routes import Other
from holewright.planning.plan import OperationKind, Plan, PlanVerdict, Route
from holewright.planning.point import Point
from holewright.planning.prepare import APPROACH
from holewright.planning.route import format_stock, route_of
from holewright.planning.rules import RUNOUT_SHARE
from holewright.planning.task import Task
from holewright.planning.words import depth_cautions
from holewright.reasons import Reason
from holewright.sizing.forecast import Forecast
from holewright.sizing.reamed import distribution
from holewright.units import format_both

_ALTERNATIVES = 5

BORING_HEAD = "Boring head: it turns off centre; guard closed, and mind its speed limit."


@dataclass(frozen=True)
class Frame:
    """What every outcome carries: the job, and what was found on the way.

    Parameters
    ----------
    task : Task
        What the plan is for.
    conditions, check_plan, cautions, refused, evaluated, possible
        As in :class:`holewright.planning.plan.Plan`.
    """

    task: Task
    conditions: tuple[Reason, ...]
    check_plan: tuple[str, ...]
    cautions: tuple[str, ...]
    refused: tuple[Reason, ...] = ()
    evaluated: int = 0
    possible: int = 0

    def plan(
        self,
        verdict: PlanVerdict,
        sentence: str,
        *,
        route: Route | None = None,
        forecast: Forecast | None = None,
        alternatives: tuple[Route, ...] = (),
        instead: tuple[str, ...] = (),
        cautions: tuple[str, ...] = (),
    ) -> Plan:
        """Return a plan with all that the frame knows."""
        if route is not None:
            cautions = (*depth_cautions(self.task.callout, route), *cautions)
        return Plan(
            verdict=verdict,
            sentence=sentence,
            route=route,
            forecast=forecast,
            conditions=self.conditions,
            alternatives=alternatives,
            refused=self.refused,
            instead=instead,
            check_plan=self.check_plan,
            cautions=(*self.cautions, *cautions),
            evaluated=self.evaluated,
            possible=self.possible,
        )


def finish_otherwise(frame: Frame, refused: tuple[Reason, ...], instead: tuple[str, ...]) -> Plan:
    """Return the plan for a hole whose drawing asks for more than reaming gives.

    Parameters
    ----------
    frame : Frame
        The job.
    refused : tuple of Reason
        Why, the most telling first.
    instead : tuple of str
        What to do instead; empty for honing or grinding.
    """
    return replace(frame, refused=refused).plan(
        PlanVerdict.DO_NOT_REAM,
        f"Do not ream to final size. {refused[0].text}",
        instead=instead or hone_instead(frame.task.callout, frame.task.material),
    )


def drill_it(frame: Frame, other: Other) -> Plan:
    """Return the plan for a hole that a drill alone makes well enough."""
    return frame.plan(
        PlanVerdict.DO_NOT_REAM,
        f"No reamer is needed: {other.route.name}. The forecast puts "
        f"{100 * other.forecast.inside:.1f} % inside.",
        route=other.route,
        forecast=other.forecast,
        instead=("Drill a test hole in scrap of the same material and measure it first.",),
    )


def bore_it(frame: Frame, noted: tuple[Reason, ...], other: Other | None) -> Plan:
    """Return the plan for a hole that must be bored true and is then best bored to size."""
    return replace(frame, refused=noted).plan(
        PlanVerdict.DO_NOT_REAM,
        f"Bore it to size. {noted[0].text}",
        route=other.route if other else None,
        forecast=other.forecast if other else None,
        instead=bore_instead(frame.task.callout, frame.task.machine),
        cautions=(BORING_HEAD,),
    )


def no_tool(frame: Frame, what: str, other: Other | None = None) -> Plan:
    """Return the plan where the tool room lacks a drill or a holder to ream with.

    Parameters
    ----------
    frame : Frame
        The job.
    what : str
        ``drill`` or ``holder``.
    other : Other, optional
        Boring to size, where a smaller drill lets it.
    """
    reason = Reason(
        f"no-{what}",
        f"The tool room has no {what} near enough to the size to ream after."
        if what == "drill"
        else f"The tool room has no {what} for a reamer.",
        None,
        None,
        unit="",
    )
    if other is not None:
        return bore_it(frame, (reason,), other)
    return replace(frame, refused=(reason,)).plan(
        PlanVerdict.DO_NOT_REAM,
        reason.text,
        instead=(
            f"Enter a {what} that fits in the tool room, or borrow one.",
            *bore_instead(frame.task.callout, frame.task.machine),
        ),
    )


def nothing_possible(frame: Frame, nearest: Point, broken: Sequence[Reason]) -> Plan:
    """Return the plan where every candidate breaks a limit.

    Parameters
    ----------
    frame : Frame
        The job.
    nearest : Point
        The candidate that comes nearest.
    broken : sequence of Reason
        The limits that it breaks.
    """
    way = f"{nearest.prepared.name}, ream with {nearest.reamer.id} in {nearest.holder.id}"
    why = "; ".join(f"{r.text[0].lower()}{r.text[1:]}" for r in broken)
    codes = [r.code for r in broken]
    if frame.task.machine.spindle_tir.value > RUNOUT_SHARE * frame.task.callout.limits.width:
        codes.append("runout-over-third")
    return replace(frame, refused=(*broken, *frame.refused)).plan(
        PlanVerdict.DO_NOT_REAM,
        f"Not as it stands. What comes nearest: {way}. Against it: {why}.",
        instead=(
            *mend_first(codes),
            *bore_instead(frame.task.callout, frame.task.machine),
        ),
    )


def _once(frame: Frame, point: Point) -> float:
    return point.reamer.price + frame.task.economy.purchase


def _ream_hole(frame: Frame, point: Point) -> float:
    """Return what reaming adds to a hole that is drilled anyway: its own time. [currency]

    At the reamer's usual speed and feed, so that the break-even is the same whatever number of
    holes the setting was chosen for.
    """
    start, machine = point.candidates.starts[point.index[1]], frame.task.machine
    n = min(float(spindle_speed(start.vc, point.reamer.DC.value)), machine.n_max)
    path = point.at("tip_depth") + APPROACH
    seconds = 2 * float(time_in_cut(path, feed_speed(n, start.f))) + frame.task.economy.move_s
    return seconds * machine.rate / 3600


def _holes_to_pay(frame: Frame, point: Point) -> float:
    """Return the number of holes from which a reamer that must be ordered beats boring."""
    bore = boring(frame.task.callout, frame.task.economy)
    return break_even(bore, _once(frame, point), _ream_hole(frame, point), frame.task.machine)


def bought_reamer_pays(frame: Frame, point: Point) -> bool:
    """Return whether a reamer that must be ordered is worth it against boring.

    Always, where the machine takes no boring head or no bar reaches into the hole.
    """
    if not (frame.task.machine.can_bore and can_be_bored(frame.task.callout)):
        return True
    return frame.task.holes >= _holes_to_pay(frame, point)


def do_not_buy(frame: Frame, point: Point, other: Other | None) -> Plan:
    """Return the plan where boring beats a reamer bought for so few holes."""
    holes, from_holes = frame.task.holes, _holes_to_pay(frame, point)
    pays = (
        f"it would from about {math.ceil(from_holes)}"
        if math.isfinite(from_holes)
        else "it never would"
    )
    days = frame.task.lead_time_days
    wait = f", and it would take {days:g} days to come" if days is not None else ""
    reason = Reason(
        "reamer-does-not-pay",
        f"For {holes} {'hole' if holes == 1 else 'holes'} it does not pay; {pays}{wait}.",
        float(holes),
        from_holes if math.isfinite(from_holes) else None,
        unit="holes",
    )
    return replace(frame, refused=(reason, *frame.refused)).plan(
        PlanVerdict.DO_NOT_REAM,
        f"Do not buy a reamer: bore it. {reason.text}",
        route=other.route if other else None,
        forecast=other.forecast if other else None,
        alternatives=(_route(frame, point, "if a reamer is bought all the same"),),
        instead=(
            *bore_instead(frame.task.callout, frame.task.machine),
            f"Boring costs about {_bore_cost(frame):.2f} a hole beside the drilling, with the head "
            "set once and every hole measured (times are assumed).",
        ),
        cautions=(BORING_HEAD,),
    )


def _bore_cost(frame: Frame) -> float:
    """Return what boring costs a hole, without drilling it. [currency]"""
    task = frame.task
    return boring(task.callout, task.economy).cost(task.holes, task.machine.rate)


def ream_it(frame: Frame, point: Point, others: Sequence[Point]) -> Plan:
    """Return the plan to ream, with the other routes that would do."""
    forecast = Forecast(
        distribution(point.candidates.size.terms, point.candidates.shape, point.index),
        frame.task.callout.limits,
    )
    route = _route(frame, point, "")
    conditional = bool(frame.conditions) or point.prepared.opening is not None
    verdict = PlanVerdict.REAM_WITH_CONDITIONS if conditional else PlanVerdict.REAM
    unit = frame.task.callout.unit
    opening = point.prepared.opening
    first = "Ream"
    if opening is not None:
        left = format_stock(point.at("stock"), unit)
        how = "bore true" if opening.kind is OperationKind.BORE else "ream first"
        first = f"Drill under size, {how} leaving {left}, then ream"
    sentence = (
        f"{first} with {point.reamer.id}. The forecast is {format_both(forecast.mean, unit)}, "
        f"{100 * forecast.inside:.0f} % inside before any test cut."
    )
    return frame.plan(
        verdict,
        sentence,
        route=route,
        forecast=forecast,
        alternatives=tuple(
            _route(frame, other, _against(other, point)) for other in others[:_ALTERNATIVES]
        ),
    )


def _route(frame: Frame, point: Point, text: str) -> Route:
    return replace(route_of(point), text=text)


def _against(other: Point, first: Point) -> str:
    """Return how another candidate compares with the first choice."""
    cost = 100 * (other.at("cost") / first.at("cost") - 1)
    seconds = other.at("time_s") - first.at("time_s")
    inside = 100 * (first.at("outside") - other.at("outside"))
    said = (
        f"costs {abs(cost):.0f} % {'more' if cost > 0 else 'less'}"
        if abs(cost) >= 0.5
        else "costs the same",
        f"takes {abs(seconds):.1f} s {'more' if seconds > 0 else 'less'}"
        if abs(seconds) >= 0.05
        else "",
        f"{abs(inside):.0f} % {'more' if inside > 0 else 'fewer'} inside by forecast"
        if abs(inside) >= 0.5
        else "",
    )
    order = "" if other.reamer.owned else "; the reamer must be ordered"
    return ", ".join(part for part in said if part) + order
