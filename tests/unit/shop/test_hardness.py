"""Hardness conversion against the chart and points of the standards.

Check values: ``hardness-conversion.csv`` (a steel chart read here; it agrees with ASTM E140).
ISO 18265, Table A.1, and ASTM E140 above 58 HRC: from memory.
"""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import pytest

from holewright.errors import AmbiguousError, InputError, OutOfRangeError
from holewright.shop.hardness import Hardness, brinell_from, read_hardness, split_hardness

DATA = Path(__file__).parents[2] / "data"
CHART = list(csv.DictReader((DATA / "hardness-conversion.csv").read_text("utf-8").splitlines()))


@pytest.mark.parametrize("row", CHART, ids=lambda row: f"{row['HRC']} HRC")
def test_every_row_of_the_chart(row):
    hb = float(row["HB_3000kg"])
    assert brinell_from("HRC", float(row["HRC"])) == pytest.approx(hb)
    assert brinell_from("HV", float(row["HV"])) == pytest.approx(hb)
    assert brinell_from("MPa", float(row["UTS_MPa"])) == pytest.approx(hb)


@pytest.mark.parametrize(("mpa", "hb"), [(255, 76), (510, 152), (640, 190)])
def test_soft_steel_by_strength(mpa, hb):
    assert brinell_from("MPa", mpa) == hb


def test_the_soft_rows_join_the_chart_without_a_step():
    """Strength over HB is 3.36 at 20 HRC in the chart, and 3.35 to 3.38 in the rows below."""
    mpa = np.linspace(255, 1000, 60)
    ratio = mpa / brinell_from("MPa", mpa)
    assert ratio.min() > 3.25
    assert ratio.max() < 3.45


def test_one_call_converts_an_array():
    assert brinell_from("HRC", [[30, 40], [50, 58]]).tolist() == [[286, 371], [481, 615]]


@pytest.mark.parametrize(
    ("scale", "value"), [("HRC", 19.9), ("HRC", 66), ("MPa", 200), ("MPa", 2400), ("HV", np.nan)]
)
def test_outside_its_rows_the_table_says_nothing(scale, value):
    with pytest.raises(OutOfRangeError, match="the rows of the conversion table"):
        brinell_from(scale, value)


@pytest.mark.parametrize(
    ("text", "scale", "low", "high"),
    [
        ("30 HRC", "HRC", 30, 30),
        ("HRC 30", "HRC", 30, 30),
        ("28-32 HRC", "HRC", 28, 32),
        ("28 – 32 HRc", "HRC", 28, 32),
        ("28 to 32 hrc", "HRC", 28, 32),
        ("170HB", "HB", 170, 170),
        ("about 170 HBW", "HB", 170, 170),
        ("300 HV", "HV", 300, 300),
        ("600 MPa", "MPa", 600, 600),
        ("Rm = 600 N/mm²", "MPa", 600, 600),
        ("30,5 HRC", "HRC", 30.5, 30.5),
    ],
)
def test_hardness_as_people_write_it(text, scale, low, high):
    assert read_hardness(text) == Hardness(scale, low, high)


@pytest.mark.parametrize(
    "text", ["", "hard", "30 HRZ", "HRC", "32-28 HRC", "0 HRC", "5 HB", "HB 3 HB"]
)
def test_what_is_no_hardness(text):
    with pytest.raises(InputError, match="hardness"):
        read_hardness(text)


def test_a_number_alone_is_asked_about():
    with pytest.raises(AmbiguousError, match="HRC, HB, HV or MPa"):
        read_hardness("200")


@pytest.mark.parametrize(
    ("text", "rest", "hardness"),
    [
        ("4140 PH 28-32 HRC", "4140 PH", "28-32 HRC"),
        ("45 HRC hardened", "hardened", "45 HRC"),
        ("C45, 200 HB", "C45", "200 HB"),
        ("4140", "4140", None),
    ],
)
def test_a_hardness_is_split_from_a_name(text, rest, hardness):
    assert split_hardness(text) == (rest, hardness)
