"""What a drill leaves behind."""

from __future__ import annotations

import pytest

from holewright.callout.callout import Entry
from holewright.shop.drill import Drill, DrillKind
from holewright.sizing.drilled import drilled_hole
from holewright.uncertainty import Known, Tag


def drill(kind: DrillKind, mm: float) -> Drill:
    return Drill("d", kind, Known(mm, Tag.MEASURED, "micrometer"), 50, 90)


@pytest.mark.parametrize(
    ("inch", "most", "mean", "least"),
    [(0.125, 0.0045, 0.003, 0.001), (0.25, 0.0065, 0.004, 0.0025), (1.0, 0.009, 0.007, 0.004)],
)
def test_an_unspotted_jobber_drill_is_over_by_the_published_mean(
    inch: float, most: float, mean: float, least: float
) -> None:
    """Machinery's Handbook, Oversize Diameters in Drilling; numbers from memory."""
    hole = drilled_hole(drill(DrillKind.JOBBER_HSS, inch * 25.4), spotted=False)
    assert hole.mean - inch * 25.4 == pytest.approx(mean * 25.4)
    assert hole.sd == pytest.approx((most - least) * 25.4 / 4)


def test_a_spot_makes_the_hole_smaller_and_truer() -> None:
    free = drilled_hole(drill(DrillKind.JOBBER_HSS, 6.1), spotted=False)
    led = drilled_hole(drill(DrillKind.JOBBER_HSS, 6.1), spotted=True)
    assert led.mean < free.mean
    assert led.axis_hi < free.axis_lo


def test_a_carbide_drill_of_7_8_leaves_an_it9_hole() -> None:
    """Solid carbide reaches IT8 to IT10 (trade); IT9 of 6 to 10 mm is 36 um (ISO 286-1)."""
    hole = drilled_hole(drill(DrillKind.CARBIDE, 7.8), spotted=False)
    assert hole.mean == pytest.approx(7.8 + 0.018)
    assert hole.sd == pytest.approx(0.009)


def test_drills_rank_by_truth_as_the_trade_ranks_them() -> None:
    kinds = (DrillKind.JOBBER_HSS, DrillKind.CARBIDE, DrillKind.CARBIDE_FOUR_MARGIN)
    holes = [drilled_hole(drill(kind, 7.8), spotted=False) for kind in kinds]
    assert [h.axis_hi for h in holes] == sorted((h.axis_hi for h in holes), reverse=True)
    assert [h.rz for h in holes] == sorted((h.rz for h in holes), reverse=True)


def test_a_cored_or_sloped_face_throws_the_drill_off() -> None:
    flat, cored = (
        drilled_hole(drill(DrillKind.CARBIDE, 7.8), spotted=False, entry=entry)
        for entry in (Entry.FLAT, Entry.CORED)
    )
    assert cored.axis_hi > 2 * flat.axis_hi
