"""What a label allows, against the published make tolerances.

Check values: ``reamer-iso522-check.csv`` (DIN 1420, table for H7). Drills: DIN 1414 and
ANSI B94.11M, from memory.
"""

from __future__ import annotations

import csv
import math
from pathlib import Path

import pytest

from holewright.callout.limits import hole_limits
from holewright.errors import OutOfRangeError
from holewright.shop.drill import DrillKind
from holewright.shop.make_tolerance import drill_by_label, reamer_by_size, reamer_h7_by_label
from holewright.sizing.make_limits import reamer_make_limits
from holewright.units import Unit

DATA = Path(__file__).parents[2] / "data"
H7 = [
    row
    for row in csv.DictReader((DATA / "reamer-iso522-check.csv").read_text("utf-8").splitlines())
    if row["hole_class"] == "H7" and float(row["size_mm"]) <= 80
]


@pytest.mark.parametrize("row", H7, ids=lambda row: f"{row['size_mm']} H7")
def test_h7_reamers_are_made_as_the_published_table_says(row):
    found = reamer_h7_by_label(float(row["size_mm"]))
    low, high = float(row["reamer_min_mm"]), float(row["reamer_max_mm"])
    assert found.value == pytest.approx((low + high) / 2)
    assert found.u == pytest.approx((high - low) / math.sqrt(12))


@pytest.mark.parametrize("size", [1, 2.5, 3, 4, 6, 7, 8, 10, 12, 18, 20, 25, 30, 32, 50, 63, 80])
def test_the_table_and_the_rule_of_iso_522_agree(size):
    band = reamer_make_limits(hole_limits(size, "H7"))
    assert reamer_h7_by_label(size).value == pytest.approx(band.middle)
    assert reamer_h7_by_label(size).u == pytest.approx(band.width / math.sqrt(12))


def test_a_high_speed_steel_drill_is_h8_below_its_label():
    """DIN 1414, h8 over 6 to 10 mm: 0 to -22 µm."""
    found = drill_by_label(8.0, DrillKind.JOBBER_HSS, Unit.MM)
    assert found.value == pytest.approx(7.989)
    assert found.u == pytest.approx(0.022 / math.sqrt(12))


def test_an_inch_drill_follows_the_inch_table():
    """ANSI B94.11M, over 1/8 to 1/4 in: +0/-.0007 in."""
    found = drill_by_label(6.35, DrillKind.JOBBER_HSS, Unit.INCH)
    assert found.value == pytest.approx((0.25 - 0.00035) * 25.4)


def test_a_carbide_drill_is_m7_above_its_label_in_either_unit():
    """Over 6 to 10 mm: +6 to +21 µm."""
    for unit in Unit:
        assert drill_by_label(8.0, DrillKind.CARBIDE, unit).value == pytest.approx(8.0135)


def test_all_printed_tolerances_of_inch_reamers_lie_within_two_uncertainties():
    """Restatements say +1/+4, +1/+5, +2/+6 and 0/+2 tenths for a 5/16 reamer."""
    found = reamer_by_size(7.9375, Unit.INCH)
    for tenths in (0, 1, 2, 4, 5, 6):
        size = (0.3125 + tenths * 1e-4) * 25.4
        assert abs(size - found.value) < 2 * found.u


@pytest.mark.parametrize("size", [0, -8, 81, float("nan")])
def test_outside_the_table_a_label_says_nothing(size):
    with pytest.raises(OutOfRangeError, match="diameter of the tool"):
        reamer_h7_by_label(size)
