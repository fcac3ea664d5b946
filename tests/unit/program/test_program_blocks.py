"""Words, comments and block numbers."""

from __future__ import annotations

import pytest

from holewright.program.blocks import comment, decimals, feed, joined, length, safe_start, speed
from holewright.units import Unit


@pytest.mark.parametrize(
    ("mm", "unit", "written"),
    [
        (8.0, Unit.MM, "8.000"),
        (-26.3004, Unit.MM, "-26.300"),
        (7.9375, Unit.INCH, "0.3125"),
        (25.4, Unit.INCH, "1.0000"),
        (-1e-9, Unit.MM, "0.000"),
        (1234567.0, Unit.MM, "1234567.000"),
    ],
)
def test_a_length_always_carries_its_point_and_never_a_minus_before_nothing(mm, unit, written):
    # Without the point, many controls read X8 as 8 of their least increments.
    assert decimals(mm, unit) == written
    assert length("Z", mm, unit) == "Z" + written


@pytest.mark.parametrize(
    ("v_f", "unit", "word"),
    [
        (955.04, Unit.MM, "F955.0"),
        (12345.6, Unit.MM, "F12345.6"),
        (23.456, Unit.MM, "F23.46"),
        (0.31416, Unit.MM, "F0.3142"),
        (955.04, Unit.INCH, "F37.60"),
        (25.4, Unit.INCH, "F1.000"),
        (99.9999, Unit.MM, "F100.00"),
    ],
)
def test_a_slow_feed_keeps_four_digits_that_count(v_f, unit, word):
    assert feed(v_f, unit) == word


def test_a_speed_is_whole_and_not_rounded_up_past_the_machine():
    assert speed(477.46, 12000) == "S477"
    assert speed(477.5001, 12000) == "S478"
    assert speed(11999.8, 11999.8) == "S11999"


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("Ø8 H7 ±0,1 × 22", "DIA 8 H7 +/-0,1 X 22"),
        ('.3125" thru', ".3125 IN THRU"),
        ("Bräkelund Wörks №5 — 30°", "BRAKELUND WORKS NO5 - 30 DEG"),
        ("plate (left)", "PLATE - LEFT"),
        ("a) b ) c", "A B C"),
        ("100 % soaked; < 2 bar, ≥ 1", "100 PCT SOAKED, LESS THAN 2 BAR, AT LEAST 1"),
        ("line\nM30\r\nG0 Z-50", "LINE M30 G0 Z-50"),
        ("鋼 8", "8"),
    ],
)
def test_a_comment_says_in_plain_characters_what_was_typed(text, said):
    assert comment(text) == [f"(- {said})"]


def test_a_text_of_nothing_that_can_be_written_leaves_no_comment():
    assert comment("鋼\n\t") == []


@pytest.mark.parametrize("name", ["MSG, stop", "LOGOPEN,/tmp/x", "debug, #1", "py, x", "abort, "])
def test_a_name_cannot_wake_a_control_that_obeys_comments(name):
    # Such controls look at the first word behind the parenthesis: it is always our dash.
    assert all(line.startswith("(- ") for line in comment(name + " and more" * 20))


def test_a_long_comment_is_folded_so_that_no_block_is_longer_than_eighty():
    lines = comment("a reamer that is long " * 20)
    assert len(lines) > 1
    assert all(len(line) <= 80 for line in lines)


def test_the_start_sets_unit_absolute_plane_and_cancels_what_an_earlier_program_left():
    assert safe_start(Unit.MM).split() == ["G21", "G90", "G17", "G40", "G80", "G94", "G54"]
    assert safe_start(Unit.INCH).split()[0] == "G20"


@pytest.mark.parametrize(
    ("count", "first", "last"),
    [(999, "N10 M0", "N9990 M0"), (1000, "N1 M0", "N1000 M0"), (99999, "N1 M0", "N99999 M0")],
)
def test_blocks_are_numbered_in_tens_while_they_fit(count, first, last):
    lines = joined(["%", "(- A)", *["M0"] * count, "%"]).splitlines()
    assert (lines[0], lines[1], lines[2], lines[-2]) == ("%", "(- A)", first, last)


def test_a_program_too_long_for_five_digits_goes_without_numbers():
    assert joined(["M0"] * 100000).startswith("M0\n")
