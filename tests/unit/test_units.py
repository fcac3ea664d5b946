"""Units as a shop speaks them."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from holewright.errors import AmbiguousError, InputError
from holewright.units import (
    Unit,
    format_both,
    format_size,
    format_small,
    mm_from,
    read_length,
    read_number,
    read_quantity,
    read_roughness,
    read_temperature,
)


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("8 mm", 8.0),
        (".3125 in", 7.9375),
        ('1/4"', 6.35),
        ("1 1/4 in", 31.75),
        ("5 µm", 0.005),
        ("2 tenths", 0.00508),
        ("3 thou", 0.0762),
        ("0,25 mm", 0.25),
        ("half thou", 0.0127),
    ],
)
def test_a_length_is_read_as_it_is_written(text: str, mm: float) -> None:
    """One inch is 25.4 mm exactly (ISO 80000-3)."""
    assert read_length(text) == pytest.approx(mm, rel=1e-12)


def test_a_bare_number_is_never_guessed() -> None:
    with pytest.raises(AmbiguousError) as caught:
        read_length("8")
    assert caught.value.readings == ("8 mm", "8 in")


@pytest.mark.parametrize(
    "text", ["", "mm", "8 furlong", "1/0", "1/2 1e99999999", "nan", "inf", "1e400", "--3", "9" * 60]
)
def test_what_is_no_number_is_refused_at_once(text: str) -> None:
    with pytest.raises(InputError):
        read_length(text, Unit.MM)


@given(st.decimals("0.0001", "99.9999", places=4))
def test_an_inch_size_survives_the_way_in_and_out(size: Decimal) -> None:
    text = format_size(mm_from(size, Unit.INCH), Unit.INCH, places=4)
    assert read_number(text.removesuffix(" in")) == size


@given(st.floats(1e-5, 500, allow_nan=False))
def test_both_units_are_written_and_the_first_is_that_of_the_print(mm: float) -> None:
    assert format_both(mm, Unit.INCH).index("in") < format_both(mm, Unit.INCH).index("mm")


def test_sizes_keep_the_places_of_a_drawing() -> None:
    assert format_size(6.35, Unit.INCH) == ".2500 in"
    assert format_size(8.0, Unit.MM) == "8.000 mm"
    assert format_size(8.0155, Unit.MM) == "8.0155 mm"


def test_small_lengths_are_said_in_tenths_or_in_um() -> None:
    assert "2 tenths" in format_small(0.00508, Unit.INCH)
    assert "5 µm" in format_small(0.005, Unit.MM)
    assert format_small(0.0, Unit.MM) == "0 µm"


def test_other_quantities() -> None:
    assert read_quantity("500 sfm", "speed", "v_c") == pytest.approx(152.4)
    assert read_quantity("1/2 hp", "power", "power") == pytest.approx(372.85, abs=0.01)
    assert read_quantity("1000 psi", "pressure", "pressure") == pytest.approx(68.95, abs=0.01)
    assert read_temperature("95 F") == pytest.approx(35.0)
    assert read_temperature("20") == 20.0
    with pytest.raises(InputError, match="m/min or sfm"):
        read_quantity("500", "speed", "v_c")


def test_a_finish_without_unit_is_asked_about_where_it_could_be_either() -> None:
    assert read_roughness("Ra 0.8") == 0.8
    assert read_roughness("32 Ra µin") == pytest.approx(0.8128)
    with pytest.raises(AmbiguousError, match="µm or µin"):
        read_roughness("32")
