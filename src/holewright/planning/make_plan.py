"""From a callout to a plan: all candidates, every limit, the first choice and the rest."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import partial

import numpy as np

from holewright.callout.callout import Callout, Entry
from holewright.callout.limits import grade_for
from holewright.cutting.evacuation import chip_way_out
from holewright.cutting.start_values import StartValues, drill_start, ream_start
from holewright.errors import NoAnswerError
from holewright.gauging.limit_pins import choose_pins
from holewright.planning.candidates import SPEEDS, Candidates, evaluate
from holewright.planning.feasibility import judge_drawing
from holewright.planning.grid import HOLDER, PREPARED, REAMER, on_reamers
from holewright.planning.limits import (
    Limit,
    all_hold,
    broken_at,
    hopeless,
    nearest_way,
    why_not,
)
from holewright.planning.other_routes import bored_to_size, drilled_to_size
from holewright.planning.outcome import (
    Frame,
    bore_it,
    bought_reamer_pays,
    do_not_buy,
    drill_it,
    finish_otherwise,
    no_tool,
    nothing_possible,
    ream_it,
)
from holewright.planning.plan import OperationKind, Plan
from holewright.planning.point import Point
from holewright.planning.prepare import Opening, prepared_holes
from holewright.planning.rules import limits_of
from holewright.planning.task import Task
from holewright.planning.to_order import reamers_to_order
from holewright.planning.words import cautions_of, check_plan_of
from holewright.reasons import Reason
from holewright.shop.drill import Drill, DrillKind
from holewright.shop.holder import HolderKind
from holewright.shop.material import Material
from holewright.shop.reamer import Reamer, ReamerKind
from holewright.shop.shop import Shop
from holewright.sizing.stock import stock_range
from holewright.sizing.treatment import in_process

_BORE_TO_SIZE_FROM = 20.0
"""Diameter from which boring to size is as usual as boring and reaming. [mm] Own judgement."""

TWO_STEP_STOCK = 0.1
"""Stock on diameter that a first reamer leaves for the last one. [mm] Own judgement."""

_ORDER_GAIN = 0.25
"""Share of the holes that a reamer must save to be ordered though one lies in the drawer. [-]
Own judgement: for less a test hole with the one at hand tells sooner."""

_HOLDER_COSTS = 1.05
"""What a truer holder may cost, as a share of what goes into a hole. [-] Own judgement."""

_MOST_CANDIDATES = 1_000_000
_LEAST_POINTS = 8
"""Size of the search. In a large tool room the points stand up to a quarter apart, which is still
finer than speeds and feeds are known."""

_FINE_GRADE = 6.5
"""Grade below which a hole that is bored true is bored to size as well. [-] Own judgement."""


@dataclass(frozen=True)
class Study:
    """A plan, and the candidate behind it.

    Parameters
    ----------
    plan : Plan
        The plan.
    point : Point, optional
        The candidate of its route, for the window and for asking why; None where no candidate
        was computed or none is possible.
    """

    plan: Plan
    point: Point | None = None


def study(task: Task, shop: Shop) -> Study:
    """Return what to do with a hole, and the candidate behind it.

    Parameters
    ----------
    task : Task
        What to make, of what, on what, with what, and how many.
    shop : Shop
        Tool room: drills, reamers, holders and pins.

    Returns
    -------
    Study
        The verdict comes first; `do not ream` with what to do instead is an answer.

    Notes
    -----
    All candidates are computed in one vectorised pass and every limit is a named rule, see
    :mod:`holewright.planning.rules`. Ranked by the cost of a good hole.
    """
    drawn = task.callout
    task = replace(task, callout=in_process(drawn))
    callout = task.callout
    drills_that_cut, dull = _that_cut(shop.drills, callout, task.material)
    shop = replace(shop, drills=drills_that_cut)
    reamers, no_way_out = _reamers(callout, shop, task)
    no_way_out = (*no_way_out, *dull)
    lead = max(r.lead for r in reamers)
    near = _drills_near(shop.drills, callout)
    drawing = judge_drawing(drawn, task.material, near, lead)
    pins = choose_pins(callout.limits, shop.pins, unit=callout.unit)
    frame = Frame(
        task=task,
        conditions=drawing.conditions,
        check_plan=check_plan_of(callout, pins),
        cautions=(*cautions_of(callout, task.machine), *drawing.cautions),
    )
    if drawing.refused:
        return Study(finish_otherwise(frame, drawing.refused, drawing.instead))
    if drawing.true_first and _bore_to_size(callout):
        return Study(bore_it(frame, drawing.noted, bored_to_size(task, shop.drills)))
    drilled = drilled_to_size(task, near)
    if drilled is not None:
        return Study(drill_it(frame, drilled))

    opening = _true_opening(callout, task.material) if drawing.true_first else None
    drills = _drills_under(shop.drills, callout, opening)
    if not drills:
        return Study(no_tool(frame, "drill", bored_to_size(task, shop.drills)))
    if not shop.holders:
        return Study(no_tool(frame, "holder"))
    searched = _search(task, shop, reamers, drills, lead, opening)
    if not searched.possible.any() and opening is None and _two_steps_help(searched):
        first = Opening(OperationKind.REAM, round(callout.limits.lower - TWO_STEP_STOCK, 2))
        again = _search(
            task, shop, reamers, _drills_under(shop.drills, callout, first), lead, first
        )
        searched = again if again.possible.any() else searched
    candidates, possible = searched.candidates, searched.possible
    frame = replace(
        frame,
        refused=(*drawing.noted, *no_way_out, *_refusals(candidates, searched.limits)),
        evaluated=candidates.count,
        possible=int(possible.sum()),
    )
    if not possible.any():
        nearest = Point(candidates, nearest_way(searched.limits, candidates.shape))
        broken = broken_at(searched.limits, candidates.shape, nearest.index, callout.unit)
        return Study(nothing_possible(frame, nearest, broken))
    point = _first_choice(candidates, possible)
    if not point.reamer.owned and not bought_reamer_pays(frame, point):
        return Study(do_not_buy(frame, point, bored_to_size(task, shop.drills)), point)
    return Study(ream_it(frame, point, _others(candidates, possible, point)), point)


@dataclass(frozen=True)
class _Searched:
    candidates: Candidates
    limits: tuple[Limit, ...]
    possible: np.ndarray


def _search(
    task: Task,
    shop: Shop,
    reamers: Sequence[Reamer],
    drills: Sequence[Drill],
    lead: float,
    opening: Opening | None,
) -> _Searched:
    prepared = prepared_holes(task, drills, lead=lead, opening=opening)
    points = _points(len(prepared) * len(reamers) * len(shop.holders))
    candidates = evaluate(task, prepared, reamers, shop.holders, speeds=points, feeds=points)
    limits = limits_of(candidates)
    return _Searched(candidates, limits, all_hold(limits, candidates.shape))


def _points(ways: int) -> int:
    """Return the points of the speed and the feed axis: fewer for a large tool room."""
    return int(np.clip(np.sqrt(_MOST_CANDIDATES / ways), _LEAST_POINTS, SPEEDS))


def _two_steps_help(searched: _Searched) -> bool:
    """Return whether finish or grade alone stand in the way: what a second reamer mends."""
    shape = searched.candidates.shape
    closed = {reason.code for reason in hopeless(searched.limits, shape)}
    return bool(closed) and closed <= {"finish", "tolerance-grade"}


def _reamers(
    callout: Callout, shop: Shop, task: Task
) -> tuple[tuple[Reamer, ...], tuple[Reason, ...]]:
    """Return reamers near the size, those to order among them, and those that can't be used."""
    reach = 2 * callout.limits.width + 0.01
    kept, refused = [], []
    for reamer in (*shop.reamers, *reamers_to_order(callout, task.coolant)):
        if abs(reamer.DC.value - callout.limits.middle) > reach:
            continue
        why = chip_way_out(callout.kind, reamer.helix, reamer.coolant_exit) or _no_edge(
            partial(ream_start, task.material, reamer.kind, reamer.DC.value, reamer.ZEFP)
        )
        if why is None:
            kept.append(reamer)
        else:
            refused.append(replace(why, text=f"{reamer.id}: {why.text}"))
    return tuple(kept), tuple(refused)


