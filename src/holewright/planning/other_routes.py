"""Routes without a reamer: drilled to size, or bored to size, each with its forecast."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from holewright.callout.limits import it_width
from holewright.cutting.roughness import Process, process_quality
from holewright.planning.instead import BORE_FEED, boring, can_be_bored
from holewright.planning.plan import Operation, OperationKind, Route
from holewright.planning.prepare import Prepared, hole_depth, prepared_holes
from holewright.planning.route import chamfer_of, drill_of, face_of, spot_of
from holewright.planning.task import Task
from holewright.shop.drill import Drill
from holewright.sizing.forecast import Forecast
from holewright.sizing.temperature import cut_warm
from holewright.uncertainty import SizeDistribution, Tag, Term
from holewright.units import format_both, format_feed_speed

DRILL_ONLY_INSIDE = 0.99
"""Share that must be inside by forecast before a drill alone is proposed. [-] Own judgement."""

_BORE_GRADE = 6
"""Grade that fine boring holds hole by hole, measured before the last pass: IT6 to IT7."""


_UNDER = 0.5
_NEAR = 0.8
"""Smallest drill to bore after, and smallest that counts as near, as shares of the diameter. [-]
Own judgement."""

_LEFT_TO_BORE = 0.5
"""Least that a drill leaves to bore, on diameter. [mm] Own judgement."""


@dataclass(frozen=True)
class Other:
    """A route without a reamer.

    Parameters
    ----------
    route : Route
        Its operations, time and cost.
    forecast : Forecast
        The size that it gives.
    """

    route: Route
    forecast: Forecast


def drilled_to_size(task: Task, drills: Sequence[Drill]) -> Other | None:
    """Return the cheapest way to make the hole with a drill alone, or None.

    Parameters
    ----------
    task : Task
        What to make.
    drills : sequence of Drill
        Drills near the size.

    Returns
    -------
    Other or None
        None where no drill puts enough holes inside, or leaves the finish asked for, or where
        the drawing asks for a position that a drill can't hold.
    """
    found = [
        other
        for p in prepared_holes(task, drills, lead=0.0)
        if (other := _drilled(task, p)) is not None
    ]
    return min(found, key=lambda o: o.route.cost_per_good_hole, default=None)


def _drilled(task: Task, p: Prepared) -> Other | None:
    callout, machine = task.callout, task.machine
    rise = float(cut_warm(callout.nominal, task.material.alpha.value, task.part_rise))
    size = SizeDistribution(
        (
            Term(
                "drilled size",
                p.hole.mean,
                p.hole.sd,
                p.hole.tag,
                p.hole.source,
                "what this kind of drill leaves",
                varies=p.hole.sd,
            ),
            Term("warmth", rise, abs(rise) / 4, Tag.DEFAULT, "expansion of the material"),
        )
    )
    forecast = Forecast(size, callout.limits)
    rough = callout.ra is not None and p.hole.rz * 1000 / 5 > callout.ra
    off = callout.position is not None and p.hole.axis_hi > callout.position.diameter / 2
    if forecast.inside < DRILL_ONLY_INSIDE or rough or off or not _fits(task, p):
        return None
    operations = (
        *face_of(callout),
        *spot_of(p),
        drill_of(p, task.coolant, task.economy),
        chamfer_of(p, callout),
    )
    bad = 1 - forecast.inside
    parts = (
        ("machine", machine.rate / 3600 * p.time_s),
        ("tool changes", p.tools * task.change_cost),
        ("drill", p.cost),
        ("scrap", task.economy.part_value * bad),
    )
    route = Route(
        name=p.name,
        operations=operations,
        cost_per_good_hole=sum(v for _, v in parts) / (1 - bad),
        cost_parts=parts,
        time_s=p.time_s,
        outside=bad,
        text="no reamer is needed",
    )
    return Other(route, forecast)


def _fits(task: Task, p: Prepared) -> bool:
    """Return whether the drill reaches, and machine and floor allow it."""
    machine, floor = task.machine, task.callout.floor
    driven = p.power <= machine.power and p.thrust <= machine.thrust
    return driven and p.tip_depth <= p.drill.LU and (floor is None or p.tip_depth <= floor)


def bored_to_size(task: Task, drills: Sequence[Drill]) -> Other | None:
    """Return drilling under size and boring to size, or None where that can't be done.

    Parameters
    ----------
    task : Task
        What to make.
    drills : sequence of Drill
        Drills of the shop. Of those near the size the one is taken with which a hole costs
        least; where there is none, the largest.
    """
    callout = task.callout
    if not can_be_bored(callout):
        return None
    low, high = _UNDER * callout.nominal, callout.limits.lower - _LEFT_TO_BORE
    under = [d for d in drills if low <= d.DC.value <= high]
    fitting = [p for p in prepared_holes(task, under, lead=0.0) if _fits(task, p)]
    near = [p for p in fitting if p.drill.DC.value >= _NEAR * callout.nominal]
    if not near:
        largest = max(fitting, key=lambda p: p.drill.DC.value, default=None)
        near = [largest] if largest else []
    routes = [_bored(task, p) for p in near]
    return min(routes, key=lambda o: o.route.cost_per_good_hole, default=None)


def _bored(task: Task, p: Prepared) -> Other:
    callout, machine = task.callout, task.machine
    quality = process_quality(Process.FINE_BORING)
    sd = float(it_width(_BORE_GRADE, callout.nominal)) / 4000
    size = SizeDistribution(
        (
            Term(
                "bored size",
                callout.limits.middle,
                sd,
                Tag.DEFAULT,
                quality.source,
                "measured before the last pass, and set to the middle of the zone",
                varies=sd,
            ),
        )
    )
    forecast = Forecast(size, callout.limits)
    work = boring(callout, task.economy, p.hole.least)
    bored = Operation(
        kind=OperationKind.BORE,
        tool="boring head",
        diameter=callout.limits.middle,
        full_depth=hole_depth(callout),
        tip_depth=hole_depth(callout),
        time_s=work.hole_s,
        text=(
            f"Bore in {work.passes} passes at {format_feed_speed(BORE_FEED, callout.unit)}: rough, "
            f"semi-finish, measure, finish to {format_both(callout.limits.middle, callout.unit)}."
        ),
        by_hand=True,
    )
    bad = 1 - forecast.inside
    time_s = p.time_s + work.hole_s
    parts = (
        ("machine", machine.rate / 3600 * (time_s + work.setup_s / task.holes)),
        ("tool changes", (p.tools + 1) * task.change_cost),
        ("drill", p.cost),
        ("scrap", task.economy.part_value * bad),
    )
    route = Route(
        name=f"{p.name}, bore to size",
        operations=(
            *face_of(callout),
            *spot_of(p),
            drill_of(p, task.coolant, task.economy),
            bored,
            chamfer_of(p, callout),
        ),
        cost_per_good_hole=sum(v for _, v in parts) / (1 - bad),
        cost_parts=parts,
        time_s=time_s,
        outside=bad,
        text="every hole is measured; times are assumed",
    )
    return Other(route, forecast)
