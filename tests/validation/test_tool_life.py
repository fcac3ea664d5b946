"""Tool life against published and reference values.

Sources: NIST StRD, data set Norris (certified); NIST/SEMATECH e-Handbook 6.3.2.2, 6.3.2.4 (control
charts) and 8.4.1.3 (Weibull, censored); W. Nelson, "Applied Life Data Analysis" 1982, p. 415
(cracks); toolwear.json: an invented reamer whose line, Fieller interval and prediction were
reckoned apart, the line also by statsmodels. lifelines and statsmodels are asked live.
"""

from __future__ import annotations

import csv
import json
import math
from pathlib import Path

import numpy as np
import pytest
from lifelines import WeibullFitter
from scipy import optimize, stats
from statsmodels.stats.meta_analysis import combine_effects

from holewright.callout.callout import Limits
from holewright.errors import NoAnswerError
from holewright.life.change import outside_bound
from holewright.life.charts import ewma, individuals
from holewright.life.crossing import fieller, fieller_spread, last_safe_hole
from holewright.life.survival import break_risk, fit_survival
from holewright.life.trend import trend_of_sizes
from holewright.sizing.pooling import pool

DATA = Path(__file__).parents[1] / "data"


def read(name):
    return json.loads((DATA / name).read_text("utf-8"))


def rows(name):
    return list(csv.DictReader((DATA / name).read_text("utf-8").splitlines()))


@pytest.fixture(scope="module")
def wear():
    return read("toolwear.json")


@pytest.fixture(scope="module")
def worn(wear):
    return trend_of_sizes(wear["hole"], wear["diameter"])


def test_both_files_of_the_worn_reamer_hold_the_same_holes(wear):
    table = rows("toolwear.csv")
    assert [float(r["hole"]) for r in table] == wear["hole"]
    assert [float(r["diameter_in"]) for r in table] == wear["diameter"]


def test_the_line_of_norris_meets_its_certified_digits():
    certified = read("strd.json")["norris"]
    table = rows("strd-norris.csv")
    line = trend_of_sizes([float(r["x"]) for r in table], [float(r["y"]) for r in table])
    assert line.at(0) == pytest.approx(certified["B0"], rel=2e-12)
    assert line.slope == pytest.approx(certified["B1"], rel=1e-13)
    assert line.se(0) == pytest.approx(certified["se_B0"], rel=1e-12)
    assert line.se_slope == pytest.approx(certified["se_B1"], rel=1e-12)
    assert line.sd == pytest.approx(certified["resid_sd"], rel=1e-12)


def test_the_line_of_the_worn_reamer(worn, wear):
    assert worn.slope == pytest.approx(wear["slope"], rel=1e-11)
    assert worn.at(0) == pytest.approx(wear["intercept"], rel=1e-14)
    assert worn.sd == pytest.approx(wear["s"], rel=1e-11)
    assert worn.freedom == wear["df"]
    assert worn.se_slope == pytest.approx(wear["se_slope"], rel=1e-11)
    assert worn.se(0) == pytest.approx(wear["se_intercept"], rel=1e-11)
    assert (worn.middle, worn.n) == (wear["xbar"], 12)


def test_where_the_worn_reamer_reaches_its_limit(worn, wear):
    mean = fieller(worn, wear["limit"])
    assert mean.hole == pytest.approx(wear["x_cross"], rel=1e-11)
    assert (mean.lower, mean.upper) == pytest.approx(wear["fieller95_mean_line"], rel=1e-11)
    single = fieller(worn, wear["limit"], single=True)
    assert (single.lower, single.upper) == pytest.approx(
        wear["inverse_pred95_single_hole"], rel=1e-11
    )
    assert fieller_spread(worn) == pytest.approx(wear["g"], rel=1e-10)
    assert last_safe_hole(worn, wear["limit"]) == pytest.approx(
        wear["last_safe_hole_one_sided95_single"], rel=1e-11
    )
    assert last_safe_hole(worn, wear["limit"], single=False) == pytest.approx(
        wear["last_safe_hole_one_sided95_mean"], rel=1e-11
    )
    # The delta rule's symmetric interval would miss that a crossing far out is skew.
    half = 2.228138851964939 * wear["delta_se"]  # t, 10 degrees of freedom
    assert mean.hole - mean.lower < half < mean.upper - mean.hole
    assert mean.reach == pytest.approx(526.657 / 276, rel=1e-6)


