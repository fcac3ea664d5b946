"""Intervals of effects and of sizes at given causes, from the likelihood itself."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy import optimize, stats

from holewright.errors import InputError, NoAnswerError, OutOfRangeError
from holewright.gauging.known_scatter import fit_known_scatter
from holewright.gauging.rows import rows_of
from holewright.gauging.shared_pins import fit_model
from holewright.gauging.size_model import SizeModel
from holewright.gauging.statement import (
    covariance_of_effects,
    difference,
    freedom_of,
    interval_of,
    place_of,
    root_at,
    scatter_of,
    size_at,
)

U = 0.0004


def model(size, x, edges, u=0.0, names=("feed",)):
    """Return holes of these sizes as pins with these true sizes see them."""
    bounds = np.concatenate([[-np.inf], edges, [np.inf]])
    cell = np.searchsorted(edges, size)
    pins = len(edges) if u else 0
    none = np.full(len(size), -1)
    return SizeModel(
        rows_of(bounds[cell], bounds[cell + 1], 1),
        np.where(cell > 0, cell - 1, -1) if u else none,
        np.where(cell < len(edges), cell, -1) if u else none,
        tuple(f"pin {i}" for i in range(pins)),
        np.full(pins, u),
        np.zeros(pins),
        names,
        np.asarray(x, dtype=float).reshape(len(size), -1),
    )


def measured(size, x, names=("feed",)):
    none = np.full(len(size), -1)
    return SizeModel(
        rows_of(size, size, 1),
        none,
        none,
        (),
        np.empty(0),
        np.empty(0),
        names,
        np.asarray(x, dtype=float).reshape(len(size), -1),
    )


@pytest.fixture(scope="module")
def gauged():
    rng = np.random.default_rng(1)
    x = np.arange(60) / 10
    size = 8.007 + 0.0005 * x + 0.002 * rng.standard_normal(60)
    return model(size, x, np.array([8.002, 8.006, 8.010, 8.014]), u=U)


def test_the_interval_of_an_effect_is_where_the_whole_likelihood_has_fallen_so_far(gauged):
    # The same likelihood written out, climbed with the effect held by a general optimiser.
    fit = fit_model(gauged)
    effect = difference(fit, {"feed": 1.0})
    low, high = gauged.rows.lower, gauged.rows.upper
    x = gauged.x[:, 0]

    def fall(p, slope=None):
        mean, b, log_sd, errors = p[0], (p[1] if slope is None else slope), p[2], p[3:] * U
        at_low = low + np.where(gauged.low_gauge >= 0, errors[gauged.low_gauge], 0)
        at_high = high + np.where(gauged.high_gauge >= 0, errors[gauged.high_gauge], 0)
        mu, sd = 8.007 + mean / 1000 + b / 1000 * x, math.exp(log_sd) / 1000
        p_cell = stats.norm.cdf((at_high - mu) / sd) - stats.norm.cdf((at_low - mu) / sd)
        return -np.log(p_cell).sum() + (p[3:] ** 2).sum() / 2

    start = np.array([0.3, 0.4, 0.6, 0, 0, 0, 0])
    top = optimize.minimize(fall, start, method="BFGS", options={"gtol": 1e-9})
    assert effect.value == pytest.approx(top.x[1] / 1000, rel=1e-4)
    for bound in interval_of(effect):
        held = optimize.minimize(
            lambda p, b=bound: fall(p, 1000 * b), top.x, method="BFGS", options={"gtol": 1e-9}
        )
        t = stats.t.ppf(0.975, 58)
        assert 2 * (held.fun - top.fun) == pytest.approx(60 * math.log1p(t * t / 58), rel=1e-4)


def test_of_measured_sizes_the_interval_is_that_of_students_t():
    rng = np.random.default_rng(2)
    x = np.column_stack([np.tile([7.0, 10.0, 13.0], 4), np.arange(12.0)])
    size = 8.007 + 0.0003 * x[:, 0] + 0.001 * rng.standard_normal(12)
    fit = fit_model(measured(size, x, ("feed", "order")))
    from statsmodels.api import OLS, add_constant

    exact = OLS(size, add_constant(x)).fit()
    assert difference(fit, {"feed": 1.0}).value == pytest.approx(exact.params[1], rel=1e-9)
    assert interval_of(difference(fit, {"feed": 1.0})) == pytest.approx(
        tuple(exact.conf_int()[1]), rel=1e-7
    )
    at = exact.get_prediction([[1, 10.0, 3.0]]).conf_int()[0]
    assert interval_of(size_at(fit, {"feed": 10.0, "order": 3.0})) == pytest.approx(
        tuple(at), rel=1e-9
    )
    assert freedom_of(fit) == 9
    assert scatter_of(fit) == pytest.approx(math.sqrt(exact.scale), rel=1e-9)


def test_errors_that_pins_share_move_sizes_but_hardly_differences(gauged):
    shared = fit_model(gauged)
    rows = gauged.rows
    none = np.full(rows.count.size, -1)
    alone = fit_model(
        SizeModel(rows, none, none, (), np.empty(0), np.empty(0), gauged.causes, gauged.x)
    )
    wider = size_at(shared, {"feed": 3.0}).se / size_at(alone, {"feed": 3.0}).se
    assert wider > 1.2
    assert difference(shared, {"feed": 1.0}).se / difference(alone, {"feed": 1.0}).se < 1.08


def test_covariance_and_standard_error_say_the_same(gauged):
    fit = fit_model(gauged)
    covariance = covariance_of_effects(fit)
    assert math.sqrt(covariance[0, 0]) == pytest.approx(fit.se_mean, rel=1e-9)
    assert math.sqrt(covariance[1, 1]) == pytest.approx(difference(fit, {"feed": 1.0}).se)
    step = np.array([1.0, 5.0 - float(fit.hill.scaling.x_centre[0])])
    assert math.sqrt(step @ covariance @ step) == pytest.approx(size_at(fit, {"feed": 5.0}).se)


def test_the_place_of_a_limit_is_mean_less_limit_over_the_scatter(gauged):
    fit = fit_model(gauged)
    place, se = place_of(fit, {"feed": 2.0}, 8.0)
    assert place == pytest.approx((size_at(fit, {"feed": 2.0}).value - 8.0) / scatter_of(fit))
    assert se > 0


def test_the_root_is_0_at_the_best_value_and_rises_through_it(gauged):
    effect = difference(fit_model(gauged), {"feed": 1.0})
    assert root_at(effect, effect.value) == pytest.approx(0, abs=1e-6)
    roots = [root_at(effect, effect.value + k * effect.se) for k in (-2, -1, 1, 2)]
    assert np.diff(roots).min() > 0.8


def test_a_cause_that_is_not_in_the_fit_is_refused_by_name(gauged):
    fit = fit_model(gauged)
    with pytest.raises(InputError, match="cause = speed: must be one of the fit: feed"):
        size_at(fit, {"speed": 1.0})
    with pytest.raises(InputError, match="must change at least one cause"):
        difference(fit, {})
    with pytest.raises(OutOfRangeError, match="confidence = 1"):
        interval_of(difference(fit, {"feed": 1.0}), 1.0)


def straddling(n=20, shift=0.003):
    """Return two rows that lie about one pin: no spread to be seen."""
    rng = np.random.default_rng(4)
    x = np.repeat([0.0, 1.0], n)
    size = 8.010 + shift * (x - 0.5) + 0.0025 * rng.standard_normal(2 * n)
    return model(size, x, np.array([8.010]))


def test_where_pins_show_no_spread_the_forecast_lends_one():
    coarse = straddling()
    with pytest.raises(NoAnswerError, match="can't be told"):
        fit_model(coarse)
    fit = fit_known_scatter(coarse, 0.0025)
    effect = difference(fit, {"feed": 1.0})
    assert effect.value == pytest.approx(0.003, abs=2 * effect.se)
    # Whether there is an effect at all doesn't hang on the scatter that was lent.
    twice = difference(fit_known_scatter(coarse, 0.005), {"feed": 1.0})
    assert root_at(twice, 0.0) == pytest.approx(root_at(effect, 0.0), rel=1e-6)
    assert twice.value == pytest.approx(2 * effect.value, rel=1e-6)


def test_a_cause_that_parts_the_holes_without_exception_has_no_size():
    x = np.repeat([0.0, 1.0], 10)
    parted = model(np.where(x > 0, 8.015, 8.005), x, np.array([8.010]))
    with pytest.raises(NoAnswerError, match="parts the holes without exception"):
        fit_known_scatter(parted, 0.0025)
    one_side = model(np.full(20, 8.03), np.arange(20.0), np.array([8.000, 8.010]))
    with pytest.raises(NoAnswerError, match="one side of all pins"):
        fit_known_scatter(one_side, 0.0025)
