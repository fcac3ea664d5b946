"""Size over the life of a reamer: the line, its bend, and where it reaches a limit."""

from __future__ import annotations

import math

import numpy as np
import pytest

from holewright.callout.callout import Limits
from holewright.errors import InputError, NoAnswerError, OutOfRangeError
from holewright.gauging.reading import Reading
from holewright.gauging.reading_interval import hole_sizes
from holewright.life.between import expected_trend, like_tools
from holewright.life.change import change_hole, outside_bound, share_outside
from holewright.life.crossing import fieller, last_safe_hole, profile_crossing
from holewright.life.trend import find_bend, strongest_bend, trend_of_readings, trend_of_sizes
from holewright.shop.pin import BoreGauge, InstrumentKind, Pin, Sense
from holewright.shop.shop import Shop
from holewright.uncertainty import Known, Tag

LIMITS = Limits(8.000, 8.015)
STEEL = 11.5e-6


def pin(size, u=0.0002):
    return Pin(f"{size:.3f}", size, Sense.PLUS, "", Known(size, Tag.MEASURED, "certificate", u))


def shop_with(pins, u_gauge=0.0005):
    gauge = BoreGauge("bore", InstrumentKind.THREE_POINT, Known(u_gauge, Tag.MEASURED), 0.001)
    return Shop(
        name="bench",
        machines=(),
        holders=(),
        drills=(),
        reamers=(),
        pins=pins,
        bore_gauges=(gauge,),
    )


def by_pins(sizes, pins):
    """Return the readings of somebody who tries the pins from the smallest up."""
    readings = []
    for hole, size in enumerate(sizes, start=1):
        for p in pins:
            goes = bool(size >= p.calibrated.value)
            readings.append(Reading(str(hole), p.id, goes=goes))
            if not goes:
                break
    return readings


def holes_of(readings, shop):
    return hole_sizes(readings, shop, material_alpha=STEEL)[0]


def worn_reamer(n=120, start=8.011, drift=-3e-5, sd=0.0012, seed=3, every=4):
    rng = np.random.default_rng(seed)
    cut = 1 + every * np.arange(n)
    return cut, start + drift * cut + sd * rng.standard_normal(n)


@pytest.fixture(scope="module")
def pins():
    return tuple(pin(size) for size in (7.998, 8.002, 8.006, 8.010, 8.014))


@pytest.fixture(scope="module")
def pin_trend(pins):
    cut, sizes = worn_reamer()
    holes = holes_of(by_pins(sizes, pins), shop_with(pins))
    return trend_of_readings(holes, {h.hole: float(cut[int(h.hole) - 1]) for h in holes})


def test_pins_show_the_drift_that_was_there(pin_trend):
    assert pin_trend.slope == pytest.approx(-3e-5, abs=2.5 * pin_trend.se_slope)
    assert pin_trend.at(1) == pytest.approx(8.011, abs=3 * float(pin_trend.se(1)))
    assert pin_trend.sd == pytest.approx(0.0012, rel=0.3)
    # The pins share their errors: the line as a whole is not better known than they are.
    assert float(pin_trend.se(240)) > 0.0001


def test_a_bore_gauge_gives_the_line_of_least_squares_with_its_own_error_on_top():
    cut, sizes = worn_reamer()
    shop = shop_with((), u_gauge=0.0008)
    readings = [Reading(str(i), "bore", size=float(s)) for i, s in enumerate(sizes, start=1)]
    holes = holes_of(readings, shop)
    trend = trend_of_readings(holes, {h.hole: float(cut[int(h.hole) - 1]) for h in holes})
    plain = trend_of_sizes(cut, sizes)
    assert trend.slope == pytest.approx(plain.slope, rel=1e-9)
    assert trend.fit is None
    # The gauge's own error and its last digit, a step of 1 µm, are shared by all readings.
    shared = math.hypot(0.0008, 0.001 / math.sqrt(12))
    assert float(trend.se(240)) == pytest.approx(math.hypot(float(plain.se(240)), shared))


def test_a_line_with_a_bend_has_both_slopes_and_meets_at_the_bend():
    x = np.arange(1.0, 101)
    size = 8.01 + np.where(x < 30, 4e-5 * (x - 30), -1e-5 * (x - 30))
    size = size + 1e-6 * np.sin(x * 2.1)
    trend = trend_of_sizes(x, size, knee=30)
    assert trend.coefficients[1] == pytest.approx(4e-5, rel=2e-2)
    assert trend.slope == pytest.approx(-1e-5, rel=2e-2)
    a, b, _ = trend.last_line()
    assert a + b * (80 - trend.middle) == pytest.approx(float(trend.at(80)), rel=1e-12)


