"""Speeds, feeds and small lengths are said as the shop says them."""

from __future__ import annotations

import pytest

from holewright.units import Unit, format_feed, format_feed_speed, format_small, format_speed


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        (format_speed(150.0, Unit.MM), "150 m/min"),
        (format_speed(1500.0, Unit.INCH), "4921 sfm"),  # 1500 / 0.3048 = 4921.3
        (format_speed(15.24, Unit.INCH), "50 sfm"),
        (format_feed(0.6, Unit.MM), "0.6 mm/rev"),
        (format_feed(0.254, Unit.INCH), ".0100 in/rev"),
        (format_feed_speed(955.4, Unit.MM), "955 mm/min"),
        (format_feed_speed(254.0, Unit.INCH), "10.0 in/min"),
    ],
)
def test_speeds_and_feeds(said, expected):
    assert said == expected


@pytest.mark.parametrize(
    ("mm", "unit", "expected"),
    [
        (0.0153, Unit.MM, "15.3 µm"),
        (1.234, Unit.MM, "1234 µm"),
        (0.00127, Unit.INCH, "0.5 tenths (.00005 in)"),
        (0.00254, Unit.INCH, "1 tenth (.00010 in)"),
        (0.3, Unit.INCH, "118 tenths (.01181 in)"),  # 0.3 / 25.4 = 0.011811
    ],
)
def test_a_small_length_is_never_written_as_a_power_of_ten(mm, unit, expected):
    assert format_small(mm, unit) == expected
