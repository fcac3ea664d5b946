"""Whether 95 % intervals hold the truth in 95 % of inspections, pins' own errors drawn too.

Each design is inspected 2,000 times: new pins within their class or certificate, new holes. One
standard error of the share covered is 0.5 %. Two kinds of check:

- forecast and readings together: the truth is drawn from the forecast, and the intervals must
  cover at their name exactly, however few the holes (a calibration of the computation);
- readings alone: profile likelihood at one fixed truth. It is an approximation; measured were
  94.3 to 96.6 % for mean, sd and share inside, and 93.1 to 96.8 % for the one-sided bound.
"""

import math

import numpy as np
import pytest
from scipy.special import ndtr

from holewright.gauging.degenerate import find_degenerate
from holewright.gauging.posterior import Prior, posterior, quantile, share_inside
from holewright.gauging.profile import mean_interval, outside_interval, rim, sd_interval
from holewright.gauging.rows import rows_of
from holewright.gauging.shared_pins import fit_model
from holewright.gauging.size_model import SizeModel

pytestmark = pytest.mark.slow

INSPECTIONS = 2000
EXACT = 1e-7


def longest(*values, id):
    """Return a design that CI has no time for; `pytest --longest` runs it."""
    return pytest.param(*values, id=id, marks=pytest.mark.longest)


def inspect(rng, pins, n, mean, sd, *, half=0.0, u=0.0):
    """Return the model of n holes checked with every pin, each pin off by its own error."""
    pins = np.asarray(pins, float)
    j = pins.size
    errors = rng.uniform(-half, half, j) if half else rng.normal(0, u or EXACT, j)
    cells = np.searchsorted(pins + errors, rng.normal(mean, sd, n))
    counts = np.bincount(cells, minlength=j + 1).astype(float)
    there = counts > 0
    return SizeModel(
        rows_of(np.r_[-np.inf, pins][there], np.r_[pins, np.inf][there], counts[there]),
        np.r_[-1, np.arange(j)][there],
        np.r_[np.arange(j), -1][there],
        tuple(f"pin {i}" for i in range(j)),
        np.full(j, half / math.sqrt(3) if half else u or EXACT),
        np.full(j, half),
        (),
        np.empty((int(there.sum()), 0)),
    )


# In units of the tolerance: limits 0 and 1. ZZ on a .0005 in zone is a half width of .2.
WITH_FORECAST = [
    pytest.param([0, 1], 10, 0.2, id="GO and NO-GO, 10 holes, ZZ"),
    pytest.param([0, 1], 30, 0.2, id="GO and NO-GO, 30 holes, ZZ"),
    pytest.param([0, 1], 125, 0.2, id="GO and NO-GO, 125 holes, ZZ"),
    longest([-1, 0, 1, 2], 30, 0.2, id="four pins, 30 holes, ZZ"),
    pytest.param([-0.5, 0, 0.5, 1, 1.5], 30, 0.1, id="five pins, 30 holes, Z"),
    longest([-0.5, 0, 0.5, 1, 1.5], 125, 0.2, id="five pins, 125 holes, ZZ"),
    longest([0, 0.5, 1], 300, 0.2, id="three pins, 300 holes, ZZ"),
]


@pytest.mark.parametrize(("pins", "n", "half"), WITH_FORECAST)
def test_forecast_and_readings_together_cover_at_their_name(pins, n, half):
    rng = np.random.default_rng(20)
    prior = Prior(0.5, 0.3, 0.3, 1.6)
    covered = np.zeros(3)
    for _ in range(INSPECTIONS):
        mean = rng.normal(prior.mean, prior.u_mean)
        sd = prior.sd * prior.factor ** rng.standard_normal()
        drawn = posterior(inspect(rng, pins, n, mean, sd, half=half), prior)
        truth = mean, sd, ndtr((1 - mean) / sd) - ndtr(-mean / sd)
        values = drawn.mean, drawn.sd, share_inside(drawn, 0.0, 1.0)
        covered += [
            quantile(v, drawn.weight, 0.025) <= t <= quantile(v, drawn.weight, 0.975)
            for v, t in zip(values, truth, strict=True)
        ]
    print(f"{n} holes, pins {pins}: mean, sd, share covered {covered / INSPECTIONS}")
    assert (covered / INSPECTIONS > 0.935).all()
    assert (covered / INSPECTIONS < 0.965).all()


READINGS_ALONE = [
    longest([0, 1], 30, 0.4, 0.45, {"u": 0.05}, id="GO and NO-GO, 30 holes, calibrated"),
    pytest.param([0, 1], 125, 0.4, 0.45, {"u": 0.1}, id="GO and NO-GO, 125 holes, calibrated"),
    pytest.param([0, 1], 125, 0.4, 0.45, {"half": 0.2}, id="GO and NO-GO, 125 holes, ZZ"),
    pytest.param([-1, 0, 1, 2], 30, 0.4, 0.6, {"half": 0.2}, id="four pins, 30 holes, ZZ"),
    longest([-1, 0, 1, 2], 125, 0.4, 0.8, {"half": 0.2}, id="four pins, 125 holes, ZZ"),
    pytest.param(
        [-0.5, 0, 0.5, 1, 1.5], 125, 0.4, 0.4, {"half": 0.1}, id="five pins, 125 holes, Z"
    ),
    longest([-0.5, 0, 0.5, 1, 1.5], 60, 0.4, 0.4, {}, id="five pins, 60 holes, exact"),
]


@pytest.mark.parametrize(("pins", "n", "mean", "sd", "pin"), READINGS_ALONE)
def test_readings_alone_cover_near_their_name(pins, n, mean, sd, pin):
    rng = np.random.default_rng(21)
    truth = mean, sd, ndtr(-mean / sd) + ndtr((mean - 1) / sd)
    covered, fits = np.zeros(4), 0
    for _ in range(INSPECTIONS):
        model = inspect(rng, pins, n, mean, sd, **pin)
        if find_degenerate(model.rows) is not None:
            continue
        fits += 1
        fit = fit_model(model)
        around, alone = rim(fit), rim(fit, two_sided=False)
        intervals = mean_interval(around), sd_interval(around), outside_interval(around, 0.0, 1.0)
        covered[:3] += [low <= t <= high for t, (low, high) in zip(truth, intervals, strict=True)]
        covered[3] += truth[2] <= outside_interval(alone, 0.0, 1.0)[1]
    share = covered / fits
    print(f"{n} holes, pins {pins}, {pin}: {fits} fits; mean, sd, share, bound covered {share}")
    assert (share[:3] > 0.935).all()
    assert share[3] > 0.92
    assert (share < 0.975).all()
