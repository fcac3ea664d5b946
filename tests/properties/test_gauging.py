"""What must hold of gauging whatever the pins, the holes and the hands."""

import math

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy import integrate, stats

from holewright.callout.callout import Limits
from holewright.gauging.binomial import clopper_pearson, zero_failure_bound
from holewright.gauging.cells import cell_terms, log_cell_probability
from holewright.gauging.count_holes import count_holes
from holewright.gauging.degenerate import find_degenerate
from holewright.gauging.interval_fit import fit_intervals
from holewright.gauging.limit_pins import choose_pins
from holewright.gauging.pin_size import pin_size
from holewright.gauging.profile import mean_interval, outside_interval, rim, sd_interval
from holewright.gauging.reading import Reading
from holewright.gauging.reading_interval import hole_sizes
from holewright.gauging.rows import rows_of
from holewright.gauging.shared_pins import fit_model
from holewright.gauging.size_model import model_of
from holewright.shop.pin import Pin, Sense
from holewright.shop.shop import Shop

LIMITS = Limits(8.0, 8.015)

marks = st.integers(-8, 24).map(lambda k: 8.0 + 0.001 * k)
pins = st.builds(
    lambda mark, sense, grade: (mark, sense, grade),
    marks,
    st.sampled_from(list(Sense)),
    st.sampled_from(["ZZ", "Z", "X", "XX"]),
)
shares = st.floats(0.0, 1.0)


@st.composite
def drawers(draw):
    """Return pins with their true sizes, anywhere their class allows."""
    found = draw(st.lists(st.tuples(pins, shares), min_size=1, max_size=8))
    drawer = []
    for i, ((mark, sense, grade), share) in enumerate(found):
        pin = Pin(f"pin {i}", mark, sense, grade)
        size = pin_size(pin)
        low, high = size.smallest(), size.largest()
        drawer.append((pin, low + share * (high - low)))
    return drawer


def check(drawer, sizes):
    """Return readings of holes of these sizes with every pin, each at its true size."""
    return [
        Reading(f"hole {i}", pin.id, goes=size > true)
        for i, size in enumerate(sizes)
        for pin, true in drawer
    ]


def shop_of(drawer):
    return Shop("drawn", (), (), (), (), tuple(pin for pin, _ in drawer))


sizes = st.lists(st.floats(7.985, 8.03), min_size=1, max_size=5)


@given(drawers(), sizes)
def test_the_true_size_lies_within_what_the_readings_prove(drawer, truth):
    holes, contradictions = hole_sizes(
        check(drawer, truth), shop_of(drawer), material_alpha=11.5e-6
    )
    assert not contradictions
    for hole, size in zip(holes, truth, strict=True):
        assert hole.lower - 1e-12 <= size <= hole.upper + 1e-12


@given(drawers(), sizes)
def test_no_bad_hole_is_ever_shown_good_nor_a_good_one_bad(drawer, truth):
    for size in truth:
        (hole,), _ = hole_sizes(check(drawer, [size]), shop_of(drawer), material_alpha=11.5e-6)
        counts = count_holes([hole], LIMITS)
        if counts.good:
            assert LIMITS.lower - 2e-9 <= size <= LIMITS.upper + 2e-9
        if counts.bad:
            assert size <= LIMITS.lower + 2e-9 or size >= LIMITS.upper - 2e-9


@given(drawers())
def test_pins_chosen_never_pass_a_bad_hole(drawer):
    choice = choose_pins(LIMITS, [pin for pin, _ in drawer])
    true = {pin.id: size for pin, size in drawer}
    if choice.go is not None:
        assert true[choice.go.id] >= LIMITS.lower - 2e-9
    if choice.no_go is not None:
        assert true[choice.no_go.id] <= LIMITS.upper + 2e-9
    # What is missing is said.
    codes = {r.code for r in choice.reasons}
    assert (choice.go is None) == ("missing-go" in codes)
    assert (choice.no_go is None) == ("missing-no-go" in codes)


