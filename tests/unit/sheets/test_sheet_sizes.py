"""How sheets write sizes. Conversions by hand: 1 in is 25.4 mm exactly."""

from __future__ import annotations

import math

import pytest

from holewright.sheets.sizes import (
    length_pair,
    limit_pair,
    limit_text,
    range_pair,
    size_pair,
    small_pair,
    tool_diameter,
)
from holewright.units import Unit


@pytest.mark.parametrize(
    ("mm", "unit", "lower", "text"),
    [
        pytest.param(8.0, Unit.MM, True, "8.000 mm", id="as the print writes it"),
        pytest.param(8.0, Unit.INCH, True, ".31497 in", id="8/25.4 = .314961: lower goes up"),
        pytest.param(8.015, Unit.INCH, False, ".31555 in", id="8.015/25.4 = .315551: upper down"),
        pytest.param(7.9375, Unit.INCH, True, ".3125 in", id="exact stays exact"),
        pytest.param(7.9375, Unit.MM, True, "7.9375 mm", id="exact in four places"),
        pytest.param(12.70635, Unit.MM, True, "12.7064 mm", id="lower, half a place: up"),
        pytest.param(12.70635, Unit.MM, False, "12.7063 mm", id="upper, half a place: down"),
    ],
)
def test_a_limit_is_never_rounded_out_of_its_zone(mm, unit, lower, text):
    assert limit_text(mm, unit, lower=lower) == text


def test_the_unit_of_the_print_comes_first():
    assert limit_pair(8.0, Unit.MM, lower=True) == "8.000 mm (.31497 in)"
    assert limit_pair(7.9375, Unit.INCH, lower=True) == ".3125 in (7.9375 mm)"
    assert size_pair(8.00976, Unit.MM) == "8.0098 mm (.31534 in)"


def test_a_tenth_is_always_spelt_out_since_metric_shops_call_a_tenth_of_a_mm_so():
    # 15 µm / 25.4 = .000591 in; .0005 in * 25.4 = 12.7 µm
    assert small_pair(0.015, Unit.MM) == "15 µm (.00059 in, 5.9 tenths)"
    assert small_pair(0.0127, Unit.INCH) == ".00050 in, 5.0 tenths (12.7 µm)"


def test_a_range_with_one_end_says_so_in_words():
    assert range_pair(8.01, math.inf, Unit.MM) == "above 8.0100 mm (above .31535 in)"
    assert range_pair(-math.inf, 8.0, Unit.MM) == "below 8.0000 mm (below .31496 in)"
    assert range_pair(-math.inf, math.inf, Unit.MM) == "not bounded"
    assert range_pair(8.0, 8.0, Unit.MM) == "8.0000 mm (.31496 in)"


def test_depths_drop_the_noughts_that_say_nothing_and_keep_those_of_inches():
    assert length_pair(22.5, Unit.MM) == "22.5 mm (.8858 in)"
    assert length_pair(17.78, Unit.INCH) == ".700 in (17.78 mm)"


def test_a_drill_is_not_written_finer_than_it_cuts():
    assert tool_diameter(7.7135, Unit.MM) == "7.71 mm"
    assert tool_diameter(7.7135, Unit.INCH) == ".304 in"
