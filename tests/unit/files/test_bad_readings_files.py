"""A file of readings with a mistake is refused: column, value, what would do, the row."""

from __future__ import annotations

from pathlib import Path

import pytest

from holewright.errors import AmbiguousError, InputError
from holewright.jobs.readingsfile import read_readings
from holewright.shop.generic import generic_shop
from holewright.shop.pin import BoreGauge, InstrumentKind, Sense
from holewright.shop.pins import pin_set
from holewright.shop.shop import Shop
from holewright.uncertainty import Known, Tag
from holewright.units import Unit

HEAD = "hole,gauge,result,size,unit,depth,part_temp,gauge_temp,note\n"
GOOD = "A1,8.00,goes,,,,,,\n"


@pytest.fixture(scope="module")
def shop() -> Shop:
    """A small tool room: metric plus pins, a minus pin of the same size, a bore gauge."""
    built_in = generic_shop()
    plus = pin_set("7.98", "8.03", "0.01", Unit.MM, Sense.PLUS, "ZZ", missing=["8.02"])
    (minus,) = pin_set("8.01", "8.01", "0.01", Unit.MM, Sense.MINUS, "ZZ")
    named = tuple(p if p.id != "8.01" else type(p)("8.01 plus", p.marked, p.sense) for p in plus)
    return Shop(
        "test bench",
        built_in.machines,
        built_in.holders,
        (),
        (),
        (*named, type(minus)("8.01 minus", minus.marked, minus.sense)),
        (BoreGauge("BG 1", InstrumentKind.THREE_POINT, Known(0.0015, Tag.STANDARD), 0.001),),
    )


CASES = [
    # a row, the column, the value, what would do
    ("A1,8.02,goes,,,,,,", "gauge", "8.02", "nearest pins are 8.00, 8.01"),
    ("A1,8.05,goes,,,,,,", "gauge", "8.05", "8.03"),
    ("A1,8.01,goes,,,,,,", "gauge", "8.01", "write one of 8.01 plus, 8.01 minus"),
    ("A1,BG 2,,8.004,mm,,,,", "gauge", "BG 2", "is not in the tool room"),
    ("A1,thick pin,goes,,,,,,", "gauge", "thick pin", "known are"),
    ("A1,.3150 in,goes,,,,,,", "gauge", ".3150 in", "nearest pins are"),
    ("A1,-8.00,goes,,,,,,", "gauge", "-8.00", "nearest pins are"),
    ("A1,,goes,,,,,,", "gauge", "not given", "8.01"),
    (",8.00,goes,,,,,,", "hole", "not given", "A1"),
    ("A1,8.00,,,,,,,", "result", "not given", "such as goes"),
    ("A1,8.00,maybe,,,,,,", "result", "maybe", "goes"),
    ("A1,8.00,tight,,,,,,", "result", "tight", "does not go"),
    ("A1,8.00,1,,,,,,", "result", "1", "no-go"),
    ("A1,8.00,OK,,,,,,", "result", "OK", "go, no-go, g, n"),
    ("A1,8.00,,8.004,mm,,,,", "size", "8.004", "is a pin: fill in result"),
    ("A1,8.00,goes,8.004,mm,,,,", "size", "8.004", "belongs to a bore gauge"),
    ("A1,BG 1,goes,,,,,,", "result", "goes", "gives a number: fill in size"),
    ("A1,BG 1,goes,8.004,mm,,,,", "result", "goes", "belongs to a pin"),
    ("A1,BG 1,,,mm,,,,", "size", "not given", "8.004 mm"),
    ("A1,BG 1,,8.004,,,,,", "size", "8.004", "mm or in"),
    ("A1,BG 1,,8.004,furlong,,,,", "unit", "furlong", "one of: mm, in"),
    ("A1,BG 1,,large,mm,,,,", "size", "large", "must be a number"),
    ("A1,BG 1,,-8.004,mm,,,,", "size", "-8.004", "from 0"),
    ("A1,BG 1,,0,mm,,,,", "size", "0", "more than 0"),
    ("A1,BG 1,,8.004 kg,mm,,,,", "size", "8.004 kg", "unknown unit"),
    ("A1,BG 1,,99999,mm,,,,", "size", "99999", "to 10000 mm"),
    ("A1,BG 1,,8.0.04,mm,,,,", "size", "8.0.04", "length"),
    ("A1,8.00,goes,,,deep,,,", "depth", "deep", "must be a number"),
    ("A1,8.00,goes,,,5,,,", "depth", "5", "mm or in"),
    ("A1,8.00,goes,,mm,0,,,", "depth", "0", "more than 0"),
    ("A1,8.00,goes,,,,hot,,", "part_temp", "hot", "22 C"),
    ("A1,8.00,goes,,,,220,,", "part_temp", "220", "-50 to 150"),
    ("A1,8.00,goes,,,,20 K,,", "part_temp", "20 K", "22 C or 95 F"),
    ("A1,8.00,goes,,,,,cold,", "gauge_temp", "cold", "22 C"),
    ("A1,8.00,goes,,,,,-273,", "gauge_temp", "-273", "-50 to 150"),
]