def _that_cut(
    drills: Sequence[Drill], callout: Callout, material: Material
) -> tuple[tuple[Drill, ...], tuple[Reason, ...]]:
    """Return the drills that start and cut, and why kinds that don't cut are out.

    A core drill has no point: it starts in a cast hole only.
    """
    kept, refused = [], []
    for kind in dict.fromkeys(drill.kind for drill in drills):
        dull = _no_edge(partial(drill_start, material, kind, callout.nominal))
        if dull is not None:
            refused.append(dull)
        elif kind is not DrillKind.CORE or callout.entry is Entry.CORED:
            kept += [drill for drill in drills if drill.kind is kind]
    return tuple(kept), tuple(refused)


def _no_edge(start: Callable[[], StartValues]) -> Reason | None:
    """Return why a kind of tool does not cut the material, or None if it does."""
    try:
        start()
    except NoAnswerError as error:
        return Reason("no-speed", f"{error}.", None, None, unit="")
    return None


def _drills_near(drills: Sequence[Drill], callout: Callout) -> tuple[Drill, ...]:
    low, high = 0.85 * callout.nominal, callout.limits.upper
    return tuple(d for d in drills if low <= d.DC.value < high)


def _drills_under(
    drills: Sequence[Drill], callout: Callout, opening: Opening | None
) -> tuple[Drill, ...]:
    """Return drills that leave something to ream, or to open."""
    if opening is not None:
        least = 0.3 if opening.kind is OperationKind.BORE else 0.15
        opened = opening.diameter
        return tuple(d for d in drills if 0.9 * opened <= d.DC.value <= opened - least)
    reach = 1.5 * _stock_most(callout)
    return tuple(
        d for d in drills if callout.limits.lower - reach <= d.DC.value <= callout.limits.lower
    )


