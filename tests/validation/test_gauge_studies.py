"""Gauge studies, against published data sets, the NIST/SEMATECH e-Handbook and NIST StRD.

- 10 parts × 3 operators × 3 trials: the data set of a widely taught measurement systems manual;
  readings seen in public test files, results computed apart from holewright (statsmodels).
- 2 × 5 × 3: Vardeman & VanValkenburg, Technometrics 41 (1999) 202-211.
- Resistivity probe 2362: NIST/SEMATECH e-Handbook, section 2.6.1, printed to 4 digits.
- Go curve: probit model, computed with statsmodels; invented counts.
- SiRstv: NIST StRD, analysis of variance, certified values.
"""

import csv
import json
from pathlib import Path

import numpy as np
import pytest
from scipy import integrate, stats

from holewright.errors import InputError, NoAnswerError, OutOfRangeError
from holewright.gauging.feel import fit_feel
from holewright.gauging.gauge_bias import bias_at, linearity, pooled_sd, reading_sd
from holewright.gauging.gauge_study import (
    analysis_of_variance,
    study_by_anova,
    study_by_ranges,
    study_table,
)
from holewright.gauging.range_constants import d2, d2_of_one

DATA = Path(__file__).parents[1] / "data"
GRR = json.loads((DATA / "grr.json").read_text("utf-8"))
STUDIES = ["grr_10x3x3", "grr_2x5x3"]


def rows(name):
    return list(csv.DictReader((DATA / f"{name}.csv").read_text("utf-8").splitlines()))


def readings(study):
    table = rows(study.replace("_", "-"))
    return study_table(
        [r["part"] for r in table],
        [r["operator"] for r in table],
        [float(r["value"]) for r in table],
    )


@pytest.mark.parametrize("study", STUDIES)
def test_analysis_of_variance(study):
    expected = GRR[study]
    found = analysis_of_variance(readings(study))
    for i, name in enumerate(("part", "op", "inter", "rep")):
        # The 2 × 5 × 3 sums of 1e-4 stand on readings of 3: the file's own lose 1e-13 / 1e-4.
        assert found.sums[i] == pytest.approx(expected["SS"][name], rel=1e-9)
        assert found.freedom[i] == expected["df"][name]
        assert found.means[i] == pytest.approx(expected["MS"][name], rel=1e-9)
    for i, name in enumerate(("part", "op", "inter")):
        assert found.f[i] == pytest.approx(expected["F_with_interaction"][name], rel=1e-9)
        assert found.p[i] == pytest.approx(expected["p"][name], rel=1e-9)
    assert sum(found.sums) == pytest.approx(expected["SS_total"], rel=1e-11)


@pytest.mark.parametrize("study", STUDIES)
def test_components_with_the_interaction_pooled(study):
    expected = GRR[study]["reduced"]
    found = study_by_anova(readings(study))
    assert found.method == "anova, interaction pooled"  # p = 0.97 and 0.50, both above 0.25
    assert found.repeat_freedom == expected["df_pooled"]
    assert found.repeatability == pytest.approx(expected["rep"], rel=1e-10)
    assert found.operator == pytest.approx(expected["op"], rel=1e-10)
    assert found.part == pytest.approx(expected["part"], rel=1e-10)
    assert found.gauge == pytest.approx(expected["GRR"], rel=1e-10)
    assert found.total == pytest.approx(expected["total"], rel=1e-10)
    assert found.gauge_sd == pytest.approx(expected["sd"]["GRR"], rel=1e-10)
    assert 100 * found.share_of_variance == pytest.approx(
        expected["pct_contribution"]["GRR"], rel=1e-10
    )
    assert 100 * found.share_of_study == pytest.approx(expected["pct_study_var"]["GRR"], rel=1e-10)
    assert found.categories_exact == pytest.approx(expected["ndc"], rel=1e-10)
    assert found.repeatability_interval() == pytest.approx(GRR[study]["EV_sd_ci95"], rel=1e-10)


@pytest.mark.parametrize("study", STUDIES)
def test_components_with_the_interaction_kept(study):
    expected = GRR[study]["varcomp_full"]
    found = study_by_anova(readings(study), pool=False)
    assert found.repeatability == pytest.approx(expected["rep"], rel=1e-10)
    assert found.operator == pytest.approx(expected["op"], rel=1e-9)
    assert found.interaction == 0  # a negative estimate counts as none
    assert found.part == pytest.approx(expected["part"], rel=1e-10)


