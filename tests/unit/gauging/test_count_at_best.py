"""What the same checks could decide at most, were the gauges calibrated."""

from __future__ import annotations

import pytest

from holewright.callout.callout import Limits
from holewright.gauging.count_holes import count_at_best, count_holes
from holewright.gauging.reading import Reading
from holewright.gauging.reading_interval import hole_sizes
from holewright.shop.pin import Pin, Sense
from holewright.shop.shop import Shop

H7 = Limits(8.0, 8.015)


def counts(*checks, sense=Sense.PLUS):
    pins = tuple(Pin(name, float(name), sense, "ZZ") for name, _ in checks)  # ZZ: 5.08 µm
    readings = [Reading("1", name, goes=goes) for name, goes in checks]
    holes, _ = hole_sizes(readings, Shop("b", (), (), (), (), pins), material_alpha=1e-5)
    return count_holes(holes, H7), count_at_best(holes, H7)


def test_a_no_go_that_may_be_over_the_limit_could_prove_it_once_calibrated():
    sure, best = counts(("8.000", True), ("8.012", False))
    assert (sure.unsure, best.good) == (1, 1)


def test_pins_that_overlap_could_close_on_a_good_size():
    """8.010 to 8.0151 goes, 8.012 to 8.0171 does not: calibrated they may bracket 8.0125."""
    sure, best = counts(("8.010", True), ("8.012", False))
    assert (sure.unsure, best.good) == (1, 1)


def test_no_calibration_decides_a_hole_that_was_bracketed_too_widely():
    _, best = counts(("7.990", True), ("8.010", False))
    assert best.unsure == 1


@pytest.mark.parametrize("checks", [(("8.020", True),), (("7.990", False),)])
def test_a_hole_shown_outside_stays_so(checks):
    sure, best = counts(*checks)
    assert (sure.bad, best.bad) == (1, 1)
