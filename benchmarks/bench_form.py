"""How long the simulated reamer takes: 25 mm at 720 points a revolution, plain and compiled.

Run with `make bench`. Compiled steps need numba, of the extra `fast`; without it that bench is
skipped and says so.
"""

from __future__ import annotations

import math
import time
from typing import Any

import pytest

from holewright.cutting.form_sim import ReamingCase, simulate_reaming
from holewright.cutting.form_steps import compiled

DEPTH, POINTS = 25.0, 720
SIX = (0.0, 60.0, 120.0, 180.0, 240.0, 300.0)


def case(f: float) -> ReamingCase:
    return ReamingCase(
        stiffness=200.0, K_t=2500.0, f=f, a_p=0.1, KAPR=45.0, spacing=SIX, eccentricity=0.005
    )


@pytest.mark.parametrize("f", [0.6, 0.3], ids=["0.6 mm/rev", "0.3 mm/rev"])
def bench_compiled(benchmark: Any, f: float) -> None:
    if compiled() is None:
        pytest.skip("numba, of the extra 'fast', is not installed")
    turns = math.ceil(DEPTH / f)

    def run() -> None:
        simulate_reaming(case(f), turns, points=POINTS, compile_steps=True)

    benchmark.pedantic(run, rounds=5, warmup_rounds=1)
    start = time.perf_counter()
    simulate_reaming(case(f), 2, points=POINTS, compile_steps=False)
    plain = (time.perf_counter() - start) * turns / 2
    whole = benchmark.stats.stats.min
    print(
        f"\n{turns} turns of {POINTS} points: compiled {whole * 1e3:.0f} ms; plain about "
        f"{plain:.1f} s; ratio {plain / whole:,.0f}"
    )


def bench_plain(benchmark: Any) -> None:
    """Without numba: 25 mm at 0.6 mm/rev, on a coarser grid, as the command line takes it."""
    benchmark.pedantic(
        simulate_reaming,
        (case(0.6), math.ceil(DEPTH / 0.6)),
        {"points": 240, "compile_steps": False},
        rounds=2,
    )
