"""Bounds on a share, against tables computed with scipy.stats 1.17.1 and a live second way.

`binomial.json`: Clopper-Pearson from scipy.stats.binomtest, zero-failure bounds from their
closed form. The two-sided bounds are checked once more here against the definition: the
binomial tail at the bound is the tail probability asked for.
"""

import json
from pathlib import Path

import numpy as np
import pytest
from scipy import stats

from holewright.errors import OutOfRangeError
from holewright.gauging.binomial import clopper_pearson, zero_failure_bound

DATA = json.loads((Path(__file__).parents[1] / "data" / "binomial.json").read_text("utf-8"))


@pytest.mark.parametrize("case", DATA["zero_fail"], ids=lambda c: f"n={c['n']}")
def test_no_bad_hole_in_n(case):
    n = case["n"]
    assert zero_failure_bound(n, 0.95) == pytest.approx(case["upper95"], rel=1e-12)
    assert zero_failure_bound(n, 0.90) == pytest.approx(case["upper90"], rel=1e-12)
    assert zero_failure_bound(n, 0.99) == pytest.approx(case["upper99"], rel=1e-12)
    both = clopper_pearson(0, n, 0.95)
    assert both[0] == 0
    assert both[1] == pytest.approx(case["upper97_5_two_sided95"], rel=1e-12)
    # Good holes counted from the other side: the share that is at least good.
    assert clopper_pearson(n, n, 0.95, two_sided=False)[0] == pytest.approx(
        case["reliability_conf95"], rel=1e-12
    )


@pytest.mark.parametrize("case", DATA["clopper_pearson"], ids=lambda c: f"{c['x']} in {c['n']}")
@pytest.mark.parametrize("percent", [90, 95])
def test_clopper_pearson(case, percent):
    key = f"CP_{percent}"
    lower, upper = clopper_pearson(case["x"], case["n"], percent / 100)
    assert [lower, upper] == pytest.approx(case[key], rel=1e-10, abs=1e-15)
    _, alone = clopper_pearson(case["x"], case["n"], percent / 100, two_sided=False)
    assert alone == pytest.approx(case[f"CP_one_sided_upper_{percent}"], rel=1e-10)


@pytest.mark.parametrize("case", DATA["distfree"], ids=lambda c: f"{c['p']} {c['conf']}")
def test_holes_needed_without_a_failure(case):
    # The smallest n of the table is the first at which the bound is reached.
    n, p = case["n_one_sided_max"], case["p"]
    assert zero_failure_bound(n, case["conf"]) <= 1 - p + 1e-12
    assert zero_failure_bound(n - 1, case["conf"]) > 1 - p


def test_the_bound_is_where_the_binomial_tail_is_the_risk_asked_for():
    k, n = np.array([1, 3, 12]), np.array([30, 100, 20])
    lower, upper = clopper_pearson(k, n, 0.95)
    assert stats.binom.sf(k - 1, n, lower) == pytest.approx(0.025, rel=1e-9)
    assert stats.binom.cdf(k, n, upper) == pytest.approx(0.025, rel=1e-9)


def test_the_handbook_rule_of_three_is_5_percent_high_at_thirty_holes():
    assert 3 / 30 / zero_failure_bound(30) == pytest.approx(1.0523, abs=2e-4)


def test_more_bad_holes_than_holes_is_refused():
    with pytest.raises(OutOfRangeError, match="k = 4"):
        clopper_pearson([1, 4], 3)
    with pytest.raises(OutOfRangeError, match="n = 0"):
        zero_failure_bound([3, 0])
    with pytest.raises(OutOfRangeError, match="confidence"):
        zero_failure_bound(3, 1.0)
