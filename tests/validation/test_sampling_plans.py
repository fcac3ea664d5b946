"""Sampling plans, against MIL-STD-105E / ISO 2859-1, the NIST/SEMATECH e-Handbook and scipy.

`sampling-plans.json`: code letters and acceptance numbers read from MIL-STD-105E tables I and
II-A; OC values computed with scipy.stats. `c0-plans.csv`: zero-acceptance samples for small
lots, computed with scipy.stats.hypergeom. The handbook's n = 52, c = 3 is section 6.2.3.
"""

import csv
import json
from pathlib import Path

import numpy as np
import pytest
from scipy import stats

from holewright.errors import InputError, NoAnswerError, OutOfRangeError
from holewright.proof.plans import (
    acceptance_probability,
    acceptance_probability_in_lot,
    average_outgoing_quality,
    quality_accepted,
    two_point_plan,
    zero_plan,
)
from holewright.proof.sampling import (
    holes_needed,
    holes_needed_in_lot,
    outside_in_lot_upper,
    outside_upper,
)
from holewright.proof.standard_plans import code_letter, standard_plan
from holewright.proof.variables_plan import k_acceptance_probability, k_plan, quality_statistic

DATA = Path(__file__).parents[1] / "data"
PLANS = json.loads((DATA / "sampling-plans.json").read_text("utf-8"))
C0 = list(csv.DictReader((DATA / "c0-plans.csv").read_text("utf-8").splitlines()))


@pytest.mark.parametrize("row", C0, ids=lambda r: f"N={r['N']} p={r['LTPD']} beta={r['beta']}")
def test_zero_acceptance_samples(row):
    lot, share, beta = int(row["N"]), float(row["LTPD"]), float(row["beta"])
    n = int(row["n_hyper_Dceil"])
    assert zero_plan(share, beta, lot).n == n
    assert zero_plan(share, beta).n == int(row["n_binomial"])
    if row["n_hyper_Dfloor"]:
        cautious = zero_plan(share, beta, lot, cautious=True).n
        assert cautious == int(float(row["n_hyper_Dfloor"]))
    outside = int(row["D_ceil"])
    at = acceptance_probability_in_lot(n, 0, outside, lot)
    before = acceptance_probability_in_lot(n - 1, 0, outside, lot)
    assert at == pytest.approx(float(row["Pa_at_n_Dceil"]), rel=1e-11)
    assert before == pytest.approx(float(row["Pa_at_nminus1_Dceil"]), rel=1e-11)


@pytest.mark.parametrize(
    ("share", "n_95", "n_90"),
    [
        (0.10, 29, 22),
        (0.05, 59, 45),
        (0.04, 74, 57),
        (0.025, 119, 91),
        (0.02, 149, 114),
        (0.01, 299, 230),
        (0.005, 598, 460),
    ],
)
def test_good_holes_that_show_a_share_by_counting(share, n_95, n_90):
    assert holes_needed(1 - share, 0.95) == n_95
    assert holes_needed(1 - share, 0.90) == n_90
    assert outside_upper(0, n_95, 0.95) <= share < outside_upper(0, n_95 - 1, 0.95)


def test_lot_bound_is_the_inverse_of_scipys_hypergeometric():
    for lot, checked, bad in [(125, 6, 0), (125, 30, 1), (480, 60, 2), (20, 19, 0), (50, 50, 3)]:
        most = outside_in_lot_upper(lot, checked, bad, 0.95)
        possible = np.arange(bad, lot - checked + bad + 1)
        believed = possible[stats.hypergeom.cdf(bad, lot, possible, checked) > 0.05]
        assert most == believed.max(), (lot, checked, bad)


def test_a_probability_of_exactly_five_per_cent_counts_as_shown():
    # 95 of 100 good, one bad in the rest: it escapes with 5/100 exactly, and 0.05 <= 0.05.
    assert holes_needed_in_lot(100, 0, 0.95) == 95
    assert outside_in_lot_upper(100, 95, 0, 0.95) == 0


def test_nist_plan_52_3_and_its_outgoing_quality():
    plan = PLANS["nist_n52_c3"]
    p = np.array([float(key) for key in plan["Pa"]])
    np.testing.assert_allclose(  # printed to six decimals
        acceptance_probability(52, 3, p), list(plan["Pa"].values()), atol=5.1e-7
    )
    np.testing.assert_allclose(
        average_outgoing_quality(52, 3, p, 10_000), list(plan["AOQ_N10000"].values()), atol=5.1e-7
    )


