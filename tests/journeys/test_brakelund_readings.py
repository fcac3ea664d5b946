"""The simulated readings of the demo: made by their script, and true to what it states."""

from __future__ import annotations

import importlib.util
import statistics
from pathlib import Path
from types import ModuleType

import pytest

import holewright as hw
from holewright.jobs.run_demo import read_truth

BRAKELUND = Path(__file__).parents[2] / "examples" / "brakelund"


@pytest.fixture(scope="module")
def maker() -> ModuleType:
    spec = importlib.util.spec_from_file_location("make_readings", BRAKELUND / "make_readings.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    import sys

    sys.modules["make_readings"] = module
    spec.loader.exec_module(module)
    return module


@pytest.mark.parametrize("name", ["a", "b"])
def test_the_file_is_what_the_script_makes(maker, name):
    written = (BRAKELUND / f"readings_{name}.csv").read_text(encoding="utf-8")
    assert written == maker.readings_text(name), "run: python examples/brakelund/make_readings.py"


@pytest.mark.parametrize("name", ["a", "b"])
def test_it_says_that_it_is_invented_and_keeps_its_seed(name):
    text = (BRAKELUND / f"readings_{name}.csv").read_text(encoding="utf-8")
    assert "Invented and simulated" in text
    assert "# seed: " in text


def test_the_truth_is_reckoned_from_drift_and_scatter(tmp_path):
    file = tmp_path / "r.csv"
    file.write_text(
        "# truth: first_mean_mm = 8.010\n# truth: drift_mm_per_hole = -1e-5\n"
        "# truth: scatter_mm = 0.001\n# truth: lot = 401\n"
    )
    truth = read_truth(file, hw.Limits(8.0, 8.015))
    # Means run evenly from 8.010 to 8.006: mean 8.008. Their variance is that of 401 equal
    # steps of 10 nm, (401² - 1)/12 steps², to which the scatter adds 1 µm².
    assert truth.mean == pytest.approx(8.008)
    assert truth.sd == pytest.approx(((401**2 - 1) / 12 * 1e-10 + 1e-6) ** 0.5)
    shares = [
        statistics.NormalDist(8.010 - 1e-5 * i, 0.001).cdf(8.015)
        - statistics.NormalDist(8.010 - 1e-5 * i, 0.001).cdf(8.0)
        for i in range(401)
    ]
    assert truth.inside == pytest.approx(statistics.fmean(shares), abs=1e-12)
    assert truth.lot == 401


def test_a_file_without_its_truth_is_refused(tmp_path):
    file = tmp_path / "r.csv"
    file.write_text("hole,gauge,result\n1,8.00,goes\n")
    with pytest.raises(hw.InputError, match="truth: first_mean_mm"):
        read_truth(file, hw.Limits(8.0, 8.015))


def test_what_the_gauges_allow_to_say_holds_of_the_truth():
    for name in ("a", "b"):
        job = hw.read_job(BRAKELUND / f"job_{name}.toml")
        file = BRAKELUND / f"readings_{name}.csv"
        truth = read_truth(file, job.callout.limits)
        estimate = hw.estimate_size(job, hw.read_readings(file, job.shop))
        assert estimate.inside_lower <= truth.inside
        if estimate.mean_interval is not None:
            # The interval takes each pin at its best estimate; what all readings of one pin
            # share is added here, or it would promise more than the pins can keep.
            low, high = estimate.mean_interval
            u = max(hole.u for hole in estimate.holes)
            assert low - 2 * u <= truth.mean <= high + 2 * u
