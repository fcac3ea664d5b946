"""Whether a bell curve fits, and which holes stand apart: flags that never delete."""

import numpy as np
import pytest
from scipy import stats
from statsmodels.stats.diagnostic import normal_ad

from holewright.gauging.fit_check import anderson_darling, check_fit
from holewright.gauging.rows import rows_of
from holewright.gauging.shared_pins import fit_model
from holewright.gauging.size_model import exact_model
from holewright.gauging.two_groups import hint_of_two_groups

INF = np.inf
PINS = np.array([-1.5, -0.5, 0.5, 1.5])


def fitted(counts, pins=PINS):
    counts = np.asarray(counts, float)
    model = exact_model(rows_of(np.r_[-INF, pins], np.r_[pins, INF], counts))
    return model, fit_model(model)


def test_chi_square_is_pearsons_by_hand():
    model, fit = fitted([9, 22, 40, 20, 9])
    check = check_fit(model, fit)
    expected = 100 * np.diff(stats.norm.cdf(np.r_[-INF, PINS, INF], fit.mean, fit.sd))
    chi2, p = stats.chisquare([9, 22, 40, 20, 9], expected, ddof=2)
    assert check.p == pytest.approx(p, rel=1e-9)
    assert f"chi-square {chi2:.2f} on 2 degrees" in check.text
    assert check.holds


def test_a_hollow_middle_does_not_fit():
    check = check_fit(*fitted([10, 38, 4, 38, 10]))
    assert check.p < 1e-6
    assert not check.holds
    assert "does not fit" in check.text


def test_cells_with_next_to_nothing_expected_are_put_together():
    # .02 and .7 expected beyond the outer pins: two cells fewer, none over to check with.
    model, fit = fitted([0, 14, 32, 14, 0], pins=np.array([-5.0, -0.5, 0.5, 5.0]))
    assert check_fit(model, fit).p is None


def test_two_pins_leave_nothing_to_check_with():
    check = check_fit(*fitted([2, 25, 3], pins=np.array([0.0, 5.0])))
    assert check.p is None
    assert not check.holds
    assert "2 pin sizes leave nothing over" in check.text


def test_holes_bracketed_more_coarsely_are_not_forced_into_cells():
    low = [-INF, -1.5, -0.5, 0.5, 1.5, -1.5]
    high = [-1.5, -0.5, 0.5, 1.5, INF, 0.5]
    model = exact_model(rows_of(low, high, [3, 9, 12, 9, 3, 4]))
    check = check_fit(model, fit_model(model))
    assert check.p is None
    assert "bracketed by neighbouring pins" in check.text


@pytest.mark.parametrize("seed", range(6))
def test_sizes_are_checked_as_statsmodels_checks_them(seed):
    rng = np.random.default_rng(seed)
    sizes = rng.exponential(1, 25) if seed % 2 else rng.normal(8, 0.01, 25)
    _, p = normal_ad(sizes)
    assert anderson_darling(sizes) == pytest.approx(p, rel=1e-6)


def test_a_few_sizes_are_not_judged():
    sizes = np.array([8.0, 8.001, 8.003, 8.004])
    model = exact_model(rows_of(sizes, sizes))
    assert check_fit(model, fit_model(model)).p is None


def test_two_groups_are_hinted_at_with_their_sizes_and_one_group_is_not():
    pins = np.linspace(-2.0, 2.0, 9)
    edges = np.r_[-INF, pins, INF]
    two = 60 * np.diff(stats.norm.cdf(edges, -1.2, 0.3)) + 60 * np.diff(
        stats.norm.cdf(edges, 1.2, 0.3)
    )
    model, fit = fitted(np.round(two), pins)
    hint = hint_of_two_groups(model.rows, fit)
    assert hint is not None
    assert "50 %" in hint.text
    assert "near -1.18" in hint.text  # truth -1.2, counts rounded
    one = np.round(120 * np.diff(stats.norm.cdf(edges, 0.0, 0.8)))
    model, fit = fitted(one, pins)
    assert hint_of_two_groups(model.rows, fit) is None
