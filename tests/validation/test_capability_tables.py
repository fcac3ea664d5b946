"""Pp, Ppk and their bounds, against tables, the NIST/SEMATECH e-Handbook and simulation.

`capability.json` was computed apart from holewright with scipy.stats 1.17.1 (noncentral t,
chi-square) and Bissell's formula. The handbook's example is section 6.1.6.
"""

import csv
import json
from pathlib import Path

import numpy as np
import pytest

from holewright.callout.callout import Limits
from holewright.errors import NoAnswerError, OutOfRangeError
from holewright.gauging.interval_fit import fit_intervals
from holewright.gauging.profile import mean_interval, rim, sd_interval
from holewright.gauging.straight_line import fit_line
from holewright.proof.capability import (
    performance,
    pp_interval,
    ppk_from_counts,
    ppk_interval,
    ppk_interval_approximate,
    ppk_lower_bound,
    ppk_needed,
    share_beyond,
)
from holewright.proof.drift import performance_over_life
from holewright.proof.fitted import (
    ppk_from_intervals,
    ppk_of_fit,
    ppk_of_sizes,
)
from holewright.proof.zero_bounded import (
    FoldedNormal,
    LogNormal,
    Rayleigh,
    Weibull,
    performance_of_zero_bounded,
)

DATA = Path(__file__).parents[1] / "data"
TABLES = json.loads((DATA / "capability.json").read_text("utf-8"))
LIMITS = Limits(8.0, 8.015)


def test_nist_example():
    nist = TABLES["nist_cp"]
    found = performance(nist["mean"], nist["s"], nist["LSL"], nist["USL"])
    assert found.pp == pytest.approx(nist["Cp"])
    assert found.ppk_upper == pytest.approx(nist["Cpu"])
    assert found.ppk_lower == pytest.approx(nist["Cpl"])
    assert found.ppk == pytest.approx(nist["Cpk"])


@pytest.mark.parametrize("row", TABLES["capability_CI"], ids=lambda r: f"n={r['n']} C={r['Chat']}")
def test_intervals_of_indices(row):
    n, c = row["n"], row["Chat"]
    assert ppk_lower_bound(c, n) == pytest.approx(row["nct_lower95_one_sided_Cpu"], rel=1e-11)
    assert ppk_interval(c, n) == pytest.approx(row["nct95_Cpu"], rel=1e-11)
    assert ppk_interval_approximate(c, n) == pytest.approx(row["bissell95"], rel=1e-12)
    assert ppk_interval_approximate(c, n, 0.90)[0] == pytest.approx(
        row["bissell_lower95_one_sided"], rel=1e-12
    )
    assert pp_interval(c, n) == pytest.approx(row["Cp_chi2_95"], rel=1e-12)
    # The siblings agree within what the approximation claims.
    assert ppk_interval_approximate(c, n) == pytest.approx(ppk_interval(c, n), abs=0.01)


@pytest.mark.parametrize("row", TABLES["cpk_need"], ids=lambda r: f"n={r['n']}")
def test_index_a_sample_must_have_to_show_1_33(row):
    needed = ppk_needed(row["target"], row["n"])
    assert needed == pytest.approx(row["Cpk_hat_needed_nct"], rel=1e-11)
    assert ppk_lower_bound(needed, row["n"]) == pytest.approx(row["target"], rel=1e-10)


@pytest.mark.parametrize("row", TABLES["ppm"], ids=lambda r: str(r["Cpk"]))
def test_parts_per_million_beyond_one_limit(row):
    assert 1e6 * share_beyond(row["Cpk"]) == pytest.approx(row["ppm_one_tail"], rel=1e-12)


@pytest.mark.parametrize("row", TABLES["attr_capability"], ids=lambda r: f"{r['x']} in {r['n']}")
def test_index_that_counting_shows(row):
    seen, lower = ppk_from_counts(row["x"], row["n"])
    assert lower == pytest.approx(row["Ppk_eq_lower95"], rel=1e-12)
    if row["Ppk_eq_point"] is None:
        assert np.isnan(seen)
    else:
        assert seen == pytest.approx(row["Ppk_eq_point"], rel=1e-12)


MODELS = [Rayleigh(4e-5), FoldedNormal(4e-5, 4e-5), LogNormal(6e-5, 0.5), Weibull(2.2, 8e-5)]


@pytest.mark.parametrize(
    ("model", "row"),
    list(zip(MODELS, TABLES["percentile_capability"], strict=True)),
    ids=lambda m: m["dist"] if isinstance(m, dict) else "",
)
def test_zero_bounded_characteristics(model, row):
    found = performance_of_zero_bounded(model, row["USL"])
    assert model.quantile(0.5) == pytest.approx(row["median"], rel=1e-11)
    assert model.quantile(0.99865) == pytest.approx(row["x99865"], rel=1e-11)
    assert found.ppk == pytest.approx(row["Ppk"], rel=1e-11)
    assert found.beyond == pytest.approx(row["p_out"], rel=1e-11)


def test_the_index_of_a_position_is_not_that_of_a_size():
    # Handbook: Rayleigh Ppk 1.555 has 3.727 per million beyond; the normal map would say 1.54.
    found = performance_of_zero_bounded(Rayleigh(4e-5), 2e-4)
    assert 1e6 * found.beyond == pytest.approx(3.727, abs=5e-4)
    assert 1e6 * share_beyond(found.ppk) == pytest.approx(1.54, abs=5e-3)


