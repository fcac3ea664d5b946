"""Holes by ISO 286-1 against published values.

`iso286-check.csv`: textbook reprint (Narayana, Kannaiah, Reddy, Machine Drawing, Tables 15.1
to 15.3) with the standard's rules, most rows also compared with an independent package.
`iso286-course-tables.csv`: fundamental deviations to 500 mm as printed in course tables; for K
to ZA in the grades in which a Δ is added, they print the sum.
"""

from __future__ import annotations

import csv
from decimal import Decimal
from math import sqrt
from pathlib import Path

import pytest

from holewright.callout.callout import Limits
from holewright.callout.limits import (
    GRADES,
    LETTERS,
    grade_for,
    hole_deviations,
    hole_limits,
    it_width,
)
from holewright.errors import InputError
from holewright.reference.tables import table

DATA = Path(__file__).parents[1] / "data"
CHECKS = list(csv.DictReader((DATA / "iso286-check.csv").read_text("utf-8").splitlines()))
PRINTED = list(csv.DictReader((DATA / "iso286-course-tables.csv").read_text("utf-8").splitlines()))
WIDTHS = [row for row in CHECKS if row["kind"] == "IT"]
HOLES = [row for row in CHECKS if row["kind"] == "HOLE"]
BANDS = (3, 6, 10, 18, 30, 50, 80, 120, 180, 250, 315, 400, 500)


def name(row: dict[str, str]) -> str:
    return f"{row['size_mm']} {row['class']}"


@pytest.mark.parametrize("row", WIDTHS, ids=name)
def test_a_grade_has_the_printed_width(row):
    assert it_width(row["class"], Decimal(row["size_mm"])) == Decimal(row["it_um"])


@pytest.mark.parametrize("row", HOLES, ids=name)
def test_a_hole_has_the_printed_deviations(row):
    printed = Decimal(row["lower_um"]), Decimal(row["upper_um"])
    assert hole_deviations(float(row["size_mm"]), row["class"]) == printed


def test_one_check_row_corrects_the_package_it_was_compared_with():
    # K6 over 6 to 10 mm: the package has +2/-6, but the width must be IT6 = 9.
    (row,) = [row for row in HOLES if "WRONG" in row["source"]]
    assert (row["class"], row["size_mm"]) == ("K6", "10")
    assert hole_deviations(10, "K6") == (-7, 2)


@pytest.mark.parametrize("row", PRINTED, ids=name)
def test_a_fundamental_deviation_is_that_of_the_course_tables_up_to_500_mm(row):
    ei, es = hole_deviations(float(row["size_mm"]), row["class"])
    found = ei if row["limit"] == "EI" else es
    assert found == Decimal(row["deviation_um"])


@pytest.mark.parametrize(
    ("size", "hole", "upper"),
    [
        pytest.param(355, "A13", 2090, id="A13 over 315 to 355"),
        pytest.param(120, "E8", 126, id="E8 over 80 to 120"),
        pytest.param(30, "R10", -28, id="R10 over 18 to 30"),
    ],
)
def test_the_values_put_right_by_the_corrigendum_of_2006_to_part_2_come_out(size, hole, upper):
    # ISO 286-2:1988/Cor.1:2006, read. Its fourth entry is a shaft.
    assert hole_deviations(size, hole)[1] == upper


@pytest.mark.parametrize(
    ("size", "hole", "es"),
    [
        pytest.param(25, "K7", 6, id="K7 18-30: -2 + 8"),
        pytest.param(25, "S6", -31, id="S6 18-30: -35 + 4"),
        pytest.param(300, "M6", -9, id="M6 250-315: -9 and not -11"),
        pytest.param(300, "M5", -13, id="M5 250-315: as the rule gives"),
        pytest.param(250, "M6", -8, id="M6 180-250: as the rule gives"),
    ],
)
def test_the_examples_and_the_exception_in_the_footnotes_of_the_standard(size, hole, es):
    assert hole_deviations(size, hole)[1] == es


def test_it17_and_it18_are_ten_times_it12_and_it13():
    # ISO 286-1, rule for extending the grades: every fifth is ten times as wide.
    for nominal in BANDS:
        assert it_width(17, nominal) == 10 * it_width(12, nominal)
        assert it_width(18, nominal) == 10 * it_width(13, nominal)


@pytest.mark.parametrize(("middle", "neighbours"), [("CD", "CD"), ("EF", "EF"), ("FG", "FG")])
def test_cd_ef_and_fg_lie_at_the_geometric_mean_of_their_neighbours(middle, neighbours):
    # Their values over 10 to 50 mm are from memory, so the rule that made them must hold:
    # within 3 %, or 1 µm for the smallest.
    first, second = neighbours
    for nominal in (3, 6, 10, 14, 18, 24, 30, 40, 50):
        ei = float(hole_deviations(nominal, f"{middle}8")[0])
        mean = sqrt(
            float(hole_deviations(nominal, f"{first}8")[0])
            * float(hole_deviations(nominal, f"{second}8")[0])
        )
        assert ei == pytest.approx(mean, rel=0.03, abs=1.0)


def test_the_standard_defines_nothing_at_cd_over_50_mm():
    with pytest.raises(InputError, match="CD is defined over 0 to 50 mm"):
        hole_limits(60, "CD8")


def test_r_to_zc_and_a_to_c_change_with_their_finer_steps_of_diameter():
    assert hole_deviations(65, "R7")[1] != hole_deviations(66, "R7")[1]
    assert hole_deviations(40, "C11")[0] != hole_deviations(41, "C11")[0]
    assert hole_deviations(65, "N7") == hole_deviations(66, "N7")


def test_a_size_on_the_border_belongs_to_the_band_that_ends_there():
    assert it_width(7, 10) == 15
    assert it_width(7, Decimal("10.0001")) == 18


def test_limits_are_the_floats_a_person_would_type():
    assert hole_limits(10, "H7") == Limits(10.0, 10.015)
    assert hole_limits(30, "JS7") == Limits(29.9895, 30.0105)
    assert hole_limits(10.1, "D8") == Limits(10.15, 10.177)


def test_the_tables_hold_all_grades_and_letters():
    assert [row["grade"] for row in table("iso286_grades", ("grade",))] == list(GRADES)
    rows = {row["class"] for row in table("iso286_hole_deviations", ("class",))}
    assert rows == {*LETTERS, "J6", "J7", "J8"} - {"J", "JS"}


def test_the_grade_of_a_printed_width_is_that_grade():
    for nominal in BANDS:
        for number, grade in enumerate(GRADES, start=-1):
            width_mm = float(it_width(grade, nominal)) / 1000
            assert grade_for(width_mm, nominal) == pytest.approx(number, abs=1e-9)
