"""The line of a key is found however the file is written."""

from __future__ import annotations

import pytest

from holewright.errors import InputError
from holewright.jobs.toml_lines import parse_toml

TEXT = '''# a comment with = and [brackets]
top = 1
"quoted key" = "a # no comment"

[hole]   # trailing
callout = "8 H7 = x [22]"
notes = """
[not.a.table]
key = 2
"""
at = [
  [0, 0],  # first ]
  [60, 0],
]
after = 'single # quoted'
position.size = 0.1
position.modifier = "M"

[[drill]]
id = "a"

[[drill]]
id = "b"
[drill.point]
SIG = 118

["odd name".inner]
x = { y = 1, z = "}" }
last = 2026-01-01'''


@pytest.mark.parametrize(
    ("path", "line"),
    [
        (("top",), 2),
        (("quoted key",), 3),
        (("hole",), 5),
        (("hole", "callout"), 6),
        (("hole", "notes"), 7),
        (("hole", "at"), 11),
        (("hole", "after"), 15),
        (("hole", "position"), 16),
        (("hole", "position", "modifier"), 17),
        (("drill",), 19),
        (("drill", 0, "id"), 20),
        (("drill", 1), 22),
        (("drill", 1, "id"), 23),
        (("drill", 1, "point", "SIG"), 25),
        (("odd name", "inner", "x"), 28),
        (("odd name", "inner", "last"), 29),
    ],
)
def test_each_key_is_on_its_line(path, line):
    assert parse_toml(TEXT, "file").place(*path).line == line


def test_a_key_that_is_not_there_is_placed_at_its_table():
    file = parse_toml(TEXT, "file")
    assert file.place("hole", "wall").line == 5
    assert file.place("drill", 1, "DC").line == 22
    assert file.place("nowhere").line is None


def test_windows_line_ends_count_once():
    assert parse_toml(TEXT.replace("\n", "\r\n"), "file").place("hole", "after").line == 15


def test_every_key_of_the_file_has_a_line():
    file = parse_toml(TEXT, "file")

    def paths(value, path):
        if isinstance(value, dict):
            for key, inner in value.items():
                yield (*path, key)
                yield from paths(inner, (*path, key))
        elif isinstance(value, list) and value and isinstance(value[0], dict):
            for i, inner in enumerate(value):
                yield from paths(inner, (*path, i))

    found = list(paths(file.data, ()))
    assert len(found) > 15
    inline = {("odd name", "inner", "x", "y"), ("odd name", "inner", "x", "z")}
    assert {path for path in found if path not in file.lines} <= inline | {("odd name",)}


def test_a_fault_of_form_is_told_with_its_line():
    with pytest.raises(InputError) as caught:
        parse_toml('a = 1\nb = = 2\nc = "', "job.toml")
    assert caught.value.where is not None
    assert caught.value.where.line == 2
    assert caught.value.value == "b = = 2"
