"""A shop file with one mistake is refused: the key, the value, what would do, the line."""

from __future__ import annotations

from pathlib import Path

import pytest

from holewright.errors import InputError
from holewright.jobs.shopfile import read_shop

GOOD = """\
[shop]
name = "Bench"
unit = "mm"
gauge_alpha = 11.5e-6

[[machine]]
id = "mill 1"
n_min = 60
n_max = 12000
power = "15 kW"
spindle_tir_measured = "2 µm"
coolants = ["soluble 8 %, through, 40 bar"]

[[holder]]
id = "H 1"
kind = "hydraulic"
tir_measured = "3 µm"
tir_u = "0.5 µm"

[[drill]]
id = "D 1"
label = "7.8 mm"
kind = "jobber HSS"

[[drill_set]]
series = "letter"
kind = "jobber HSS"
first = "6 mm"

[[reamer]]
id = "R 1"
label = "8 H7"
kind = "HSS"
measured = 8.009
u = 0.001
helix = "left"

[[pin_set]]
first = "7.90"
last = "8.10"
step = "0.01"
sense = "plus"
grade = "ZZ"
missing = ["8.03"]

[[pin]]
marked = "8.01"
sense = "plus"
calibrated = 8.0131
u = 0.0004

[[bore_gauge]]
id = "BG"
kind = "three-point"
resolution = 0.001
"""

SET_FIRST = 'first = "7.90"'
CASES = [
    # what stands there, what is written instead, field, value, what would do
    ('name = "Bench"', 'title = "Bench"', "key", "title", "known are name"),
    ('unit = "mm"', 'unit = "yard"', "unit", "yard", "one of: mm, in"),
    ("gauge_alpha = 11.5e-6", "gauge_alpha = 11.5", "gauge_alpha", "11.5", "11.5e-6"),
    ("n_min = 60", "n_min = 20000", "n_max", "12000", "above n_min"),
    ("n_max = 12000", 'n_max = "fast"', "n_max", "fast", "must be a number"),
    ('power = "15 kW"', "power = 15", "power", "15", "kW, W or hp"),
    ('power = "15 kW"', 'power = "-15 kW"', "power", "-15 kW", "0 or more"),
    ('coolants = ["soluble', 'coolants = ["beer', "coolants", "beer", "soluble 8 %"),
    ('kind = "hydraulic"', 'kind = "magnetic"', "kind", "magnetic", "collet"),
    ('tir_measured = "3 µm"', 'tir = "3 µm"', "key", "tir", "did you mean"),
    ('tir_u = "0.5 µm"', 'change_s = "soon"', "change_s", "soon", "number"),
    ('tir_measured = "3 µm"\n', "", "tir_u", "0.5 µm", "needs tir_measured beside it"),
    ('label = "7.8 mm"', 'label = "#987"', "label", "#987", "#7"),
    ('label = "7.8 mm"', 'label = "78 mm"', "diameter of the tool", "78 mm", "up to 50"),
    ('series = "letter"', 'series = "roman"', "series", "roman", "number, letter, fraction"),
    ('first = "6 mm"', 'first = "15 mm"', "last", "not given", "at least one size"),
    ('label = "8 H7"', 'label = "9 H7"', "measured", "8.009", "within 0.25 mm"),
    ("measured = 8.009", "measured = 80.09", "measured", "80.09", "within 0.25 mm"),
    ("measured = 8.009", "measured = -8", "measured", "-8", "from 0"),
    ("measured = 8.009", 'measure = "8.009"', "key", "measure", "did you mean measured"),
    ('helix = "left"', 'helix = "zigzag"', "helix", "zigzag", "straight, left, right"),
    ('helix = "left"', "KAPR = 95", "KAPR", "95", "up to 90 degrees"),
    ('helix = "left"', "ZEFP = 99", "ZEFP", "99", "up to 40"),
    ('helix = "left"', "ZEFP = 2.5", "ZEFP", "2.5", "whole number"),
    ('helix = "left"', "LU = 500", "LU", "500", "within OAL"),
    ('helix = "left"', "core = 1", "core", "1", "between 0 and 1"),
    ('helix = "left"', 'owned = "maybe"', "owned", "maybe", "true or false"),
    (SET_FIRST, 'first = "7.905"', "last", "8.10", "whole number of steps"),
    (SET_FIRST, 'first = "8.50"', "first", "8.50", "not above the last"),
    ('step = "0.01"', 'step = "0"', "step", "0", "more than 0"),
    ('step = "0.01"', 'step = "0.00001"', "step", "0.00001", "at most 5000 pins"),
    ('grade = "ZZ"', 'grade = "AA"', "grade", "AA", "XXX, XX, X, Y, Z, ZZ"),
    ('sense = "plus"', 'sense = "both"', "sense", "both", "plus, minus"),
    ('missing = ["8.03"]', 'missing = ["8.035"]', "missing", "8.035", "a size of the set"),
    ('missing = ["8.03"]', "missing = 8.03", "missing", "8.03", "list of marked sizes"),
    ("calibrated = 8.0131", "calibrated = 8.31", "calibrated", "8.31", "within 0.02 mm"),
    ("calibrated = 8.0131", 'note = "lost"', "key", "note", "known are"),
    ('kind = "three-point"', 'kind = "nine-point"', "kind", "nine-point", "three-point"),
    ("resolution = 0.001", "resolution = 0", "resolution", "0", "more than 0"),
    ("[[bore_gauge]]", "[[boregauge]]", "table", "boregauge", "did you mean bore_gauge"),
    ('id = "BG"', 'id = "BG"\nid = "B"', "text", 'id = "B"', "TOML"),
]


