"""Interval-censored normal fits against 40-digit references, R, lifelines and scipy.

Source: `interval-normal.json` (invented rows; maximum likelihood by a 40-digit Newton in
mpmath, agreed with R 4.2.2 survival::survreg to 10 digits). Profile intervals and
conformance from the same. lifelines and scipy run live.
"""

import json
import math
from pathlib import Path

import lifelines
import numpy as np
import pytest
from scipy import stats

from holewright.errors import NoAnswerError
from holewright.gauging.degenerate import (
    Shortfall,
    find_degenerate,
    sd_upper,
    sd_upper_one_cell,
)
from holewright.gauging.interval_fit import fit_intervals
from holewright.gauging.profile import extremes, mean_interval, outside_interval, rim, sd_interval
from holewright.gauging.rows import rows_of

DATA = json.loads((Path(__file__).parents[1] / "data" / "interval-normal.json").read_text("utf-8"))
SETS = DATA["datasets"]
FINITE = [name for name, s in SETS.items() if "mle_hp" in s]


def columns(name):
    rows = SETS[name]["rows"]
    lower = np.array([-np.inf if r[0] is None else r[0] for r in rows])
    upper = np.array([np.inf if r[1] is None else r[1] for r in rows])
    return lower, upper, np.array([r[2] for r in rows], float)


@pytest.mark.parametrize("name", FINITE)
@pytest.mark.parametrize("unit", [1.0, 25.4, 2.54e7], ids=["in", "mm", "nm"])
def test_the_fit_is_the_40_digit_one_in_any_unit(name, unit):
    lower, upper, count = columns(name)
    fit = fit_intervals(lower * unit, upper * unit, count)
    hp = SETS[name]["mle_hp"]
    assert fit.mean / unit == pytest.approx(hp["mu"], rel=1e-14)
    assert fit.sd / unit == pytest.approx(hp["sigma"], rel=1e-10)
    assert fit.se_mean / unit == pytest.approx(hp["se_mu"], rel=1e-10)
    assert fit.se_sd / unit == pytest.approx(hp["se_sigma"], rel=1e-10)
    assert fit.se_sd / fit.sd == pytest.approx(hp["se_logsigma"], rel=1e-10)
    assert fit.covariance[0, 1] / unit**2 == pytest.approx(hp["cov_mu_sigma"], rel=1e-9)
    exact = count[lower == upper].sum()
    assert fit.loglik + exact * math.log(unit) == pytest.approx(hp["loglik"], rel=1e-12)


@pytest.mark.parametrize("name", FINITE)
def test_profile_intervals(name):
    around = rim(fit_intervals(*columns(name)), 0.95)
    printed = SETS[name]["profile95"]
    assert mean_interval(around) == pytest.approx(printed["mu"], rel=1e-12)
    assert sd_interval(around) == pytest.approx(printed["sigma"], rel=1e-10)


@pytest.mark.parametrize("name", FINITE)
def test_share_outside_the_limits(name):
    fit, said = fit_intervals(*columns(name)), SETS[name]["conformance"]
    lower, upper = said["L"], said["U"]
    below, above = stats.norm(fit.mean, fit.sd).cdf(lower), stats.norm(fit.mean, fit.sd).sf(upper)
    assert [below, above] == pytest.approx([said["p_below"], said["p_above"]], rel=1e-9)
    # The reference profile is good to about 4 digits by its own note; ours agree to 8.
    interval = outside_interval(rim(fit), lower, upper)
    assert interval == pytest.approx(said["ci95_profile"], rel=1e-7)
    # Delta method by hand: gradient of the share in (mean, sd).
    z = np.array([(lower - fit.mean) / fit.sd, (upper - fit.mean) / fit.sd])
    phi = stats.norm.pdf(z)
    gradient = np.array([phi[1] - phi[0], z[1] * phi[1] - z[0] * phi[0]]) / fit.sd
    se = math.sqrt(gradient @ fit.covariance @ gradient)
    assert se == pytest.approx(said["se_delta"], rel=1e-8)


def test_three_cells_have_a_closed_form():
    # GO .2500, NO-GO .2505: 2 below, 25 between, 3 above.
    fit = fit_intervals(*columns("IC3_go_nogo_two_pins_saturated"))
    z1, z2 = stats.norm.ppf(2 / 30), stats.norm.ppf(27 / 30)
    assert fit.sd == pytest.approx(0.0005 / (z2 - z1), rel=1e-11)
    assert fit.mean == pytest.approx(0.25 - z1 * fit.sd, rel=1e-13)


@pytest.mark.parametrize("name", FINITE)
def test_lifelines_agrees(name):
    # lifelines has no normal fitter: its lognormal on exp of the scaled size is one.
    lower, upper, count = columns(name)
    centre, scale = np.median(lower[np.isfinite(lower)]), 1e-4
    low, high = np.exp((lower - centre) / scale / 10), np.exp((upper - centre) / scale / 10)
    again = lifelines.LogNormalFitter().fit_interval_censoring(
        np.maximum(low, 1e-12), high, weights=count
    )
    fit = fit_intervals(lower, upper, count)
    assert again.mu_ * 10 * scale + centre == pytest.approx(fit.mean, abs=1e-8)
    assert again.sigma_ * 10 * scale == pytest.approx(fit.sd, rel=1e-4)


