"""From a test plate to a released job over three reamers: what is said holds of the truth."""

from __future__ import annotations

import importlib.util
import math
import re
import sys
from pathlib import Path
from types import ModuleType

import pytest
from scipy.stats import norm

from holewright.jobs.cut_plate import cut_plate, read_plate
from holewright.jobs.follow_tools import follow_tools
from holewright.jobs.jobfile import read_job
from holewright.jobs.life_file import read_life
from holewright.jobs.plate_file import read_plate_file
from holewright.jobs.plate_request import PlateRequest
from holewright.jobs.release import judge
from holewright.jobs.take_readings import estimate_size

BRAKELUND = Path(__file__).parents[2] / "examples" / "brakelund"
TRUE_SCATTER = 0.0013


@pytest.fixture(scope="module")
def job():
    return read_job(BRAKELUND / "job_a.toml")


def script(name: str) -> ModuleType:
    sys.path.insert(0, str(BRAKELUND))
    try:
        spec = importlib.util.spec_from_file_location(name, BRAKELUND / f"{name}.py")
        assert spec is not None
        assert spec.loader is not None
        module = importlib.util.module_from_spec(spec)
        sys.modules[name] = module
        spec.loader.exec_module(module)
    finally:
        sys.path.remove(str(BRAKELUND))
    return module


@pytest.mark.parametrize(
    ("file", "maker", "text"),
    [("plate_a", "make_plate", "plate_text"), ("life_a", "make_life", "life_text")],
)
def test_the_file_is_what_its_script_makes_and_says_that_it_is_invented(file, maker, text):
    written = (BRAKELUND / f"{file}.csv").read_text(encoding="utf-8")
    assert written == getattr(script(maker), text)(), f"run: python examples/brakelund/{maker}.py"
    assert "Invented and simulated" in written
    assert "# seed: " in written


def truth_of(file: str) -> dict[str, float]:
    text = (BRAKELUND / file).read_text(encoding="utf-8")
    return {k: float(v) for k, v in re.findall(r"# truth: (\w+) = (\S+)", text)}


@pytest.fixture(scope="module")
def shown(job):
    return read_plate(job, read_plate_file(BRAKELUND / "plate_a.csv", job.shop, job.unit))


def test_the_demo_plate_is_the_one_that_the_demo_job_lays_out(job):
    plate = cut_plate(job, PlateRequest(a_row=12)).plate
    came = read_plate_file(BRAKELUND / "plate_a.csv", job.shop, job.unit)
    assert len(plate.holes) == len(came.cuts.settings) == 60
    for hole in plate.holes:
        assert came.cuts.settings[hole.name] == pytest.approx(plate.setting_of(hole))


def test_what_the_plate_shows_holds_of_its_truth(shown):
    truth = truth_of("plate_a.csv")
    (feed,) = shown.size
    assert feed.lower < truth["feed_mm_per_10_percent"] < feed.upper
    assert shown.drift.lower < 59 * truth["drift_mm_per_hole"] < shown.drift.upper
    (chips,) = shown.chips
    assert chips.lower < truth["chips_log_odds_per_10_percent"] < chips.upper
    (finish,) = shown.finish
    assert finish.lower < math.exp(truth["ra_log_per_10_percent"]) < finish.upper
    assert shown.scatter == pytest.approx(truth["scatter_mm"], rel=0.35)


def test_the_setting_that_is_recommended_is_a_good_one_by_the_truth(shown):
    truth = truth_of("plate_a.csv")
    best = shown.rows[shown.recommended]
    (feed,) = best.setting
    steps = 10 * (feed - 1)
    mean = truth["mean_at_100_mm"] + truth["feed_mm_per_10_percent"] * steps
    inside = norm.cdf((8.015 - mean) / TRUE_SCATTER) - norm.cdf((8.0 - mean) / TRUE_SCATTER)
    assert inside > 0.999
    log_ra = math.log(truth["ra_at_100_um"]) + truth["ra_log_per_10_percent"] * steps
    assert norm.cdf((math.log(0.8) - log_ra) / truth["ra_log_scatter"]) > 0.9
    # Log odds of loose or better.
    odds = truth["chips_cut_loose"] - truth["chips_log_odds_per_10_percent"] * steps
    assert 1 / (1 + math.exp(-odds)) > 0.85
    # And the one that fails on finish by the truth is not taken, fast as it is.
    assert feed < 1.3


def true_due(start: float, drift: float, target: float) -> float:
    """Return the hole at which the true share below 8.000 mm passes the target."""
    return (8.0 + norm.ppf(1 - target) * TRUE_SCATTER - start) / drift


@pytest.fixture(scope="module")
def lives(job):
    return follow_tools(job, read_life(BRAKELUND / "life_a.csv", job.shop))


def test_no_reamer_of_the_run_is_kept_beyond_what_is_true(lives):
    tools = script("make_life").TOOLS
    for one in lives.followed:
        start, drift, _ = tools[one.tool]
        due = true_due(start, drift, one.change.change.target)
        assert 0 < one.change.change.hole < due
        crossing = one.change.crossing
        assert crossing.lower < (8.0 - start) / drift < crossing.upper


def test_a_new_reamer_is_foretold_within_what_the_three_were(lives):
    tools = script("make_life").TOOLS.values()
    dues = [true_due(start, drift, 0.01) for start, drift, _ in tools]
    assert lives.new.hole < min(dues)
    assert min(dues) * 0.7 < lives.new.likely < max(dues) * 1.3


def test_the_job_is_released_while_its_reamers_are_changed_in_time(job, lives):
    # Run it as it says: each reamer until its hole, then the next. What was gauged up to there
    # is judged as one lot.
    kept = []
    made = 0
    for tool, one in zip(
        read_life(BRAKELUND / "life_a.csv", job.shop), lives.followed, strict=True
    ):
        due = one.change.change.hole
        kept += [reading for reading in tool.readings if tool.cut[reading.hole] <= due]
        made += min(due, tool.last)
    verdict = judge(job, estimate_size(job, kept), lot=made)
    assert verdict.decision == "release"
    assert verdict.inside_lower >= job.demands.inside
    # By the truth every hole up to there keeps the target as well.
    tools = script("make_life").TOOLS
    for one in lives.followed:
        start, drift, _ = tools[one.tool]
        last = start + drift * one.change.change.hole
        assert norm.cdf((8.0 - last) / TRUE_SCATTER) < 0.01


def test_kept_to_their_end_the_same_reamers_would_have_made_bad_holes(job):
    tools = read_life(BRAKELUND / "life_a.csv", job.shop)
    late = [r for t in tools[:2] for r in t.readings if t.cut[r.hole] > 1600]
    estimate = estimate_size(job, late)
    assert estimate.bad + estimate.unsure > 0
    assert estimate.inside_lower < job.demands.inside


def test_the_run_that_may_be_left_alone_is_safe_by_the_truth(lives):
    run = lives.current.change.run
    start, drift, _ = script("make_life").TOOLS[lives.current.tool]
    holes = range(run.first, run.first + run.holes)
    none = math.prod(1 - norm.cdf((8.0 - start - drift * (x - 1)) / TRUE_SCATTER) for x in holes)
    assert 1 - none <= run.any_outside + 0.05
