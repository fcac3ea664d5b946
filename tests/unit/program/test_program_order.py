"""The way from hole to hole."""

from __future__ import annotations

from itertools import permutations

import numpy as np
import pytest

from holewright.errors import InputError
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


def test_the_same_holes_give_the_same_order_every_time():
    holes = np.random.default_rng(3).uniform(0, 300, (200, 2))
    assert (hole_order(holes) == hole_order(holes.copy())).all()


def test_small_plates_come_near_the_best_of_all_orders():
    rng = np.random.default_rng(11)
    excess = []
    for _ in range(60):
        holes = rng.uniform(0, 100, (6, 2))
        best = min(path_length(holes, order) for order in permutations(range(6)))
        excess.append(path_length(holes, hole_order(holes)) / best - 1)
    assert min(excess) > -1e-12
    assert np.mean(excess) < 0.03
    assert np.mean(np.array(excess) < 1e-9) > 0.7  # most are the best itself


def test_two_thousand_scattered_holes_lie_near_the_known_length_of_the_shortest_tour():
    # Beardwood, Halton, Hammersley 1959: for many random points in an area A the shortest
    # tour tends to c sqrt(n A), c = 0.7124 (constant from memory; its edge makes a square
    # some 3 % longer at this n). 2-opt is known to end about 5 % above the shortest.
    n, side = 2000, 1000.0
    holes = np.random.default_rng(5).uniform(0, side, (n, 2))
    ratio = path_length(holes, hole_order(holes)) / (0.7124 * side * np.sqrt(n))
    assert 1.0 < ratio < 1.14


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