def test_the_size_foretold_at_hole_301(worn, wear):
    foretold = wear["pred_at_301"]
    assert worn.at(301) == pytest.approx(foretold["mean"], rel=1e-14)
    assert worn.se(301) == pytest.approx(foretold["se_mean"], rel=1e-11)
    half = stats.t.ppf(0.975, 10) * math.hypot(float(worn.se(301)), worn.sd)
    assert [float(worn.at(301)) - half, float(worn.at(301)) + half] == pytest.approx(
        foretold["pi95"], rel=1e-13
    )


def test_the_bound_on_the_share_outside_is_that_of_the_noncentral_t(worn):
    # At hole 450 with one limit: the noncentrality whose 95 % point is the t seen there.
    limits = Limits(0.2502, math.inf)
    root_h = float(worn.se(450)) / worn.sd
    t = (float(worn.at(450)) - 0.2502) / (worn.sd * root_h)
    place = optimize.brentq(lambda nc: stats.nct.cdf(t, 10, nc) - 0.95, 0, 2 * t, xtol=1e-10)
    assert outside_bound(worn, 450, limits) == pytest.approx(
        stats.norm.sf(place * root_h), rel=1e-5
    )


def test_the_individuals_chart_of_the_handbook():
    check = read("control-charts.json")["individuals"]
    chart = individuals(check["data"])
    assert chart.middle[0] == pytest.approx(check["mean"])
    # The handbook rounds d2 to 1.128; 3 MR/d2 is 4.994, of which that rounding is 0.034 %.
    assert chart.upper[0] == pytest.approx(check["UCL"], abs=0.0018)
    assert chart.lower[0] == pytest.approx(check["LCL"], abs=0.0018)
    exact = 3 * check["MRbar"] / (2 / math.sqrt(math.pi))
    assert chart.upper[0] - chart.middle[0] == pytest.approx(exact, rel=1e-12)
    assert chart.signals.size == 0


def test_the_ewma_chart_of_the_handbook():
    check = read("control-charts.json")["ewma"]
    chart = ewma(check["data"], start=check["ewma0"], sd=check["s"], weight=check["lam"])
    assert chart.points == pytest.approx(check["ewma"][1:], abs=5e-5)
    assert chart.upper[0] == pytest.approx(check["UCL"], rel=1e-12)
    assert chart.lower[-1] == pytest.approx(check["LCL"], rel=1e-12)


def test_the_censored_weibull_of_the_handbook():
    check = read("pub-censored.json")["weibull_nist"]
    life = check["fail"] + [check["censored"]["time"]]
    upper = check["fail"] + [math.inf]
    fit = fit_survival(life, upper, [1] * 10 + [check["censored"]["n"]])
    assert fit.scale == pytest.approx(606.5276, abs=5e-5)
    assert fit.shape == pytest.approx(check["shape"], rel=1e-7)
    assert fit.loglik == pytest.approx(check["loglik"], rel=1e-12)
    assert -2 * fit.loglik + 4 == pytest.approx(check["AIC"], rel=1e-12)
    assert fit.mean == pytest.approx(check["mean"], rel=1e-8)
    assert fit.sd == pytest.approx(check["sd"], rel=1e-7)
    assert fit.quantile(0.1) == pytest.approx(check["B10"], rel=1e-7)
    # As the handbook prints them.
    printed = check["published"]
    assert (round(fit.shape, 4), round(fit.loglik, 3)) == (printed["shape"], printed["loglik"])
    assert (round(fit.mean, 3), round(fit.sd, 3)) == (printed["mean"], printed["sd"])