def bad(tmp_path: Path, text: str) -> InputError:
    path = tmp_path / "shop.toml"
    path.write_text(text, "utf-8")
    with pytest.raises(InputError) as caught:
        read_shop(path)
    return caught.value


@pytest.mark.parametrize(
    ("there", "instead", "field", "value", "would_do"), CASES, ids=[case[1] for case in CASES]
)
def test_a_mistake_is_named_with_what_would_do(tmp_path, there, instead, field, value, would_do):
    assert GOOD.count(there) >= 1
    error = bad(tmp_path, GOOD.replace(there, instead, 1))
    assert error.field == field
    assert value in str(error.value)
    assert would_do in str(error)
    assert error.where is not None
    assert error.where.line is not None
    assert str(error).startswith(f"{tmp_path / 'shop.toml'}, line {error.where.line}")


def test_the_line_is_that_of_the_second_of_two_machines(tmp_path):
    text = GOOD + '\n[[machine]]\nid = "mill 2"\nn_max = 8000\npower = "none"\n'
    error = bad(tmp_path, text)
    assert error.where is not None
    assert error.where.line == len(text.splitlines())


@pytest.mark.parametrize(
    ("there", "drop", "field"),
    [
        ('id = "mill 1"\n', "", "id"),
        ("n_max = 12000\n", "", "n_max"),
        ('power = "15 kW"\n', "", "power"),
        ('kind = "hydraulic"\n', "", "kind"),
        ('label = "7.8 mm"\n', "", "label"),
        ('label = "8 H7"\n', "", "label"),
        ('step = "0.01"\n', "", "step"),
        ('marked = "8.01"\n', "", "marked"),
        ("resolution = 0.001\n", "", "resolution"),
    ],
)
def test_what_must_be_there_is_asked_for_with_an_example(tmp_path, there, drop, field):
    error = bad(tmp_path, GOOD.replace(there, drop, 1))
    assert (error.field, error.value) == (field, "not given")
    assert "must be there" in str(error)
    assert "such as" in str(error)


@pytest.mark.parametrize("table", ["machine", "drill", "pin_set"])
def test_single_brackets_are_one_pair_too_few(tmp_path, table):
    text = GOOD.replace(f"[[{table}]]", f"[{table}]", 1)
    assert f"[[{table}]], once for each" in str(bad(tmp_path, text))


def test_an_id_may_be_there_once(tmp_path):
    second = '\n[[reamer]]\nid = "r 1"\nlabel = "8 H7"\nkind = "HSS"\n'
    assert "must be the only reamer of that name" in str(bad(tmp_path, GOOD + second))


def test_two_sets_may_not_overlap(tmp_path):
    second = '\n[[pin_set]]\nfirst = "8.05"\nlast = "8.20"\nstep = "0.01"\nsense = "plus"\n'
    assert "overlaps an earlier set of plus pins at 8.05" in str(bad(tmp_path, GOOD + second))


def test_a_bare_length_without_a_unit_is_asked_about(tmp_path):
    error = bad(tmp_path, '[[reamer]]\nlabel = "8 H7"\nkind = "HSS"\nmeasured = 8.009\n')
    assert (error.field, error.value) == ("measured", "8.009")
    assert "has no unit; write mm or in behind it" in str(error)


def test_pins_without_a_unit_are_asked_about(tmp_path):
    error = bad(tmp_path, GOOD.replace('unit = "mm"\n', "", 1))
    assert (error.field, error.value) == ("unit", "not given")


def test_a_mistake_in_a_list_of_its_own_is_named_by_that_file(tmp_path):
    (tmp_path / "reamers.csv").write_text("id,label,kind\nR 9,8 H7,HSS\nR 10,8 H7,steel\n", "utf-8")
    error = bad(tmp_path, GOOD.replace("gauge_alpha = 11.5e-6", 'reamers = "reamers.csv"'))
    assert error.where is not None
    assert error.where.source.endswith("reamers.csv")
    assert (error.where.line, error.where.column) == (3, "kind")


def test_a_list_that_is_not_there_is_asked_for(tmp_path):
    error = bad(tmp_path, GOOD.replace("gauge_alpha = 11.5e-6", 'drills = "drills.csv"'))
    assert "there is none of that name" in str(error)
    assert error.where is not None
    assert error.where.line == 4