def test_average_and_range_with_the_manuals_constants():
    expected = GRR["grr_10x3x3"]["average_range"]
    found = study_by_ranges(readings("grr_10x3x3"))
    # Printed constants have four digits, ours all: 1 part in 3000 of K3 = .3146 is the coarsest.
    assert 1 / d2(3) == pytest.approx(expected["K1"], abs=5e-5)
    assert 1 / d2_of_one(3) == pytest.approx(expected["K2"], abs=5e-5)
    assert 1 / d2_of_one(10) == pytest.approx(expected["K3"], abs=5e-5)
    assert np.sqrt(found.repeatability) == pytest.approx(expected["EV"], rel=3e-4)
    assert np.sqrt(found.operator) == pytest.approx(expected["AV"], rel=3e-4)
    assert found.gauge_sd == pytest.approx(expected["GRR"], rel=3e-4)
    assert np.sqrt(found.part) == pytest.approx(expected["PV"], rel=3e-4)
    assert 100 * found.share_of_study == pytest.approx(expected["pct"]["GRR"], rel=5e-4)
    assert found.categories_exact == pytest.approx(expected["ndc"], rel=5e-4)


def test_the_two_methods_give_different_categories_on_the_same_readings():
    y = readings("grr_10x3x3")
    assert study_by_anova(y).categories == 4
    assert study_by_ranges(y).categories == 5


def test_gauge_against_a_tolerance():
    study = study_by_anova(readings("grr_2x5x3"))
    # Six times .0079094 over a tolerance of .060, by hand: 79 %.
    assert study.share_of_tolerance(0.060) == pytest.approx(0.79094, abs=1e-4)


def test_range_constants_by_closed_forms_and_a_second_integration():
    assert d2(2) == pytest.approx(2 / np.sqrt(np.pi), rel=1e-12)
    assert d2(3) == pytest.approx(3 / np.sqrt(np.pi), rel=1e-12)
    assert d2_of_one(2) == pytest.approx(np.sqrt(2), rel=1e-12)
    assert d2_of_one(3) == pytest.approx(np.sqrt(2 + 3 * np.sqrt(3) / np.pi), rel=1e-12)
    for n in (5, 10):
        exact, _ = integrate.quad(
            lambda x, n=n: 1 - stats.norm.cdf(x) ** n - stats.norm.sf(x) ** n, -9, 9, epsabs=1e-12
        )
        assert d2(n) == pytest.approx(exact, rel=1e-10)


def test_strd_sirstv_as_a_study_of_one_factor():
    # Five instruments as parts, and their five readings split over a dummy of two operators
    # can't be balanced; so the five readings stand as five operators with the trial doubled:
    # between instruments the sum of squares is then twice the certified one.
    table = rows("strd-sirstv")
    certified = json.loads((DATA / "strd.json").read_text("utf-8"))["sirstv"]
    y = np.array([float(r["resistance"]) for r in table]).reshape(5, 5)
    found = analysis_of_variance(np.stack([y, y], axis=2))
    between, within = found.sums[0] / 2, (found.sums[1] + found.sums[2]) / 2
    assert between == pytest.approx(certified["SSB"], rel=1e-10)
    assert within == pytest.approx(certified["SSW"], rel=1e-10)
    f = (between / 4) / (within / 20)
    assert f == pytest.approx(certified["F"], rel=1e-10)
    assert found.sums[3] == 0  # doubled trials don't scatter


def test_a_tiny_scatter_on_a_large_size_keeps_its_digits():
    y = readings("grr_2x5x3")
    moved = analysis_of_variance(y * 2**-10 + 4096.0)  # both exact in binary but for rounding
    still = analysis_of_variance(y * 2**-10)
    assert moved.f[2] == pytest.approx(still.f[2], rel=1e-6)


def test_nist_resistivity_study_pooled_over_wafers():
    nist = GRR["nist_gauge_study_resistivity"]
    wafers = nist["wafers"]
    run1 = pooled_sd([w["sd1"] for w in wafers], 5)
    run2 = pooled_sd([w["sd2"] for w in wafers], 5)
    assert run1 == pytest.approx(nist["level2"]["run1"], abs=6e-6)  # printed to 1e-5
    assert run2 == pytest.approx(nist["level2"]["run2"], abs=6e-6)
    assert pooled_sd([run1, run2], 25) == pytest.approx(nist["level2"]["pooled"], abs=6e-6)
    level1 = pooled_sd([nist["level1"]["run1"], nist["level1"]["run2"]], 150)
    assert level1 == pytest.approx(nist["level1"]["pooled"], abs=6e-6)
    s3 = pooled_sd([w["s3"] for w in wafers])
    assert s3 == pytest.approx(nist["level3"]["pooled"], abs=6e-5)  # printed to 1e-4
    from_means = pooled_sd([abs(w["mean1"] - w["mean2"]) / np.sqrt(2) for w in wafers])
    assert from_means == pytest.approx(nist["recheck"]["s3_pooled"], rel=1e-9)
    single = reading_sd(0.07287, 0.03617, 0.0196, repeats=6, days_a_run=6)
    assert single == pytest.approx(nist["derived_single_measurement_sd"]["value"], rel=1e-10)


