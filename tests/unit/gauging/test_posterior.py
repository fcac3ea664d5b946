"""A forecast corrected by readings, with pins that stay doubtful."""

import math

import numpy as np
import pytest
from scipy import stats

from holewright.errors import OutOfRangeError
from holewright.gauging.posterior import (
    Prior,
    most_outside,
    posterior,
    prior_of,
    quantile,
    quasi_normals,
    share_inside,
)
from holewright.gauging.rows import rows_of
from holewright.gauging.size_model import SizeModel
from holewright.uncertainty import SizeDistribution, Tag, Term

INF = np.inf


def model(counts, pins=(0.0, 5.0), half=1.0):
    pins, counts = np.asarray(pins), np.asarray(counts, float)
    j = len(pins)
    there = counts > 0
    return SizeModel(
        rows_of(np.r_[-INF, pins][there], np.r_[pins, INF][there], counts[there]),
        np.r_[-1, np.arange(j)][there],
        np.r_[np.arange(j), -1][there],
        tuple(f"pin {i}" for i in range(j)),
        np.full(j, half / math.sqrt(3)),
        np.full(j, half),
        (),
        np.empty((int(there.sum()), 0)),
    )


def by_brute_force(counts, prior, pins=(0.0, 5.0), half=1.0):
    """Return mean and sd of the posterior of (mean, sd) on a grid, both pins integrated out."""
    nodes, weights = np.polynomial.legendre.leggauss(31)
    e, w = nodes * half, weights / 2
    mean, ln_sd = np.meshgrid(np.linspace(-5, 10, 81), np.linspace(-2, 3.5, 71), indexing="ij")
    sd = np.exp(ln_sd)
    z1 = ((pins[0] + e - mean[..., None]) / sd[..., None])[..., :, None]
    z2 = ((pins[1] + e - mean[..., None]) / sd[..., None])[..., None, :]
    with np.errstate(divide="ignore"):
        between = np.log(stats.norm.cdf(z2) - stats.norm.cdf(z1))
    below, above = stats.norm.logcdf(z1), stats.norm.logsf(z2)
    loglik = sum(
        n * part for n, part in zip(counts, (below, between, above), strict=True) if n
    ) + np.zeros_like(between)
    density = (np.exp(loglik - loglik.max()) * w[:, None] * w).sum((-1, -2))
    density *= stats.norm.pdf(mean, prior.mean, prior.u_mean)
    density *= stats.norm.pdf(ln_sd, math.log(prior.sd), math.log(prior.factor))
    density /= density.sum()
    centre = (density * mean).sum()
    ln = (density * ln_sd).sum()
    return (
        centre,
        math.sqrt((density * (mean - centre) ** 2).sum()),
        ln,
        math.sqrt((density * (ln_sd - ln) ** 2).sum()),
    )


@pytest.mark.parametrize(
    "counts",
    [
        pytest.param([3, 22, 5], id="three cells"),
        pytest.param([0, 30, 0], id="one cell: no fit exists"),
        pytest.param([0, 0, 4], id="all beyond the last pin"),
        pytest.param([60, 440, 100], id="pins are the limit"),
    ],
)
def test_the_draws_are_those_of_the_posterior(counts):
    prior = Prior(2.0, 2.0, 2.0, 2.0)
    drawn = posterior(model(counts), prior)
    centre, spread, ln, ln_spread = by_brute_force(counts, prior)
    w = drawn.weight
    assert w.sum() == pytest.approx(1)
    assert drawn.ess > 400
    # Monte Carlo: a standard error is the spread over root ess, here under 5 %.
    assert w @ drawn.mean == pytest.approx(centre, abs=0.1 * spread)
    assert math.sqrt(w @ (drawn.mean - centre) ** 2) == pytest.approx(spread, rel=0.1)
    assert w @ np.log(drawn.sd) == pytest.approx(ln, abs=0.1 * ln_spread)
    assert math.sqrt(w @ (np.log(drawn.sd) - ln) ** 2) == pytest.approx(ln_spread, rel=0.1)


