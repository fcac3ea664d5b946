"""Which pins are asked for at the warmth of part and gauges."""

from __future__ import annotations

from dataclasses import replace

import pytest

from holewright.gauging.pin_size import as_hole_at_20, pin_size
from holewright.jobs.gauge_asks import asks_at
from holewright.jobs.jobfile import read_job
from served_shop import BRAKELUND


@pytest.fixture(scope="module")
def job_b():
    return read_job(BRAKELUND / "job_b.toml")


def pin_of(job, name):
    return next(pin for pin in job.shop.pins if pin.id == name)


def test_at_20_degrees_the_pins_are_those_of_the_limits(job_b):
    asks = asks_at(job_b, 20.0, 20.0)
    assert [(ask.gauge, ask.use) for ask in asks.asks] == [(".3125 X", "GO"), (".3130", "NO-GO")]
    assert asks.warmth is None


@pytest.mark.parametrize("warm", [15.0, 22.2, 26.0, 31.0])
def test_a_pin_that_is_asked_for_proves_its_limit_at_20_degrees(job_b, warm):
    limits = job_b.gauged_limits
    for ask in asks_at(job_b, warm, warm).asks:
        if ask.use == "size":
            continue
        seen = as_hole_at_20(
            pin_size(pin_of(job_b, ask.gauge)),
            part_c=warm,
            gauge_c=warm,
            part_alpha=job_b.material.alpha.value,
            gauge_alpha=job_b.shop.gauge_alpha,
        )
        if ask.use == "GO":
            assert seen.best - seen.half_width >= limits.lower - 2e-6
        else:
            assert seen.best + seen.half_width <= limits.upper + 2e-6


def test_where_warmth_takes_a_pin_away_it_is_said_and_the_size_is_read_off(job_b):
    pins = tuple(pin for pin in job_b.shop.pins if pin.id in (".3125 X", ".3130"))
    job = replace(job_b, shop=replace(job_b.shop, pins=pins))
    asks = asks_at(job, 22.2, 22.2)
    # 7.9375 mm x (23 - 11.5)e-6 1/K x 2.2 K is 0.2 µm: more than nothing, and .3125 X has none.
    assert "pin .3125 X does not prove the lower limit" in asks.warmth.text
    assert asks.warmth.value == pytest.approx(7.9375 * 11.6e-6 * 2.2, rel=0.1)
    assert [ask.use for ask in asks.asks] == ["size"]


def test_without_pins_and_gauges_nothing_is_asked(job_b):
    bare = replace(job_b, shop=replace(job_b.shop, pins=(), bore_gauges=()))
    asks = asks_at(bare, 20.0, 20.0)
    assert asks.asks == ()
    assert {reason.code for reason in asks.reasons} >= {"missing-go", "missing-no-go"}
