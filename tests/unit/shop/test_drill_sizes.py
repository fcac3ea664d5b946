"""Standard drills against the list of sizes, and facts that hold for any true list.

Check values: ``drill-sizes.csv`` (BS 328 rule; published charts; memory, see its source column).
"""

from __future__ import annotations

import csv
from collections import Counter
from fractions import Fraction
from pathlib import Path

import pytest

from holewright.errors import InputError
from holewright.shop.drill_sizes import standard_drills

DATA = Path(__file__).parents[2] / "data"
LIST = list(csv.DictReader((DATA / "drill-sizes.csv").read_text("utf-8").splitlines()))
ALL = standard_drills(0, 100)


def test_all_of_the_list_is_there():
    printed = {(row["series"], row["designation"]): float(row["mm"]) for row in LIST}
    found = {(drill.series, drill.designation): drill.diameter for drill in ALL}
    assert found == pytest.approx(printed, abs=6e-5)  # the list prints four decimals


def test_how_many_there_are():
    counts = Counter(drill.series for drill in ALL)
    assert counts == {"number": 97, "letter": 26, "fraction": 96, "metric": 227}


def test_each_series_only_ever_grows():
    for series in ("fraction", "metric"):
        sizes = [drill.diameter for drill in standard_drills(0, 100, [series])]
        assert sizes == sorted(set(sizes))
    letters = standard_drills(0, 100, ["letter"])
    assert "".join(drill.designation for drill in letters) == "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
    numbers = standard_drills(0, 100, ["number"])
    assert [drill.designation for drill in numbers] == [f"#{i}" for i in range(97, 0, -1)]


def test_fractions_are_exact():
    for drill in standard_drills(0, 100, ["fraction"]):
        whole, _, part = drill.designation.rpartition("-")
        inch = Fraction(part) + (int(whole) if whole else 0)
        assert drill.diameter == pytest.approx(float(inch * Fraction(254, 10)), abs=1e-12)


def test_letter_e_is_a_quarter_inch_and_number_1_is_below_letter_a():
    size = {drill.designation: drill.diameter for drill in ALL}
    assert size["E"] == size["1/4"] == 6.35
    assert size["#1"] < size["A"]


def test_both_ends_count_and_the_smallest_comes_first():
    found = standard_drills(7.8, 7.9375)
    assert [drill.designation for drill in found] == ["7.8 mm", "7.9 mm", "5/16"]
    assert standard_drills(7.81, 7.82) == ()


def test_an_unknown_series_is_refused():
    with pytest.raises(InputError, match="number, letter, fraction, metric"):
        standard_drills(1, 2, ["roman"])
