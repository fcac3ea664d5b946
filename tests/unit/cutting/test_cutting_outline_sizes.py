"""What gauges say of a lobed outline.

Detectability by number of lobes n of amplitude A, own table: two-point size ranges over 4 A for
even n and not at all for odd; three points at 120 degrees over 4 A for multiples of 3 and not at
all otherwise; a pin feels the mean less 2 A in dense lobes; roundness is 2 A.
"""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from holewright.cutting.outline_sizes import harmonics, outline_sizes
from holewright.errors import OutOfRangeError

ANGLE = 2 * np.pi * np.arange(720) / 720
A = 0.010


@pytest.mark.parametrize("lobes", [3, 4, 5, 6, 7, 9, 12, 13])
def test_what_each_gauge_sees_of_lobes(lobes: int) -> None:
    sizes = outline_sizes(0.004 + A * np.cos(lobes * ANGLE + 0.3))
    two, three = (hi - lo for lo, hi in (sizes.two_point, sizes.three_point))
    assert two == pytest.approx(0.0 if lobes % 2 else 4 * A, abs=2e-5)
    assert three == pytest.approx(0.0 if lobes % 3 else 4 * A, abs=2e-5)
    assert sizes.mean == pytest.approx(0.008)
    assert sizes.pin == pytest.approx(0.008 - 2 * A, abs=2e-5)
    assert sizes.circumscribed == pytest.approx(0.008 + 2 * A, abs=2e-5)
    assert sizes.roundness == pytest.approx(2 * A, abs=2e-5)


def test_seven_lobes_pass_two_point_and_three_point_and_stop_the_pin() -> None:
    """The trap: both gauges read the mean all around, and the pin is short by two amplitudes."""
    sizes = outline_sizes(A * np.cos(7 * ANGLE))
    assert sizes.two_point == pytest.approx((0, 0), abs=1e-9)
    assert sizes.three_point == pytest.approx((0, 0), abs=1e-9)
    assert sizes.pin == pytest.approx(-2 * A, abs=1e-4)


@given(st.floats(-0.05, 0.05), st.floats(-0.05, 0.05))
def test_a_hole_that_lies_off_is_as_large_and_as_round_as_one_that_does_not(
    x: float, y: float
) -> None:
    off = A * np.cos(5 * ANGLE) + x * np.cos(ANGLE) + y * np.sin(ANGLE)
    sizes, true = outline_sizes(off), outline_sizes(A * np.cos(5 * ANGLE))
    assert sizes.pin == pytest.approx(true.pin, abs=1e-8)
    assert sizes.roundness == pytest.approx(true.roundness, abs=1e-8)
    assert sizes.three_point == pytest.approx(true.three_point, abs=1e-8)


@given(st.lists(st.floats(-0.02, 0.02), min_size=24, max_size=24))
def test_the_pin_is_never_larger_than_the_mean_nor_the_mean_than_what_surrounds(
    radii: list[float],
) -> None:
    sizes = outline_sizes(radii)
    assert sizes.pin <= sizes.mean + 1e-12 <= sizes.circumscribed + 2e-12
    assert sizes.pin <= sizes.two_point[0] + 1e-9


def test_harmonics_are_told_apart() -> None:
    found = harmonics(0.5 + 0.003 * np.cos(ANGLE) + A * np.cos(7 * ANGLE - 1), most=10)
    assert found == pytest.approx([0.5, 0.003, 0, 0, 0, 0, 0, A, 0, 0, 0], abs=1e-12)


@pytest.mark.parametrize("outline", [np.zeros(20), np.zeros(100), np.full(24, np.nan)])
def test_an_outline_that_cannot_be_gauged_is_refused(outline: np.ndarray) -> None:
    with pytest.raises(OutOfRangeError, match="outline"):
        outline_sizes(outline)
