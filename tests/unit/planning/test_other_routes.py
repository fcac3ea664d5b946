"""Routes without a reamer, and with two."""

from __future__ import annotations

from dataclasses import replace

import pytest

from holewright.callout.callout import Callout, Position
from holewright.callout.limits import hole_limits
from holewright.planning.make_plan import study
from holewright.planning.plan import OperationKind, Plan, PlanVerdict
from holewright.planning.task import Task
from holewright.shop.generic import generic_shop
from holewright.shop.materials import find_material
from holewright.units import Unit

SHOP = generic_shop()
MACHINE = SHOP.machines[0]


def planned(size: float, fit: str, depth: float, material: str = "16MnCr5", **more: object) -> Plan:
    callout = Callout(f"{size:g} {fit}", size, hole_limits(size, fit), Unit.MM, fit=fit)
    callout = replace(callout, depth=depth, **more)  # type: ignore[arg-type]
    task = Task(callout, find_material(material), MACHINE, MACHINE.coolants[0], 500)
    return study(task, SHOP).plan


def kinds(plan: Plan) -> list[OperationKind]:
    assert plan.route is not None
    return [o.kind for o in plan.route.operations]


def test_a_clearance_hole_needs_no_reamer() -> None:
    """10 H12 is 150 um wide (ISO 286-1): a carbide drill of IT8 to IT10 makes it."""
    plan = planned(10, "H12", 25)
    assert plan.verdict is PlanVerdict.DO_NOT_REAM
    assert plan.sentence.startswith("No reamer is needed")
    assert OperationKind.REAM not in kinds(plan)
    assert plan.forecast is not None
    assert plan.forecast.inside > 0.99


def test_a_dowel_hole_needs_one() -> None:
    assert OperationKind.REAM in kinds(planned(10, "H7", 25))


def test_a_bearing_seat_placed_within_two_hundredths_is_bored_to_size() -> None:
    plan = planned(32, "H6", 30, "EN-GJL-250", position=Position(0.02))
    assert plan.verdict is PlanVerdict.DO_NOT_REAM
    assert plan.sentence.startswith("Bore it to size")
    assert kinds(plan)[-2:] == [OperationKind.BORE, OperationKind.CHAMFER]
    assert plan.forecast is not None
    assert plan.forecast.mean == pytest.approx(plan.forecast.limits.middle)


def test_a_finish_that_one_reamer_does_not_leave_takes_two() -> None:
    """Ra 0.25 is finer than the Ra 0.4 of a multi-tooth reamer (process grades, from memory)."""
    plan = planned(10, "H7", 20, ra=0.25)
    assert plan.verdict is PlanVerdict.REAM_WITH_CONDITIONS
    assert kinds(plan).count(OperationKind.REAM) == 2


def test_a_finish_that_no_reamer_leaves_is_refused_by_name() -> None:
    plan = planned(10, "H7", 20, ra=0.05)
    assert plan.verdict is PlanVerdict.DO_NOT_REAM
    assert any(r.code == "finish" for r in plan.refused)


def test_a_hole_eleven_diameters_deep_is_refused() -> None:
    plan = planned(8, "H7", 90)
    assert any(r.code == "depth-over-diameter" for r in plan.refused)
    assert plan.verdict is PlanVerdict.DO_NOT_REAM
