"""Thin walls in a chuck, and holes that are treated after reaming."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from holewright.callout.callout import Growth, Limits
from holewright.errors import NoAnswerError
from holewright.sizing.treatment import limits_before
from holewright.sizing.wall import clamp_deflection, clamp_force_allowed

BUSH = {"bore": 25.0, "wall": 2.5, "length": 30.0, "e_modulus": 100e3}


def test_a_ring_in_three_jaws_moves_in_by_the_handbook_factor() -> None:
    """0.0160 F R3/(E I) under each of three loads: ring formulas, from memory."""
    inward, _ = clamp_deflection(100.0, 3, **BUSH)
    radius, inertia = 13.75, 30 * 2.5**3 / 12
    assert inward / (100 * radius**3 / (100e3 * inertia)) == pytest.approx(0.0160, rel=0.01)


def test_a_ring_squeezed_by_two_jaws_closes_as_a_ring_between_plates() -> None:
    """Diameter under two opposite loads: 0.149 F R3/(E I), thin ring, any mechanics text."""
    inward, outward = clamp_deflection(100.0, 2, **BUSH)
    unit = 100 * 13.75**3 / (100e3 * 30 * 2.5**3 / 12)
    assert 2 * inward / unit == pytest.approx(0.149, rel=0.01)
    assert 2 * outward / unit == pytest.approx(0.137, rel=0.01)


def test_more_jaws_bend_less_and_more_force_bends_in_proportion() -> None:
    inward, _ = clamp_deflection(100.0, np.array([2, 3, 4, 6]), **BUSH)
    assert (np.diff(inward) < 0).all()
    assert clamp_deflection(200.0, 3, **BUSH)[1] == pytest.approx(
        2 * clamp_deflection(100.0, 3, **BUSH)[1]
    )


def test_the_force_allowed_costs_a_pin_just_that() -> None:
    force = clamp_force_allowed(0.002, 3, **BUSH)
    assert 2 * clamp_deflection(force, 3, **BUSH)[1] == pytest.approx(0.002)


@given(width=st.floats(0.01, 0.1), per_side=st.floats(-0.05, 0.05), share=st.floats(0.0, 0.9))
def test_what_is_inside_before_ends_inside_after(
    width: float, per_side: float, share: float
) -> None:
    after = Limits(8.0, 8.0 + width)
    growth = Growth(per_side, share * width / 4)
    before = limits_before(after, growth)
    for size in (before.lower, before.upper):
        for wall in (per_side - growth.doubt, per_side + growth.doubt):
            assert after.lower - 1e-9 <= size - 2 * wall <= after.upper + 1e-9


def test_where_nothing_is_sure_it_says_so() -> None:
    with pytest.raises(NoAnswerError, match="no size before"):
        limits_before(Limits(8.0, 8.02), Growth(0.02, 0.005))