@pytest.mark.parametrize("name", FINITE)
def test_scipy_agrees_if_helped_with_centre_and_scale(name):
    # In raw inches scipy stops early; in tenths about the middle its simplex gets there.
    lower, upper, count = columns(name)
    centre = np.median(upper[np.isfinite(upper)])
    a, b = (
        np.repeat((lower - centre) * 1e4, count.astype(int)),
        np.repeat((upper - centre) * 1e4, count.astype(int)),
    )
    data = stats.CensoredData(
        uncensored=a[a == b],
        left=b[np.isneginf(a)],
        right=a[np.isposinf(b)],
        interval=np.array(
            [(x, y) for x, y in zip(a, b, strict=True) if np.isfinite(y - x) and x < y]
        ),
    )
    mean, sd = stats.norm.fit(data)
    fit = fit_intervals(lower, upper, count)
    assert mean / 1e4 + centre == pytest.approx(fit.mean, abs=1e-8)
    assert sd / 1e4 == pytest.approx(fit.sd, rel=1e-4)


def test_all_holes_in_one_cell_is_found_before_any_fit():
    rows = rows_of(*columns("ICD1_all_one_interval"))
    trouble = find_degenerate(rows)
    assert trouble.shortfall is Shortfall.ONE_CELL
    assert trouble.sup_loglik == 0
    answer = SETS["ICD1_all_one_interval"]["degenerate_answer"]
    one, two = sd_upper_one_cell(0.0005, 20), sd_upper_one_cell(0.0005, 20, 0.975)
    assert one == pytest.approx(answer["sigma_upper_one_sided95_profile"], rel=1e-10)
    assert two == pytest.approx(answer["sigma_upper95_profile"], rel=1e-10)
    # The general search and the closed form are two ways to one number.
    assert sd_upper(rows) == pytest.approx(one, rel=1e-8)
    with pytest.raises(NoAnswerError, match="every hole fell between the same two sizes"):
        fit_intervals(*columns("ICD1_all_one_interval"))


def test_all_holes_beyond_the_last_pin_is_found_before_any_fit():
    trouble = find_degenerate(rows_of(*columns("ICD4_all_right_censored")))
    assert trouble.shortfall is Shortfall.ABOVE_ALL
    assert sd_upper(rows_of(*columns("ICD4_all_right_censored"))) == math.inf
    with pytest.raises(NoAnswerError, match="check with larger pins"):
        fit_intervals(*columns("ICD4_all_right_censored"))


def test_a_function_of_mean_and_sd_is_bounded_by_the_rim():
    # Ppk of one limit is (U - mean) / 3 sd; check its least value against a grid search.
    fit = fit_intervals(*columns("IC1_step0005_both_tails"))
    low, high = extremes(rim(fit), lambda mean, sd: (0.2510 - mean) / (3 * sd))
    mean, sd = np.meshgrid(np.linspace(0.2495, 0.2501, 801), np.linspace(2.8e-4, 6.5e-4, 801))
    lower, upper, count = columns("IC1_step0005_both_tails")
    with np.errstate(divide="ignore"):
        loglik = sum(
            n * np.log(stats.norm.cdf((b - mean) / sd) - stats.norm.cdf((a - mean) / sd))
            for a, b, n in zip(lower, upper, count, strict=True)
        )
    inside = loglik >= fit.loglik - stats.chi2.ppf(0.95, 1) / 2
    ppk = ((0.2510 - mean) / (3 * sd))[inside]
    # Grid steps of about 1e-6 in move Ppk by up to 0.005.
    assert low == pytest.approx(ppk.min(), abs=0.005)
    assert high == pytest.approx(ppk.max(), abs=0.005)


def test_pass_and_fail_alone_is_a_probit_regression():
    # Feel of a hand: 10 reference sizes in tenths, GO calls of 20. Each call says only on which
    # side of the size the hand's own limit lay. Reference: probit GLM, coefficients by R glm and
    # statsmodels: b0 .245634771 (se .123598), b1 .982539083 (se .119481).
    size = np.array([-3, -2, -1.5, -1, -0.5, 0, 0.5, 1, 1.5, 2.5])
    go = np.array([0, 1, 2, 5, 8, 12, 15, 18, 19, 20])
    fit = fit_intervals(
        np.r_[np.full(10, -np.inf), size], np.r_[size, np.full(10, np.inf)], np.r_[go, 20 - go]
    )
    assert fit.mean == pytest.approx(-0.245634771 / 0.982539083, abs=2e-9)
    assert fit.sd == pytest.approx(1 / 0.982539083, abs=2e-9)
    # se of b1 = 1/sd by the chain rule; of b0 = -mean/sd too.
    turn = np.array([[-1 / fit.sd, fit.mean / fit.sd**2], [0.0, -1 / fit.sd**2]])
    se = np.sqrt(np.diag(turn @ fit.covariance @ turn.T))
    # A GLM's errors are from the expected information, ours from the observed: not the same
    # for a probit, here by .4 %.
    assert se == pytest.approx([0.123598, 0.119481], rel=0.005)
    # Printed with the binomial coefficients in: -11.311531.
    ways = stats.binom.logpmf(go, 20, go / 20).sum() - np.sum(
        go * np.log(np.maximum(go, 1) / 20) + (20 - go) * np.log(np.maximum(20 - go, 1) / 20)
    )
    assert fit.loglik + ways == pytest.approx(-11.311531, abs=1e-6)
