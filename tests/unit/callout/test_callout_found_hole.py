"""Holes that were found: which belong together, how a machine sees them, how they lie."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from holewright.callout.callout import CrossBore, HoleKind
from holewright.callout.found_hole import DOWN, FoundHole, group_holes, seen_along
from holewright.callout.hole_neighbours import crossings, walls_between

THROUGH = HoleKind.THROUGH


def hole(name="1", at=(0.0, 0.0, 0.0), diameter=8.0, depth=20.0, way=DOWN, **more) -> FoundHole:
    return FoundHole(name, at, way, diameter, depth, more.pop("kind", THROUGH), **more)


def test_holes_are_grouped_by_side_size_kind_and_callout():
    holes = [
        hole("1"),
        hole("2", (20, 0, 0), 8.0015),  # rounded in the model
        hole("3", (40, 0, 0), 8.1),
        hole("4", (60, 0, 0), kind=HoleKind.BLIND),
        hole("5", (80, 0, 0), callout="8 H7"),
        hole("6", (0, 0, -40), way=(0, 0, 1)),
        hole("7", (100, 0, 0)),
    ]
    groups = group_holes(holes)
    assert [(g.name, [h.name for h in g.holes]) for g in groups] == [
        ("A", ["1", "2", "7"]),
        ("B", ["3"]),
        ("C", ["4"]),
        ("D", ["5"]),
        ("E", ["6"]),
    ]
    assert [g.way for g in groups] == ["-Z"] * 4 + ["+Z"]


def test_the_letters_go_on_behind_z():
    groups = group_holes([hole(str(i), (30 * i, 0, 0), 5 + 0.1 * i) for i in range(28)])
    assert [groups[i].name for i in (0, 25, 26, 27)] == ["A", "Z", "AA", "AB"]


def test_entry_faces_at_different_heights_are_groups_of_their_own():
    holes = [hole("1", (0, 0, 0)), hole("2", (9, 0, -5)), hole("3", (18, 0, 0.001))]
    high, low = group_holes(holes)
    assert (high.level, low.level) == (0.0, -5.0)
    assert high.places == ((0, 0), (18, 0))


def test_from_below_the_part_is_turned_about_x():
    (group,) = group_holes([hole("1", (10, 4, -40), way=(0, 0, 1))])
    assert group.places == ((10, -4),)
    assert group.level == 40.0


def test_a_group_is_as_bad_as_its_worst_hole():
    (group,) = group_holes(
        [
            hole("1", wall=3.0, entry_slope=2.0),
            hole("2", (30, 0, 0), wall=1.5, depth=21.0),
            hole("3", (60, 0, 0), cross_bores=(CrossBore(5.0, 9.0),)),
        ]
    )
    assert (group.wall, group.slope, group.depth) == (1.5, 2.0, 21.0)
    assert group.cross_bores == (CrossBore(5.0, 9.0),)


@pytest.mark.parametrize("way", [(1, 0, 0), (-1, 0, 0), (0, 1, 0), (0, -1, 0), (0, 0, 1), DOWN])
def test_a_machine_sees_every_side_right_handed_with_its_tool_coming_down(way):
    x, y, z = (np.array(seen_along(axis, way)) for axis in np.eye(3).tolist())
    turn = np.column_stack([x, y, z])
    assert np.linalg.det(turn) == pytest.approx(1)
    assert turn @ turn.T == pytest.approx(np.eye(3))
    assert seen_along(way, way) == pytest.approx((0, 0, -1))


directions = st.tuples(*[st.floats(-1, 1)] * 3).filter(lambda v: math.hypot(*v) > 0.1)


@given(directions, st.tuples(*[st.floats(-100, 100)] * 3))
def test_seen_from_anywhere_lengths_stay(way, point):
    way = tuple(part / math.hypot(*way) for part in way)
    assert math.hypot(*seen_along(point, way)) == pytest.approx(math.hypot(*point), abs=1e-4)


def test_a_direction_that_is_no_axis_is_said_in_its_parts():
    way = (0.6, 0.0, -0.8)
    (group,) = group_holes([hole(way=way)])
    assert group.way == "0.600 0.000 -0.800"


def test_a_point_angle_is_worked_from_its_depth():
    # tan(59°) = 1.664: an 8 mm drill of 118° ends 2.403 mm beyond its full diameter.
    assert hole(point=2.4034).point_angle == pytest.approx(118.0, abs=0.01)
    assert hole().point_angle is None


MAIN = hole("main", (0, 0, 0), 12.0, 40.0)
ALONG = (1.0, 0.0, 0.0)


def test_a_bore_crosses_where_their_axes_come_nearest():
    cross = hole("cross", (-50, 3, -18), 5.0, 100.0, way=ALONG)
    assert crossings(0, [MAIN, cross]) == ([CrossBore(5.0, 18.0)], [1])
    assert crossings(1, [MAIN, cross]) == ([CrossBore(12.0, 50.0)], [0])


@pytest.mark.parametrize(
    "cross",
    [
        hole(at=(-50, 9, -18), diameter=5.0, depth=100.0, way=ALONG),  # 9 > 6 + 2.5
        hole(at=(-50, 0, -45), diameter=5.0, depth=100.0, way=ALONG),  # under the floor
        hole(at=(-50, 0, -18), diameter=5.0, depth=40.0, way=ALONG),  # ends 10 mm before
        hole(at=(11, 0, 0), diameter=5.0),  # parallel
    ],
)
def test_a_bore_that_misses_does_not_cross(cross):
    assert crossings(0, [MAIN, cross]) == ([], [])


def test_a_bore_that_ends_in_the_hole_crosses_it():
    stub = hole(at=(-50, 0, -18), diameter=5.0, depth=47.0, way=ALONG)
    assert crossings(0, [MAIN, stub])[0] == [CrossBore(5.0, 18.0)]


def test_what_is_left_between_holes_is_between_their_walls():
    beside = hole(at=(-50, 9, -18), diameter=5.0, depth=100.0, way=ALONG)
    parallel = hole(at=(30, 40, -5), diameter=8.0, depth=10.0)
    below = hole(at=(0, 0, -80), diameter=8.0, depth=20.0, way=(0, 0, 1))
    holes = [MAIN, beside, parallel, below]
    assert walls_between(0, holes, []) == [9 - 6 - 2.5, 50 - 6 - 4]
    assert walls_between(0, holes, [1]) == [40.0]
    assert walls_between(3, holes, []) == []


@given(st.floats(0.1, 60), st.floats(-30, 30), st.floats(1, 40))
def test_crossing_is_mutual(away, depth, diameter):
    cross = replace(MAIN, entry=(-100, away, -20 + depth), direction=ALONG, depth=200.0)
    cross = replace(cross, diameter=diameter)
    if 0 <= 20 - depth <= 40:
        assert bool(crossings(0, [MAIN, cross])[0]) == bool(crossings(1, [MAIN, cross])[0])
