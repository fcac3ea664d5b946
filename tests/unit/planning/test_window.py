"""The window of a route, and why its numbers are what they are."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from holewright.callout.callout import Callout
from holewright.callout.limits import hole_limits
from holewright.cutting.whirl import DIES_OUT
from holewright.errors import InputError
from holewright.planning.make_plan import study
from holewright.planning.point import Point
from holewright.planning.task import Task
from holewright.planning.why import NAMES, explain, explain_all
from holewright.planning.window import Window, nearest_border, window_of
from holewright.shop.generic import generic_shop
from holewright.shop.materials import find_material
from holewright.shop.reamer import ReamerKind
from holewright.units import Unit

CALLOUT = Callout("8 H7 x 22 through", 8.0, hole_limits(8, "H7"), Unit.MM, fit="H7", depth=22.0)
SHOP = generic_shop()
MACHINE = SHOP.machines[0]
TASK = Task(CALLOUT, find_material("16MnCr5"), MACHINE, MACHINE.coolants[0], 1920)


@pytest.fixture(scope="module")
def point() -> Point:
    found = study(TASK, SHOP).point
    assert found is not None
    return found


@pytest.fixture(scope="module")
def window(point: Point) -> Window:
    return window_of(point)


def test_the_chosen_point_lies_in_the_region_that_is_allowed(window: Window) -> None:
    i = int(np.argmin(np.abs(window.v_c - window.chosen[0])))
    j = int(np.argmin(np.abs(window.f - window.chosen[1])))
    assert window.allowed[i, j]
    assert not window.closed_by


def test_borders_carry_the_names_of_their_limits(window: Window) -> None:
    codes = {border.code for border in window.borders}
    assert {"published-speed-high", "published-feed-low", "speed-high"} <= codes
    assert all(border.text for border in window.borders)


def test_the_spindle_border_stands_at_the_speed_that_the_spindle_gives(
    window: Window, point: Point
) -> None:
    border = next(b for b in window.borders if b.code == "speed-high")
    v_c = np.pi * point.reamer.DC.value * MACHINE.n_max / 1000
    np.testing.assert_allclose(np.vstack(border.lines)[:, 0], v_c, rtol=0.002)


def test_a_weaker_spindle_moves_its_border_in(point: Point) -> None:
    slow = replace(MACHINE, n_max=MACHINE.n_max * 0.6)
    moved = Point(
        replace(point.candidates, task=replace(point.candidates.task, machine=slow)), point.index
    )
    assert window_of(moved).allowed.sum() < window_of(point).allowed.sum()


def test_what_forbids_everything_is_said(point: Point) -> None:
    tight = replace(CALLOUT, ra=0.05)
    closed = Point(replace(point.candidates, task=replace(TASK, callout=tight)), point.index)
    window = window_of(closed, points=11)
    assert not window.allowed.any()
    assert any("Ra" in text for text in window.closed_by)


def test_the_nearest_border_is_a_factor_away(window: Window) -> None:
    found = nearest_border(window, *window.chosen)
    assert found is not None
    assert found[1] >= 1.0


@pytest.mark.parametrize("name", NAMES)
def test_each_number_tells_formula_inputs_tags_and_source(point: Point, name: str) -> None:
    told = explain(point, name)
    assert "=" in told.formula
    assert told.inputs
    assert told.source
    assert np.isfinite(told.value)


def test_the_torque_explained_can_be_worked_by_hand(point: Point) -> None:
    """M = K k_c f (DC2 - d02)/8 + N K_e b (DC + d0)/4 with the inputs as they are told.

    K is 1.2 for a hole, 1.3 for wear, and 1.2 for an edge of high-speed steel or 1.
    """
    told = explain(point, "torque")
    inputs = {name.split(" ")[0].rstrip(","): known.value for name, known in told.inputs}
    hss = point.reamer.kind is ReamerKind.HSS
    assert inputs["K"] == pytest.approx(1.2 * 1.3 * (1.2 if hss else 1.0))
    DC, d0 = inputs["DC"], inputs["d0"]
    k_c = inputs["k_c1.1"] * inputs["h"] ** -inputs["m_c"]
    chips = inputs["K"] * k_c * inputs["f"] * (DC**2 - d0**2) / 8
    b = (DC - d0) / 2 / np.sin(np.radians(inputs["KAPR"]))
    ploughing = inputs["N"] * inputs["K_e"] * b * (DC + d0) / 4
    assert told.value == pytest.approx((chips + ploughing) / 1000, rel=1e-9)


def test_the_torque_names_a_second_opinion_from_the_other_tables(point: Point) -> None:
    assert "VDI 3323 group 6" in explain(point, "torque").source


def test_whirl_explained_and_over_the_grid_agree_where_it_counts(point: Point) -> None:
    told = explain(point, "whirl").value
    assert max(told, DIES_OUT) == pytest.approx(point.at("growth"), abs=0.02)


def test_what_cannot_be_asked_is_refused_with_what_can(point: Point) -> None:
    with pytest.raises(InputError, match="must be one of speed, feed"):
        explain(point, "colour")
    assert len(explain_all(point)) == len(NAMES)
