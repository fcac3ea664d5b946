"""Readings as they are written down at the machine."""

from __future__ import annotations

from pathlib import Path

import pytest

from holewright.jobs.readingsfile import read_readings
from holewright.jobs.shopfile import read_shop

EXAMPLES = Path(__file__).parents[3] / "examples" / "brakelund"


@pytest.fixture(scope="module")
def brakelund():
    return read_shop(EXAMPLES / "shop.toml")


def read(tmp_path: Path, brakelund, raw: str | bytes, **temperatures: float):
    path = tmp_path / "readings.csv"
    path.write_bytes(raw if isinstance(raw, bytes) else raw.encode())
    return read_readings(path, brakelund, **temperatures)


@pytest.mark.parametrize("word", ["goes", "go", "GO", "g", "Goes ", "yes"])
def test_a_pin_that_goes(tmp_path, brakelund, word):
    (reading,) = read(tmp_path, brakelund, f"hole,gauge,result\nA1,8.00,{word}\n")
    assert (reading.goes, reading.size) == (True, None)


@pytest.mark.parametrize(
    "word", ["does not go", "doesn't go", "no-go", "NO GO", "nogo", "n", "No", "does_not_go"]
)
def test_a_pin_that_does_not(tmp_path, brakelund, word):
    (reading,) = read(tmp_path, brakelund, f"hole,gauge,result\nA1,8.02,{word}\n")
    assert reading.goes is False


@pytest.mark.parametrize(
    ("written", "id"),
    [
        ("8.01", "8.01"),
        ("8.010", "8.01"),
        ("8.01 mm", "8.01"),
        (".3120", ".3120"),
        ("0.312", ".3120"),
        (".3120 in", ".3120"),
        ("8.004 x", "8.004 X"),
        ("8.004", "8.004 X"),
    ],
)
def test_a_pin_is_found_by_its_name_or_its_size(tmp_path, brakelund, written, id):
    (reading,) = read(tmp_path, brakelund, f"hole,gauge,result\nA1,{written},g\n")
    assert reading.gauge == id


def test_a_bore_gauge_gives_a_size_in_the_unit_of_its_row(tmp_path, brakelund):
    rows = "hole,gauge,size,unit\nA1,three-point 6-12,8.004,mm\nA2,THREE-POINT 6-12,.3151,in\n"
    first, second = read(tmp_path, brakelund, rows + "A3,three-point 6-12,8.006 mm,\n")[:2]
    assert (first.goes, first.size) == (None, 8.004)
    assert second.size == pytest.approx(0.3151 * 25.4)


@pytest.mark.parametrize(
    "raw",
    [
        "hole;gauge;size;unit;part_temp\nA1;three-point 6-12;8,004;mm;21,5\n",
        "hole;gauge;size;unit;part_temp\r\nA1;three-point 6-12;8,004;mm;21,5\r\n",
        'hole,gauge,size,unit,part_temp\nA1,three-point 6-12,"8,004",mm,"21,5"\n',
        "hole\tgauge\tsize\tunit\tpart_temp\nA1\tthree-point 6-12\t8.004\tmm\t70.7 F\n",
        "\ufeffhole,gauge,size,unit,part temp\nA1,three-point 6-12,8.004,mm,21.5 C\n",
        "# on 3 June\n\nhole,gauge,size,unit,part_temp\n#\nA1,three-point 6-12,8.004,mm,21.5",
    ],
)
def test_one_reading_in_any_dress(tmp_path, brakelund, raw):
    (reading,) = read(tmp_path, brakelund, raw)
    assert (reading.hole, reading.size) == ("A1", 8.004)
    assert reading.part_c == pytest.approx(21.5)


def test_a_row_knows_where_it_was_read(tmp_path, brakelund):
    text = "# one\nhole,gauge,result\n# two\nA1,8.00,g\n\nA2,8.00,g\n"
    lines = [r.where.line for r in read(tmp_path, brakelund, text) if r.where]
    assert lines == [4, 6]


def test_the_same_check_twice_is_two_readings(tmp_path, brakelund):
    readings = read(tmp_path, brakelund, "hole,gauge,result\nA1,8.00,g\nA1,8.00,g\n")
    assert len(readings) == 2
    assert readings[0].goes == readings[1].goes


def test_depth_note_and_temperatures_are_kept(tmp_path, brakelund):
    head = "hole,gauge,result,unit,depth,part_temp,gauge_temp,note\n"
    (reading,) = read(tmp_path, brakelund, head + "A1,8.00,g,mm,4,24 C,68 F,a little tight\n")
    assert (reading.depth, reading.part_c, reading.note) == (4.0, 24.0, "a little tight")
    assert reading.gauge_c == pytest.approx(20.0)


def test_a_temperature_left_out_is_that_of_the_job(tmp_path, brakelund):
    text = "hole,gauge,result,part_temp\nA1,8.00,g,\nA2,8.00,g,25\n"
    readings = read(tmp_path, brakelund, text, part_c=22.0, gauge_c=21.0)
    assert [(r.part_c, r.gauge_c) for r in readings] == [(22.0, 21.0), (25.0, 21.0)]
