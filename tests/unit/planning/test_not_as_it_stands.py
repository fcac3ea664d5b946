"""Where the answer is no: what comes nearest, what speaks against it, and what to do instead."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from holewright.callout.notation import read_callout
from holewright.planning.limits import Limit, broken_at, nearest_way, why_not
from holewright.planning.make_plan import study
from holewright.planning.plan import OperationKind, Plan, PlanVerdict
from holewright.planning.task import Task
from holewright.shop.generic import generic_shop
from holewright.shop.materials import find_material
from holewright.shop.shop import Shop

SHOP = generic_shop()
SHAPE = (2, 3)


def limit(code: str, value: list[list[float]], most: float) -> Limit:
    return Limit(code, np.array(value), np.array([[most]]), True, "mm", "{value} over {limit}", 1)


LENGTH = limit("length", [[12.0], [30.0]], 10.0)
WIDTH = limit("width", [[4.0, 6.0, 7.0]], 5.0)


def plan_of(
    callout: str,
    material: str,
    holes: int = 10,
    *,
    hardness: str | None = None,
    shop: Shop = SHOP,
    days: float | None = None,
) -> Plan:
    machine = shop.machines[0]
    task = Task(
        read_callout(callout),
        find_material(material, hardness),
        machine,
        machine.coolants[0],
        holes,
        lead_time_days=days,
    )
    return study(task, shop).plan


def drill_of(plan: Plan) -> float:
    assert plan.route is not None
    return next(o for o in plan.route.operations if o.kind is OperationKind.DRILL).diameter


class TestNearestWay:
    def test_it_breaks_the_fewest_limits_and_those_by_the_least(self) -> None:
        assert nearest_way((LENGTH, WIDTH), SHAPE) == (0, 0)
        assert [r.code for r in broken_at((LENGTH, WIDTH), SHAPE, (0, 0))] == ["length"]
        assert [r.code for r in broken_at((LENGTH, WIDTH), SHAPE, (1, 2))] == ["length", "width"]

    def test_a_tool_is_blamed_for_what_alone_rules_it_out(self) -> None:
        reasons = why_not((LENGTH, WIDTH), SHAPE, 1, ["a", "b", "c"])
        assert str(reasons[1]) == "b: 6.0 mm over 5.0 mm"
        assert str(reasons[2]) == "c: 7.0 mm over 5.0 mm"

    def test_a_tool_that_keeps_its_own_limits_is_not_blamed(self) -> None:
        assert 0 not in why_not((LENGTH, WIDTH), SHAPE, 1, ["a", "b", "c"])

    def test_value_and_limit_never_read_alike(self) -> None:
        close = limit("length", [[10.0004]], 10.0)
        assert str(close.reason((1, 1), (0, 0))) == "10.0004 mm over 10.0000 mm"


class TestSmallDeepAndLargeHoles:
    @pytest.mark.parametrize("callout", ["1.5 H7 x 5 through", "5 H7 x 55 through"])
    def test_a_hole_that_no_bar_reaches_is_never_to_be_bored(self, callout: str) -> None:
        plan = plan_of(callout, "42CrMo4")
        assert plan.verdict is PlanVerdict.DO_NOT_REAM
        assert "boring head" not in " ".join(plan.instead)
        assert not any("Bore it on" in line for line in plan.instead)

    def test_a_deep_hole_is_gun_drilled(self) -> None:
        assert "Gun-drill" in plan_of("5 H7 x 55 through", "42CrMo4").instead[0]

    def test_a_hole_larger_than_any_drill_is_bored_after_the_largest_that_reaches(self) -> None:
        plan = plan_of("30 H7 x 40 through", "C45", 100)
        assert plan.sentence.startswith("Bore it to size")
        assert drill_of(plan) > 20

    def test_without_a_drill_that_reaches_boring_is_still_named(self) -> None:
        assert "Bore it" in " ".join(plan_of("50 H7 x 60 through", "C45").instead)


class TestThreeHoles:
    def test_they_are_bored_after_a_plain_drill_near_the_size(self) -> None:
        plan = plan_of(".6250 +.0005/-0 x 1.0 through", "6061-T6", 3, days=4)
        assert plan.route is not None
        assert 0.8 * 15.875 <= drill_of(plan) <= 15.4
        assert dict(plan.route.cost_parts)["drill"] < 15

    def test_boring_costs_less_than_the_reamer_it_is_preferred_to(self) -> None:
        plan = plan_of(".3750 +.0006/-0 x 1.0 through", "4140", 3)
        assert plan.route is not None
        assert plan.route.cost_per_good_hole < plan.alternatives[0].cost_per_good_hole

    @pytest.mark.parametrize(("holes", "said"), [(1, "For 1 hole it"), (2, "For 2 holes it")])
    def test_one_hole_is_not_one_holes(self, holes: int, said: str) -> None:
        assert said in plan_of("10 H7 x 20 through", "C45", holes).sentence


def test_an_inch_page_says_inches() -> None:
    bored = plan_of(".6250 +.0005/-0 x 1.0 through", "6061-T6", 3)
    assert bored.route is not None
    steps = " ".join(o.text for o in bored.route.operations)
    assert "in/min" in steps
    assert "mm/min" not in steps
    honed = plan_of(".2500 +.0001/-0 x .5 through", "4140")
    assert ".0008 in to .0020 in of stock" in honed.instead[0]


def test_a_reamer_to_order_has_a_name_that_can_be_read() -> None:
    shop = replace(SHOP, reamers=())
    plan = plan_of("8 H7 x 16 through", "C45", 200, shop=shop)
    assert "reamer to order, 8.006 to 8.012 mm." in plan.sentence


def test_a_thrust_that_the_machine_lacks_is_drilled_in_two_steps() -> None:
    plan = plan_of("16 H7 x 30 through", "42CrMo4", 12, hardness="50 HRC")
    assert "Not as it stands" in plan.sentence
    assert "Against it: drilling pushes with" in plan.sentence
    assert "two steps" in plan.instead[0]


def test_nobody_is_told_to_ream_a_test_hole_where_nothing_is_reamed() -> None:
    plan = plan_of("10 H12 x 20 through", "S235JR", 100)
    assert not any("Ream a test hole" in line for line in plan.cautions)


class TestHardMaterial:
    def test_tools_that_no_table_knows_a_speed_for_are_refused_by_name(self) -> None:
        plan = plan_of("10 H7 x 20 through", "hardened steel", 5000)
        said = [r.text for r in plan.refused if r.code == "no-speed"]
        assert any(text.startswith("jobber HSS in hardened steel") for text in said)
        assert any(text.startswith("10 H7 HSS left: ") for text in said)
        assert plan.verdict is PlanVerdict.REAM
        assert plan.route is not None
        tools = [o.tool for o in plan.route.operations]
        assert not any("HSS" in tool for tool in tools)

    def test_a_hole_for_after_hardening_is_made_before_it(self) -> None:
        plan = plan_of("10 H7 x 20 through", "100Cr6", 50, hardness="62 HRC")
        assert "drill stops at about 650 HB" in plan.sentence
        assert "while the part is soft" in plan.instead[0]


@pytest.mark.parametrize(("material", "metal"), [("Ti-6Al-4V", "titanium"), ("AZ91", "magnesium")])
def test_swarf_that_burns_is_warned_of(material: str, metal: str) -> None:
    """Common practice of the trade: dry sand or class D, no water."""
    plan = plan_of("8 H7 x 16 through", material, 200)
    line = next(line for line in plan.cautions if metal in line)
    assert "never water" in line


def test_a_holder_that_does_not_take_the_shank_never_comes_nearest() -> None:
    plan = plan_of(".0625 +.0003/-0 x .2 through", "303", 100)
    assert "shank" not in plan.sentence
