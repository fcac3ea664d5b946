"""Designs, effects and power of test plates against published values.

Sources: NIST/SEMATECH e-Handbook, eddy-current probe study (2³, effects, pseudo-replication) and
5.3.3.4.7 (fractions); R. V. Lenth, Technometrics 31 (1989) 469-473 (margins, recomputed in R);
doe.json: power values of statsmodels and R. statsmodels is asked live for ordinal regression.
"""

from __future__ import annotations

import csv
import json
import math
import warnings
from pathlib import Path

import numpy as np
import pytest
from statsmodels.miscmodels.ordinal_model import OrderedModel

from holewright.plate.chip_form import CHIP_FORMS, fit_ordinal
from holewright.plate.columns import model_matrix
from holewright.plate.designs import (
    GENERATORS,
    coded,
    d_efficiency,
    d_optimal,
    defining_words,
    generator_words,
)
from holewright.plate.factors import Factor, FactorKind
from holewright.plate.finish import fit_finish
from holewright.plate.lenth import contrasts, lenth
from holewright.plate.power_of_sizes import (
    power_of_two_rows,
    size_of_anova,
    size_of_pairs,
    size_of_shares,
    size_of_two_rows,
)

DATA = Path(__file__).parents[1] / "data"
DOE = json.loads((DATA / "doe.json").read_text("utf-8"))
EDDY = DOE["eddy"]
NAMES = ("X1", "X2", "X3")


@pytest.fixture(scope="module")
def probe():
    return contrasts(EDDY["Y_standard_order"], NAMES)


def test_the_probe_study_stands_in_standard_order():
    rows = list(csv.DictReader((DATA / "doe-eddy.csv").read_text("utf-8").splitlines()))
    levels = [[float(v) for k, v in row.items() if k.startswith("X")] for row in rows]
    assert np.array_equal(coded(3), levels)
    assert [float(row["Y"]) for row in rows] == EDDY["Y_standard_order"]


def test_the_effects_of_the_probe_study_to_every_printed_digit(probe):
    printed = EDDY["published"]
    assert probe.mean == pytest.approx(printed["mean"], abs=1e-12)
    for names, effect in zip(probe.names, probe.effects, strict=True):
        key = "X" + "".join(name[1] for name in names)
        assert effect == pytest.approx(printed[key], abs=1e-12), key


def test_the_sums_of_squares_of_the_probe_study(probe):
    for names, square in zip(probe.names, probe.sums_of_squares, strict=True):
        key = "X" + "".join(name[1] for name in names)
        assert square == pytest.approx(EDDY["SS"][key], abs=1e-12), key
    assert probe.sums_of_squares.sum() == pytest.approx(EDDY["SS_total"], rel=1e-12)


def test_the_threefold_product_as_error_gives_the_printed_t_values(probe):
    # The handbook takes X123 as error. An effect of 8 runs has the sd 2 s / sqrt(8) = s / sqrt(2),
    # so s = 0.1425 sqrt(2) = 0.20153, and a coefficient, half an effect, has the sd 0.07125.
    x123 = abs(float(probe.effects[-1]))
    assert x123 * math.sqrt(2) == pytest.approx(EDDY["published"]["pseudo_rep_sd"], abs=5e-8)
    assert x123 / 2 == pytest.approx(EDDY["published"]["sd_coefficient"], abs=1e-12)
    for names, effect in zip(probe.names, probe.effects, strict=True):
        key = "X" + "".join(name[1] for name in names)
        assert effect / x123 == pytest.approx(EDDY["published"]["t_values"][key], abs=0.005), key


def test_what_is_left_as_effects_are_taken_up_one_by_one(probe):
    order = np.argsort(-np.abs(probe.effects))
    left = EDDY["SS_total"]
    for taken, printed in enumerate(EDDY["published"]["cum_resid_sd"]):
        assert math.sqrt(left / (7 - taken)) == pytest.approx(printed, abs=5e-6)
        left -= float(probe.sums_of_squares[order[taken]])


def test_margins_of_the_probe_study(probe):
    margin = lenth(probe.effects)
    assert margin.s0 == pytest.approx(EDDY["lenth_s0"], rel=1e-12)
    assert margin.pse == pytest.approx(EDDY["lenth_PSE"], rel=1e-12)
    assert margin.me == pytest.approx(EDDY["lenth_ME_df2333"], rel=1e-9)
    assert margin.sme == pytest.approx(EDDY["lenth_SME"], rel=1e-9)
    # The nice edge: the largest effect passes the one margin and misses the other by .0054.
    assert margin.me < 3.1025 < margin.sme < 3.1025 + 0.0054


