"""Surface: what the feed leaves, and what comes."""

from __future__ import annotations

import pytest

from holewright.cutting.roughness import (
    Process,
    boring_ra,
    corner_roughness,
    expected_ra,
    lead_roughness,
    process_quality,
    retract_lead,
)


def test_feed_marks_of_a_reamer_are_a_hundredth_of_what_comes() -> None:
    """f 0.6, 45°, back taper 1e-4: 0.06 µm by hand, 0.6 / (1 + 10000)."""
    marks = lead_roughness(0.6, 45.0, 1e-4)
    assert 1000 * marks == pytest.approx(0.06, abs=0.0005)
    assert expected_ra(Process.REAMING, marks) == pytest.approx((0.4, 1.6))


def test_a_bored_wall_by_hand() -> None:
    """f 0.1, r 0.4: peak 0.01 / 3.2 = 3.1 µm; Ra 0.01 / (18 x 1.732 x 0.4) = 0.80 µm."""
    assert corner_roughness(0.1, 0.4) == pytest.approx(0.003125)
    assert boring_ra(0.1, 0.4) == pytest.approx(0.80, abs=0.005)


def test_coarse_feed_marks_lift_the_expected_surface() -> None:
    lo, hi = expected_ra(Process.FINE_BORING, 0.010)
    assert (lo, hi) == pytest.approx((2.5, 2.5))


@pytest.mark.parametrize("process", list(Process))
def test_every_process_has_a_row_that_makes_sense(process: Process) -> None:
    quality = process_quality(process)
    assert 1 <= quality.it_lo <= quality.it_hi <= 18
    assert 0 < quality.ra_lo < quality.ra_hi
    assert (quality.axis_lo is None) == (quality.axis_hi is None)
    assert quality.source


def test_a_reamer_follows_the_hole_it_finds() -> None:
    assert process_quality(Process.REAMING).axis_hi is None


def test_the_lead_of_a_retract_mark_tells_its_cause() -> None:
    """Fed out at the feed of the way in: the feed itself; rapid: a thread; stopped: a line."""
    assert retract_lead(4777.0, 6580.0) == pytest.approx(0.726, abs=0.0005)
    assert retract_lead(2 * 4777.0, 6580.0) == pytest.approx(2 * 0.726, abs=0.001)
    assert retract_lead(20000.0, 0.0) == float("inf")
