"""Conformity of a measured hole, against JCGM 106:2012 and ISO 14253-1:2017.

Inputs of the guide's clause 7 examples are from memory; their results, and all risks in
`conformity.json`, were computed apart from holewright with scipy.stats 1.17.1 by numerical
integration. The bivariate normal is checked a second way, live, against scipy.stats.
"""

import json
from pathlib import Path

import numpy as np
import pytest
from scipy import integrate, stats

from holewright.errors import OutOfRangeError
from holewright.proof.conformance import (
    acceptance_limits,
    conformance_probability,
    decide,
    guard_band,
    nonconformance_probability,
    rejection_limits,
    size_given_process,
)
from holewright.proof.risk import global_risks

DATA = json.loads((Path(__file__).parents[1] / "data" / "conformity.json").read_text("utf-8"))
CLAUSE_7 = [
    pytest.param(-5.47, 0.05, -np.inf, -5.40, 0.92, "zener", id="upper limit only: Zener, V"),
    pytest.param(509.7, 8.6, 490.0, np.inf, 0.99, "burst", id="lower limit only: burst, kPa"),
    pytest.param(13.6, 1.8, 12.5, 16.3, 0.66, "oil", id="both limits: oil, mm2/s"),
]


@pytest.mark.parametrize(("y", "u", "lower", "upper", "printed", "key"), CLAUSE_7)
def test_agrees_with_the_guide_to_its_last_printed_digit(y, u, lower, upper, printed, key):
    p_c = conformance_probability(y, u, lower, upper)
    assert p_c == pytest.approx(printed, abs=0.005)
    assert p_c == pytest.approx(DATA["jcgm106"][key], rel=1e-13)


def test_speed_that_proves_a_driver_too_fast_at_99_9_per_cent():
    # Guide's radar example: u is 2 % of the speed read, the limit 100 km/h.
    v = DATA["jcgm106"]["radar_v_for_99_9"]
    assert nonconformance_probability(v, 0.02 * v, -np.inf, 100) == pytest.approx(0.999, rel=1e-12)
    assert nonconformance_probability(107, 2.14, -np.inf, 100) == pytest.approx(
        DATA["jcgm106"]["radar_pc_at_107"], rel=1e-13
    )


@pytest.mark.parametrize("case", DATA["global_risk"], ids=lambda c: c["case"])
def test_global_risks_to_one_part_in_a_hundred_million(case):
    risks = global_risks(
        case["y0"],
        case["u0"],
        case["um"],
        lower=case["TL"],
        upper=case["TU"],
        accept_from=case["AL"],
        accept_to=case["AU"],
    )
    # Measured: 3e-14 absolute; the file's own quadrature is no better. Asked for: 1e-6.
    assert risks.consumer == pytest.approx(case["RC"], abs=1e-12)
    assert risks.producer == pytest.approx(case["RP"], abs=1e-12)
    assert risks.accepted == pytest.approx(case["P_accept"], abs=1e-12)
    assert risks.conforming == pytest.approx(case["p_conform"], abs=1e-12)
    assert risks.outside_among_accepted == pytest.approx(case["RC_given_accept"], abs=1e-10)


def test_risks_agree_with_plain_integration_for_coarse_and_fine_gauges():
    for u in (1e-4, 3e-4, 3e-3, 0.02):
        risks = global_risks(8.006, 0.003, u, lower=8.0, upper=8.015)

        def accepted_outside(size, u=u):
            density = stats.norm.pdf(size, 8.006, 0.003)
            return density * (stats.norm.cdf((8.015 - size) / u) - stats.norm.cdf((8.0 - size) / u))

        span = max(10 * u, 0.01)
        below, _ = integrate.quad(
            accepted_outside, 8.0 - span, 8.0, epsabs=1e-14, limit=200, points=[8.0 - 2 * u]
        )
        above, _ = integrate.quad(
            accepted_outside, 8.015, 8.015 + span, epsabs=1e-14, limit=200, points=[8.015 + 2 * u]
        )
        assert risks.consumer == pytest.approx(below + above, abs=1e-11), u


def test_one_side_without_limit_is_the_quadrant_of_the_bivariate_normal():
    risks = global_risks(0.0, 1.0, 0.2, lower=-np.inf, upper=1.0)
    spread = np.hypot(1.0, 0.2)
    rho = 1.0 / spread
    # True above 1 and measured at or below 1.
    both_below = stats.multivariate_normal.cdf([-1.0, 1.0 / spread], cov=[[1, -rho], [-rho, 1]])
    assert risks.consumer == pytest.approx(both_below, abs=1e-10)


