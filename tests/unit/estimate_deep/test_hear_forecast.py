"""Forecast and readings heard together, and the pins chosen by the forecast."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from scipy.stats import norm

from holewright.callout.callout import Limits
from holewright.errors import NoAnswerError, OutOfRangeError
from holewright.gauging.pin_size import pin_size
from holewright.gauging.posterior import Posterior
from holewright.jobs.choose_gauges import choose_gauges
from holewright.jobs.hear_forecast import hear_forecast
from holewright.jobs.jobfile import read_job
from holewright.jobs.plan_hole import forecast
from holewright.jobs.readingsfile import read_readings
from holewright.jobs.take_readings import estimate_size
from holewright.proof.posterior_ppk import ppk_of_draws
from holewright.shop.pin import Pin, Sense
from holewright.uncertainty import Known, Tag

BRAKELUND = Path(__file__).parents[3] / "examples" / "brakelund"
JOB = read_job(BRAKELUND / "job_a.toml")
READINGS = read_readings(BRAKELUND / "readings_a.csv", JOB.shop)


def test_few_readings_stay_near_the_forecast_and_many_near_what_came():
    foretold = forecast(JOB)
    few, many = hear_forecast(JOB, READINGS[:3]), hear_forecast(JOB, READINGS)
    assert few.prior_mean == pytest.approx(foretold.mean)
    assert few.prior_inside == pytest.approx(foretold.inside, abs=1e-9)
    width = few.both.mean_interval[1] - few.both.mean_interval[0]
    narrow = many.both.mean_interval[1] - many.both.mean_interval[0]
    assert narrow < width / 3
    came = estimate_size(JOB, READINGS)
    assert many.both.mean == pytest.approx(came.mean, abs=0.2 * came.sd)
    assert many.both.inside > few.both.inside


def test_the_number_outside_in_the_lot_is_of_those_not_checked():
    checked = len({reading.hole for reading in READINGS})
    assert hear_forecast(JOB, READINGS, lot=checked).both.outside_in_lot == 0
    assert hear_forecast(JOB, READINGS[:30], lot=1920).both.outside_in_lot > 0
    assert hear_forecast(JOB, READINGS[:30]).both.outside_in_lot is None


def test_it_says_how_many_draws_stand_behind_it():
    heard = hear_forecast(JOB, READINGS[:30])
    assert 0 < heard.both.draws <= heard.of_draws
    assert heard.trusted == (heard.both.draws >= 400)


def test_ppk_of_draws_is_the_quantile_of_the_ppk_of_each():
    rng = np.random.default_rng(7)
    mean, sd = rng.normal(8.007, 0.0004, 4000), np.exp(rng.normal(np.log(0.0015), 0.1, 4000))
    weight = np.full(4000, 1 / 4000)
    drawn = Posterior(mean, sd, np.empty((4000, 0)), np.empty((4000, 0)), weight, 4000.0,
                      (8.007, 0.0), (0.0015, 0.0))  # fmt: skip
    ppk, lower = ppk_of_draws(drawn, Limits(8.0, 8.015))
    each = np.minimum(8.015 - mean, mean - 8.0) / (3 * sd)
    assert ppk == pytest.approx(np.median(each), rel=1e-3)
    assert lower == pytest.approx(np.quantile(each, 0.05), rel=5e-3)


def test_the_pins_that_prove_the_limits_pass_no_bad_hole_beyond_their_own_doubt():
    chosen = choose_gauges(JOB)
    assert chosen.proving.go is not None
    assert chosen.proving.no_go is not None
    assert pin_size(chosen.proving.go).smallest() >= 8.0
    assert pin_size(chosen.proving.no_go).largest() <= 8.015
    assert chosen.proving.passes_bad < 1e-4
    assert chosen.outside == pytest.approx(1 - forecast(JOB).inside)


def test_the_risks_of_exact_pins_are_areas_under_the_forecast():
    """With pins of known size the risk is an area of the normal curve: scipy.stats."""
    exact = [
        Pin(f"{size}", size, Sense.PLUS, "", Known(size, Tag.MEASURED, "certificate", 0.0))
        for size in (8.001, 8.013)
    ]
    job = replace(JOB, shop=replace(JOB.shop, pins=tuple(exact)))
    chosen = choose_gauges(job)
    curve = norm(chosen.mean, chosen.sd)
    assert chosen.proving.lower.refuses_good == pytest.approx(
        curve.cdf(8.001) - curve.cdf(8.0), rel=1e-9
    )
    assert chosen.proving.upper.refuses_good == pytest.approx(
        curve.cdf(8.015) - curve.cdf(8.013), rel=1e-9
    )


def test_least_wrong_pins_cost_no_more_than_proving_ones():
    for cost in (1.0, 20.0, 1000.0):
        chosen = choose_gauges(JOB, bad_costs=cost)
        cost_of = [
            cost * p.passes_bad + p.refuses_good for p in (chosen.least_wrong, chosen.proving)
        ]
        assert cost_of[0] <= cost_of[1] + 1e-12


def test_without_pins_every_bad_hole_passes_and_what_to_get_is_said():
    chosen = choose_gauges(replace(JOB, shop=replace(JOB.shop, pins=())))
    assert chosen.proving.go is None
    assert chosen.proving.passes_bad == pytest.approx(chosen.outside)
    assert (chosen.choice.ideal_go, chosen.choice.ideal_no_go) == (8.0, 8.015)


def test_a_job_without_a_route_has_no_forecast_to_hear(tmp_path):
    file = tmp_path / "valve.toml"
    file.write_text(
        '[hole]\ncallout = "12 H6 x 30 through"\ncylindricity = "0.003"\n'
        '[material]\nname = "42CrMo4"\nhardness = "45 HRC"\n'
    )
    with pytest.raises(NoAnswerError, match="no size can be forecast"):
        choose_gauges(read_job(file))


def test_a_cost_below_nothing_is_refused():
    with pytest.raises(OutOfRangeError):
        choose_gauges(JOB, bad_costs=0.0)
