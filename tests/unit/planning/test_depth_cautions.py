"""What a route's depths ask somebody to look at before it runs."""

from __future__ import annotations

import re

import pytest

from holewright.callout.notation import read_callout
from holewright.planning.make_plan import study
from holewright.planning.plan import Plan
from holewright.planning.task import Task
from holewright.shop.generic import generic_shop
from holewright.shop.materials import find_material

SHOP = generic_shop()


def plan_of(callout: str) -> Plan:
    machine = SHOP.machines[0]
    task = Task(
        read_callout(callout), find_material("C45"), machine, machine.coolants[0], holes=500
    )
    return study(task, SHOP).plan


def test_in_a_through_hole_it_is_said_how_far_tools_come_out_below() -> None:
    plan = plan_of("8 H7 x 20 through")
    assert plan.route is not None
    deepest = max(o.tip_depth for o in plan.route.operations)
    line = next(line for line in plan.cautions if "below the part" in line)
    said = re.search(r"as far as ([\d.]+) mm", line)
    assert said is not None
    assert float(said[1]) == pytest.approx(deepest - 20, abs=0.006)
    assert "fixture" in line


def test_in_a_blind_hole_nothing_comes_out() -> None:
    assert not any("below the part" in line for line in plan_of("8 H7 x 16 blind").cautions)


def test_a_depth_that_was_taken_is_to_be_set_right() -> None:
    line = next(line for line in plan_of("8 H7 through").cautions if "no depth" in line)
    assert "16.00 mm is planned" in line
    assert not any("no depth" in line for line in plan_of("8 H7 x 16 through").cautions)