@given(drawers(), sizes, st.randoms(use_true_random=False))
def test_the_order_of_readings_does_not_matter_and_more_never_widen(drawer, truth, shuffler):
    readings = check(drawer, truth)
    holes, _ = hole_sizes(readings, shop_of(drawer), material_alpha=11.5e-6)
    shuffled = readings.copy()
    shuffler.shuffle(shuffled)
    again, _ = hole_sizes(shuffled, shop_of(drawer), material_alpha=11.5e-6)
    bounds = {h.hole: (h.lower, h.upper) for h in again}
    assert {h.hole: (h.lower, h.upper) for h in holes} == bounds
    fewer, _ = hole_sizes(readings[:-1], shop_of(drawer), material_alpha=11.5e-6)
    for hole in fewer:
        low, high = bounds[hole.hole]
        assert hole.lower <= low
        assert hole.upper >= high


@st.composite
def finite_rows(draw):
    """Return counted cells of pins in a row that have a finite fit."""
    steps = draw(st.lists(st.floats(0.2, 3.0), min_size=1, max_size=5))
    bounds = np.concatenate([[0.0], np.cumsum(steps)])
    counts = draw(st.lists(st.integers(0, 40), min_size=bounds.size + 1, max_size=bounds.size + 1))
    low, high = np.r_[-np.inf, bounds], np.r_[bounds, np.inf]
    counts = np.array(counts, float)
    assume((counts > 0).any())
    rows = rows_of(low, high, counts)
    assume(find_degenerate(rows) is None)
    return rows


@given(finite_rows())
def test_no_place_nearby_is_more_likely_than_the_fit(rows):
    fit = fit_intervals(rows.lower, rows.upper, rows.count)

    def loglik(mean, sd):
        a, b = (rows.lower - mean) / sd, (rows.upper - mean) / sd
        return float(rows.count @ log_cell_probability(a, b))

    assert loglik(fit.mean, fit.sd) == pytest.approx(fit.loglik, rel=1e-9, abs=1e-9)
    for step in (1e-3, 0.3):
        for dm, ds in ((1, 0), (-1, 0), (0, 1), (0, -1), (0.7, 0.7), (0.7, -0.7)):
            there = loglik(fit.mean + dm * step * fit.sd, fit.sd * math.exp(ds * step))
            assert there <= fit.loglik + 1e-9


@given(finite_rows(), st.floats(-1e3, 1e3), st.floats(1e-4, 1e4))
def test_a_fit_moves_with_its_rows_and_scales_with_them(rows, shift, factor):
    fit = fit_intervals(rows.lower, rows.upper, rows.count)
    moved = fit_intervals(shift + factor * rows.lower, shift + factor * rows.upper, rows.count)
    digits = 1e-8 * (1 + abs(shift) / factor)
    assert (moved.mean - shift) / factor == pytest.approx(fit.mean, abs=digits * (1 + fit.sd))
    assert moved.sd / factor == pytest.approx(fit.sd, rel=digits)


@given(finite_rows())
def test_turned_round_a_fit_is_its_mirror_image(rows):
    fit = fit_intervals(rows.lower, rows.upper, rows.count)
    turned = fit_intervals(-rows.upper, -rows.lower, rows.count)
    assert turned.mean == pytest.approx(-fit.mean, abs=1e-7 * fit.sd)
    assert turned.sd == pytest.approx(fit.sd, rel=1e-7)


@settings(max_examples=30)
@given(finite_rows())
def test_intervals_hold_the_best_value_and_widen_with_confidence(rows):
    fit = fit_intervals(rows.lower, rows.upper, rows.count)
    some, more = rim(fit, 0.8), rim(fit, 0.95)
    share = stats.norm.cdf(0, fit.mean, fit.sd) + stats.norm.sf(1, fit.mean, fit.sd)
    for read, best in (
        (mean_interval, fit.mean),
        (sd_interval, fit.sd),
        (lambda around: outside_interval(around, 0.0, 1.0), share),
    ):
        low, high = read(some)
        wide_low, wide_high = read(more)
        slack = 1e-7 * (abs(best) + fit.sd)
        assert wide_low - slack <= low <= best + slack
        assert best - slack <= high <= wide_high + slack


