"""Where the holes are, in words."""

from __future__ import annotations

import math

import pytest

from holewright.callout.pattern import bolt_circle, overlapping, read_pattern
from holewright.errors import AmbiguousError, InputError
from holewright.units import Unit


@pytest.mark.parametrize(
    ("words", "holes"),
    [
        ("rectangle 60 x 44", [(0, 0), (60, 0), (60, 44), (0, 44)]),
        ("grid 2 x 2 at 10 mm", [(0, 0), (10, 0), (0, 10), (10, 10)]),
        ("grid 2x2 @ 20 x 15", [(0, 0), (20, 0), (0, 15), (20, 15)]),
        ("Grid 2 × 1, 20 × 15", [(0, 0), (20, 0)]),
        ("row of 3 at 12", [(0, 0), (12, 0), (24, 0)]),
        ("row of 3 at 12 along y", [(0, 0), (0, 12), (0, 24)]),
        ("row 2 at 10 at 30 deg", [(0, 0), (8.660254, 5)]),
        ("row of 2 at 10 from -90", [(0, 0), (0, -10)]),
        ("bolt circle 4 on 50", [(25, 0), (0, 25), (-25, 0), (0, -25)]),
        ("bolt circle 4 on Ø50 from 90 deg", [(0, 25), (-25, 0), (0, -25), (25, 0)]),
        ("bolt_circle 2 on 2 in", [(25.4, 0), (-25.4, 0)]),
    ],
)
def test_the_words_of_the_shop_give_the_holes_in_their_order(words, holes):
    assert read_pattern(words, Unit.MM) == tuple(holes)


def test_a_bolt_circle_lies_on_its_circle_evenly_spaced():
    # Chord of neighbours: D sin(180° / n); 6 on 60 gives 30 mm (any machinist's table).
    holes = read_pattern("bolt circle 6 on 60 from 30 deg", Unit.MM)
    assert all(math.hypot(x, y) == pytest.approx(30, abs=1e-6) for x, y in holes)
    assert all(
        math.dist(a, b) == pytest.approx(30, abs=2e-6)
        for a, b in zip(holes, holes[1:] + holes[:1], strict=True)
    )
    assert math.degrees(math.atan2(holes[0][1], holes[0][0])) == pytest.approx(30)


def test_a_unit_in_the_words_wins_and_none_at_all_is_asked_for():
    assert read_pattern("row of 2 at .5 in", Unit.MM)[1] == (12.7, 0)
    assert read_pattern("row of 2 at .5", Unit.INCH)[1] == (12.7, 0)
    with pytest.raises(AmbiguousError, match="has no unit"):
        read_pattern("row of 2 at 12")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ("spiral 6 on 60", "must begin with grid, row, rectangle or bolt circle"),
        ("", "must begin with"),
        ("grid 5 x 12", 'must be such as "4 x 3, 20 x 15"'),
        ("grid 100 x 51 at 10", "at most 5000 holes"),
        ("row of 0 at 10", "from 1 to 5000 holes"),
        ("row of 6 at 0", "lengths of more than 0"),
        ("rectangle 60 by 44", 'must be such as "60 x 44"'),
        ("bolt circle six on 50", 'must be such as "6 on 50"'),
    ],
)
def test_what_is_not_understood_is_refused_with_an_example(words, said):
    with pytest.raises(InputError, match=said):
        read_pattern(words, Unit.MM)


def test_the_error_names_the_field_of_whoever_asked():
    with pytest.raises(InputError) as caught:
        bolt_circle("many", Unit.MM, "bolt_circle")
    assert (caught.value.field, caught.value.value) == ("bolt_circle", "many")


def test_two_holes_nearer_than_a_diameter_are_found():
    assert overlapping([(0, 0), (8, 0), (16, 0)], 8.0) is None
    assert overlapping([(0, 0), (30, 0), (30, 7.99)], 8.0) == (1, 2)
