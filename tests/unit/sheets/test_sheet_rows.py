"""Bars with labels: where they go when there is room, and when there is none."""

from __future__ import annotations

import pytest

from holewright.sheets.rows import Item, break_lines, place


def test_a_label_stands_right_of_its_bar_then_left_then_below():
    items = [
        Item(10, 20, "right"),
        Item(60, 78, "left"),
        Item(25, 55, "far too long for either side of its bar here"),
    ]
    placed, count = place(items, 80, len, 1)
    assert [spot.lines[0] for spot in placed] == [
        (0, 21, "right"),
        (0, 55, "left"),
        (2, 18.0, "far too long for either side of its bar here"),
    ]
    assert count == 3


def test_a_long_thin_bar_carries_its_label_on_its_right_half():
    (spot,), count = place([Item(0, 80, "forecast")], 80, len, 1)
    assert count == 1
    assert spot.lines == ((0, 56.0, "forecast"),)  # middle of 40 to 80, less half of 8


def test_a_bar_that_must_not_carry_words_has_them_below():
    (spot,), count = place([Item(0, 80, "pin", over=False)], 80, len, 1)
    assert (count, spot.lines[0][0]) == (2, 1)


def test_bars_that_would_touch_take_different_rows():
    placed, count = place([Item(0, 30, "one"), Item(10, 40, "two")], 80, len, 1)
    assert [spot.row for spot in placed] == [0, 1]
    assert count == 2


@pytest.mark.parametrize("words", ["a b c", "one word", "pneumonoultramicroscopic", ""])
def test_no_line_is_longer_than_the_room_and_no_letter_is_lost(words):
    lines = break_lines(words, 7, len)
    assert max(map(len, lines)) <= 7
    assert "".join(lines).replace(" ", "") == words.replace(" ", "")