def _stock_most(callout: Callout) -> float:
    return max(stock_range(kind, callout.nominal, True).most for kind in ReamerKind)


def _true_opening(callout: Callout, material: Material) -> Opening:
    usual = stock_range(ReamerKind.HSS, callout.nominal, material.iso513 == "N").usual
    return Opening(OperationKind.BORE, round(callout.limits.lower - usual, 2))


def _bore_to_size(callout: Callout) -> bool:
    fine = grade_for(callout.limits.width, callout.nominal) < _FINE_GRADE
    return fine or callout.nominal >= _BORE_TO_SIZE_FROM


def _cheapest(candidates: Candidates, among: np.ndarray) -> Point:
    cost = np.where(among, candidates.cost, np.inf)
    index = np.unravel_index(int(np.argmin(cost)), candidates.shape)
    return _in_truest(Point(candidates, tuple(int(i) for i in index)), among)


def _in_truest(point: Point, among: np.ndarray) -> Point:
    """Return a candidate in the truest rigid holder that costs no more before scrap.

    Runout opens a hole. So the cost of a good hole alone would choose a worse holder where a
    hole comes small, and nobody should size a hole by its runout.
    """
    if point.holder.kind is HolderKind.FLOATING:
        return point
    most = _HOLDER_COSTS * _before_scrap(point)
    same = [
        Point(point.candidates, (*point.index[:HOLDER], k, *point.index[HOLDER + 1 :]))
        for k in range(len(point.candidates.holders))
    ]
    rigid = [p for p in same if among[p.index] and p.holder.kind is not HolderKind.FLOATING]
    return min((p for p in rigid if _before_scrap(p) <= most), key=lambda p: p.holder.tir.value)


def _first_choice(candidates: Candidates, possible: np.ndarray) -> Point:
    """Return the cheapest candidate, one with a reamer from the drawer before one to order.

    The forecast is a prior, and its scrap with it. So a reamer is ordered beside one at hand
    only if it saves without counting scrap, or if it saves far more holes.
    """
    best = _cheapest(candidates, possible)
    owned = on_reamers([r.owned for r in candidates.reamers]).astype(bool)
    at_hand = possible & owned
    if best.reamer.owned or not at_hand.any():
        return best
    own = _cheapest(candidates, at_hand)
    saves = _before_scrap(best) < _before_scrap(own)
    surer = own.at("scrap") - best.at("scrap") > _ORDER_GAIN
    return best if saves or surer else own


def _before_scrap(point: Point) -> float:
    return sum(value for name, value in point.cost_parts if name != "scrap")


def _others(candidates: Candidates, possible: np.ndarray, first: Point) -> tuple[Point, ...]:
    """Return the best of each other reamer, and the first reamer's best other preparation."""
    points = []
    for i in range(len(candidates.reamers)):
        among = possible.copy()
        among[:, np.arange(len(candidates.reamers)) != i] = False
        if i == first.index[1]:
            among[first.index[0]] = False
        if among.any():
            points.append(_cheapest(candidates, among))
    return tuple(sorted(points, key=lambda p: p.at("cost")))


def _refusals(candidates: Candidates, limits: Sequence[Limit]) -> tuple[Reason, ...]:
    """Return why each tool at hand is out; of tools to order only those that matter are said."""
    shape, unit = candidates.shape, candidates.task.callout.unit
    reamers = why_not(limits, shape, REAMER, [r.id for r in candidates.reamers], unit)
    drills = why_not(limits, shape, PREPARED, [p.name for p in candidates.prepared], unit)
    holders = why_not(limits, shape, HOLDER, [h.id for h in candidates.holders], unit)
    return (
        *(reason for i, reason in reamers.items() if candidates.reamers[i].owned),
        *(reason for i, reason in drills.items() if candidates.prepared[i].drill.owned),
        *holders.values(),
    )