@pytest.mark.parametrize(
    "row", PLANS["iso2859_plans_OC_binomial"], ids=lambda r: f"{r['code']}{r['Ac']}"
)
def test_what_the_standard_plans_let_through(row):
    n, c = row["n"], row["Ac"]
    assert acceptance_probability(n, c, row["AQL"]) == pytest.approx(row["Pa_at_AQL"], rel=1e-12)
    for probability, key in ((0.95, "p95"), (0.50, "p50"), (0.10, "p10"), (0.05, "p05")):
        assert quality_accepted(n, c, probability) == pytest.approx(row[key], rel=1e-10)
    plan = standard_plan(_a_lot_of(row["code"]), 100 * row["AQL"])
    assert (plan.n, plan.c) == (n, c)


def _a_lot_of(letter):
    row = next(r for r in PLANS["code_letters_level_II"] if r["letter"] == letter)
    return int(row["lot"].split("-")[0])


@pytest.mark.parametrize("row", PLANS["code_letters_level_II"], ids=lambda r: r["letter"])
def test_code_letters_at_both_ends_of_each_lot_range(row):
    first, last = row["lot"].split("-")
    assert code_letter(int(first)) == row["letter"]
    if last:
        assert code_letter(int(last)) == row["letter"]


@pytest.mark.parametrize("aql", ["0.65", "1.0", "1.5", "2.5"])
def test_acceptance_numbers_as_printed(aql):
    printed = PLANS["single_normal_Ac"]["AQL_" + aql.replace(".", "_")]
    for letter, c in printed.items():
        assert standard_plan(_a_lot_of(letter), float(aql)).c == c
        assert standard_plan(_a_lot_of(letter), float(aql)).letter == letter


def test_arrows_lead_to_the_neighbour_that_has_a_plan():
    # AQL 1.0: F has E's plan above it, G goes down to H's; A to D go down to E's.
    assert (standard_plan(125, 1.0).letter, standard_plan(250, 1.0).letter) == ("E", "H")
    assert standard_plan(60, 1.0).letter == "E"
    assert standard_plan(20, 1.0).letter == "E"


def test_a_sample_as_large_as_the_lot_means_check_them_all():
    assert standard_plan(10, 1.0).n == 10


def test_an_aql_that_is_not_tabled_is_refused_with_those_that_are():
    with pytest.raises(InputError, match=r"must be one of 0\.1, 0\.15"):
        standard_plan(125, 1.2)


@pytest.mark.parametrize("row", PLANS["two_point_design"], ids=lambda r: f"{r['p1']}-{r['p2']}")
def test_two_point_designs(row):
    plan = two_point_plan(row["p1"], row["alpha"], row["p2"], row["beta"])
    assert (plan.n, plan.c) == (row["n"], row["c"])
    assert acceptance_probability(plan.n, plan.c, row["p1"]) == pytest.approx(row["Pa1"], rel=1e-12)
    assert acceptance_probability(plan.n, plan.c, row["p2"]) == pytest.approx(row["Pa2"], rel=1e-12)


def test_mil_std_414_example_b_1_is_accepted():
    example = PLANS["milstd414_B1"]
    x = np.array(example["data"])
    q = quality_statistic(x.mean(), x.std(ddof=1), upper=example["U"])
    assert q == pytest.approx(example["Q"], rel=1e-12)
    assert q >= example["k"]


@pytest.mark.parametrize("row", PLANS["k_method_OC"], ids=lambda r: f"n={r['n']} p={r['p']}")
def test_oc_curve_by_variables(row):
    assert k_acceptance_probability(row["n"], row["k"], row["p"]) == pytest.approx(
        row["Pa"], rel=1e-11
    )


def test_design_by_variables_needs_a_fifth_of_the_sample():
    row = PLANS["k_design"][0]
    plan = k_plan(row["p1"], row["alpha"], row["p2"], row["beta"])
    assert plan.n == row["n"]
    assert plan.k == pytest.approx(row["k"], rel=1e-11)
    by_counts = two_point_plan(row["p1"], row["alpha"], row["p2"], row["beta"])
    assert by_counts.n > 2 * plan.n


def test_more_checked_than_there_are_is_refused():
    with pytest.raises(OutOfRangeError, match="at most the lot of 125"):
        outside_in_lot_upper(125, 126)


def test_too_many_bad_already_has_no_answer():
    with pytest.raises(NoAnswerError, match="2 are outside already, and 1 allowed"):
        holes_needed_in_lot(125, 1, bad=2)