@settings(max_examples=25)
@given(st.integers(0, 12), st.integers(1, 30), st.integers(0, 12), st.floats(0.0, 0.005))
def test_a_clearance_of_the_pins_shifts_the_mean_and_leaves_the_spread(a, b, c, clearance):
    assume(a and c)
    go, stop = (Pin(n, m, Sense.PLUS, "XX") for n, m in (("go", 8.0), ("stop", 8.01)))
    shop = Shop("two pins", (), (), (), (), (go, stop))
    readings = []
    for i, cell in enumerate([0] * a + [1] * b + [2] * c):
        readings += [Reading(f"{i}", "go", goes=cell > 0), Reading(f"{i}", "stop", goes=cell > 1)]
    tight, loose = (
        fit_model(model_of(hole_sizes(readings, shop, material_alpha=1e-5, clearance=gap)[0]))
        for gap in (0.0, clearance)
    )
    assert loose.mean - tight.mean == pytest.approx(clearance, abs=1e-9)
    assert loose.sd == pytest.approx(tight.sd, rel=1e-6)


@given(st.integers(1, 2000), st.data(), st.floats(0.5, 0.999))
def test_exact_bounds_bracket_the_share_seen_and_mirror(n, data, confidence):
    k = data.draw(st.integers(0, n))
    low, high = clopper_pearson(k, n, confidence)
    assert 0 <= low <= k / n <= high <= 1
    other_low, other_high = clopper_pearson(n - k, n, confidence)
    assert 1 - other_high == pytest.approx(low, abs=1e-12)
    assert 1 - other_low == pytest.approx(high, abs=1e-12)
    assert clopper_pearson(0, n, confidence, two_sided=False)[1] == pytest.approx(
        float(zero_failure_bound(n, confidence)), rel=1e-9
    )


@given(st.floats(-30, 30), st.floats(1e-5, 20))
def test_the_probability_of_a_cell_keeps_its_digits_anywhere(x, width):
    # A second way: integrate the density, scaled by its greatest value in the cell.
    y = x + width
    peak = min(max(0.0, x), y)
    reach = min(width, 40.0 / max(1.0, abs(peak)))
    start = peak if peak == x else peak - reach if peak == y else x
    end = min(y, start + reach) if peak in (x, y) else y
    area, _ = integrate.quad(
        lambda t: math.exp((peak - t) * (peak + t) / 2),
        start,
        end,
        epsabs=0,
        epsrel=1e-12,
        limit=200,
        points=[0.0] if start < 0 < end else None,
    )
    by_integral = math.log(area) - peak * peak / 2 - math.log(2 * math.pi) / 2
    ours = float(log_cell_probability(np.array(x), np.array(y))[()])
    # The width of a thin cell far out is itself a rounded difference.
    doubt = 1e-15 * max(abs(x), abs(y)) / width
    assert ours == pytest.approx(by_integral, rel=1e-13, abs=1e-10 + doubt)


@given(st.floats(-12, 12), st.floats(0.01, 8))
def test_derivatives_of_a_cell_are_its_slopes(x, width):
    y, h = x + width, 1e-5 * min(width, 1.0)
    t = cell_terms(np.array([x]), np.array([y]))

    def log_p(a, b):
        return float(log_cell_probability(np.array(a), np.array(b))[()])

    scale = 1 + abs(t.log_p[0])
    assert t.d_x[0] == pytest.approx(
        (log_p(x + h, y) - log_p(x - h, y)) / (2 * h), rel=1e-4, abs=1e-9 * scale / h
    )
    assert t.d_y[0] == pytest.approx(
        (log_p(x, y + h) - log_p(x, y - h)) / (2 * h), rel=1e-4, abs=1e-9 * scale / h
    )
    # Concave in both bounds together.
    determinant = t.d_xx[0] * t.d_yy[0] - t.d_xy[0] ** 2
    size = max(abs(t.d_xx[0]), abs(t.d_yy[0])) ** 2
    assert t.d_xx[0] <= 1e-9 * size**0.5
    assert determinant >= -1e-9 * size
