"""Reamer make limits against DIN 1420's H7 table, its 10 D8 example, and rows computed by hand.

Rows whose status says "published" are printed values; the others follow the same rule and pin
the roundings.
"""

from __future__ import annotations

import csv
from decimal import Decimal
from pathlib import Path

import pytest

from holewright.callout.callout import Limits
from holewright.callout.limits import hole_limits
from holewright.sizing.make_limits import reamer_make_limits

DATA = Path(__file__).parents[1] / "data"
ROWS = list(csv.DictReader((DATA / "reamer-iso522-check.csv").read_text("utf-8").splitlines()))


def name(row: dict[str, str]) -> str:
    return f"{row['size_mm']} {row['hole_class']}"


@pytest.mark.parametrize("row", ROWS, ids=name)
def test_a_reamer_has_the_make_limits_of_the_table(row):
    size = Decimal(row["size_mm"])
    hole = Limits(
        float(size + Decimal(row["hole_lower_um"]) / 1000),
        float(size + Decimal(row["hole_upper_um"]) / 1000),
    )
    made = Limits(float(row["reamer_min_mm"]), float(row["reamer_max_mm"]))
    assert reamer_make_limits(hole) == made


@pytest.mark.parametrize(
    ("size", "reamer"),
    [
        (3, (3.004, 3.008)),
        (6, (6.005, 6.010)),
        (10, (10.006, 10.012)),
        (18, (18.008, 18.015)),
        (30, (30.009, 30.017)),
        (50, (50.012, 50.021)),
        (80, (80.014, 80.025)),
    ],
)
def test_the_published_h7_table_comes_out_of_the_hole_class_itself(size, reamer):
    # DIN 1420, H7 reamers in all seven bands to 80 mm, printed; limits of the hole by ISO 286-1.
    assert reamer_make_limits(hole_limits(size, "H7")) == Limits(*reamer)


def test_the_published_example_of_10_d8():
    # 10.062 - 0.004 = 10.058 and 10.058 - 0.008 = 10.050
    assert reamer_make_limits(hole_limits(10, "D8")) == Limits(10.050, 10.058)
