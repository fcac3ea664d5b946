"""Pin classes against the table of ASME B89.1.5, and sets of pins.

Check values: ``plug-gage-classes.csv``, two agreeing charts of ASME B89.1.5.
"""

from __future__ import annotations

import csv
from decimal import Decimal
from pathlib import Path

import numpy as np
import pytest

from holewright.errors import InputError, OutOfRangeError
from holewright.shop.pin import Sense
from holewright.shop.pins import GRADES, class_tolerance, pin_set, read_grade
from holewright.units import Unit

DATA = Path(__file__).parents[2] / "data"
CHART = list(csv.DictReader((DATA / "plug-gage-classes.csv").read_text("utf-8").splitlines()))


@pytest.mark.parametrize("row", CHART, ids=lambda row: f"to {row['to_in']} in")
@pytest.mark.parametrize("grade", GRADES)
def test_every_cell_of_the_chart_in_both_units(row, grade):
    middle = (float(row["over_mm"]) + float(row["to_mm"])) / 2
    found = class_tolerance(grade, middle)
    assert found == pytest.approx(float(row[f"{grade}_in"]) * 25.4)
    assert found == pytest.approx(float(row[f"{grade}_mm"]), abs=5.1e-6)  # printed to 0.01 µm


def test_a_row_holds_up_to_and_including_its_bound():
    """.825 in is 20.955 mm: the first row still, the next tenth no longer."""
    assert class_tolerance("ZZ", 20.955) == pytest.approx(0.0002 * 25.4)
    assert class_tolerance("ZZ", 20.9551) == pytest.approx(0.00024 * 25.4)


def test_one_call_for_a_box_of_pins():
    assert class_tolerance("X", np.array([8.0, 25.0, 50.0])) == pytest.approx(
        np.array([0.00004, 0.00006, 0.00008]) * 25.4
    )


@pytest.mark.parametrize("mm", [0.254, 0.0, -8.0, 305.06, float("nan"), float("inf")])
def test_outside_the_table_no_class_is_defined(mm):
    with pytest.raises(OutOfRangeError, match="size of the pin"):
        class_tolerance("ZZ", mm)


@pytest.mark.parametrize("text", ["zz", " ZZ ", "class ZZ", "Class zz"])
def test_a_class_is_read_as_it_stands_on_the_box(text):
    assert read_grade(text) == "ZZ"


@pytest.mark.parametrize("text", ["", "ZZZ", "H7", "0"])
def test_there_is_no_other_class(text):
    with pytest.raises(InputError, match="XXX, XX, X, Y, Z, ZZ"):
        class_tolerance(text, 8.0)


def test_a_set_steps_in_exact_decimals():
    pins = pin_set("0.30", "10.00", "0.01", Unit.MM, Sense.PLUS, "ZZ")
    assert all(pin.marked == float(Decimal(pin.id)) for pin in pins)


def test_an_inch_set_is_exact_in_millimetres():
    pins = pin_set(".3115", ".3135", ".0005", Unit.INCH, Sense.MINUS, "ZZ")
    assert [pin.id for pin in pins] == [".3115", ".3120", ".3125", ".3130", ".3135"]
    assert [pin.marked for pin in pins] == [7.9121, 7.9248, 7.9375, 7.9502, 7.9629]


def test_missing_pins_are_not_in_the_set():
    pins = pin_set(
        "8.00", "8.04", "0.01", Unit.MM, Sense.PLUS, "X", missing=["8.01", Decimal("8.030")]
    )
    assert [pin.id for pin in pins] == ["8.00", "8.02", "8.04"]
    assert {pin.grade for pin in pins} == {"X"}


@pytest.mark.parametrize(
    ("first", "last", "step", "missing", "field"),
    [
        ("8.00", "8.05", "0.02", [], "last"),
        ("8.05", "8.00", "0.01", [], "first"),
        ("8.00", "8.05", "0", [], "step"),
        ("8.00", "8.05", "-0.01", [], "step"),
        ("0", "8.05", "0.01", [], "first"),
        ("1", "20", "0.0001", [], "step"),
        ("8.00", "8.05", "0.01", ["8.06"], "missing"),
        ("eight point", "8.05", "0.01", [], "first"),
        ("1e-999999", "8.05", "0.01", [], "first"),
        ("300", "310", "1", [], "size of the pin"),
    ],
)
def test_a_set_that_cannot_be(first, last, step, missing, field):
    with pytest.raises(InputError) as caught:
        pin_set(first, last, step, Unit.MM, Sense.PLUS, "ZZ", missing)
    assert caught.value.field == field
