"""Sizes with a known error in them: what is read from them."""

from __future__ import annotations

import math

import numpy as np
import pytest

from holewright.diagnosis.pattern import Felt, Pattern, Spot, Trait, read_pattern

U = 0.0005
DEPTHS = (0.1, 0.5, 0.9)


def run(sizes, *, expected=8.0, between=0.002):
    spots = [Spot(i, 8.0 + s / 1000, U, depth=0.5) for i, s in enumerate(sizes)]
    return read_pattern(spots, expected=expected, between=between)


def um(pattern: Pattern, trait: Trait) -> float:
    value = pattern.value(trait)
    assert value is not None
    return 1000 * value


def test_an_even_oversize_is_an_offset_and_nothing_else():
    pattern = run([9.0, 9.1, 8.9, 9.0, 9.1, 8.9, 9.0, 9.0])
    assert um(pattern, Trait.OFFSET) == pytest.approx(9.0, abs=0.1)
    for trait in (Trait.DRIFT, Trait.STEP, Trait.FIRST):
        assert abs(um(pattern, trait)) < 0.3


def test_a_drift_of_one_micrometre_a_hole_is_read_over_the_run():
    pattern = run(np.arange(8.0))
    # The first hole is kept apart: seven holes, six steps.
    assert um(pattern, Trait.DRIFT) == pytest.approx(6.0)
    assert um(pattern, Trait.STEP) == 0


def test_a_step_is_no_drift():
    pattern = run([0, 0.2, -0.1, 0.1, 8.0, 8.2, 7.9, 8.0])
    assert um(pattern, Trait.STEP) == pytest.approx(8.0, abs=0.3)
    assert abs(um(pattern, Trait.DRIFT)) < 1


def test_a_first_hole_that_differs_is_told_from_a_drift():
    pattern = run([10, 0, 0.2, -0.2, 0.1, -0.1, 0.0])
    assert um(pattern, Trait.FIRST) == pytest.approx(10, abs=0.5)
    assert abs(um(pattern, Trait.DRIFT)) < 0.5


def test_scatter_is_held_against_that_of_a_process_in_order():
    rng = np.random.default_rng(4)
    calm = run(rng.normal(0, 2.0, 40)).value(Trait.SCATTER)
    wild = run(rng.normal(0, 8.0, 40)).value(Trait.SCATTER)
    assert calm == pytest.approx(0.0, abs=0.35)
    assert wild == pytest.approx(math.log(4), abs=0.35)


def taper(entry, middle, far, holes=3):
    return [
        Spot(i, 8.0 + s / 1000, U, depth=z)
        for i in range(holes)
        for z, s in zip(DEPTHS, (entry, middle, far), strict=True)
    ]


def test_a_bell_mouth_shows_at_the_entry_and_a_taper_at_both_ends():
    bell = read_pattern(taper(9, 0, 0), expected=8.0, between=0.002)
    assert um(bell, Trait.ENTRY) == pytest.approx(9)
    assert um(bell, Trait.EXIT) == pytest.approx(0, abs=1e-9)
    slope = read_pattern(taper(6, 0, -6), expected=8.0, between=0.002)
    assert um(slope, Trait.ENTRY) == pytest.approx(6)
    assert um(slope, Trait.EXIT) == pytest.approx(-6)


def test_an_oval_is_the_range_over_directions_beyond_what_repeating_makes():
    spots = [
        Spot(i, 8.0 + 0.004 * math.cos(2 * math.radians(a)), U, depth=0.5, direction=a)
        for i in range(3)
        for a in (0.0, 45.0, 90.0)
    ]
    oval = um(read_pattern(spots, expected=8.0, between=0.002), Trait.OVAL)
    assert oval == pytest.approx(8.0, abs=0.2)


def test_five_lobes_hide_from_two_points_and_show_to_the_pin():
    # 5 lobes of 4 µm: two points read the mean, a pin feels 8 µm less (handbook, lobing table).
    spots = [
        *(Spot(0, 8.0, U, depth=0.5, direction=d) for d in (0.0, 60.0, 120.0)),
        Spot(0, 8.0 - 0.008, 0.001 / math.sqrt(12), Felt.PINS),
    ]
    lobes = um(read_pattern(spots, expected=8.0, between=0.002), Trait.LOBES)
    assert lobes == pytest.approx(7.5, abs=0.1)


def test_a_size_inside_what_the_pins_leave_open_is_no_form():
    spots = [Spot(0, 8.002, U, depth=0.5), Spot(0, 8.0025, 0.005 / math.sqrt(12), Felt.PINS)]
    assert um(read_pattern(spots, expected=8.0, between=0.002), Trait.LOBES) == 0


def test_a_part_that_cools_and_two_people_are_differences_in_one_place():
    warm = [Spot(0, 8.009, U, depth=0.5, after=2.0), Spot(0, 8.003, U, depth=0.5, after=60.0)]
    cooled = read_pattern(warm, expected=8.0, between=0.002)
    assert um(cooled, Trait.TIME) == pytest.approx(-6)
    # The size that is complained of is the one read first.
    assert um(cooled, Trait.OFFSET) == pytest.approx(9)
    two = [Spot(0, 8.001, U, depth=0.5, by="A"), Spot(0, 8.005, U, depth=0.5, by="B")]
    assert um(read_pattern(two, expected=8.0, between=0.002), Trait.PEOPLE) == pytest.approx(4)


def test_what_sizes_cannot_show_is_left_out():
    assert read_pattern([], expected=8.0, between=0.002) == Pattern()
    one = read_pattern([Spot(0, 8.001, U)], expected=8.0, between=0.002)
    assert [f.trait for f in one.features] == [Trait.OFFSET]
