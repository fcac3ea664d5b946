"""The built-in tool room: by geometry, nothing in the drawer, nothing measured."""

from __future__ import annotations

import pytest

from holewright.shop.drill import DrillKind
from holewright.shop.generic import generic_shop
from holewright.shop.holder import HolderKind
from holewright.shop.holders import typical_holder, typical_tir
from holewright.shop.reamer import CoolantExit, Helix, ReamerKind
from holewright.shop.typical import typical_drill, typical_reamer
from holewright.uncertainty import Known, Tag
from holewright.units import Unit

SHOP = generic_shop()


@pytest.mark.parametrize(
    "kind", ["machines", "holders", "drills", "reamers", "pins", "bore_gauges"]
)
def test_ids_are_unique_within_a_kind(kind):
    ids = [thing.id.lower() for thing in getattr(SHOP, kind)]
    assert len(ids) == len(set(ids)) > 0


def test_nothing_is_owned_and_nothing_is_measured():
    assert not any(tool.owned for tool in (*SHOP.drills, *SHOP.reamers))
    assert not any(tool.DC.is_measured for tool in (*SHOP.drills, *SHOP.reamers))
    assert not any(holder.tir.is_measured for holder in SHOP.holders)
    assert all(pin.calibrated is None for pin in SHOP.pins)


def test_the_two_machines_are_a_machining_centre_and_a_small_mill():
    centre, mill = SHOP.machines
    assert (centre.n_max, centre.coolants[0].through, centre.coolants[0].pressure) == (
        12000,
        True,
        40,
    )
    assert mill.spindle_tir.value > centre.spindle_tir.value
    assert not any(coolant.through for coolant in mill.coolants)


def test_tools_have_a_possible_shape():
    for drill in SHOP.drills:
        assert 0 < drill.LU < drill.OAL
        assert drill.price > 0
    for reamer in SHOP.reamers:
        assert 0 < reamer.LU < reamer.OAL
        assert reamer.DC.value > reamer.DMM
        assert reamer.ZEFP % 2 == 0
        assert reamer.lead < reamer.DC.value / 2


def test_chips_go_forward_in_a_through_hole_and_back_in_a_blind_one():
    exits = {(reamer.helix, reamer.coolant_exit) for reamer in SHOP.reamers}
    assert (Helix.LEFT, CoolantExit.SIDE) in exits
    assert (Helix.STRAIGHT, CoolantExit.FRONT) in exits
    assert (Helix.RIGHT, CoolantExit.SIDE) not in exits


@pytest.mark.parametrize("size", [6.0, 7.9375, 8.0, 12.0, 20.0])
def test_common_holes_find_a_reamer_and_drills_that_leave_stock(size):
    reamers = [r for r in SHOP.reamers if 0 < r.DC.value - size < 0.02]
    assert {r.kind for r in reamers} == {ReamerKind.HSS, ReamerKind.COATED_CARBIDE}
    for kind in (DrillKind.JOBBER_HSS, DrillKind.CARBIDE):
        assert any(0.1 <= size - d.DC.value <= 0.5 for d in SHOP.drills if d.kind is kind), (
            f"{kind} for {size}"
        )


@pytest.mark.parametrize(
    ("kind", "low_um", "high_um"),
    [
        (HolderKind.DRILL_CHUCK, 50, 130),
        (HolderKind.SIDE_LOCK, 10, 25),
        (HolderKind.COLLET, 5, 13),
        (HolderKind.MILLING_CHUCK, 5, 10),
        (HolderKind.HYDRAULIC, 2.5, 5),
    ],
)
def test_typical_runout_lies_within_what_trade_charts_print(kind, low_um, high_um):
    """Runout at three diameters, as printed; makers not recorded."""
    tir = typical_tir(kind)
    assert low_um < tir.value * 1000 < high_um
    assert tir.value + 3**0.5 * tir.u == pytest.approx(high_um / 1000)
    assert tir.tag is Tag.DEFAULT


def test_holders_stand_in_the_order_that_every_chart_has():
    order = [
        HolderKind.SHRINK,
        HolderKind.HYDRAULIC,
        HolderKind.MILLING_CHUCK,
        HolderKind.COLLET,
        HolderKind.SIDE_LOCK,
        HolderKind.DRILL_CHUCK,
    ]
    runouts = [typical_tir(kind).value for kind in order]
    assert runouts == sorted(runouts)


@pytest.mark.parametrize("kind", HolderKind)
def test_every_kind_of_holder_has_a_typical_one(kind):
    holder = typical_holder("x", kind)
    assert holder.DMM_min < holder.DMM_max
    assert holder.stiffness > 0


@pytest.mark.parametrize("kind", ReamerKind)
def test_a_larger_reamer_is_longer_and_dearer(kind):
    small, large = (typical_reamer("r", "", kind, Known(size, Tag.DEFAULT)) for size in (6.0, 16.0))
    assert small.LU < large.LU
    assert small.price < large.price
    assert small.ZEFP <= large.ZEFP


def test_lengths_remembered_of_the_standards():
    """DIN 338: 8 mm is 75 and 117 long; DIN 6537 long, 10 mm: 103; ISO 521, 8 mm: 117."""
    jobber = typical_drill("d", DrillKind.JOBBER_HSS, Known(8.0, Tag.DEFAULT))
    assert (jobber.LU, jobber.OAL) == (75, 117)
    assert typical_drill("d", DrillKind.CARBIDE, Known(10.0, Tag.DEFAULT)).OAL == 103
    assert typical_reamer("r", "8 H7", ReamerKind.HSS, Known(8.0, Tag.DEFAULT)).OAL == 117


def test_a_carbide_reamer_of_eight_millimetres_has_six_teeth():
    """Common practice, no source: high-performance reamers with six teeth."""
    reamer = typical_reamer("r", "8 H7", ReamerKind.COATED_CARBIDE, Known(8.009, Tag.DEFAULT))
    assert reamer.ZEFP == 6


@pytest.mark.parametrize(
    ("unit", "kept", "left"), [(Unit.MM, "5.8 mm", "#1"), (Unit.INCH, "#1", "5.8 mm")]
)
def test_a_print_in_one_system_is_offered_drills_and_reamers_of_it(unit, kept, left):
    shop = generic_shop(unit)
    drills = {d.id for d in shop.drills}
    assert f"{kept} jobber HSS" in drills
    assert f"{left} jobber HSS" not in drills
    assert {r.label.endswith("H7") for r in shop.reamers} == {unit is Unit.MM}