def test_exact_bound_covers_as_often_as_it_says():
    rng = np.random.default_rng(22514)
    n, trials, true = 30, 20_000, 1.0
    x = rng.standard_normal((trials, n))
    upper = 3 * true  # one limit, three standard deviations off
    seen = (upper - x.mean(axis=1)) / (3 * x.std(axis=1, ddof=1))
    covered = (ppk_lower_bound(seen, n) <= true).mean()
    assert covered == pytest.approx(0.95, abs=0.0062)  # four standard errors of 20,000 trials


def cells(sizes, step=0.002):
    """Put sizes between pins that stand at every step from 8.000 on."""
    low = np.floor((sizes - 8.0) / step) * step + 8.0
    return low, low + step


def test_bounds_from_pins_stand_in_order_the_box_below_the_profile_below_the_estimate():
    rng = np.random.default_rng(5)
    low, high = cells(rng.normal(8.007, 0.0018, 60))
    fit = fit_intervals(low, high)
    around = rim(fit, 0.95)
    ppk, profile = ppk_of_fit(fit, LIMITS)
    same, box = ppk_from_intervals(
        fit.mean, fit.sd, mean_interval(around), sd_interval(around), LIMITS
    )
    assert same == pytest.approx(ppk)
    assert box < profile < ppk


@pytest.mark.slow
def test_profile_bound_from_pins_covers_about_as_often_as_it_says():
    rng = np.random.default_rng(52)
    mean, sd, n, trials = 8.007, 0.002, 60, 600
    true = (8.007 - 8.0) / (3 * sd)
    covered = boxed = 0
    for _ in range(trials):
        fit = fit_intervals(*cells(rng.normal(mean, sd, n), 0.003))
        around = rim(fit, 0.95)
        covered += ppk_of_fit(fit, LIMITS)[1] <= true
        boxed += (
            ppk_from_intervals(
                fit.mean, fit.sd, mean_interval(around), sd_interval(around), LIMITS
            )[1]
            <= true
        )
    assert covered / trials > 0.91  # an approximation: a little bold is what its notes say
    assert boxed / trials >= 0.95


def strd(name):
    rows = csv.DictReader((DATA / f"strd-{name}.csv").read_text("utf-8").splitlines())
    return [{key: float(value) for key, value in row.items()} for row in rows]


def test_trend_line_meets_the_certified_values_of_strd_norris():
    certified = json.loads((DATA / "strd.json").read_text("utf-8"))["norris"]
    rows = strd("norris")
    line = fit_line([r["x"] for r in rows], [r["y"] for r in rows])
    for found, name in (
        (line.intercept, "B0"),
        (line.slope, "B1"),
        (line.se_intercept, "se_B0"),
        (line.se_slope, "se_B1"),
        (line.sd, "resid_sd"),
        (line.r_squared, "R2"),
    ):
        assert found == pytest.approx(certified[name], rel=1e-12), name


def test_mean_and_spread_meet_the_certified_values_of_strd_michelso_and_numacc4():
    certified = json.loads((DATA / "strd.json").read_text("utf-8"))
    x = [r["v"] for r in strd("michelso")]
    ppk, _ = ppk_of_sizes(x, Limits(299.0, 301.0))
    mean, sd = certified["michelso"]["mean"], certified["michelso"]["sd"]
    assert ppk == pytest.approx((mean - 299.0) / (3 * sd), rel=1e-12)
    # NumAcc4: a spread of 0.1 on ten million; stored as doubles the data lose 5e-9 themselves.
    y = [10000000.2, *([10000000.1, 10000000.3] * 500)]
    ppk, _ = ppk_of_sizes(y, Limits(10000000.2 - 0.3, 10000000.2 + 0.6))
    assert ppk == pytest.approx(1.0, rel=2e-8)


def test_tool_wear_is_judged_at_both_ends_and_not_on_the_average():
    # Invented reamer of toolwear.json: .25046 in at first, half a millionth smaller each hole.
    wear = json.loads((DATA / "toolwear.json").read_text("utf-8"))
    line = fit_line(wear["hole"], wear["diameter"])
    assert line.slope == pytest.approx(wear["slope"], rel=1e-11)
    assert line.sd == pytest.approx(wear["s"], rel=1e-11)
    life = performance_over_life(line, Limits(0.2500, 0.2505), first=1, last=500)
    # By hand: mean at hole 1 is .2504657692, room .0000342308, over 3 s = 1.528831e-5: 2.2390.
    assert life.start == pytest.approx(2.2390, abs=5e-5)
    assert life.overall < life.start  # drift in the spread hides what either end can do
    assert life.within > life.overall
    assert life.start_lower < life.start
    assert life.extrapolated == pytest.approx(499 / 275)


def test_bound_at_the_middle_of_a_level_trend_is_that_of_one_freedom_less():
    # At the mean hole number h = 1/n: the only loss is one degree of freedom for the slope.
    x = np.arange(30.0)
    y = 8.007 + 0.001 * np.sin(x * 2.4)
    line = fit_line(x, y)
    bound = ppk_lower_bound(1.5, 1 / line.leverage(line.middle), freedom=line.n - 2)
    assert bound == pytest.approx(ppk_lower_bound(1.5, 30, freedom=28), rel=1e-12)
    assert bound < ppk_lower_bound(1.5, 30)


def test_sizes_that_are_all_the_same_show_no_ppk():
    with pytest.raises(NoAnswerError, match="nothing of how far sizes spread"):
        ppk_of_sizes([8.005] * 30, LIMITS)


def test_one_hole_has_no_spread():
    with pytest.raises(OutOfRangeError, match=r"n = 1\.0: must be at least 2"):
        ppk_lower_bound(1.33, 1)
