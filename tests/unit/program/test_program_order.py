"""The way from hole to hole."""

from __future__ import annotations

from itertools import permutations

import numpy as np
import pytest

from holewright.errors import InputError
from holewright.program.fixture import Fixture, KeepOut
from holewright.program.order import closest_pair, hole_order, path_length


def test_the_corners_of_a_plate_are_visited_round_and_not_across():
    corners = [[0, 0], [60, 44], [60, 0], [0, 44]]
    order = hole_order(corners)
    # 0 at the start, then two short sides of 44 and one long of 60.
    assert path_length(corners, order) == pytest.approx(44 + 60 + 44)


def test_a_plate_of_five_rows_is_run_row_by_row():
    rows = [[10.0 * i, 10.0 * j] for j in range(5) for i in range(12)]
    assert path_length(rows, hole_order(rows)) == pytest.approx(10.0 * 59)  # no step longer


def test_the_tool_comes_from_where_it_is_said_to_stand():
    line = [[0, 0], [10, 0], [20, 0]]
    assert hole_order(line, start=(25, 0)).tolist() == [2, 1, 0]


def test_one_hole_and_none():
    assert hole_order([[3, 4]]).tolist() == [0]
    assert hole_order([]).tolist() == []


def test_up_to_eighteen_holes_give_the_same_order_every_time():
    holes = np.random.default_rng(3).uniform(0, 300, (18, 2))
    assert (hole_order(holes) == hole_order(holes.copy())).all()


def test_small_plates_get_the_best_of_all_orders():
    rng = np.random.default_rng(11)
    for _ in range(60):
        holes = rng.uniform(0, 100, (6, 2))
        best = min(path_length(holes, order) for order in permutations(range(6)))
        # The library counts in 65,535ths of the longest hop; 7 of these can be off by half.
        assert path_length(holes, hole_order(holes)) <= best + 7 * 150 / 65535


def test_a_thousand_scattered_holes_lie_near_the_known_length_of_the_shortest_tour():
    # D. S. Johnson, L. A. McGeoch, "Experimental analysis of heuristics for the STSP" (2002):
    # shortest tours through 1,000 random points in a square measure 0.7313 sqrt(n A) on the
    # mean (from memory). Plates differ by some 1 %; a way 3 % too long falls out of the band.
    side, count = 1000.0, 1000
    ratios = []
    for seed in range(3):
        holes = np.random.default_rng(seed).uniform(0, side, (count, 2))
        way = path_length(holes, hole_order(holes))
        ratios.append(way / (0.7313 * side * np.sqrt(count)))
    assert 0.98 < np.mean(ratios) < 1.015


def test_a_hop_over_a_clamp_counts_its_way_up_and_down():
    fixture = Fixture((KeepOut("clamp", 8, 12, -50, 50, 38.0),))
    holes = [[0.0, 0.0], [20.0, 0.0]]
    way = path_length(holes, [0, 1], fixture=fixture, radius=1.0, usual=10.0)
    assert way == pytest.approx(20 + 2 * (40 - 10))


def test_a_clamp_is_crossed_once_and_not_row_by_row():
    rows = [[10.0 * i, 10.0 * j] for j in range(4) for i in range(6)]
    fixture = Fixture((KeepOut("strap", 24, 26, -50, 100, 60.0),))
    order = hole_order(rows, fixture=fixture, radius=2.0, usual=25.0)
    across = np.diff((np.array(rows)[order, 0] > 25).astype(int))
    assert np.count_nonzero(across) == 1


@pytest.mark.parametrize(
    ("holes", "said"),
    [
        ([[0, 0], [float("nan"), 1]], "hole position 2"),
        ([[0, 0], [1, float("inf")]], "hole position 2"),
        ([1, 2, 3], "pairs of X and Y"),
        ([[0, 0, 0]], "pairs of X and Y"),
    ],
)
def test_what_is_no_pair_of_numbers_is_refused_by_its_place(holes, said):
    with pytest.raises(InputError, match=said):
        hole_order(holes)


def test_the_closest_pair_is_found_even_when_one_hole_is_there_twice():
    holes = np.array([[0, 0], [50, 0], [20.0, 0], [50, 0]])
    i, j, distance = closest_pair(holes)
    assert ({i, j}, distance) == ({1, 3}, 0.0)
