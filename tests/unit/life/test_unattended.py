"""What an unattended run risks, and how often it pays to check."""

from __future__ import annotations

import math

import numpy as np
import pytest

from holewright.callout.callout import Limits
from holewright.errors import OutOfRangeError
from holewright.life.charts import trend_limits
from holewright.life.survival import fit_survival
from holewright.life.tool_change import believed, judge_life
from holewright.life.trend import strongest_bend, trend_of_sizes
from holewright.life.unattended import (
    CheckCosts,
    cheapest_interval,
    cost_of_interval,
    run_risk,
)

LIMITS = Limits(8.000, 8.015)


def worn(n=400, drift=-3e-5, sd=0.001, times=1):
    x = np.linspace(1.0, n, times * n)
    # As even as noise gets, and the same for everybody.
    noise = np.sin(np.arange(x.size) * 2.399963)
    return trend_of_sizes(x, 8.0115 + drift * x + sd * math.sqrt(2) * noise)


def test_the_risk_of_a_run_is_that_of_its_holes_where_the_line_is_well_known():
    # By hand: the line is 8.0115 - 3e-5 x, sd 0.001. Holes 281 to 290.
    trend = worn(times=50)
    risk = run_risk(trend, LIMITS, 280, 10)
    from scipy.stats import norm

    x = np.arange(281, 291)
    inside = norm.cdf((8.0115 - 3e-5 * x - 8.0) / 0.001)
    assert risk.any_outside == pytest.approx(1 - inside.prod(), rel=0.02)
    assert risk.expected_outside == pytest.approx((1 - inside).sum(), rel=0.02)


def test_risk_rises_with_the_run_and_with_the_life():
    trend = worn()
    assert (
        run_risk(trend, LIMITS, 200, 50).any_outside < run_risk(trend, LIMITS, 200, 100).any_outside
    )
    assert (
        run_risk(trend, LIMITS, 200, 50).any_outside < run_risk(trend, LIMITS, 300, 50).any_outside
    )


def test_a_line_hardly_known_risks_more_than_one_well_known():
    few = trend_of_sizes(
        np.arange(1.0, 161, 20),
        8.0115
        - 3e-5 * np.arange(1.0, 161, 20)
        + 0.001 * np.array([1, -1, 0.5, -0.5, 1, -1, 0.5, -0.5]) * 1.1,
    )
    assert (
        run_risk(few, LIMITS, 160, 40).any_outside > run_risk(worn(), LIMITS, 160, 40).any_outside
    )


def test_parts_at_risk_are_those_made_since_the_last_good_check():
    # 120 holes, four a part, 50 s a part: 30 parts and 25 minutes.
    risk = run_risk(worn(), LIMITS, 100, 120, holes_a_part=4, seconds_a_part=50)
    assert (risk.parts_at_risk, risk.minutes) == (30, 25)


def test_a_broken_tool_adds_to_the_risk():
    life = fit_survival([300.0, 420.0, 510.0, 600.0], [300.0, 420.0, 510.0, math.inf])
    risk = run_risk(worn(), LIMITS, 280, 60, survival=life)
    assert 0 < risk.breaks < risk.breaks_upper < 1
    assert risk.any_trouble > max(risk.any_outside, risk.breaks)


def test_nonsense_is_refused_by_name():
    with pytest.raises(OutOfRangeError, match="holes = 0"):
        run_risk(worn(), LIMITS, 10, 0)


def test_without_drift_the_cheapest_interval_is_the_classical_root():
    # sqrt(2 c_check / (c_bad rate)): 2 for a check, 50 for a bad hole, one break in 5000 holes.
    assert cheapest_interval(CheckCosts(2, 50, 30, 1 / 5000))[0] == round(
        math.sqrt(2 * 2 * 5000 / 50)
    )


def test_the_cost_of_an_interval_is_what_a_simulated_shop_pays():
    costs = CheckCosts(check=2, bad_hole=50, change=30, break_rate=1 / 400)
    rng = np.random.default_rng(3)
    h, intervals = 40, 200_000
    fault = np.floor(rng.exponential(400, intervals) + 0.5)  # hole from which all are bad
    bad = np.maximum(h - fault, 0).mean()
    paid = (costs.check + costs.bad_hole * bad) / h
    assert float(cost_of_interval(h, costs)) == pytest.approx(paid, rel=0.02)


def test_drift_and_dear_tools_ask_for_checks_more_often():
    still = cheapest_interval(CheckCosts(2, 5, 300, 1 / 50_000))[0]
    drifting = cheapest_interval(CheckCosts(2, 5, 300, 1 / 50_000, life=400))[0]
    assert drifting < still


def test_the_cheapest_interval_is_cheaper_than_its_neighbours():
    costs = CheckCosts(3, 20, 40, 1 / 3000, life=500)
    best, cost = cheapest_interval(costs)
    for other in (best - 1, best + 1):
        assert cost <= float(cost_of_interval(other, costs))


def test_limits_that_go_with_the_wear_signal_a_jump_but_not_the_wear():
    x = np.arange(1.0, 61)
    size = 8.0115 - 3e-5 * x + 0.0004 * np.sin(x * 2.4)
    trend = trend_of_sizes(x, size)
    assert trend_limits(x, size, trend).signals.size == 0
    jumped = size.copy()
    jumped[40] += 0.003
    assert trend_limits(x, jumped, trend).signals.tolist() == [40]


def test_the_document_says_when_to_change_and_what_keeps_it_from_being_known_better():
    trend = worn(200)
    document = judge_life(
        "R 8-C", trend, LIMITS, run_risk(trend, LIMITS, 200, 60, holes_a_part=4), target=0.01
    )
    assert document.sentence.startswith(f"R 8-C: change it after hole {document.change.hole}")
    codes = [reason.code for reason in document.because]
    assert codes[:2] == ["drift", "crossing"]
    assert "run" in codes
    assert document.crossing.lower < document.crossing.hole < document.crossing.upper
    assert any("chip nest" in line for line in document.cautions)


def test_a_tool_past_its_hole_is_to_be_changed_now():
    trend = worn(380)
    document = judge_life("R", trend, LIMITS, run_risk(trend, LIMITS, 380, 20), target=0.01)
    assert "change it now" in document.sentence


def test_a_life_far_beyond_the_holes_measured_is_said_to_be_stretched():
    trend = worn(60)
    document = judge_life("R", trend, LIMITS, run_risk(trend, LIMITS, 60, 20), target=0.05)
    assert "stretched" in [reason.code for reason in document.because]


def test_only_a_bend_that_chance_seldom_makes_is_believed():
    x = np.arange(1.0, 81)
    noise = 0.0005 * np.sin(x * 2.4)
    bent = 8.01 + 8e-5 * np.minimum(x - 30, 0) - 1e-5 * x + noise
    straight = 8.01 - 1e-5 * x + noise
    for size, want in ((bent, True), (straight, False)):
        knees = np.quantile(x, np.linspace(0.1, 0.9, 15))
        bend = strongest_bend([trend_of_sizes(x, size, knee=k) for k in knees])
        line = trend_of_sizes(x, size)
        assert (believed(line, bend) is bend.trend) == want
