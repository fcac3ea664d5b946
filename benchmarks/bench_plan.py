"""How much one vectorised pass saves: the same candidates one point at a time.

Run with `make bench`. The ratio is measured within one run.
"""

from __future__ import annotations

import time
import tracemalloc
from typing import Any

import numpy as np
import pytest

from holewright.callout.callout import Callout
from holewright.callout.limits import hole_limits
from holewright.planning.candidates import evaluate
from holewright.planning.limits import all_hold
from holewright.planning.prepare import prepared_holes
from holewright.planning.rules import limits_of
from holewright.planning.task import Task
from holewright.shop.generic import generic_shop
from holewright.shop.materials import find_material
from holewright.units import Unit

CALLOUT = Callout("8 H7 x 22 through", 8.0, hole_limits(8, "H7"), Unit.MM, fit="H7", depth=22.0)
SHOP = generic_shop()
MACHINE = SHOP.machines[0]
STEEL = find_material("16MnCr5")
DRILLS = tuple(d for d in SHOP.drills if 7.5 <= d.DC.value <= 7.95)[:10]
REAMERS = tuple(r for r in SHOP.reamers if r.label == "8 H7")[:5]
HOLDERS = SHOP.holders[:5]
TASK = Task(CALLOUT, STEEL, MACHINE, MACHINE.coolants[0], holes=1000)
PREPARED = prepared_holes(TASK, DRILLS, lead=1.5)


def plan(prepared: Any, reamers: Any, holders: Any, speeds: int, feeds: int) -> int:
    candidates = evaluate(TASK, prepared, reamers, holders, speeds=speeds, feeds=feeds)
    return int(np.count_nonzero(all_hold(limits_of(candidates), candidates.shape)))


@pytest.mark.parametrize("side", [2, 20, 64], ids=["1e3", "1e5", "1e6"])
def bench_one_pass(benchmark: Any, side: int) -> None:
    points = len(PREPARED) * len(REAMERS) * len(HOLDERS) * side**2
    benchmark.extra_info["points"] = points
    benchmark.pedantic(plan, (PREPARED, REAMERS, HOLDERS, side, side), rounds=3, warmup_rounds=1)


def bench_against_point_by_point(benchmark: Any) -> None:
    """One pass over about 1e6 points against single points, scaled up from 200 of them."""
    side = 64
    points = len(PREPARED) * len(REAMERS) * len(HOLDERS) * side**2
    benchmark.pedantic(plan, (PREPARED, REAMERS, HOLDERS, side, side), rounds=3, warmup_rounds=1)
    whole = benchmark.stats.stats.min
    start = time.perf_counter()
    for _ in range(200):
        plan(PREPARED[:1], REAMERS[:1], HOLDERS[:1], 1, 1)
    one = (time.perf_counter() - start) / 200
    tracemalloc.start()
    plan(PREPARED, REAMERS, HOLDERS, side, side)
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    print(
        f"\n{points:,} points in {whole:.3f} s; one point alone {one * 1e3:.2f} ms; "
        f"ratio {one * points / whole:,.0f}; peak memory {peak / 1e6:.0f} MB"
    )
