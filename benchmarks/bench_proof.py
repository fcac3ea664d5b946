"""What proof costs: risks over a grid, factors, lot bounds, a verdict on a plate.

Three sizes each, so that a loop hidden somewhere shows as time per element that grows.
"""

import numpy as np
import pytest

from holewright.callout.callout import Limits
from holewright.gauging.estimate import Estimate, HoleInterval
from holewright.proof.capability import ppk_lower_bound
from holewright.proof.judge import judge
from holewright.proof.risk import global_risks
from holewright.proof.sampling import holes_needed, outside_in_lot_upper
from holewright.proof.tolerance_interval import two_sided_factor

SIZES = [100, 10_000, 1_000_000]


@pytest.mark.parametrize("n", SIZES)
def bench_global_risks_over_a_grid_of_means(benchmark, n):
    means = np.linspace(8.0, 8.015, n)
    risks = benchmark(global_risks, means, 0.002, 0.0005, lower=8.0, upper=8.015)
    assert risks.consumer.shape == (n,)


@pytest.mark.parametrize("n", [10, 100, 1000])
def bench_exact_two_sided_factors(benchmark, n):
    k = benchmark(two_sided_factor, np.arange(2, n + 2), 0.95, 0.95)
    assert (np.diff(k) < 0).all()


@pytest.mark.parametrize("n", [10, 100, 1000])
def bench_bounds_of_ppk(benchmark, n):
    bounds = benchmark(ppk_lower_bound, np.linspace(0.5, 2.0, n), 50)
    assert (np.diff(bounds) > 0).all()


@pytest.mark.parametrize("lot", [125, 10_000, 1_000_000])
def bench_most_outside_in_a_lot(benchmark, lot):
    assert benchmark(outside_in_lot_upper, lot, 100, 1) > 0


@pytest.mark.parametrize("inside", [0.9, 0.99, 0.9999])
def bench_holes_needed(benchmark, inside):
    assert benchmark(holes_needed, inside) > 0


@pytest.mark.parametrize("n", [60, 1000, 20_000])
def bench_verdict_on_a_plate(benchmark, n):
    holes = tuple(HoleInterval(str(i), 8.002, 8.012) for i in range(n))
    estimate = Estimate(n, "pins", "maximum inscribed (pin)", holes, n, 0, 0, 0.0)
    verdict = benchmark(judge, estimate, Limits(8.0, 8.015))
    assert verdict.inside_lower > 0.9
