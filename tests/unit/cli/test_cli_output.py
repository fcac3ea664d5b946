"""The page for people: what it keeps together, and what it does on a poor terminal."""

from __future__ import annotations

import io

import pytest

from holewright.cli.output import Page, ascii_text, needs_ascii


def page_of(columns: int, *, plain: bool = False) -> tuple[Page, io.StringIO]:
    stream = io.StringIO()
    return Page(columns, plain=plain, stream=stream), stream


def test_a_number_is_never_parted_from_its_unit_by_a_line_end():
    page, stream = page_of(60)
    page.say("x " * 24 + "the hole is 8.015 mm (.31555 in) and 5.9 tenths and 95 % sure.")
    for line in stream.getvalue().splitlines():
        assert not line.lstrip().startswith(("mm", "in)", "tenths", "%"))
        assert len(line) <= 60


def test_a_table_keeps_numbers_and_units_together_too():
    page, stream = page_of(60)
    page.table(("what", "size"), [("a rather long name of a tool " * 2, "8.015 mm (.31555 in)")])
    assert "8.015 mm" in stream.getvalue()
    assert ".31555 in" in stream.getvalue()


def test_no_line_ends_in_blanks_and_none_is_too_long():
    page, stream = page_of(60)
    page.verdict("REAM", "8 H7 x 22 through")
    page.heading("Cut")
    page.points(["a word " * 30, "short"], mark="1")
    page.table(("", "n"), [("drill", "4539"), ("ream", "640")], right=(1,))
    for line in stream.getvalue().splitlines():
        assert line == line.rstrip()
        assert len(line) <= 60


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("15 µm", "15 um"),
        ("Ø8 ± 0.01", "dia 8 +/- 0.01"),
        ("20 °C", "20 deg C"),
        ("–—…→≥", "--...->>="),
        ("Brünn", "Brunn"),
        ("日", "?"),
    ],
)
def test_ascii_says_the_same_in_other_letters(text, expected):
    assert ascii_text(text) == expected


def test_a_plain_page_is_ascii():
    page, stream = page_of(60, plain=True)
    page.say("Ø8 H7, 15 µm at 20 °C")
    page.points(["≥ 99 %"])
    page.as_is(["│█░│"])
    assert stream.getvalue().isascii()


def test_a_terminal_that_cannot_show_a_micro_sign_gets_ascii():
    poor = io.TextIOWrapper(io.BytesIO(), encoding="ascii")
    good = io.TextIOWrapper(io.BytesIO(), encoding="utf-8")
    assert needs_ascii(poor)
    assert Page(60, stream=poor).plain
    assert not needs_ascii(good)