def test_the_normal_approximation_is_near_where_readings_are_many():
    drawn = posterior(model([60, 440, 100], half=0.01), Prior(2.0, 5.0, 2.0, 3.0))
    centre, u = drawn.laplace_mean
    assert centre == pytest.approx(drawn.weight @ drawn.mean, abs=0.1 * u)
    assert u == pytest.approx(math.sqrt(drawn.weight @ (drawn.mean - centre) ** 2), rel=0.1)
    assert drawn.ess > 0.4 * drawn.weight.size


def test_without_a_word_from_the_readings_the_forecast_stands():
    # One hole checked with a pin far below: it says nothing new.
    drawn = posterior(model([0, 0, 1], pins=(-90.0, -80.0)), Prior(2.0, 1.0, 2.0, 1.5))
    assert quantile(drawn.mean, drawn.weight, 0.5) == pytest.approx(2.0, abs=0.05)
    assert quantile(drawn.sd, drawn.weight, 0.5) == pytest.approx(2.0, rel=0.05)


def test_a_forecast_gives_what_is_shared_to_the_mean_and_what_varies_to_the_scatter():
    forecast = SizeDistribution(
        (
            Term("reamer", 8.006, 0.003, Tag.MEASURED, "micrometer"),
            Term("runout", 0.002, 0.005, Tag.COMPUTED, "", varies=0.004),
        )
    )
    prior = prior_of(forecast)
    assert prior.mean == pytest.approx(8.008)
    assert prior.sd == pytest.approx(0.004)
    assert prior.u_mean == pytest.approx(math.hypot(0.003, 0.003))


def test_the_number_outside_in_a_lot_counts_doubt_and_chance():
    drawn = posterior(model([3, 22, 5], half=0.01), Prior(2.0, 5.0, 3.0, 3.0))
    none = most_outside(drawn, -100.0, 100.0, 500)
    some = most_outside(drawn, 0.0, 5.0, 500)
    assert none == 0
    outside = 1 - drawn.weight @ share_inside(drawn, 0.0, 5.0)
    # More than the expectation, and the tail beyond it is 5 %: by simulation.
    assert some > 500 * outside
    rng = np.random.default_rng(1)
    pick = rng.choice(drawn.weight.size, 200_000, p=drawn.weight)
    lots = rng.binomial(500, 1 - share_inside(drawn, 0.0, 5.0)[pick])
    assert (lots <= some).mean() >= 0.95 - 0.003
    assert (lots <= some - 1).mean() < 0.95 + 0.003
    assert most_outside(drawn, 0.0, 5.0, 0) == 0


def test_the_same_readings_give_the_same_answer():
    one, two = (posterior(model([3, 22, 5]), Prior(2.0, 2.0, 2.0)) for _ in range(2))
    assert (one.mean == two.mean).all()
    assert (one.weight == two.weight).all()


def test_quasi_normals_are_normal_in_each_direction_and_not_alike():
    points = quasi_normals(6)
    assert points.mean(0) == pytest.approx(0, abs=0.02)
    assert points.std(0) == pytest.approx(1, abs=0.02)
    assert np.corrcoef(points.T) == pytest.approx(np.eye(6), abs=0.03)


def test_a_prior_that_is_none_is_refused():
    with pytest.raises(OutOfRangeError, match="u_mean = 0"):
        Prior(8.0, 0.0, 0.004)
    with pytest.raises(OutOfRangeError, match="factor = 1"):
        Prior(8.0, 0.1, 0.004, 1.0)


def test_a_pin_error_that_presses_against_the_end_of_its_class_still_has_an_answer():
    # Pins .2 apart at worst: 2 holes of 125 between them press both errors to their ends.
    pressed = SizeModel(
        rows_of([-0.5, 0.0, 0.5], [0.0, 0.5, 1.0], [115, 2, 8]),
        np.array([0, 1, 2]),
        np.array([1, 2, 3]),
        ("a", "b", "c", "d"),
        np.full(4, 0.2 / math.sqrt(3)),
        np.full(4, 0.2),
        (),
        np.empty((3, 0)),
    )
    drawn = posterior(pressed, Prior(0.5, 0.3, 0.3, 1.6))
    assert drawn.ess > 100
    counts = drawn.weight > 1e-9
    assert (np.abs(drawn.errors[counts]) <= 0.2).all()
    b, c = drawn.weight @ drawn.errors[:, 1], drawn.weight @ drawn.errors[:, 2]
    assert b > 0.1
    assert c < -0.1
