"""Where one tool overtakes another."""

from __future__ import annotations

import numpy as np
import pytest

from holewright.callout.callout import Callout
from holewright.callout.limits import hole_limits
from holewright.planning.candidates import evaluate
from holewright.planning.point import Point
from holewright.planning.prepare import prepared_holes
from holewright.planning.quantity import break_even_between, cost_at
from holewright.planning.task import Task
from holewright.planning.to_order import reamers_to_order
from holewright.shop.generic import generic_shop
from holewright.shop.holder import HolderKind
from holewright.shop.materials import find_material
from holewright.units import Unit

SHOP = generic_shop()
MACHINE = SHOP.machines[0]
CALLOUT = Callout("8 H7 x 22 through", 8.0, hole_limits(8, "H7"), Unit.MM, fit="H7", depth=22.0)
TASK = Task(CALLOUT, find_material("16MnCr5"), MACHINE, MACHINE.coolants[0], 100)


@pytest.fixture(scope="module")
def tools() -> tuple[Point, Point]:
    """Return a plain reamer and a coated carbide one, both to order, in one good holder."""
    drill = next(d for d in SHOP.drills if d.id == "7.8 mm solid carbide")
    holder = next(h for h in SHOP.holders if h.kind is HolderKind.HYDRAULIC)
    plain, coated = reamers_to_order(CALLOUT, TASK.coolant)
    prepared = prepared_holes(TASK, [drill], lead=1.0)
    first, second = (
        Point(evaluate(TASK, prepared, (reamer,), (holder,)), (0,) * 5)
        for reamer in (plain, coated)
    )
    return first, second


def test_the_plain_reamer_wins_a_few_holes_and_the_fast_one_production(
    tools: tuple[Point, Point],
) -> None:
    """Worth it in production; for a handful the plain reamer is good enough (common practice)."""
    found = break_even_between(*tools)
    assert found.holes is not None
    assert 10 < found.holes < 10_000


def test_just_below_the_break_even_the_first_is_cheaper(tools: tuple[Point, Point]) -> None:
    found = break_even_between(*tools)
    assert found.holes is not None
    assert cost_at(tools[1], found.holes) < cost_at(tools[0], found.holes)
    assert cost_at(tools[1], found.holes - 1) >= cost_at(tools[0], found.holes - 1)


def test_a_tool_never_overtakes_itself(tools: tuple[Point, Point]) -> None:
    assert break_even_between(tools[0], tools[0]).holes is None


def test_the_cost_of_a_hole_falls_as_a_bought_tool_is_paid_off(
    tools: tuple[Point, Point],
) -> None:
    costs = [cost_at(tools[1], n) for n in (10, 100, 1000)]
    assert (np.diff(costs) < 0).all()