@pytest.mark.parametrize(
    ("k", "halvings", "resolution"),
    [
        *((3, 1, 3), (4, 1, 4), (5, 1, 5), (5, 2, 3), (6, 1, 6), (6, 2, 4), (6, 3, 3)),
        *((7, 1, 7), (7, 2, 4), (7, 3, 4), (7, 4, 3)),
    ],
)
def test_fractions_have_the_published_resolution_and_are_balanced(k, halvings, resolution):
    words = defining_words(generator_words(k, halvings))
    assert min(len(word) for word in words) == resolution
    assert len(words) == 2**halvings - 1
    signs = coded(k, halvings)
    assert np.array_equal(signs.T @ signs, len(signs) * np.eye(k))
    for word in words:  # each word is the identity on every run
        assert (np.prod(signs[:, ["ABCDEFG".index(c) for c in word]], axis=1) == 1).all()


def test_every_fraction_of_the_table_is_checked_above():
    assert len(GENERATORS) == 11


def test_the_best_points_of_a_parabola_are_its_ends_and_its_middle():
    # Known since 1918 (Smith): a third of the runs each at -1, 0 and 1.
    x = np.linspace(-1, 1, 41)
    chosen = d_optimal(np.stack([np.ones(41), x, x * x], axis=1), 12)
    assert sorted(x[chosen].round(9)) == [-1.0] * 4 + [0.0] * 4 + [1.0] * 4


def test_exchange_finds_the_half_fraction_where_there_is_one():
    full = np.column_stack([np.ones(8), coded(3)])
    chosen = d_optimal(full, 4, repeats=False)
    assert d_efficiency(full[chosen]) == pytest.approx(1.0)


def test_an_awkward_plate_is_cut_as_well_as_any_choice_of_its_settings_can_be():
    # Five of nine settings, two forbidden: small enough to try every choice.
    from itertools import combinations

    factors = (
        Factor(FactorKind.FEED, (0.8, 1.0, 1.2)),
        Factor(FactorKind.SPEED, (0.8, 1.0, 1.2)),
    )
    allowed = [
        (f, s) for f in (0.8, 1.0, 1.2) for s in (0.8, 1.0, 1.2) if not (f == 1.2 and s >= 1.0)
    ]
    x = model_matrix(factors, allowed)
    best = max(
        float(np.linalg.det(x[list(c)].T @ x[list(c)])) for c in combinations(range(len(x)), 5)
    )
    chosen = d_optimal(x, 5, repeats=False)
    assert np.linalg.det(x[chosen].T @ x[chosen]) == pytest.approx(best, rel=1e-9)


def test_power_of_measured_sizes_is_that_of_the_classical_tests():
    check, r = DOE["power"], DOE["power_R"]
    assert size_of_two_rows(0.5) == pytest.approx(check["two_sample_t_d0_5"], rel=1e-7)
    assert size_of_two_rows(1.0, 0.9) == pytest.approx(check["two_sample_t_d1_power_0_9"], rel=1e-7)
    assert size_of_two_rows(1.0, 0.9) == pytest.approx(r["power_t_test_delta1_sd1_p90"], abs=5e-5)
    assert size_of_pairs(0.5) == pytest.approx(check["paired_t_d0_5"], rel=1e-6)
    assert size_of_anova(0.25, 4) == pytest.approx(check["anova_f0_25_k4_total"], rel=1e-8)
    assert size_of_shares(0.10, 0.02) == pytest.approx(check["prop_10_vs_02"], rel=1e-9)
    assert power_of_two_rows(0.8, 20) == pytest.approx(check["power_n20_d0_8"], rel=1e-12)


def test_statsmodels_finds_the_same_odds_for_chips():
    rng = np.random.default_rng(0)
    x = np.column_stack([rng.choice([7.0, 8.5, 10.0, 11.5, 13.0], 80), np.arange(80.0)])
    place = -0.6 * x[:, 0] + 0.01 * x[:, 1] + rng.logistic(size=80)
    y = np.digitize(place, [-7, -5.5, -4])
    fit = fit_ordinal([CHIP_FORMS[i] for i in y], x, CHIP_FORMS)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # it stops at its own last digit and says so
        sibling = OrderedModel(y, x, distr="logit").fit(method="bfgs", disp=0, gtol=1e-10)
    assert fit.effects == pytest.approx(sibling.params[:2], rel=1e-6)
    assert [fit.se(0), fit.se(1)] == pytest.approx(sibling.bse[:2], rel=1e-5)
    assert fit.loglik == pytest.approx(sibling.llf, rel=1e-11)
    assert fit.shares([10.0, 40.0]) == pytest.approx(
        sibling.predict(np.array([[10.0, 40.0]]))[0], rel=1e-6
    )


def test_statsmodels_finds_the_same_factor_on_finish():
    from statsmodels.api import OLS, add_constant

    rng = np.random.default_rng(1)
    x = np.column_stack([rng.choice([7.0, 10.0, 13.0], 30), np.arange(30.0)])
    ra = 0.4 * np.exp(0.08 * (x[:, 0] - 10) + 0.1 * rng.standard_normal(30))
    fit = fit_finish(ra, x)
    sibling = OLS(np.log(ra), add_constant(x)).fit()
    assert fit.coefficients == pytest.approx(sibling.params, rel=1e-9)
    low, high = np.exp(sibling.conf_int()[1])
    assert fit.factor(0)[1:] == pytest.approx((low, high), rel=1e-9)
