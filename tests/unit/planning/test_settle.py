"""A point of one's own choosing in the window."""

from __future__ import annotations

from pathlib import Path

import pytest

from holewright.errors import OutOfRangeError
from holewright.jobs.jobfile import read_job
from holewright.jobs.plan_hole import study_job
from holewright.planning.make_plan import Study
from holewright.planning.settle import plan_at, point_of, settle

JOB_A = Path(__file__).parents[3] / "examples/brakelund/job_a.toml"


@pytest.fixture(scope="module")
def study() -> Study:
    return study_job(read_job(JOB_A))


def test_the_point_of_the_route_settles_to_the_same_numbers(study: Study):
    point = study.point
    again = settle(point, point.at("v_c"), point.at("f"))
    assert again.broken == ()
    for name in ("n", "v_f", "h", "torque", "power", "cost", "outside", "life"):
        assert again.point.at(name) == pytest.approx(point.at(name), rel=1e-9), name


def test_speed_and_feed_follow_their_definitions(study: Study):
    # n = 1000 v_c / (pi DC), v_f = n f: ISO 3002-1
    point = settle(study.point, 100.0, 0.5).point
    assert point.at("n") == pytest.approx(1000 * 100 / (3.14159265 * point.reamer.DC.value))
    assert point.at("v_f") == pytest.approx(point.at("n") * 0.5)


def test_too_fast_for_the_spindle_is_said_with_both_numbers(study: Study):
    settled = settle(study.point, 700.0, 0.5)
    said = {reason.code: reason for reason in settled.broken}
    assert said["speed-high"].limit == 12000
    assert "the spindle turns 12000 1/min at most" in said["speed-high"].text


def test_a_plan_at_another_point_forecasts_anew(study: Study):
    point = settle(study.point, 120.0, 0.9).point
    plan = plan_at(study.plan, point)
    ream = plan.route.operations[-1]
    assert (ream.v_c, ream.f) == pytest.approx((120.0, 0.9))
    assert plan.forecast.limits == study.plan.forecast.limits
    assert plan.route.cost_per_good_hole == pytest.approx(point.at("cost"))


def test_every_route_of_a_plan_leads_back_to_its_point(study: Study):
    for route in (study.plan.route, *study.plan.alternatives):
        point = point_of(study.point, route)
        if point is None:
            continue
        assert point.reamer.id == route.operations[-1].tool
        assert point.at("cost") == pytest.approx(route.cost_per_good_hole)
    assert point_of(study.point, study.plan.route) is not None


@pytest.mark.parametrize(("v_c", "f"), [(0, 0.5), (float("nan"), 0.5), (50, -1), (50, 1e9)])
def test_what_no_machine_could_know_is_refused(study: Study, v_c: float, f: float):
    with pytest.raises(OutOfRangeError, match="must be more than 0"):
        settle(study.point, v_c, f)
