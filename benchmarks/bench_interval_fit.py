"""What interval fits cost: one by one, ten thousand at once, and against scipy.

The last benchmark prints how many times faster a fit in one call of many is than scipy's own
fit of the same interval-censored rows, helped with a centred, scaled unit (in raw units it
takes as long and is wrong in the fifth digit).
"""

import time

import numpy as np
import pytest
from scipy import stats
from scipy.special import ndtr

from holewright.gauging.fit_many import fit_many
from holewright.gauging.interval_fit import fit_intervals
from holewright.gauging.posterior import Prior, posterior
from holewright.gauging.profile import mean_interval, outside_interval, rim, sd_interval
from holewright.gauging.shared_pins import fit_model
from holewright.gauging.size_model import exact_model

PINS = 8.0 + 0.003 * np.arange(7)
EDGES = np.concatenate([[-np.inf], PINS, [np.inf]])


def features(n, holes=60, seed=1):
    """Return counts of n features in the eight cells of seven pins, each its own process."""
    rng = np.random.default_rng(seed)
    mean = rng.normal(8.009, 0.002, n)
    sd = 0.003 * np.exp(0.3 * rng.standard_normal(n))
    p = np.diff(ndtr((EDGES - mean[:, None]) / sd[:, None]), axis=1)
    return rng.multinomial(holes, p).astype(float)


@pytest.mark.parametrize("n", [100, 10_000, 100_000])
def bench_many_features_of_eight_cells(benchmark, n):
    fits = benchmark(fit_many, EDGES[:-1], EDGES[1:], features(n))
    assert fits.has_fit.mean() > 0.99


def bench_one_feature(benchmark):
    (counts,) = features(1)
    assert benchmark(fit_intervals, EDGES[:-1], EDGES[1:], counts).sd > 0


def bench_all_profile_intervals_of_one_feature(benchmark):
    fit = fit_intervals(EDGES[:-1], EDGES[1:], features(1)[0])

    def intervals():
        around = rim(fit)
        return mean_interval(around), sd_interval(around), outside_interval(around, 8.0, 8.015)

    assert benchmark(intervals)[0][0] < fit.mean


def bench_posterior_of_one_feature(benchmark):
    model = exact_model(fit_intervals(EDGES[:-1], EDGES[1:], features(1)[0]).rows)
    assert fit_model(model).sd > 0
    assert benchmark(posterior, model, Prior(8.009, 0.003, 0.003)).ess > 400


def bench_against_scipy(benchmark):
    counts = features(10_000)
    benchmark(fit_many, EDGES[:-1], EDGES[1:], counts)
    ours = min(_seconds(fit_many, EDGES[:-1], EDGES[1:], counts) for _ in range(5)) / 10_000
    started = time.perf_counter()
    few = 10
    for row in counts[:few]:
        low = np.repeat((EDGES[:-1] - 8.009) * 1e3, row.astype(int))
        high = np.repeat((EDGES[1:] - 8.009) * 1e3, row.astype(int))
        inner = np.isfinite(low) & np.isfinite(high)
        data = stats.CensoredData(
            left=high[np.isneginf(low)],
            right=low[np.isposinf(high)],
            interval=np.column_stack([low, high])[inner],
        )
        stats.norm.fit(data)
    theirs = (time.perf_counter() - started) / few
    ratio = theirs / ours
    print(
        f"\none fit of 60 holes in 8 cells: {ours * 1e6:.1f} µs in a call of 10,000, "
        f"{theirs * 1e3:.1f} ms by scipy: {ratio:,.0f} times faster"
    )
    assert ratio > 500


def _seconds(function, *args):
    started = time.perf_counter()
    function(*args)
    return time.perf_counter() - started
