"""A job file with one mistake is refused: the field, the value, what would do, the line."""

from __future__ import annotations

from pathlib import Path

import pytest

from holewright.errors import AmbiguousError, InputError
from holewright.jobs.jobfile import read_job

GOOD = """\
[job]
name = "Carriage plate"
parts = 480
yearly = true
units = "mm"
program_units = "mm"
invented = true

[hole]
callout = "8 H7 x 22 through"
standard = "ISO 8015"
finish = "Ra 0.8"
position = "0.10"
cylindricity = 0.005
wall = 6
cross_bores = ["5 at 12"]
entry = "flat"

[material]
name = "16MnCr5"
hardness = "170 HB"

[pattern]
rectangle = "60 x 44"

[shop]
machine = "vertical machining centre"
coolant = "soluble 8 %, through, 40 bar"
part_temperature = "21 C"
lead_time_days = 4

[demands]
inside = "99 %"
confidence = 0.95
ppk = 1.33
"""

CALLOUT = 'callout = "8 H7 x 22 through"'
RECTANGLE = 'rectangle = "60 x 44"'

CASES = [
    # what stands there, what is written instead, field, value, what would do
    ("parts = 480", "parts = 0", "parts", "0", "a whole number, 1 or more"),
    ("parts = 480", "parts = 4.5", "parts", "4.5", "a whole number"),
    ("parts = 480", 'parts = "many"', "parts", "many", "must be a number"),
    ("parts = 480", "parts = [480]", "parts", "[480]", "must be a number"),
    ("parts = 480", "part_count = 480", "key", "part_count", "did you mean"),
    ("yearly = true", 'yearly = "sometimes"', "yearly", "sometimes", "true or false"),
    ('units = "mm"', 'units = "cm"', "units", "cm", "one of: mm, in"),
    ('units = "mm"', 'unit = "mm"', "key", "unit", "did you mean units"),
    ('program_units = "mm"', "program_units = 21", "program_units", "21", "one of: mm, in"),
    ('name = "Carriage plate"', 'name = ""', "name", "", "must not be empty"),
    ('name = "Carriage plate"', "name = 2024-05-01", "name", "2024-05-01", "a text in quotes"),
    (CALLOUT, 'callout = "8 h7 x 22 through"', "callout", "8 h7", "H7"),
    (CALLOUT, 'callout = "8 H77 x 22"', "tolerance class", "H77", "grades"),
    (CALLOUT, 'callout = "eight"', "callout", "eight", "such as H7"),
    (CALLOUT, "callout = 8", "callout", "8", "limits"),
    (CALLOUT, 'call_out = "8 H7 x 22"', "key", "call_out", "did you mean callout"),
    ('standard = "ISO 8015"', 'standard = "JIS"', "standard", "JIS", "ISO 8015, ASME Y14.5"),
    ('finish = "Ra 0.8"', 'finish = "smooth"', "finish", "smooth", "roughness"),
    ('finish = "Ra 0.8"', "finish = 32", "finish", "32", "µm or µin"),
    ('finish = "Ra 0.8"', "finish = 0", "finish", "0", "over 0"),
    ('position = "0.10"', 'position = "close"', "position", "close", "must be a number"),
    ('position = "0.10"', 'position = "0.1 furlong"', "position", "0.1 furlong", "use mm"),
    ("cylindricity = 0.005", "cylindricity = 50", "cylindricity", "50", "less than the diameter"),
    ("wall = 6", "wall = -6", "wall", "-6", "from 0 to"),
    ("wall = 6", "wall = 0", "wall", "0", "more than 0"),
    ("wall = 6", "wall = true", "wall", "True", "must be a text"),
    ("wall = 6", 'floor = "24"', "floor", "24", "goes with a blind hole"),
    ('cross_bores = ["5 at 12"]', "cross_bores = [5]", "cross_bores", "5", "5 at 20"),
    ('cross_bores = ["5 at 12"]', 'cross_bores = ["5 at 40"]', "cross_bores", "5 at 40", "22.000"),
    ('cross_bores = ["5 at 12"]', "cross_bores = [{dia = 5}]", "key", "dia", "known are diameter"),
    ('entry = "flat"', 'entry = "wavy"', "entry", "wavy", "flat, sloped, rough, cored"),
    ('name = "16MnCr5"', 'name = "16MnCr55"', "material", "16MnCr55", "nearest are 16MnCr5"),
    ('name = "16MnCr5"', 'name = "unobtainium"', "material", "unobtainium", "known work material"),
    ('hardness = "170 HB"', "hardness = 170", "hardness", "170", "HRC, HB, HV or MPa"),
    ('hardness = "170 HB"', 'hardness = "12 HRC"', "hardness", "12 HRC", "state it in HB"),
    ('hardness = "170 HB"', 'hardness = "hard"', "hardness", "hard", "30 HRC"),
    (RECTANGLE, 'rectangle = "60 by 44"', "rectangle", "60 by 44", "60 x 44"),
    (RECTANGLE, 'rectangle = "60 x 0"', "rectangle", "60 x 0", "more than 0"),
    (RECTANGLE, 'rectangle = "60 x 4"', "rectangle", "60 x 4", "overlap"),
    (RECTANGLE, "rectangle = 60", "rectangle", "60", "60 x 44"),
    (RECTANGLE, "at = []", "at", "[]", "1 to 5000 holes"),
    (RECTANGLE, "at = [[0, 0], [60]]", "at", "[60]", "two numbers"),
    (RECTANGLE, 'at = [[0, "left"]]', "at", "left", "must be a number"),
    (RECTANGLE, "at = [[0, 0], [3, 4]]", "at", "[3, 4]", "holes 1 and 2 overlap"),
    (RECTANGLE, 'grid = "4 x 3"', "grid", "4 x 3", "4 x 3, 20 x 15"),
    (RECTANGLE, 'grid = "400 x 300, 20 x 15"', "grid", "400 x 300", "at most 5000"),
    (RECTANGLE, 'bolt_circle = "six on 50"', "bolt_circle", "six on 50", "6 on 50"),
    (RECTANGLE, "spiral = 3", "key", "spiral", "known are at, rectangle"),
    (
        'machine = "vertical machining centre"',
        'machine = "lathe"',
        "machine",
        "lathe",
        "benchtop mill",
    ),
    (
        'machine = "vertical machining centre"',
        'file = "nowhere.toml"',
        "shop file",
        "nowhere.toml",
        "there is none of that name",
    ),
    (
        'coolant = "soluble 8 %, through, 40 bar"',
        'coolant = "soluble 8 %, through, 80 bar"',
        "coolant",
        "80 bar",
        "more than 40 bar",
    ),
    (
        'coolant = "soluble 8 %, through, 40 bar"',
        'coolant = "milk"',
        "coolant",
        "milk",
        "soluble 8 %, flood",
    ),
    (
        'coolant = "soluble 8 %, through, 40 bar"',
        'coolant = "soluble 80 %"',
        "coolant",
        "80 %",
        "0 to 50 %",
    ),
    (
        'part_temperature = "21 C"',
        'part_temperature = "210 C"',
        "part_temperature",
        "210",
        "150 °C",
    ),
    ('part_temperature = "21 C"', 'part_temperature = "warm"', "part_temperature", "warm", "22 C"),
    ("lead_time_days = 4", "lead_time_days = -4", "lead_time_days", "-4", "from 0"),
    ('inside = "99 %"', "inside = 99", "inside", "99", "between 0 and 1"),
    ('inside = "99 %"', 'inside = "100 %"', "inside", "100 %", "between 0 and 1"),
    ("confidence = 0.95", "confidence = 0", "confidence", "0", "between 0 and 1"),
    ("ppk = 1.33", "ppk = 133", "ppk", "133", "up to 10"),
    ("ppk = 1.33", "cpk = 1.33", "key", "cpk", "did you mean ppk"),
    ("[demands]", "[demand]", "table", "demand", "did you mean demands"),
    ('entry = "flat"', 'entry = "flat', "text", 'entry = "flat', "must be TOML"),
    ('entry = "flat"', 'entry = "flat"\nentry = "rough"', "text", 'entry = "rough"', "TOML"),
]


