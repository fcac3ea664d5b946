"""Many features in one call say what they say one by one."""

import numpy as np
import pytest

from holewright.errors import InputError, NoAnswerError
from holewright.gauging.fit_many import fit_many
from holewright.gauging.interval_fit import fit_intervals

EDGES = np.r_[-np.inf, 8.0 + 0.003 * np.arange(5), np.inf]
LOW, HIGH = EDGES[:-1], EDGES[1:]


def test_each_is_the_fit_one_by_one_or_is_refused_by_both():
    rng = np.random.default_rng(7)
    counts = rng.multinomial(12, [0.02, 0.08, 0.4, 0.3, 0.15, 0.05], size=200).astype(float)
    counts[:4] = [[0, 0, 12, 0, 0, 0], [5, 7, 0, 0, 0, 0], [0, 0, 0, 0, 0, 9], [3, 0, 0, 0, 0, 4]]
    many = fit_many(LOW, HIGH, counts)
    assert not many.has_fit[:4].any()
    for i, row in enumerate(counts):
        if not many.has_fit[i]:
            assert np.isnan([many.mean[i], many.sd[i], many.loglik[i]]).all()
            with pytest.raises(NoAnswerError):
                fit_intervals(LOW, HIGH, row)
            continue
        one = fit_intervals(LOW, HIGH, row)
        assert many.mean[i] == pytest.approx(one.mean, rel=1e-13)
        assert many.sd[i] == pytest.approx(one.sd, rel=1e-10)
        assert many.se_mean[i] == pytest.approx(one.se_mean, rel=1e-9)
        assert many.se_sd[i] == pytest.approx(one.se_sd, rel=1e-9)
        assert many.loglik[i] == pytest.approx(one.loglik, rel=1e-12)


def test_features_may_have_their_own_pins_and_missing_rows():
    low = np.array([[-np.inf, 8.0, 8.01, 0.0], [0.2495, 0.2500, 0.2505, 0.2503]])
    high = np.array([[8.0, 8.01, np.inf, 0.0], [0.2500, 0.2505, 0.2510, 0.2503]])
    count = np.array([[2, 25, 3, 0], [3.0, 9, 4, 1]])
    many = fit_many(low, high, count)
    for i in range(2):
        there = count[i] > 0
        one = fit_intervals(low[i, there], high[i, there], count[i, there])
        assert many.mean[i] == pytest.approx(one.mean, rel=1e-13)
        assert many.sd[i] == pytest.approx(one.sd, rel=1e-10)
        assert many.loglik[i] == pytest.approx(one.loglik, rel=1e-12)


def test_pass_and_fail_only_is_judged_by_the_mean_of_the_pins():
    low, high = [-np.inf, 8.01, -np.inf, 8.0], [8.01, np.inf, 8.0, np.inf]
    many = fit_many(low, high, [[5, 2, 2, 5], [2, 5, 5, 2]])
    assert many.has_fit.tolist() == [True, False]


def test_a_row_the_wrong_way_round_is_named():
    with pytest.raises(InputError, match="interval of feature 2, row 1"):
        fit_many([[8.0], [8.1]], [[8.1], [8.0]], [[1], [1]])
    with pytest.raises(InputError, match="count of feature 1, row 2"):
        fit_many([[8.0, 8.1]], [[8.1, 8.2]], [[1, -1]])