def test_the_bend_by_pins_counts_from_the_hole_where_the_line_bends(pins):
    # The likelihood fit counts the bend from its average: the line must be the same line.
    cut, sizes = worn_reamer(n=80)
    holes = holes_of(by_pins(sizes, pins), shop_with(pins))
    where = {h.hole: float(cut[int(h.hole) - 1]) for h in holes}
    bent, straight = trend_of_readings(holes, where, knee=150), trend_of_readings(holes, where)
    assert float(bent.at(150)) == pytest.approx(float(straight.at(150)), abs=0.0008)
    assert bent.coefficients[2] == pytest.approx(0, abs=4 * math.sqrt(bent.covariance[2, 2]))
    assert bent.fit.loglik >= straight.fit.loglik


def test_run_in_is_found_where_it_is_and_not_where_it_is_not():
    rng = np.random.default_rng(11)
    x = np.arange(1.0, 121)
    straight = 8.010 - 1e-5 * x + 0.0005 * rng.standard_normal(120)
    run_in = straight + 8e-5 * np.minimum(x - 40, 0)
    knees = np.quantile(x, np.linspace(0.1, 0.9, 15))
    found = strongest_bend([trend_of_sizes(x, run_in, knee=k) for k in knees])
    assert found.p < 1e-6
    assert found.trend.knee == pytest.approx(40, abs=15)
    nothing = strongest_bend([trend_of_sizes(x, straight, knee=k) for k in knees])
    assert nothing.p > 0.05


def test_a_bend_is_not_looked_for_in_a_handful_of_holes(pins):
    holes = holes_of(by_pins([8.011, 8.008, 8.004, 8.001], pins), shop_with(pins))
    assert find_bend(holes, {h.hole: float(h.hole) for h in holes}) is None


def test_holes_that_all_fall_into_one_cell_have_no_trend(pins):
    holes = holes_of(by_pins([8.004] * 20, pins), shop_with(pins))
    with pytest.raises(NoAnswerError, match="can't be told"):
        trend_of_readings(holes, {h.hole: float(h.hole) for h in holes})


def test_sizes_all_at_one_hole_make_no_line():
    with pytest.raises(OutOfRangeError, match="not the same for all sizes"):
        trend_of_sizes([5, 5, 5, 5], [8.0, 8.001, 8.002, 8.003])
    with pytest.raises(OutOfRangeError, match="at least 3"):
        trend_of_sizes([1, 2], [8.0, 8.001])


def test_the_two_intervals_of_a_crossing_agree_where_there_are_many_holes(pin_trend):
    by_line, by_profile = fieller(pin_trend, 8.0), profile_crossing(pin_trend, 8.0)
    assert by_profile.hole == by_line.hole
    assert by_profile.hole == pytest.approx(11 / 0.03, rel=0.2)
    assert by_profile.lower == pytest.approx(by_line.lower, rel=0.03)
    assert by_profile.upper == pytest.approx(by_line.upper, rel=0.03)
    assert by_profile.lower < by_profile.hole < by_profile.upper


def test_a_drift_that_may_be_none_has_a_crossing_without_end():
    rng = np.random.default_rng(2)
    x = np.arange(1.0, 13)
    flat = trend_of_sizes(x, 8.008 - 1e-5 * x + 0.001 * rng.standard_normal(12))
    crossing = fieller(flat, 8.0)
    assert math.isinf(crossing.upper)


def test_a_line_that_runs_away_from_a_limit_never_reaches_it():
    x = np.arange(1.0, 21)
    up = trend_of_sizes(x, 8.005 + 1e-4 * x + 1e-5 * np.sin(x))
    assert fieller(up, 8.0).hole is None
    assert math.isinf(last_safe_hole(up, 8.0))
    assert fieller(up, 8.015).hole == pytest.approx(100, abs=2)


def test_more_confidence_changes_the_tool_earlier_and_a_wider_target_later(pin_trend):
    usual = change_hole(pin_trend, LIMITS, target=0.01).hole
    assert change_hole(pin_trend, LIMITS, target=0.01, confidence=0.99).hole < usual
    assert change_hole(pin_trend, LIMITS, target=0.05).hole > usual
    assert change_hole(pin_trend, LIMITS, target=0.01).likely > usual
    assert usual > 0


def test_every_hole_up_to_the_change_keeps_the_target(pin_trend):
    change = change_hole(pin_trend, LIMITS, target=0.01)
    life = np.arange(1.0, change.hole + 1)
    assert (outside_bound(pin_trend, life, LIMITS) <= 0.01).all()
    assert outside_bound(pin_trend, change.hole + 1, LIMITS) > 0.01
    assert change.side == "lower"
    below, above = share_outside(pin_trend, change.hole, LIMITS)
    assert below + above < change.outside


