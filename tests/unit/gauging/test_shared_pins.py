"""Pins whose own error many holes share: more holes don't average it away."""

import math

import numpy as np
import pytest

from holewright.errors import InputError, NoAnswerError
from holewright.gauging.density import log_density, slopes
from holewright.gauging.interval_fit import fit_intervals
from holewright.gauging.profile import mean_interval, outside_interval, rim, sd_interval
from holewright.gauging.rows import rows_of
from holewright.gauging.shared_pins import fit_model
from holewright.gauging.size_model import SizeModel, density_of, exact_model

# Pins .2495, .2500, .2505 in tenths about .2500, and holes between them.
PINS = np.array([-5.0, 0.0, 5.0])
COUNTS = np.array([2.0, 10.0, 14.0, 4.0])


def model(counts=COUNTS, u=1.0, rectangular=True, x=None, names=()):
    lower, upper = np.r_[-np.inf, PINS], np.r_[PINS, np.inf]
    n = counts.size
    return SizeModel(
        rows_of(lower, upper, counts),
        np.array([-1, 0, 1, 2]),
        np.array([0, 1, 2, -1]),
        ("a", "b", "c"),
        np.full(3, u),
        np.full(3, u * math.sqrt(3) if rectangular else 0.0),
        names,
        np.empty((n, 0)) if x is None else x,
    )


def test_the_derivatives_are_those_of_the_density():
    rng = np.random.default_rng(3)
    causes = np.array([[0.0], [1.0], [2.0], [1.5]])
    density, _ = density_of(model(x=causes, names=("feed",)))
    psi = np.array([0.1, -0.2, 1.3, 0.1, -0.15, 0.2])
    gradient, hessian = slopes(density, psi)
    step = 1e-6
    for i in range(psi.size):
        e = np.eye(psi.size)[i] * step
        by_difference = (log_density(density, psi + e) - log_density(density, psi - e)) / (2 * step)
        assert gradient[i] == pytest.approx(by_difference, rel=1e-6, abs=1e-6)
        up, _ = slopes(density, psi + e)
        down, _ = slopes(density, psi - e)
        assert hessian[i] == pytest.approx((up - down) / (2 * step), rel=1e-5, abs=1e-5)
    assert hessian == pytest.approx(hessian.T)
    # And in one call for many.
    many = psi + 0.01 * rng.standard_normal((7, psi.size))
    together, _ = slopes(density, many)
    assert together[3] == pytest.approx(slopes(density, many[3])[0])


def test_pins_of_exact_size_give_the_plain_fit():
    plain = fit_intervals(np.r_[-np.inf, PINS], np.r_[PINS, np.inf], COUNTS)
    shared = fit_model(model(u=1e-6))
    assert shared.mean == pytest.approx(plain.mean, rel=1e-9)
    assert shared.sd == pytest.approx(plain.sd, rel=1e-9)
    assert shared.covariance == pytest.approx(plain.covariance, rel=1e-6)
    assert sd_interval(rim(shared)) == pytest.approx(sd_interval(rim(plain)), rel=1e-7)
    again = fit_model(exact_model(plain.rows))
    assert (again.mean, again.sd) == pytest.approx((plain.mean, plain.sd), rel=1e-10)


def test_doubtful_pins_widen_every_interval():
    def widths(u):
        around = rim(fit_model(model(u=u)))
        spans = [mean_interval(around), sd_interval(around), outside_interval(around, -9.0, 9.0)]
        return [high - low for low, high in spans]

    exact, doubtful, poor = widths(1e-6), widths(1.0), widths(2.0)
    assert all(a < b < c for a, b, c in zip(exact, doubtful, poor, strict=True))


def test_a_hundred_times_the_holes_leaves_what_the_pins_leave():
    # With no end of holes the mean is known as well as the pins: three errors of u = 1, each
    # moving the mean by its share of the information; at best u/sqrt(3) for equal shares.
    few, many = fit_model(model()), fit_model(model(COUNTS * 1000))
    assert many.se_mean < few.se_mean
    assert 1 / math.sqrt(3) < many.se_mean < 1.0
    exact = fit_model(model(COUNTS * 1000, u=1e-6))
    assert exact.se_mean < many.se_mean / 10


