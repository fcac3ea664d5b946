"""Classes of ISO 286: what is asked and what is refused. Values: tests/validation."""

from __future__ import annotations

from decimal import Decimal

import pytest

from holewright.callout.callout import Limits
from holewright.callout.limits import (
    grade_for,
    hole_deviations,
    hole_limits,
    it_width,
    read_class,
)
from holewright.errors import AmbiguousError, InputError, OutOfRangeError


def test_half_micrometres_stay_exact():
    assert hole_deviations(10, "JS7") == (Decimal("-7.5"), Decimal("7.5"))
    assert hole_deviations(400, "JS1") == (Decimal("-3.5"), Decimal("3.5"))
    assert hole_deviations(30, "JS01") == (Decimal("-0.3"), Decimal("0.3"))


def test_a_class_is_read_with_a_space_and_with_the_older_js():
    assert read_class("H 7") == ("H", "7")
    assert read_class("Js7") == ("JS", "7")
    assert read_class("H01") == ("H", "01")


def test_a_small_letter_is_a_shaft_and_is_asked_about():
    with pytest.raises(AmbiguousError, match="class of a shaft") as asked:
        hole_limits(10, "h7")
    assert asked.value.readings == ("H7",)


@pytest.mark.parametrize("text", ["", "7", "H", "H19", "H-7", "7H", "L7", "HH7", "H7.5", "H 7 7"])
def test_no_class_is_refused_with_letters_and_grades(text):
    with pytest.raises(InputError, match=r"letters are A B C CD .* ZC, grades 01, 0 and 1 to 18"):
        hole_limits(10, text)


@pytest.mark.parametrize("nominal", [0, -1, 500.1, float("nan"), float("inf")])
def test_a_size_outside_the_tables_is_refused(nominal):
    with pytest.raises(OutOfRangeError, match="more than 0 and at most 500 mm"):
        hole_limits(nominal, "H7")
    with pytest.raises(OutOfRangeError, match="nominal"):
        grade_for(0.01, nominal)


def test_a_class_that_would_leave_no_hole_is_refused():
    # P over grade 7: ES = -6 µm to 3 mm, and IT18 is 1.4 mm.
    with pytest.raises(InputError, match="a lower limit must be above 0"):
        hole_limits(1.2, "P18")


def test_the_grade_of_a_width_runs_on_between_and_ends_at_the_ends():
    assert grade_for(0.0149, 10) < 7 < grade_for(0.0151, 10)
    assert grade_for(10.015 - 10.0, 10) == 7.0
    assert grade_for(1e-12, 10) == -1.0
    assert grade_for(100.0, 10) == 18.0


@pytest.mark.parametrize("width", [0.0, -0.01, float("nan"), float("inf")])
def test_a_width_that_is_none_has_no_grade(width):
    with pytest.raises(OutOfRangeError, match="tolerance width"):
        grade_for(width, 10)


def test_a_grade_is_named_as_a_number_or_as_on_paper():
    assert it_width(7, 10) == it_width("7", 10) == it_width("IT7", 10) == 15
    assert it_width("IT01", 10) == Decimal("0.4")
    with pytest.raises(OutOfRangeError, match="grade = 19: must be IT01, IT0 or IT1 to IT18"):
        it_width(19, 10)


def test_limits_of_an_inch_size_are_those_of_its_size_in_mm():
    assert hole_limits(9.525, "H7") == Limits(9.525, 9.54)