def bad(tmp_path: Path, text: str) -> InputError:
    path = tmp_path / "job.toml"
    path.write_text(text, "utf-8")
    with pytest.raises(InputError) as caught:
        read_job(path)
    return caught.value


@pytest.mark.parametrize(
    ("there", "instead", "field", "value", "would_do"), CASES, ids=[case[1] for case in CASES]
)
def test_a_mistake_is_named_with_its_line_and_what_would_do(
    tmp_path, there, instead, field, value, would_do
):
    assert GOOD.count(there) >= 1
    text = GOOD.replace(there, instead, 1)
    error = bad(tmp_path, text)
    line = text.splitlines().index(instead.splitlines()[-1]) + 1
    assert error.field == field
    assert value in str(error.value)
    assert would_do in str(error)
    assert str(error).startswith(f"{tmp_path / 'job.toml'}, line {line}")


def test_the_good_file_is_good(tmp_path):
    path = tmp_path / "job.toml"
    path.write_text(GOOD, "utf-8")
    assert read_job(path).parts == 480


@pytest.mark.parametrize(
    ("drop", "field", "would_do"),
    [
        (CALLOUT + "\n", "callout", "8 H7 x 22 through"),
        ('name = "16MnCr5"\n', "name", "16MnCr5"),
    ],
)
def test_what_must_be_there_is_asked_for_at_its_table(tmp_path, drop, field, would_do):
    error = bad(tmp_path, GOOD.replace(drop, "", 1))
    assert (error.field, error.value) == (field, "not given")
    assert would_do in str(error)
    assert error.where is not None
    assert error.where.line is not None