def test_cracks_found_at_inspections():
    check = read("pub-censored.json")["cracks_months"]["weibull"]
    table = rows("pub-cracks.csv")
    fit = fit_survival(
        [float(r["lower"] or 0) for r in table],
        [float(r["upper"] or "inf") for r in table],
        [float(r["count"]) for r in table],
    )
    assert fit.scale == pytest.approx(check["scale"], rel=1e-9)
    assert fit.shape == pytest.approx(check["shape"], rel=1e-9)
    assert fit.loglik == pytest.approx(check["loglik"], rel=1e-9)
    assert fit.se_log_scale == pytest.approx(check["se_loc"], rel=1e-8)
    assert fit.se_log_shape == pytest.approx(check["se_logscale"], rel=1e-8)
    assert (fit.n, fit.failed) == (167, 94)


def test_lifelines_finds_the_same_lives():
    rng = np.random.default_rng(7)
    life = np.ceil(900 * rng.weibull(2.4, 40))
    changed = np.minimum(life, 700.0)
    broke = life <= 700
    fit = fit_survival(changed, np.where(broke, changed, np.inf))
    sibling = WeibullFitter().fit(changed, broke)
    assert fit.scale == pytest.approx(sibling.lambda_, rel=1e-5)
    assert fit.shape == pytest.approx(sibling.rho_, rel=1e-5)
    assert fit.loglik == pytest.approx(sibling.log_likelihood_, rel=1e-9)
    # Risk of the next 200 holes for one that has cut 500, by the sibling's survival curve.
    at = sibling.survival_function_at_times([500, 700]).to_numpy()
    assert break_risk(fit, 500, 200)[0] == pytest.approx(1 - at[1] / at[0], rel=1e-4)


def test_tools_that_never_broke_have_no_fit_but_a_bound():
    # 59 good of 59: at most 5 % at 95 % (the rule that 59 show 95 %).
    with pytest.raises(NoAnswerError, match=r"at most 5 % of such tools break before that"):
        fit_survival([300.0] * 59, [math.inf] * 59)


def test_the_pooled_mean_of_thirteen_vaccine_trials():
    # The data set that every text on random effects uses: logs of the risk ratio and their
    # variances, restricted likelihood 0.3132, mean -0.7145 (0.1798). From memory.
    y = [-0.8893, -1.5854, -1.3481, -1.4416, -0.2175, -0.7861, -1.6209]
    y += [0.0120, -0.4694, -1.3713, -0.3394, 0.4459, -0.0173]
    v = [0.3256, 0.1946, 0.4154, 0.0200, 0.0512, 0.0069, 0.2230]
    v += [0.0040, 0.0564, 0.0730, 0.0124, 0.5325, 0.0714]
    pooled = pool(y, np.sqrt(v))
    assert pooled.between**2 == pytest.approx(0.3132, abs=2e-4)
    assert pooled.mean == pytest.approx(-0.7145, abs=2e-4)
    assert pooled.se == pytest.approx(0.1798, abs=2e-4)


def test_statsmodels_pools_like_members_alike():
    # With equal errors the restricted likelihood and the iterated moments are one rule.
    y, s = np.array([1.0, 2.0, 4.0, 7.0]), 0.5
    pooled = pool(y, [s] * 4)
    sibling = combine_effects(y, np.full(4, s**2), method_re="iterated", use_t=False)
    assert pooled.between**2 == pytest.approx(sibling.tau2, rel=1e-6)
    assert pooled.between**2 == pytest.approx(y.var(ddof=1) - s**2, rel=1e-12)
    assert pooled.mean == pytest.approx(sibling.mean_effect_re, rel=1e-9)
    assert pooled.se == pytest.approx(sibling.sd_eff_w_re, rel=1e-6)
