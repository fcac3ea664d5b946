"""Statistical tolerance intervals, against ISO 16269-6 and the NIST/SEMATECH e-Handbook.

`tolerance-factors.csv` was computed apart from holewright (scipy.stats and numerical
integration) and checked there against a printed table of the standard at n = 10, 20, 30 to its
two decimals. The handbook's worked example is section 7.2.6.3.
"""

import csv
import json
from pathlib import Path

import numpy as np
import pytest
from scipy.special import ndtr

from holewright.errors import OutOfRangeError
from holewright.proof.tolerance_interval import (
    holes_for_extremes,
    howe_factor,
    natrella_factor,
    one_sided_factor,
    two_sided_factor,
)

DATA = Path(__file__).parents[1] / "data"
ROWS = list(csv.DictReader((DATA / "tolerance-factors.csv").read_text("utf-8").splitlines()))
LAST_DIGIT = 5e-7  # the file has six decimals


def column(name):
    return np.array([float(row[name]) for row in ROWS])


@pytest.mark.parametrize(
    ("factor", "name"),
    [(one_sided_factor, "k1_exact"), (two_sided_factor, "k2_exact"), (howe_factor, "k2_howe")],
)
def test_whole_table_to_its_last_digit(factor, name):
    k = factor(column("n"), column("p"), column("conf"))
    np.testing.assert_allclose(k, column(name), atol=LAST_DIGIT * 1.001, rtol=0)


def test_nist_worked_example_43_wafers_90_per_cent_at_99():
    assert howe_factor(43, 0.90, 0.99) == pytest.approx(2.2173159, abs=1e-7)
    assert two_sided_factor(43, 0.90, 0.99) == pytest.approx(2.2228252, abs=1e-7)
    assert natrella_factor(43, 0.90, 0.99) == pytest.approx(1.8751896, abs=1e-7)
    assert one_sided_factor(43, 0.90, 0.99) == pytest.approx(1.8739536, abs=1e-7)
    # Its interval, from mean 97.07 and s 0.0268:
    half = float(howe_factor(43, 0.90, 0.99)) * 0.0268
    assert (97.07 - half, 97.07 + half) == pytest.approx((97.010576, 97.129424), abs=1e-6)


def test_howes_sibling_stays_within_two_per_cent_of_the_exact_factor():
    exact = two_sided_factor(column("n"), column("p"), column("conf"))
    off = howe_factor(column("n"), column("p"), column("conf")) / exact - 1
    assert np.abs(off).max() < 0.02
    assert np.abs(off[column("n") == 100]).max() < 0.001


def test_two_sided_factor_holds_what_it_promises_in_a_simulation():
    rng = np.random.default_rng(16269)
    n, share, confidence, trials = 10, 0.90, 0.95, 20_000
    samples = rng.standard_normal((trials, n))
    mean, s = samples.mean(axis=1), samples.std(axis=1, ddof=1)
    k = float(two_sided_factor(n, share, confidence))
    held = ndtr(mean + k * s) - ndtr(mean - k * s)
    # 20,000 trials: a standard error of 0.0015 about 0.95, so four of them.
    assert (held >= share).mean() == pytest.approx(confidence, abs=0.0062)


def test_holes_whose_extremes_make_an_interval_without_any_distribution():
    for case in json.loads((DATA / "binomial.json").read_text("utf-8"))["distfree"]:
        one = holes_for_extremes(case["p"], case["conf"], two_sided=False)
        two = holes_for_extremes(case["p"], case["conf"], two_sided=True)
        assert (one, two) == (case["n_one_sided_max"], case["n_two_sided_range"])


def test_one_hole_makes_no_interval():
    with pytest.raises(OutOfRangeError, match=r"n = 1\.0: must be at least 2"):
        one_sided_factor(1, 0.95)
