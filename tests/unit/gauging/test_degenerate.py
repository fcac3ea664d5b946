"""Readings without a finite fit are known before any fit."""

import math

import numpy as np
import pytest

from holewright.errors import InputError, NoAnswerError, OutOfRangeError
from holewright.gauging.degenerate import Shortfall, find_degenerate, sd_upper
from holewright.gauging.interval_fit import fit_intervals
from holewright.gauging.rows import rows_of

INF = math.inf


@pytest.mark.parametrize(
    ("rows", "shortfall"),
    [
        pytest.param([(8.0, 8.01, 20)], Shortfall.ONE_CELL, id="all in one cell"),
        pytest.param([(8.01, INF, 12)], Shortfall.ABOVE_ALL, id="all beyond the last pin"),
        pytest.param([(-INF, 8.0, 5)], Shortfall.BELOW_ALL, id="none takes the first pin"),
        pytest.param(
            [(-INF, 8.0, 3), (8.0, 8.01, 9)], Shortfall.COMMON_POINT, id="two adjacent cells"
        ),
        pytest.param([(-INF, 8.0, 3), (8.0, INF, 9)], Shortfall.COMMON_POINT, id="one pin only"),
        pytest.param([(8.0, 8.01, 4), (8.005, INF, 2)], Shortfall.COMMON_POINT, id="overlap"),
        pytest.param([(8.004, 8.004, 1), (8.0, 8.01, 9)], Shortfall.ONE_SIZE, id="one size read"),
        pytest.param(
            [(-INF, 8.0, 1), (8.01, INF, 1)], Shortfall.NO_SCALE, id="too small and too large only"
        ),
    ],
)
def test_it_is_named_and_a_fit_refuses_it(rows, shortfall):
    low, high, count = zip(*rows, strict=True)
    assert find_degenerate(rows_of(low, high, count)).shortfall is shortfall
    with pytest.raises(NoAnswerError, match=shortfall.value):
        fit_intervals(low, high, count)


@pytest.mark.parametrize(
    "rows",
    [
        pytest.param([(-INF, 8.0, 1), (8.0, 8.01, 1), (8.01, INF, 1)], id="three cells"),
        pytest.param([(8.0, 8.01, 1), (8.02, 8.03, 1)], id="two cells apart"),
        pytest.param([(8.0, 8.0, 1), (8.01, 8.01, 1)], id="two sizes"),
        # Passed and failed at two pins, overlapping: a probit with a rising slope.
        pytest.param(
            [(-INF, 8.01, 5), (8.01, INF, 2), (-INF, 8.0, 2), (8.0, INF, 5)], id="pass or fail"
        ),
    ],
)
def test_these_have_a_finite_fit_at_a_true_top(rows):
    low, high, count = zip(*rows, strict=True)
    assert find_degenerate(rows_of(low, high, count)) is None
    fit = fit_intervals(low, high, count)
    assert fit.sd > 0
    assert (np.linalg.eigvalsh(fit.covariance) > 0).all()


def test_two_cells_that_meet_tend_to_the_binomial():
    trouble = find_degenerate(rows_of([-INF, 8.0], [8.0, 8.01], [3, 9]))
    assert trouble.sup_loglik == pytest.approx(3 * math.log(3 / 12) + 9 * math.log(9 / 12))


def test_pass_and_fail_the_wrong_way_round_has_no_scale_and_its_limit_is_the_coin():
    trouble = find_degenerate(rows_of([-INF, 8.01], [8.0, INF]))
    assert trouble.sup_loglik == pytest.approx(2 * math.log(0.5))


def test_more_holes_in_one_cell_bound_the_spread_more_closely():
    some = [sd_upper(rows_of([8.0], [8.01], [n])) for n in (5, 30, 300)]
    assert some[0] > some[1] > some[2] > 0


def test_two_adjacent_cells_bound_the_spread_too():
    # 3 of 30 below .250; the rest under .2505. At the bound the likelihood has dropped by q.
    rows = rows_of([-INF, 0.2500], [0.2500, 0.2505], [3, 27])
    most = sd_upper(rows)
    mean = np.linspace(0.2495, 0.2510, 20001)
    from scipy.stats import norm

    p1 = norm.cdf((0.2500 - mean) / most)
    p2 = norm.cdf((0.2505 - mean) / most) - p1
    best = (3 * np.log(p1) + 27 * np.log(p2)).max()
    sup = find_degenerate(rows).sup_loglik
    assert sup - best == pytest.approx(1.644854**2 / 2, rel=1e-4)


def test_rows_that_cannot_be_intervals_are_refused_by_number():
    with pytest.raises(InputError, match="interval of row 2"):
        rows_of([8.0, 8.1], [8.1, 8.0])
    with pytest.raises(OutOfRangeError, match="count = -1"):
        rows_of([8.0], [8.1], [-1])
    with pytest.raises(InputError, match="at least one interval"):
        rows_of([-INF], [INF], [3])
