"""Published censored data: part cracks (Nelson 1982) and Tobin's household data (1958).

Data in `pub-cracks.csv` and `pub-tobin.csv`; published and recomputed fits (R survival 3.5-3)
in `pub-censored.json`. The Weibull of the cracks is not ours to fit; its normal fit, and the
lognormal of the same inspections by taking logs, are.
"""

import csv
import json
import math
from pathlib import Path

import lifelines
import numpy as np
import pytest

from holewright.gauging.interval_fit import fit_intervals
from holewright.gauging.rows import rows_of
from holewright.gauging.shared_pins import fit_model
from holewright.gauging.size_model import SizeModel

DATA = Path(__file__).parents[1] / "data"
SAID = json.loads((DATA / "pub-censored.json").read_text("utf-8"))


def cracks():
    rows = list(csv.DictReader((DATA / "pub-cracks.csv").read_text("utf-8").splitlines()))
    lower = np.array([float(r["lower"]) if r["lower"] else -np.inf for r in rows])
    upper = np.array([float(r["upper"]) if r["upper"] else np.inf for r in rows])
    return lower, upper, np.array([float(r["count"]) for r in rows])


def tobin():
    rows = list(csv.DictReader((DATA / "pub-tobin.csv").read_text("utf-8").splitlines()))
    durable, age, quant = (
        np.array([float(r[k]) for r in rows]) for k in ("durable", "age", "quant")
    )
    # Nothing spent says only that the wish to spend was 0 or less: left-censored.
    lower = np.where(durable > 0, durable, -np.inf)
    none = np.full(durable.size, -1)
    return SizeModel(
        rows_of(lower, durable),
        none,
        none,
        (),
        np.empty(0),
        np.empty(0),
        ("age", "quant"),
        np.column_stack([age, quant]),
    )


def test_167_parts_inspected_for_cracks_eight_times():
    fit = fit_intervals(*cracks())
    said = SAID["cracks_months"]["normal"]
    assert fit.n == 167
    assert fit.mean == pytest.approx(said["mu"], rel=1e-9)
    assert fit.sd == pytest.approx(said["sigma"], rel=1e-9)
    assert fit.loglik == pytest.approx(said["loglik"], rel=1e-9)
    assert fit.se_mean == pytest.approx(said["se_mu"], rel=1e-8)
    assert fit.se_sd / fit.sd == pytest.approx(said["se_logsigma"], rel=1e-8)


def test_the_same_cracks_lognormal_by_lifelines():
    lower, upper, count = cracks()
    fit = fit_intervals(np.log(np.where(np.isneginf(lower), 1e-300, lower)), np.log(upper), count)
    again = lifelines.LogNormalFitter().fit_interval_censoring(
        np.where(np.isneginf(lower), 0.0, lower), upper, weights=count
    )
    assert fit.mean == pytest.approx(again.mu_, rel=1e-4)
    assert fit.sd == pytest.approx(again.sigma_, rel=1e-4)
    assert fit.loglik == pytest.approx(again.log_likelihood_, rel=1e-7)


def test_tobins_regression_with_two_causes():
    model = tobin()
    fit = fit_model(model)
    said = SAID["tobin"]
    effect = {e.name: e for e in fit.effects}
    for name in ("age", "quant"):
        assert effect[name].value == pytest.approx(said["coef"][name], rel=1e-6)
        assert effect[name].se == pytest.approx(said["se"][name], rel=1e-5)
    intercept = fit.mean - sum(
        e.value * x for e, x in zip(fit.effects, model.x.mean(0), strict=True)
    )
    assert intercept == pytest.approx(said["coef"]["intercept"], rel=1e-6)
    assert fit.sd == pytest.approx(said["scale"], rel=1e-5)
    assert fit.se_sd / fit.sd == pytest.approx(said["se"]["log_scale"], rel=1e-5)
    # Published to one decimal: -28.9, and -29.5 without the causes.
    assert fit.loglik == pytest.approx(said["loglik_model"], abs=0.05)
    alone = fit_intervals(model.rows.lower, model.rows.upper, model.rows.count)
    assert alone.loglik == pytest.approx(said["loglik_null"], abs=0.05)


def test_a_fit_of_many_exact_and_interval_rows_is_that_of_lifelines():
    # lifelines' own diabetes data: 731 rows, some exact, some intervals, on a log scale here.
    frame = lifelines.datasets.load_diabetes()
    left, right = frame["left"].to_numpy(float), frame["right"].to_numpy(float)
    low = np.where(left > 0, np.log(np.maximum(left, 1e-300)), -np.inf)
    high = np.where(np.isfinite(right), np.log(right), np.inf)
    fit = fit_intervals(low, high)
    said = SAID["lifelines_diabetes"]["lognormal"]
    assert fit.mean == pytest.approx(said["r"]["mu"], abs=5e-7)
    assert fit.sd == pytest.approx(said["r"]["sigma"], abs=5e-8)
    assert fit.se_mean == pytest.approx(said["r"]["se_mu"], abs=5e-9)
    # The density of the log and of the time differ by the exact times themselves.
    exact = low == high
    assert fit.loglik - low[exact].sum() == pytest.approx(said["r"]["loglik"], abs=5e-4)
    assert math.isfinite(fit.loglik)
