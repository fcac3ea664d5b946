"""A point of one's own choosing in the window: another speed and feed, or another tool."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from holewright.errors import OutOfRangeError
from holewright.planning.candidates import evaluate
from holewright.planning.plan import OperationKind, Plan, Route
from holewright.planning.point import Point
from holewright.planning.route import route_of
from holewright.planning.rules import limits_of
from holewright.reasons import Reason
from holewright.sizing.forecast import Forecast
from holewright.sizing.reamed import distribution

_ORIGIN = (0,) * 5


@dataclass(frozen=True)
class Settled:
    """A point of one's own choosing, and what speaks against it.

    Parameters
    ----------
    point : Point
        The candidate.
    broken : tuple of Reason
        Limits that it breaks; empty where it keeps them all.
    """

    point: Point
    broken: tuple[Reason, ...]


def settle(point: Point, v_c: float, f: float) -> Settled:
    """Return a candidate at another speed and feed, all its tools as they are.

    Parameters
    ----------
    point : Point
        Says the tools.
    v_c : float
        Cutting speed, more than 0. [m/min]
    f : float
        Feed, more than 0. [mm/rev]

    Returns
    -------
    Settled
        The candidate there, whether or not a limit forbids it: the reasons say.

    Raises
    ------
    OutOfRangeError
        If speed or feed isn't a number that a machine could know.
    """
    for name, value, most in (("v_c", v_c, 2000.0), ("f", f, 20.0)):
        if not 0 < value <= most:
            raise OutOfRangeError(name, value, f"more than 0, up to {most:g}")
    one = evaluate(
        point.candidates.task, (point.prepared,), (point.reamer,), (point.holder,), at=(v_c, f)
    )
    unit = one.task.callout.unit
    broken = tuple(
        limit.reason(one.shape, _ORIGIN, unit=unit)
        for limit in limits_of(one)
        if not np.all(limit.holds)
    )
    return Settled(Point(one, _ORIGIN), broken)


def point_of(point: Point, route: Route) -> Point | None:
    """Return the candidate behind a route of the same search.

    Parameters
    ----------
    point : Point
        A candidate of the search.
    route : Route
        A route of the same plan: its first choice, an alternative, or one at another setting.

    Returns
    -------
    Point or None
        None where the route isn't one of the search: drilled or bored to size.
    """
    candidates = point.candidates
    reamings = [op for op in route.operations if op.kind is OperationKind.REAM and op.n > 0]
    if not reamings:
        return None
    last = reamings[-1]
    drills = {op.tool for op in route.operations if op.kind is OperationKind.DRILL}
    for i, prepared in enumerate(candidates.prepared):
        for j, reamer in enumerate(candidates.reamers):
            for k, holder in enumerate(candidates.holders):
                if (
                    prepared.drill.id in drills
                    and (reamer.id, holder.id) == (last.tool, last.holder)
                    and route.name.startswith(f"{prepared.name},")
                ):
                    return settle(Point(candidates, (i, j, k, 0, 0)), last.v_c, last.f).point
    return None


def plan_at(plan: Plan, point: Point) -> Plan:
    """Return the plan with its route and forecast at another point.

    Parameters
    ----------
    plan : Plan
        The plan.
    point : Point
        The candidate to make the holes with.
    """
    candidates = point.candidates
    size = distribution(candidates.size.terms, candidates.shape, point.index)
    return replace(
        plan,
        route=route_of(point),
        forecast=Forecast(size, candidates.task.callout.limits),
    )
