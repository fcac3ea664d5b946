"""How near the way between holes comes to the best known, and how long the search takes.

Run with `make bench`. Plates: holes scattered at random, and full grids, of 125, 1,000 and
5,000 holes. The best known of a grid is known: every hop is one pitch, and one hop fewer than
holes. The best known of a scattered plate is the shortest that a long run of the same library
finds (60 s; 5 s for the small one), or the way itself where that is shorter. The seeds make
the plates the same everywhere.
"""

from __future__ import annotations

import time

import fast_tsp
import numpy as np
import pytest
from numpy.typing import NDArray

from holewright.program.order import hole_order, path_length

PITCH = 10.0
SIDE = 400.0
COUNTS = {125: (25, 5), 1000: (40, 25), 5000: (100, 50)}
LONG_RUN_S = {125: 5.0, 1000: 60.0, 5000: 60.0}
WITHIN = 1.03
LIMIT_S = 5.0
"""What is asked for at 1,000 holes: within 3 % of the best known in under 5 s."""

# Independent of that library: LKH 3 (a licence for non-commercial use keeps it out of this
# project) found the same shortest ways once, for scattered plates of the seed below:
# 125 holes 3428.616 mm, 1,000 holes 9209.180 mm.
CHECKED = {125: 3428.616, 1000: 9209.180}


def scattered(count: int) -> NDArray[np.float64]:
    """Return the plates in the order in which their seed makes them."""
    rng = np.random.default_rng(1)
    for n in COUNTS:
        holes = rng.uniform(0, SIDE, (n, 2))
        if n == count:
            return holes
    raise ValueError(count)


def grid(count: int) -> NDArray[np.float64]:
    columns, rows = COUNTS[count]
    return np.array([[PITCH * i, PITCH * j] for j in range(rows) for i in range(columns)])


def long_run(holes: NDArray[np.float64], seconds: float) -> float:
    """Return the shortest way from the zero that the library finds in a long run. [mm]"""
    nodes = np.vstack([[0.0, 0.0], holes])
    away = np.hypot(*(nodes[:, None] - nodes[None]).transpose(2, 0, 1))
    steps = np.full((len(nodes) + 1,) * 2, 65535, dtype=np.uint16)
    steps[:-1, :-1] = np.rint(away * (65535 / away.max()))
    steps[0, -1] = steps[-1, 0] = steps[-1, -1] = 0
    tour = fast_tsp.find_tour(steps, duration_seconds=seconds)
    cut = tour.index(len(nodes))
    way = tour[cut + 1 :] + tour[:cut]
    order = np.array(way[1:] if way[0] == 0 else way[-2::-1]) - 1
    return path_length(holes, order)


@pytest.mark.parametrize("count", list(COUNTS))
@pytest.mark.parametrize("kind", ["scattered", "grid"])
def bench_order(benchmark, kind: str, count: int) -> None:
    holes = scattered(count) if kind == "scattered" else grid(count)
    began = time.perf_counter()
    order = benchmark.pedantic(hole_order, args=(holes,), rounds=1)
    seconds = time.perf_counter() - began
    way = path_length(holes, order)
    best = PITCH * (count - 1) if kind == "grid" else long_run(holes, LONG_RUN_S[count])
    if kind == "scattered" and count in CHECKED:
        assert best == pytest.approx(CHECKED[count], rel=1e-3)
    best = min(best, way)
    print(
        f"\n{kind:9} {count:5} holes: {way:9.1f} mm in {seconds:4.2f} s, "
        f"{100 * (way / best - 1):5.2f} % above the best known, {best:9.1f} mm"
    )
    assert sorted(order) == list(range(count))
    assert way <= WITHIN * best
    assert count > 1000 or seconds < LIMIT_S
