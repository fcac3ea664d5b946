"""A file of readings that is written while holes are gauged."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from holewright.errors import InputError
from holewright.gauging.reading import Reading
from holewright.jobs.readings_log import TAKEN_BACK, TORN, ReadingsLog
from holewright.jobs.readingsfile import COLUMNS, read_readings
from holewright.shop.pin import BoreGauge, InstrumentKind, Pin, Sense
from holewright.shop.shop import Shop
from holewright.uncertainty import Known, Tag
from holewright.units import Unit

PINS = (Pin("8.00", 8.0, Sense.PLUS), Pin("8.01 plus", 8.01, Sense.PLUS))
BORE = BoreGauge("three-point", InstrumentKind.THREE_POINT, Known(0.0015, Tag.STANDARD), 0.001)
SHOP = Shop("bench", (), (), (), (), PINS, (BORE,))
GOES = Reading("1-1", "8.00", goes=True, part_c=21.0, gauge_c=20.5)
STOPS = Reading("1-1", "8.01 plus", goes=False, depth=12.0)
SIZE = Reading("1-2", "three-point", size=8.0073)


def bare(reading):
    """Return a reading without the place that it was read from."""
    from dataclasses import replace

    return replace(reading, where=None)


def held(log):
    return [bare(reading) for reading in log.readings()]


@pytest.fixture
def path(tmp_path):
    return tmp_path / "readings.csv"


def test_what_was_added_is_in_the_file_for_every_other_command(path):
    log = ReadingsLog(path, SHOP)
    assert log.readings() == ()
    for reading in (GOES, STOPS, SIZE):
        log.add(reading)
    assert held(log) == [GOES, STOPS, SIZE]
    assert [bare(r) for r in read_readings(path, SHOP)] == [GOES, STOPS, SIZE]


def test_it_goes_on_where_it_was_left(path):
    ReadingsLog(path, SHOP).add(GOES)
    again = ReadingsLog(path, SHOP)
    again.add(SIZE)
    assert held(again) == [GOES, SIZE]
    assert not again.mended


def test_inch_sizes_come_back_as_the_same_number(path):
    size = Reading("1", "three-point", size=7.943723580584719)
    ReadingsLog(path, SHOP, Unit.INCH).add(size)
    assert held(ReadingsLog(path, SHOP, Unit.INCH)) == [size]


def test_what_is_taken_back_stays_as_a_comment(path):
    log = ReadingsLog(path, SHOP)
    for reading in (GOES, STOPS):
        log.add(reading)
    assert bare(log.take_back()) == STOPS
    assert held(log) == [GOES]
    log.add(SIZE)
    assert bare(log.take_back()) == SIZE
    assert bare(log.take_back()) == GOES
    assert log.take_back() is None
    assert path.read_text("utf-8").count(TAKEN_BACK) == 3


def test_a_torn_line_is_set_aside_and_what_was_whole_is_kept(path):
    log = ReadingsLog(path, SHOP)
    log.add(GOES)
    whole = path.read_bytes()
    log.add(STOPS)
    torn = path.read_bytes()[: len(whole) + 9]  # power failed within the second line
    path.write_bytes(torn)
    again = ReadingsLog(path, SHOP)
    assert again.mended
    assert held(again) == [GOES]
    assert TORN in path.read_text("utf-8")
    again.add(SIZE)
    assert held(ReadingsLog(path, SHOP)) == [GOES, SIZE]


def test_a_last_line_without_an_end_that_a_person_wrote_is_kept(path):
    path.write_text("hole,gauge,result,size\n1-1,8.00,goes,")
    log = ReadingsLog(path, SHOP)
    log.add(Reading("1-2", "8.00", goes=False))
    assert [(r.hole, r.goes) for r in log.readings()] == [("1-1", True), ("1-2", False)]


def test_a_file_of_ones_own_keeps_its_columns_separator_and_comments(path):
    text = "# from the bench\nGauge;Hole;Result;part_temp;gauge_temp\n8.00;1-1;goes;21;20\n"
    path.write_text(text)
    log = ReadingsLog(path, SHOP)
    log.add(Reading("1-2", "8.01 plus", goes=False, part_c=21.0))
    assert path.read_text("utf-8") == text + "8.01 plus;1-2;does not go;21 C;20 C\n"
    with pytest.raises(InputError, match="column = size"):
        log.add(SIZE)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("hole,gauge\n", "column = result"),
        ("hole,gauge,result\n1,9.99,goes\n", "9.99"),
        ("hole,colour,result\n", "colour"),
    ],
)
def test_a_file_that_is_something_else_is_left_alone(path, text, said):
    path.write_text(text)
    with pytest.raises(InputError, match=said):
        ReadingsLog(path, SHOP)
    assert path.read_text("utf-8") == text


def test_a_name_that_a_spreadsheet_would_run_is_refused(path):
    with pytest.raises(InputError, match="must not begin with"):
        ReadingsLog(path, SHOP).add(Reading("=1+1", "8.00", goes=True))


def test_a_file_with_an_odd_encoding_takes_back_the_right_line(path):
    header = ",".join(COLUMNS)
    path.write_bytes(f"# Prüfling ø\n{header}\n1-1,8.00,goes,,,,,,Grat ü\n".encode("cp1252"))
    log = ReadingsLog(path, SHOP)
    assert log.take_back().hole == "1-1"
    assert log.readings() == ()


name = st.text(
    st.characters(blacklist_categories=("C", "Z"), blacklist_characters="#'"),
    min_size=1,
    max_size=8,
).filter(lambda text: text[0] not in "=+-@" and text.strip())


@given(
    st.lists(
        st.tuples(name, st.booleans(), st.floats(-10, 60).map(lambda t: round(t, 1))), max_size=8
    ),
    st.integers(0, 3),
)
def test_any_names_come_back_and_undo_takes_the_last_ones(tmp_path_factory, answers, undone):
    path = tmp_path_factory.mktemp("log") / "r.csv"
    log = ReadingsLog(path, SHOP)
    given_ = [Reading(hole, "8.00", goes=goes, part_c=c) for hole, goes, c in answers]
    for reading in given_:
        log.add(reading)
    for _ in range(undone):
        log.take_back()
    assert held(ReadingsLog(path, SHOP)) == given_[: max(0, len(given_) - undone)]
