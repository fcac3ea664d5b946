"""The offset by its causes, and by what the standard takes for granted."""

from __future__ import annotations

import pytest

from holewright.callout.callout import Limits
from holewright.sizing.forecast import Forecast
from holewright.sizing.hypotheses import disagree, hypotheses, standard_offset
from holewright.uncertainty import SizeDistribution, Tag, Term


@pytest.mark.parametrize(
    ("diameter", "low", "high"),
    [
        pytest.param(6.0, -5.0, 2.0, id="over 3 to 6"),
        pytest.param(10.0, -6.0, 3.0, id="over 6 to 10"),
        pytest.param(18.0, -8.0, 3.0, id="over 10 to 18"),
    ],
)
def test_the_range_that_the_standard_allows(diameter: float, low: float, high: float) -> None:
    """From the published DIN 1420 rows: 6 H7 6.005 to 6.010, 10 H7 10.006 to 10.012, 18 H7
    18.008 to 18.015."""
    assert [1000 * one for one in standard_offset(diameter)] == pytest.approx([low, high])


def forecast(offset: float) -> Forecast:
    terms = (
        Term("reamer", 10.009, 0.0005, Tag.MEASURED, ""),
        Term("fluid", offset, 0.002, Tag.DEFAULT, ""),
        Term("scatter", 0.0, 0.0015, Tag.DEFAULT, ""),
    )
    return Forecast(SizeDistribution(terms), Limits(10.0, 10.015))


def test_both_stand_side_by_side_with_the_same_reamer() -> None:
    both = hypotheses(forecast(-0.001), 10.0)
    assert both is not None
    causes, standard = both
    assert causes.offset == pytest.approx(-0.001)
    assert causes.sd == pytest.approx(0.0025)
    assert standard.offset == pytest.approx(-0.0015)
    assert standard.sd == pytest.approx(0.009 / 12**0.5)
    assert standard.forecast.mean == pytest.approx(10.0075)
    assert causes.forecast.limits == standard.forecast.limits
    assert not disagree(causes, standard)


def test_causes_above_the_range_contradict_the_intent_of_the_standard() -> None:
    both = hypotheses(forecast(0.006), 10.0)
    assert both is not None
    assert disagree(*both)


def test_a_hole_without_a_reamer_has_no_offset() -> None:
    drilled = Forecast(
        SizeDistribution((Term("drilled size", 10.1, 0.02, Tag.DEFAULT, ""),)), Limits(10, 10.2)
    )
    assert hypotheses(drilled, 10.0) is None