def test_a_missing_table_is_asked_for(tmp_path):
    assert "must be there in [hole]" in str(bad(tmp_path, '[material]\nname = "C45"\n'))


def test_two_patterns_are_one_too_many(tmp_path):
    error = bad(tmp_path, GOOD.replace(RECTANGLE, RECTANGLE + "\nat = [[0, 0]]"))
    assert error.field == "pattern"
    assert error.value == "at and rectangle"


def test_a_value_where_a_table_belongs(tmp_path):
    error = bad(tmp_path, 'hole = "8 H7"\n')
    assert str(error).endswith("line 1: hole = 8 H7: must be a table, [hole]")


def test_a_hardness_in_hrc_is_refused_for_aluminium_with_the_reason(tmp_path):
    text = GOOD.replace('name = "16MnCr5"', 'name = "6061-T6"').replace("170 HB", "30 HRC")
    error = bad(tmp_path, text)
    assert error.field == "hardness"
    assert "must be in HB for EN AW-6061" in str(error)
    assert "does not hold for wrought aluminium" in str(error)


def test_a_finish_that_contradicts_nothing_is_taken_and_a_floor_that_does_is_not(tmp_path):
    text = GOOD.replace(CALLOUT, 'callout = "8 H7 x 16 blind floor 22"')
    text = text.replace("wall = 6", "floor = 21")
    assert "must not differ from what the callout says" in str(bad(tmp_path, text))


def test_a_callout_that_can_be_read_two_ways_is_asked_about(tmp_path):
    text = GOOD.replace('units = "mm"\n', "", 1).replace(CALLOUT, 'callout = "1.25 +0.01/-0"')
    error = bad(tmp_path, text)
    assert isinstance(error, AmbiguousError)
    assert len(error.readings) >= 2


@pytest.mark.parametrize(
    ("raw", "would_do"),
    [
        (b"", "must be there in [hole]"),
        (b"\xff\xfe[\x00h\x00", "save it again as UTF-8"),
        (b"parts = " + b"9" * 5000, "must be TOML"),
        (b"a = " + b"[" * 3000 + b"]" * 3000, "nest"),
        (b"[hole\n", "must be TOML"),
        (b"\x00", "must be TOML"),
    ],
    ids=["empty", "not UTF-8", "a number of 5000 digits", "deep", "open bracket", "zero byte"],
)
def test_bytes_that_are_no_job_file(tmp_path, raw, would_do):
    path = tmp_path / "job.toml"
    path.write_bytes(raw)
    with pytest.raises(InputError, match=would_do.replace("[", r"\[")):
        read_job(path)


@pytest.mark.parametrize("name", ["none.toml", ".", "a\0b"])
def test_a_path_that_cannot_be_read(tmp_path, name):
    with pytest.raises(InputError, match="job file = "):
        read_job(f"{tmp_path}/{name}")
