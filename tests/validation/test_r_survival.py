"""Interval-censored normal fits against R's `survival`, run live where it is installed.

`survreg` of the package `survival` (T. Therneau) is a general-purpose reference. Sets: invented
rows of `interval-rows.csv`, in tenths about the middle so that its start is a good one.
"""

from __future__ import annotations

import csv
import math
import shutil
import subprocess
from pathlib import Path

import numpy as np
import pytest

from holewright.gauging.interval_fit import fit_intervals

ROWS = Path(__file__).parents[1] / "data" / "interval-rows.csv"
SETS = ("IC1_step0005_both_tails", "IC3_go_nogo_two_pins_saturated")


def r_survival_is_there() -> bool:
    if shutil.which("Rscript") is None:
        return False
    asked = subprocess.run(
        ["Rscript", "-e", "quit(status = !requireNamespace('survival', quietly = TRUE))"],
        capture_output=True,
        check=False,
    )
    return asked.returncode == 0


def rows_of(name: str) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    with ROWS.open(encoding="utf-8", newline="") as file:
        rows = [row for row in csv.DictReader(file) if row["dataset"] == name]
    lower = np.array([float(row["lower"] or "-inf") for row in rows])
    upper = np.array([float(row["upper"] or "inf") for row in rows])
    return lower, upper, np.array([float(row["count"]) for row in rows])


def as_r(values: np.ndarray) -> str:
    return "c(" + ",".join("NA" if math.isinf(v) else repr(float(v)) for v in values) + ")"


@pytest.mark.skipif(not r_survival_is_there(), reason="R with its package survival is not here")
@pytest.mark.parametrize("name", SETS)
def test_survreg_finds_the_same_mean_spread_and_likelihood(name: str) -> None:
    """To 1e-7: `survreg` stops at a relative change of 1e-9 in the likelihood."""
    lower, upper, count = rows_of(name)
    middle = 0.25
    low, high = (lower - middle) * 1e4, (upper - middle) * 1e4
    script = (
        "library(survival); "
        f"f <- survreg(Surv({as_r(low)}, {as_r(high)}, type='interval2') ~ 1, "
        f"weights={as_r(count)}, dist='gaussian'); "
        "cat(sprintf('%.15g', c(coef(f), f$scale, f$loglik[2])))"
    )
    ran = subprocess.run(["Rscript", "-e", script], capture_output=True, text=True, check=True)
    mean, sd, loglik = (float(x) for x in ran.stdout.split())
    fit = fit_intervals(lower, upper, count)
    assert fit.mean == pytest.approx(middle + mean * 1e-4, abs=1e-7 * fit.sd)
    assert fit.sd == pytest.approx(sd * 1e-4, rel=1e-7)
    assert fit.loglik == pytest.approx(loglik, rel=1e-9)