def refused(tmp_path: Path, shop: Shop, raw: str | bytes) -> InputError:
    path = tmp_path / "readings.csv"
    path.write_bytes(raw if isinstance(raw, bytes) else raw.encode())
    with pytest.raises(InputError) as caught:
        read_readings(path, shop)
    return caught.value


@pytest.mark.parametrize(("row", "column", "value", "would_do"), CASES, ids=[c[0] for c in CASES])
def test_a_bad_cell_is_named_by_row_and_column(tmp_path, shop, row, column, value, would_do):
    error = refused(tmp_path, shop, f"{HEAD}{GOOD}# a comment\n{row}\n")
    assert error.where is not None
    assert (error.where.line, error.where.column) == (4, column)
    assert error.field == column
    assert str(error.value) == value
    assert would_do in str(error)
    assert str(error).startswith(f"{tmp_path / 'readings.csv'}, line 4, column {column}: ")


def test_a_size_that_two_pins_share_is_asked_about(tmp_path, shop):
    error = refused(tmp_path, shop, f"{HEAD}A1,8.010,goes,,,,,,\n")
    assert isinstance(error, AmbiguousError)
    assert error.readings == ("8.01 plus", "8.01 minus")


HEADERS = [
    # a whole file, the field, the value, what would do
    ("", "readings", "readings.csv", "must not be empty"),
    ("\n\n", "readings", "readings.csv", "must not be empty"),
    ("# only a comment\n", "readings", "readings.csv", "must not be empty"),
    (HEAD, "readings", "readings.csv", "a row for each reading"),
    ("hole,gage,result\nA1,8.00,goes\n", "column", "gage", "did you mean gauge"),
    ("hole,gauge,results\nA1,8.00,goes\n", "column", "results", "did you mean result"),
    ("hole,gauge,gauge\nA1,8.00,8.00\n", "column", "gauge", "in the header once"),
    ("A1,8.00,goes\n", "column", "A1", "known are hole, gauge"),
    (",gauge,result\nA1,8.00,goes\n", "column", "blank", "must be one of hole"),
    ("hole,result\nA1,goes\n", "gauge", "not given", "8.01"),
]


@pytest.mark.parametrize(("text", "field", "value", "would_do"), HEADERS)
def test_a_file_without_the_right_header_is_refused(tmp_path, shop, text, field, value, would_do):
    error = refused(tmp_path, shop, text)
    assert error.field == field
    assert value in str(error.value)
    assert would_do in str(error)


def test_a_decimal_comma_between_commas_is_told_from_a_cell_too_many(tmp_path, shop):
    error = refused(tmp_path, shop, "hole,gauge,size\nA1,BG 1,8,004\n")
    assert error.where is not None
    assert error.where.line == 2
    assert "write a decimal point, or ; between the cells" in str(error)


def test_all_bad_rows_are_counted_and_the_first_one_is_told(tmp_path, shop):
    rows = "A1,8.00,goes,,,,,,\nA2,8.00,perhaps,,,,,,\nA3,8.00,g,,,,,,\nA4,9.99,n,,,,,,\n"
    error = refused(tmp_path, shop, f"{HEAD}{rows},8.00,n,,,,,,\nA6,8,0,0,0,0,0,0,0,0\n")
    assert error.where is not None
    assert error.where.line == 3
    assert "result = perhaps" in str(error)
    assert "(3 more rows can't be used either: line 5, 6, 7)" in str(error)


def test_one_more_bad_row_is_said_in_the_singular(tmp_path, shop):
    error = refused(tmp_path, shop, f"{HEAD}A1,8.00,?,,,,,,\nA1,8.00,?,,,,,,\n")
    assert "(1 more row can't be used either: line 3)" in str(error)


def test_a_great_many_bad_rows_are_counted_but_not_all_listed(tmp_path, shop):
    error = refused(tmp_path, shop, HEAD + "A1,8.00,?,,,,,,\n" * 50)
    assert "(49 more rows can't be used either: line 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, …)" in str(
        error
    )


def test_a_missing_file_is_said_to_be_missing(tmp_path, shop):
    with pytest.raises(InputError, match=r"readings = .*none\.csv: must be a file; there is none"):
        read_readings(tmp_path / "none.csv", shop)


def test_a_tool_room_without_pins_says_so(tmp_path, shop):
    empty = Shop("empty", shop.machines, shop.holders, (), (), ())
    assert "it lists no pins" in str(refused(tmp_path, empty, HEAD + GOOD))
