"""What goes before the reamer: spot, drill and chamfer, at speeds that the material stands."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from holewright.callout.notation import read_callout
from holewright.cutting.start_values import drill_start
from holewright.planning.make_plan import study
from holewright.planning.prepare import Prepared, prepared_holes
from holewright.planning.task import Task
from holewright.shop.coolant import Coolant, Fluid
from holewright.shop.drill import Drill, DrillKind
from holewright.shop.generic import generic_shop
from holewright.shop.machine import Machine
from holewright.shop.materials import find_material
from holewright.shop.typical import typical_drill
from holewright.uncertainty import Known, Tag

SHOP = generic_shop()
CENTRE, BENCH = SHOP.machines
FLOOD = Coolant(Fluid.SOLUBLE, concentration=8)
THROUGH = Coolant(Fluid.SOLUBLE, through=True, pressure=40, concentration=8)


def drill(diameter: float, kind: DrillKind = DrillKind.JOBBER_HSS) -> Drill:
    return typical_drill(f"{diameter} {kind}", kind, Known(diameter, Tag.MEASURED, "", 0.001))


def prepared(
    callout: str,
    material: str,
    tool: Drill,
    *,
    machine: Machine = CENTRE,
    coolant: Coolant = FLOOD,
    hardness: str | None = None,
) -> Prepared:
    task = Task(read_callout(callout), find_material(material, hardness), machine, coolant, 10)
    return prepared_holes(task, [tool], lead=1.0)[0]


def speed(n: float, diameter: float) -> float:
    return math.pi * diameter * n / 1000


@pytest.mark.parametrize("material", ["Ti-6Al-4V", "Inconel 718", "X5CrNi18-10", "42CrMo4"])
def test_spot_and_chamfer_in_a_tough_material_go_no_faster_than_its_drill(material: str) -> None:
    p = prepared("8 H7 x 16 through", material, drill(7.8))
    drilled = drill_start(find_material(material), DrillKind.JOBBER_HSS, 7.8).vc
    assert p.spot is not None
    assert speed(p.spot.n, p.spot.diameter) <= drilled * 1.001
    assert speed(p.chamfer.n, p.chamfer.diameter) <= drilled * 1.001


def test_in_free_cutting_brass_chamfer_and_spot_keep_to_a_cautious_speed() -> None:
    p = prepared("8 H7 x 16 through", "brass", drill(7.8))
    assert p.spot is not None
    assert speed(p.chamfer.n, p.chamfer.diameter) == pytest.approx(30)
    assert speed(p.spot.n, p.spot.diameter) == pytest.approx(20)


def test_hardened_steel_is_chamfered_with_carbide_at_the_slow_end() -> None:
    p = prepared("8 H7 x 16 through", "hardened steel", drill(7.8, DrillKind.CARBIDE))
    slow = drill_start(find_material("hardened steel"), DrillKind.CARBIDE, 8.6).vc_lo
    assert speed(p.chamfer.n, p.chamfer.diameter) == pytest.approx(min(30, slow))


def test_spot_and_chamfer_stay_within_the_spindle() -> None:
    p = prepared("1.5 H7 x 4 through", "brass", drill(1.4), machine=BENCH)
    assert p.spot is not None
    assert p.spot.n == BENCH.n_max
    assert p.chamfer.n == BENCH.n_max


def test_a_ninety_degree_tool_stands_half_its_diameter_deep() -> None:
    p = prepared("8 H7 x 16 through", "brass", drill(7.8))
    assert p.spot is not None
    assert p.spot.tip_depth == pytest.approx(p.spot.diameter / 2)
    assert p.chamfer.tip_depth == pytest.approx(p.chamfer.diameter / 2)
    assert p.chamfer.diameter == pytest.approx(8.6)


class TestDeepHole:
    """Trade chart for HSS without coolant through: at 5 diameters speed -30 %, feed -20 %."""

    def test_without_coolant_through_the_drill_it_goes_slower_and_says_so(self) -> None:
        tool = drill(7.8)
        p = prepared("8 H7 x 35.657 through", "C45", tool)
        usual = drill_start(find_material("C45"), DrillKind.JOBBER_HSS, 7.8)
        assert p.tip_depth == pytest.approx(5 * 7.8, abs=0.01)
        assert p.start.vc == pytest.approx(0.7 * usual.vc, rel=1e-3)
        assert p.start.f == pytest.approx(0.8 * usual.f, rel=1e-3)
        assert "5.0 diameters deep" in p.start.source

    def test_with_coolant_through_the_drill_it_does_not(self) -> None:
        tool = drill(7.8, DrillKind.CARBIDE)
        assert tool.coolant_through
        p = prepared("8 H7 x 36 through", "C45", tool, coolant=THROUGH)
        assert p.start == drill_start(find_material("C45"), DrillKind.CARBIDE, 7.8)


class TestCoreDrill:
    def test_it_takes_less_to_open_a_cast_hole_than_to_drill_from_the_solid(self) -> None:
        core = prepared("32 H6 x 28 through", "EN-GJL-250", drill(31.5, DrillKind.CORE))
        solid = prepared("32 H6 x 28 through", "EN-GJL-250", drill(31.5, DrillKind.STUB_HSS))
        assert core.torque == pytest.approx((1 - 0.7**2) * solid.torque, rel=0.2)
        assert core.thrust < 0.3 * solid.thrust

    def test_it_is_never_proposed_for_a_hole_that_is_not_cast(self) -> None:
        shop = replace(SHOP, drills=(drill(19.5, DrillKind.CORE),))
        task = Task(
            read_callout("20 H8 x 20 through"), find_material("EN-GJL-250"), CENTRE, THROUGH, 50
        )
        assert "no drill" in study(task, shop).plan.sentence