def test_profile_intervals_agree_with_the_marginal_likelihood_by_brute_force():
    # Two pins with normal errors: integrate both out on a grid and profile that instead. Laplace
    # is exact up to the slow change of the integral's width with mean and sd.
    pins, counts, u = np.array([0.0, 5.0]), np.array([6.0, 17.0, 7.0]), 0.5
    fit = fit_model(
        SizeModel(
            rows_of(np.r_[-np.inf, pins], np.r_[pins, np.inf], counts),
            np.array([-1, 0, 1]),
            np.array([0, 1, -1]),
            ("go", "no-go"),
            np.full(2, u),
            np.zeros(2),
            (),
            np.empty((3, 0)),
        )
    )
    from scipy.stats import chi2, norm

    e = np.linspace(-4.5 * u, 4.5 * u, 61)
    prior = norm.pdf(e, 0, u)
    mean, sd = np.meshgrid(np.linspace(-0.5, 5.5, 61), np.geomspace(2, 10, 60), indexing="ij")
    z1 = norm.cdf((pins[0] + e - mean[..., None]) / sd[..., None])[..., :, None]
    z2 = norm.cdf((pins[1] + e - mean[..., None]) / sd[..., None])[..., None, :]
    like = z1 ** counts[0] * np.maximum(z2 - z1, 0) ** counts[1] * (1 - z2) ** counts[2]
    loglik = np.log((like * prior[:, None] * prior).sum((-1, -2)))
    drop = chi2.ppf(0.95, 1) / 2
    kept = loglik >= loglik.max() - drop
    by_force = mean[kept].min(), mean[kept].max(), sd[kept].min(), sd[kept].max()
    ours = *mean_interval(rim(fit)), *sd_interval(rim(fit))
    # The grid is 0.1 in the mean and 3 % in the sd.
    assert ours[:2] == pytest.approx(by_force[:2], abs=0.15)
    assert ours[2:] == pytest.approx(by_force[2:], rel=0.05)


def test_what_a_cause_does_is_told_from_pin_readings():
    # Holes at feed 1 and at feed 2, the second 3 tenths larger: a thousand of each, exact pins.
    from scipy.stats import norm

    cells = [
        np.diff(norm.cdf(np.r_[-np.inf, PINS, np.inf], mean, 4.0)) * 1000 for mean in (-1.0, 2.0)
    ]
    lower, upper = np.r_[-np.inf, PINS], np.r_[PINS, np.inf]
    both = SizeModel(
        rows_of(np.tile(lower, 2), np.tile(upper, 2), np.concatenate(cells)),
        np.full(8, -1),
        np.full(8, -1),
        (),
        np.empty(0),
        np.empty(0),
        ("feed",),
        np.repeat([1.0, 2.0], 4)[:, None],
    )
    fit = fit_model(both)
    (feed,) = fit.effects
    assert feed.name == "feed"
    assert feed.value == pytest.approx(3.0, abs=1e-6)
    assert fit.mean == pytest.approx(0.5, abs=1e-6)
    assert fit.sd == pytest.approx(4.0, abs=1e-6)
    # Each group alone knows its mean to a standard error s; their difference to s root 2.
    alone = fit_intervals(lower, upper, cells[0])
    assert feed.se == pytest.approx(alone.se_mean * math.sqrt(2), rel=0.05)


def test_causes_that_explain_every_hole_leave_no_spread_to_see():
    stepped = SizeModel(
        rows_of([-np.inf, -5.0, 0.0, 5.0], [-5.0, 0.0, 5.0, np.inf], [5, 5, 5, 5]),
        np.full(4, -1),
        np.full(4, -1),
        (),
        np.empty(0),
        np.empty(0),
        ("hole number",),
        np.array([[1.0], [2.0], [3.0], [4.0]]),
    )
    with pytest.raises(NoAnswerError, match="the causes explain every hole"):
        fit_model(stepped)


def test_pin_errors_that_the_counts_suggest_are_reported_and_small():
    # The middle pin looks 3 tenths large: too many holes below it. Its u of 1 lets it move.
    odd = fit_model(model(np.array([2.0, 22.0, 4.0, 2.0]), u=1.0))
    named = {g.name: g for g in odd.gauge_errors}
    assert named["b"].value > 0.3
    assert named["b"].se < 1.0


def test_a_cause_that_follows_from_another_is_refused_by_name():
    from holewright.gauging.size_model import _check_causes

    with pytest.raises(InputError, match="cause = speed"):
        _check_causes(np.array([[1.0, 2.0], [2.0, 4.0], [3.0, 6.0]]), ("feed", "speed"))
    with pytest.raises(InputError, match="cause = feed"):
        _check_causes(np.array([[1.0], [1.0]]), ("feed",))


def test_pins_that_could_explain_everything_are_refused_and_not_fitted():
    # Steps of .75, errors up to .4 either way: a case that drew the fit to no spread at all.
    # No hole was found between .75 and 1.5.
    counts = [23, 59, 66, 120, 32]
    touching = SizeModel(
        rows_of([-np.inf, -1.5, -0.75, 0.0, 1.5], [-1.5, -0.75, 0.0, 0.75, np.inf], counts),
        np.array([-1, 0, 1, 2, 4]),
        np.array([0, 1, 2, 3, -1]),
        tuple("abcde"),
        np.full(5, 0.4 / math.sqrt(3)),
        np.full(5, 0.4),
        (),
        np.empty((5, 0)),
    )
    with pytest.raises(NoAnswerError, match="Calibrate the pins"):
        fit_model(touching)