def test_a_tool_that_starts_too_near_a_limit_is_safe_at_no_hole():
    x = np.arange(1.0, 31)
    near = trend_of_sizes(x, 8.0145 - 1e-5 * x + 0.001 * np.sin(x * 2.4))
    assert change_hole(near, LIMITS, target=0.01).hole == 0


def test_a_size_that_does_not_drift_is_cut_off_and_says_so():
    x = np.arange(1.0, 201)
    level = trend_of_sizes(x, 8.0075 + 0.0003 * np.sin(x * 2.4))
    change = change_hole(level, LIMITS, target=0.01)
    assert change.cut_off
    assert change.side == ""


def test_one_hole_has_the_bound_of_the_normal_tolerance_factor():
    # A level trend at its middle is a sample of n - 1 + slope: with 30 sizes, 28 freedoms and
    # 1/30 leverage. One-sided 95/99 factor then from the noncentral t, as in any table of k.
    from scipy.stats import nct, norm

    x = np.arange(30.0)
    level = trend_of_sizes(x, 8.0075 + 0.001 * np.sin(x * 2.4))
    k = nct.ppf(0.95, 28, norm.ppf(0.99) * math.sqrt(30)) / math.sqrt(30)
    limit = float(level.at(level.middle)) - k * level.sd
    bound = outside_bound(level, level.middle, Limits(limit, math.inf))
    assert bound == pytest.approx(0.01, rel=1e-6)


def trends_of_three(drifts=(-3.0e-5, -2.4e-5, -3.3e-5), offsets=(0.002, 0.0026, 0.0015)):
    rng = np.random.default_rng(5)
    x = np.arange(1.0, 201, 5)
    return [
        trend_of_sizes(x, 8.0090 + o + d * x + 0.001 * rng.standard_normal(x.size))
        for d, o in zip(drifts, offsets, strict=True)
    ]


def test_a_new_reamer_starts_with_what_its_like_have_shown():
    like = like_tools(("A", "B", "C"), trends_of_three(), (8.009, 8.009, 8.009))
    assert like.start.mean == pytest.approx(0.00203, abs=0.0006)
    assert like.drift.mean == pytest.approx(-2.9e-5, abs=4e-6)
    foretold = expected_trend(like, 8.0095, u=0.0005)
    assert float(foretold.at(1)) == pytest.approx(8.0095 + like.start.mean)
    assert float(foretold.se(1)) > max(like.start.se, 0.0005)
    # It is known less well than a tool that was followed, so it is changed earlier.
    followed = change_hole(trends_of_three()[0], LIMITS, target=0.05)
    assert 0 <= change_hole(foretold, LIMITS, target=0.05).hole < followed.hole


def test_reamers_that_differ_more_foretell_less():
    near = like_tools("ABC", trends_of_three(offsets=(0.002, 0.002, 0.002)), (8.009,) * 3)
    far = like_tools("ABC", trends_of_three(offsets=(-0.002, 0.002, 0.006)), (8.009,) * 3)
    assert far.start.new > 3 * near.start.new


def test_one_tool_has_no_like():
    with pytest.raises(InputError, match="two or more"):
        like_tools(("A",), trends_of_three()[:1], (8.009,))


@pytest.mark.slow
def test_the_interval_of_the_crossing_covers_as_often_as_it_says(pins):
    """400 invented reamers: 40 holes each, one in five up to hole 200, limit met at hole 367."""
    rng = np.random.default_rng(20)
    cut = 1.0 + 5 * np.arange(40)
    true = (8.011 - 8.0) / 3e-5
    shop = shop_with(pins)
    covered = {"sizes": 0, "pins": 0}
    trials = 400
    for _ in range(trials):
        sizes = 8.011 - 3e-5 * cut + 0.0012 * rng.standard_normal(cut.size)
        line = fieller(trend_of_sizes(cut, sizes), 8.0)
        covered["sizes"] += line.lower <= true <= line.upper
        true_pins = [pin(p.calibrated.value + 0.0002 * rng.standard_normal()) for p in pins]
        tried = by_pins(sizes, true_pins)
        named = {t.id: p.id for t, p in zip(true_pins, pins, strict=True)}
        readings = [Reading(r.hole, named[r.gauge], goes=r.goes) for r in tried]
        holes = holes_of(readings, shop)
        trend = trend_of_readings(holes, {h.hole: float(cut[int(h.hole) - 1]) for h in holes})
        found = profile_crossing(trend, 8.0)
        covered["pins"] += found.lower <= true <= found.upper
    # 95 % of 400 is 380; three standard errors of a share are 13 holes' worth.
    assert abs(covered["sizes"] - 0.95 * trials) <= 13, covered
    assert covered["pins"] >= 0.95 * trials - 19, covered