def test_a_mean_right_on_the_limit_is_no_special_case():
    # Owen's T is singular where a standardised limit is 0; neighbours must agree with it.
    on, beside = (
        global_risks(mean, 0.003, 0.001, lower=8.0, upper=8.015) for mean in (8.0, 8.0 + 1e-12)
    )
    assert on.consumer == pytest.approx(beside.consumer, abs=1e-9)
    assert on.conforming == pytest.approx(0.5, abs=1e-6)


@pytest.mark.parametrize("case", DATA["global_risk"], ids=lambda c: c["case"])
def test_accepted_is_conforming_less_producer_plus_consumer(case):
    risks = global_risks(case["y0"], case["u0"], case["um"], lower=case["TL"], upper=case["TU"])
    assert risks.accepted == pytest.approx(
        risks.conforming - risks.producer + risks.consumer, abs=1e-14
    )


def test_knowing_the_process_moves_the_verdict_on_one_hole():
    p = DATA["posterior"]
    size, u = size_given_process(p["ym"], p["um"], p["y0"], p["u0"])
    assert size == pytest.approx(p["post_mean"], rel=1e-12)
    assert u == pytest.approx(p["post_u"], rel=1e-12)
    assert conformance_probability(p["ym"], p["um"], 0.25, 0.2505) == pytest.approx(
        p["pc_no_prior"], rel=1e-9
    )
    assert conformance_probability(size, u, 0.25, 0.2505) == pytest.approx(p["pc_prior"], rel=1e-9)


def test_iso_14253_default_draws_the_limits_in_by_1_65_u():
    example = DATA["guard_iso14253"]["example"]
    assert guard_band(example["u"]) == pytest.approx(example["g"], rel=1e-12)
    low, high = acceptance_limits(example["TL"], example["TU"], example["u"])
    assert (low, high) == pytest.approx((example["AL"], example["AU"]), rel=1e-12)
    # Mirror rule of the standard: to prove nonconformance, the limits move out instead.
    out_low, out_high = rejection_limits(example["TL"], example["TU"], example["u"])
    assert low - example["TL"] == pytest.approx(example["TL"] - out_low)
    assert out_high - example["TU"] == pytest.approx(example["TU"] - high)


def test_at_the_acceptance_limit_95_per_cent_conform_as_the_standard_promises():
    low, _ = acceptance_limits(8.0, 8.015, 0.001)
    # k = 1.65 is ndtri(0.95) = 1.645 rounded up: 95.05 %.
    assert conformance_probability(low, 0.001, 8.0, 8.015) == pytest.approx(0.9505, abs=5e-5)


def test_a_hole_measured_on_its_limit_is_a_coin_toss():
    assert conformance_probability(10.015, 0.0005, 10.0, 10.015) == pytest.approx(0.5)


def test_one_call_judges_a_plate_and_a_poorer_instrument_proves_less():
    plate = np.array([[10.003], [10.012]])  # sizes down, uncertainties across
    p_c = conformance_probability(plate, [0.001, 0.002, 0.004], 10.0, 10.015)
    assert p_c.shape == (2, 3)
    assert (np.diff(p_c, axis=1) < 0).all()


def test_a_risk_of_one_in_a_billion_keeps_its_digits():
    # Six standard uncertainties inside: 1 - p_c has 7 digits left there, the tail has all.
    assert nonconformance_probability(8.006, 0.001, 8.0, np.inf) == pytest.approx(
        stats.norm.sf(6), rel=1e-12
    )


def test_a_zero_uncertainty_is_refused_by_name_with_what_would_be_accepted():
    with pytest.raises(OutOfRangeError, match=r"u = 0\.0: must be more than 0"):
        conformance_probability(10.0, [0.001, 0.0], 9.9, 10.1)


def test_a_guard_band_that_eats_the_tolerance_is_refused_as_a_rule_for_risks():
    low, high = acceptance_limits(8.0, 8.015, 0.005)
    assert low > high
    with pytest.raises(OutOfRangeError, match="guard bands leave nothing"):
        global_risks(8.007, 0.002, 0.005, lower=8.0, upper=8.015, accept_from=low, accept_to=high)


def test_pins_at_their_worst_need_no_guard_band_and_a_bore_gauge_does():
    # Pins bound the hole surely; the bore gauge reads 0.4 µm inside with u = 0.5 µm.
    said = decide([8.0, 8.0004], [8.015, 8.0004], [0.0, 0.0005], 8.0, 8.015)
    assert said.tolist() == ["accept", "can't tell"]
