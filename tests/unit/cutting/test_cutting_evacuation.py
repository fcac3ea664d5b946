"""Where the chips go."""

from __future__ import annotations

import numpy as np
import pytest

from holewright.callout.callout import HoleKind
from holewright.cutting.evacuation import (
    ChipForm,
    bulk_ratio,
    chip_way_out,
    chips_fit,
    curl_strain,
    flute_area,
    peck_depth,
    required_flute_area,
    slenderness,
)
from holewright.shop.drill import DrillKind
from holewright.shop.reamer import CoolantExit, Helix


def test_every_form_has_its_bulk_and_ribbons_take_most_room() -> None:
    ratios = [bulk_ratio(form) for form in ChipForm]
    assert all(1 < r.lo <= r.hi and r.source for r in ratios)
    assert [r.lo for r in ratios] == sorted((r.lo for r in ratios), reverse=True)


def test_reamer_chips_fit_only_when_they_break() -> None:
    area = flute_area(10.0, 0.7)
    assert area == pytest.approx(20.0, abs=0.1)
    assert chips_fit(area, 10.0, 9.8, bulk_ratio(ChipForm.BROKEN).hi) > 1
    assert chips_fit(area, 10.0, 9.8, bulk_ratio(ChipForm.LONG_HELICAL).lo) < 1


def test_flute_area_that_lets_the_chips_pass() -> None:
    """8.9 cm³/min at bulk 50 and 0.36 m/s: 20.6 mm², the case of cutting at 150 m/min."""
    assert required_flute_area(8910.0, 50.0, 0.36) == pytest.approx(20.6, abs=0.1)


def test_more_feed_makes_chips_that_break_and_are_less_flat() -> None:
    """Printed: strain 0.021 at h 0.014, 0.106 at 0.071; b/h 2, 10 and 85."""
    assert curl_strain([0.0141, 0.0707]) == pytest.approx([0.021, 0.106], abs=0.0005)
    ratio = slenderness([0.2, 0.2, 0.4], [0.1, 0.02, 0.02], [45.0, 45.0, 20.0])
    assert ratio == pytest.approx([2.0, 10.0, 85.5], abs=0.1)


@pytest.mark.parametrize(
    ("kind", "helix", "exit_", "code"),
    [
        (HoleKind.BLIND, Helix.LEFT, CoolantExit.NONE, "left-helix-in-blind-hole"),
        (HoleKind.BLIND, Helix.LEFT, CoolantExit.FRONT, "left-helix-in-blind-hole"),
        (HoleKind.BLIND, Helix.STRAIGHT, CoolantExit.SIDE, "side-coolant-in-blind-hole"),
        (HoleKind.BLIND, Helix.STRAIGHT, CoolantExit.FRONT, None),
        (HoleKind.BLIND, Helix.RIGHT, CoolantExit.NONE, None),
        (HoleKind.THROUGH, Helix.LEFT, CoolantExit.SIDE, None),
        (HoleKind.THROUGH, Helix.STRAIGHT, CoolantExit.NONE, None),
        (HoleKind.THROUGH, Helix.RIGHT, CoolantExit.SIDE, "right-helix-in-through-hole"),
        (HoleKind.THROUGH, Helix.LEFT, CoolantExit.FRONT, "front-coolant-in-through-hole"),
    ],
)
def test_the_way_out_for_chips(
    kind: HoleKind, helix: Helix, exit_: CoolantExit, code: str | None
) -> None:
    reason = chip_way_out(kind, helix, exit_)
    assert (reason.code if reason else None) == code


def test_pecks_start_where_the_drill_can_no_longer_clear_itself() -> None:
    depth = np.array([20.0, 30.0, 40.0, 70.0])
    assert peck_depth(depth, 10.0, DrillKind.JOBBER_HSS).tolist() == [0, 0, 10, 5]
    carbide = peck_depth(depth, 10.0, DrillKind.CARBIDE, coolant_through=True)
    assert carbide.tolist() == [0, 0, 0, 0]
    assert peck_depth(40.0, 10.0, DrillKind.CARBIDE) == 10.0