def test_nist_check_standard_limits():
    check = GRR["nist_check_standard"]
    # Two standard deviations about the mean of the check standard, printed to 1e-5.
    assert check["mean"] + 2 * check["level2_s2"] == pytest.approx(check["UCL_2s"], abs=6e-6)
    assert check["level1_s1"] * np.sqrt(check["F95_5_125"]) == pytest.approx(
        check["UCL_precision"], abs=6e-6
    )


def test_go_curve_of_a_hand():
    expected = GRR["gauge_probit"]
    found = fit_feel(expected["ref_tenths"], expected["go"], expected["n_each"])
    assert found.intercept == pytest.approx(expected["b0"], rel=1e-8)
    assert found.slope == pytest.approx(expected["b1"], rel=1e-8)
    # statsmodels takes its covariance one step before it stops: 3e-8 away from ours.
    assert np.sqrt(np.diag(found.covariance)) == pytest.approx(expected["se"], rel=1e-7)
    assert found.clearance == pytest.approx(expected["bias_tenths"], rel=1e-8)
    assert found.sd == pytest.approx(expected["sigma_tenths"], rel=1e-8)
    assert found.loglik == pytest.approx(expected["loglik"], rel=1e-10)
    assert found.deviance == pytest.approx(expected["deviance"], rel=1e-8)


def test_a_go_curve_in_millimetres_is_the_same_curve():
    expected = GRR["gauge_probit"]
    mm = np.array(expected["ref_tenths"]) * 0.00254
    found = fit_feel(mm, expected["go"], expected["n_each"])
    assert found.sd == pytest.approx(expected["sigma_tenths"] * 0.00254, rel=1e-8)
    assert found.goes(-0.25 * 0.00254) == pytest.approx(0.5, abs=1e-9)


def test_a_hand_sharper_than_its_steps_has_no_curve():
    with pytest.raises(NoAnswerError, match="sharper than the sizes are apart"):
        fit_feel([-2, -1, 1, 2], [0, 0, 5, 5], 5)


def test_bias_against_a_master_is_students_t():
    x = [10.0013, 10.0009, 10.0011, 10.0015, 10.0008, 10.0010]
    found = bias_at(x, 10.0)
    reference = stats.ttest_1samp(x, 10.0)
    interval = reference.confidence_interval(0.95)
    # Sizes of 10 mm with 0.1 µm of digits: 1e-8 is what both sides can hold.
    assert found.p == pytest.approx(reference.pvalue, rel=1e-7)
    assert found.interval == pytest.approx((interval.low - 10, interval.high - 10), rel=1e-7)
    assert found.shown


def test_linearity_on_strd_norris():
    certified = json.loads((DATA / "strd.json").read_text("utf-8"))["norris"]
    table = rows("strd-norris")
    found = linearity([float(r["y"]) for r in table], [float(r["x"]) for r in table])
    # Readings less masters: the certified slope less 1, with the same scatter.
    assert found.line.slope == pytest.approx(certified["B1"] - 1, rel=1e-10)
    assert found.line.intercept == pytest.approx(certified["B0"], rel=1e-11)
    assert found.line.se_slope == pytest.approx(certified["se_B1"], rel=1e-11)
    reach = stats.t.ppf(0.975, 34) * certified["se_B1"]
    assert found.slope_interval == pytest.approx(
        (certified["B1"] - 1 - reach, certified["B1"] - 1 + reach), rel=1e-9
    )
    assert found.shown


def test_a_study_with_a_reading_missing_is_refused_with_its_place():
    with pytest.raises(InputError, match="part 2, operator B = 1 readings: must be 2"):
        study_table(list("11112222")[:7], list("AABBAABB")[:7], [1.0] * 7)


def test_a_study_of_one_operator_has_no_reproducibility_to_tell():
    with pytest.raises(OutOfRangeError, match="at least 2 of each"):
        study_by_anova(np.zeros((10, 1, 3)))


def test_operators_who_disagree_on_some_parts_only_show_as_interaction():
    rng = np.random.default_rng(9)
    y = rng.normal(0, 0.001, (10, 3, 3)) + np.linspace(0, 0.02, 10)[:, None, None]
    y[5:, 1, :] += 0.006
    study = study_by_anova(y)
    assert study.method == "anova"
    assert analysis_of_variance(y).p[2] < 1e-6
    assert study.interaction > study.repeatability


def test_components_come_back_on_the_mean_of_many_simulated_studies():
    rng = np.random.default_rng(52)
    found = []
    for _ in range(400):
        y = (
            rng.normal(0, 3.0, (10, 1, 1))
            + rng.normal(0, 1.0, (1, 5, 1))
            + rng.normal(0, 0.8, (10, 5, 1))
            + rng.normal(0, 0.5, (10, 5, 2))
        )
        s = study_by_anova(y, pool=False)
        found.append((s.repeatability, s.operator, s.interaction, s.part))
    mean, error = np.mean(found, axis=0), np.std(found, axis=0) / 20
    assert (np.abs(mean - [0.25, 1.0, 0.64, 9.0]) < 4 * error).all()
