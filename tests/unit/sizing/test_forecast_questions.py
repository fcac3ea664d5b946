"""A forecast simulated, taken apart, and asked backwards."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from holewright.callout.callout import Limits
from holewright.errors import NoAnswerError, OutOfRangeError
from holewright.sizing.forecast import Forecast
from holewright.sizing.inverse import reamer_wanted, runout_needed, tolerance_needed, worn
from holewright.sizing.monte_carlo import simulate
from holewright.sizing.sensitivity import sensitivities
from holewright.uncertainty import Shape, SizeDistribution, Tag, Term


def term(name: str, mean: float, sd: float, shape: Shape = Shape.NORMAL) -> Term:
    return Term(name, mean, sd, Tag.DEFAULT, "invented", shape=shape)


FORECAST = Forecast(
    SizeDistribution(
        (
            term("reamer", 8.009, 0.0017, Shape.RECTANGULAR),
            term("runout", 0.002, 0.0008),
            term("built-up edge", 0.0024, 0.0018, Shape.HALF_NORMAL),
            term("wear", -0.001, 0.0008, Shape.NEGATIVE_LOGNORMAL),
            term("scatter", 0.0, 0.0025),
        )
    ),
    Limits(8.000, 8.015),
)


def test_simulation_and_linear_propagation_agree() -> None:
    """Stated band: moments to four standard errors, shares outside to 0.02 absolute."""
    drawn = simulate(FORECAST.size, 8.000, 8.015)
    standard_error = FORECAST.sd / np.sqrt(drawn.draws)
    assert drawn.mean == pytest.approx(FORECAST.mean, abs=4 * standard_error)
    assert drawn.sd == pytest.approx(FORECAST.sd, rel=0.01)
    assert drawn.below == pytest.approx(FORECAST.below, abs=0.02)
    assert drawn.above == pytest.approx(FORECAST.above, abs=0.02)


def test_a_sum_of_four_rectangular_terms_gives_the_interval_of_the_guide() -> None:
    """JCGM 101:2008, 9.2.3: four unit rectangular terms, u = 2.00, 95 % from -3.88 to 3.88.

    Printed values from memory; 0.03 is three standard errors of the quantile here.
    """
    size = SizeDistribution(tuple(term(f"x{i}", 0.0, 1.0, Shape.RECTANGULAR) for i in range(4)))
    drawn = simulate(size, -10, 10)
    assert drawn.sd == pytest.approx(2.00, abs=0.01)
    assert drawn.upper == pytest.approx(3.88, abs=0.03)
    assert drawn.lower == pytest.approx(-3.88, abs=0.03)


def test_a_term_that_dominates_and_only_adds_skews_the_sum() -> None:
    """Where simulation must differ: half-normal of scale 1 has 0 below 0, a normal 9 %."""
    size = SizeDistribution(
        (term("edge", np.sqrt(2 / np.pi), np.sqrt(1 - 2 / np.pi), Shape.HALF_NORMAL),)
    )
    assert simulate(size, 0.0, 9.0).below == 0
    assert size.below(0.0) > 0.08


def test_the_first_sensitivity_is_the_largest_spread_and_says_what_to_do() -> None:
    first = sensitivities(FORECAST)[0]
    assert first.term == "scatter"
    assert "measure ten holes" in first.todo
    shares = [s.share_of_variance for s in sensitivities(FORECAST)]
    assert sum(shares) == pytest.approx(1.0)


def test_knowing_the_reamer_narrows_the_forecast_by_its_own_variance() -> None:
    reamer = next(s for s in sensitivities(FORECAST) if s.term == "reamer")
    assert reamer.sd_without**2 == pytest.approx(FORECAST.sd**2 - 0.0017**2)
    assert "measure the reamer" in reamer.todo


def test_what_differs_from_hole_to_hole_is_not_taken_off_by_knowing_it() -> None:
    scatter = Term("scatter", 0.0, 0.0025, Tag.DEFAULT, "", varies=0.0025)
    fluid = Term("fluid", 8.005, 0.002, Tag.DEFAULT, "", varies=0.0006)
    told = sensitivities(Forecast(SizeDistribution((scatter, fluid)), Limits(8.0, 8.015)))
    assert [s.term for s in told] == ["fluid", "scatter"]
    assert told[0].sd_without ** 2 == pytest.approx(0.0025**2 + 0.0006**2)
    assert told[1].share_of_variance > told[0].share_of_variance
    assert "does not narrow the spread" in told[1].text


def test_the_runout_to_reach_gives_just_the_share_asked_for() -> None:
    needed = runout_needed(FORECAST, 0.005, inside=0.85)
    scale = needed / 0.005
    terms = tuple(
        replace(t, mean=t.mean * scale, sd=t.sd * scale) if t.name == "runout" else t
        for t in FORECAST.size.terms
    )
    assert replace(FORECAST, size=SizeDistribution(terms)).inside == pytest.approx(0.85)
    assert 0 < needed < 0.005


def test_where_runout_is_not_the_trouble_no_runout_is_promised_to_help() -> None:
    with pytest.raises(NoAnswerError, match="something else must change"):
        runout_needed(replace(FORECAST, limits=Limits(8.0, 8.002)), 0.005, inside=0.85)


@given(inside=st.floats(0.5, 0.9999))
def test_the_tolerance_that_would_make_it_easy_holds_just_that_share(inside: float) -> None:
    limits = tolerance_needed(FORECAST, inside)
    assert replace(FORECAST, limits=limits).inside == pytest.approx(inside, abs=1e-9)


def test_a_share_must_be_a_share() -> None:
    with pytest.raises(OutOfRangeError, match="inside = 1"):
        tolerance_needed(FORECAST, 1.0)


def test_the_reamer_to_order_puts_the_mean_in_the_middle() -> None:
    wanted = reamer_wanted(FORECAST)
    assert wanted.diameter + wanted.offset == pytest.approx(FORECAST.limits.middle)
    assert wanted.inside > FORECAST.inside


def test_a_measured_offset_replaces_the_forecast_one() -> None:
    assert reamer_wanted(FORECAST, measured_offset=0.001).diameter == pytest.approx(8.0065)


def test_a_worn_reamer_cuts_smaller() -> None:
    assert worn(FORECAST).mean == pytest.approx(FORECAST.mean - 0.001)
