"""The largest doubts about a forecast, and the test that settles each."""

from __future__ import annotations

from pathlib import Path

import pytest

from holewright.callout.callout import Limits
from holewright.jobs.jobfile import read_job
from holewright.jobs.plan_hole import forecast as forecast_hole
from holewright.jobs.risks import largest_risks
from holewright.sizing.forecast import Forecast
from holewright.uncertainty import SizeDistribution, Tag, Term

LIMITS = Limits(8.0, 8.015)


def forecast(*spreads: tuple[str, float], tag: Tag = Tag.DEFAULT) -> Forecast:
    terms = tuple(Term(name, 8.0 / len(spreads), sd, tag, "test") for name, sd in spreads)
    return Forecast(SizeDistribution(terms), LIMITS)


def test_the_largest_spread_comes_first_with_its_share_of_the_variance():
    # Variances 9, 16, 0 and 1 of together 26.
    risks = largest_risks(
        forecast(("wear", 0.003), ("fluid", 0.004), ("a", 0.0), ("runout", 0.001))
    )
    assert [risk.term.name for risk in risks] == ["fluid", "wear", "runout"]
    assert [risk.share for risk in risks] == pytest.approx([16 / 26, 9 / 26, 1 / 26])


def test_a_cause_without_spread_is_no_doubt():
    assert [r.term.name for r in largest_risks(forecast(("wear", 0.001), ("fluid", 0.0)))] == [
        "wear"
    ]


@pytest.mark.parametrize("name", ["a", "b", "c", "d"])
def test_each_doubt_of_a_real_forecast_has_a_test_of_its_own(name):
    job = read_job(Path(__file__).parents[3] / "examples" / "brakelund" / f"job_{name}.toml")
    risks = largest_risks(forecast_hole(job), count=20)
    assert risks
    general = largest_risks(forecast(("moonlight", 0.001)))[0].test
    assert general not in {risk.test for risk in risks}
    assert len({risk.test for risk in risks}) == len(risks)


def test_a_cause_that_nobody_foresaw_gets_the_test_that_always_helps():
    (risk,) = largest_risks(forecast(("moonlight", 0.001)))
    assert "scrap" in risk.test


def test_a_reamer_that_was_measured_need_not_be_measured_by_its_label():
    labelled = largest_risks(forecast(("reamer", 0.002)))[0].test
    measured = largest_risks(forecast(("reamer", 0.002), tag=Tag.MEASURED))[0].test
    assert "label" in labelled
    assert "Measured already" in measured
