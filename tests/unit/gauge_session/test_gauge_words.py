"""What is typed at the gauge, by hands with gloves on."""

from __future__ import annotations

import pytest

from holewright.errors import InputError
from holewright.jobs.gauge_words import HELP, Act, Said, read_said
from holewright.units import Unit


@pytest.mark.parametrize(
    ("typed", "act"),
    [
        ("g", Act.GOES),
        ("Goes", Act.GOES),
        ("n", Act.STOPS),
        ("does  not go", Act.STOPS),
        ("no-go", Act.STOPS),
        ("u", Act.UNDO),
        ("S", Act.SKIP),
        ("q", Act.QUIT),
        ("?", Act.HELP),
    ],
)
def test_words_and_keys_are_the_same(typed, act):
    assert read_said(typed, Unit.MM) == Said(act)


@pytest.mark.parametrize(
    ("typed", "unit", "mm"),
    [
        ("8.0095", Unit.MM, 8.0095),
        ("8,0095", Unit.MM, 8.0095),
        (".31275", Unit.INCH, 7.94385),
        ("8.0095 mm", Unit.INCH, 8.0095),
        (".3127 in", Unit.MM, 7.94258),
    ],
)
def test_a_number_is_a_size_in_the_unit_of_the_job_unless_it_says(typed, unit, mm):
    said = read_said(typed, unit)
    assert said.act is Act.SIZE
    assert said.size == pytest.approx(mm, abs=1e-12)


def test_holes_pins_depths_and_temperatures_are_set_by_name():
    assert read_said("h 3-2", Unit.MM) == Said(Act.HOLE, name="3-2")
    assert read_said("p three-point 6-12", Unit.MM) == Said(Act.GAUGE, name="three-point 6-12")
    assert read_said("d 12", Unit.MM) == Said(Act.DEPTH, size=12.0)
    assert read_said("d .5", Unit.INCH) == Said(Act.DEPTH, size=12.7)
    assert read_said("d", Unit.MM) == Said(Act.DEPTH)
    assert read_said("t 21 20.5", Unit.MM) == Said(Act.WARMTH, part_c=21.0, gauge_c=20.5)
    assert read_said("t 5", Unit.MM) == Said(Act.WARMTH, part_c=5.0, gauge_c=5.0)
    assert read_said("t 68 F 68F", Unit.MM) == Said(Act.WARMTH, part_c=20.0, gauge_c=20.0)


@pytest.mark.parametrize(
    "typed", ["", "maybe", "h", "p", "8.0.1", "-8", "0", "d deep", "t", "t a b", "t 1 2 3"]
)
def test_anything_else_is_refused_and_nothing_is_guessed(typed):
    with pytest.raises(InputError):
        read_said(typed, Unit.MM)


def test_every_word_of_the_help_is_understood():
    for typed, _ in HELP:
        read_said(typed, Unit.MM)
