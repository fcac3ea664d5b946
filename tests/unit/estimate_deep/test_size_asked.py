"""Asked for a size that the gauges don't feel: bounds widened by form, and never too little."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from holewright.errors import InputError, NoAnswerError
from holewright.gauging.count_holes import Shown
from holewright.gauging.form import hole_form, sizes_seen
from holewright.gauging.reading import Reading
from holewright.jobs.job import GaugingHabits
from holewright.jobs.jobfile import read_job
from holewright.jobs.size_asked import SizeKind, estimate_of, form_allowance, read_size_kind
from holewright.jobs.take_readings import estimate_size
from holewright.shop.pin import BoreGauge, InstrumentKind, Pin, Sense
from holewright.uncertainty import Known, Tag

BRAKELUND = Path(__file__).parents[3] / "examples" / "brakelund"


def known(size):
    return Pin(f"{size:.3f}", size, Sense.PLUS, "", Known(size, Tag.MEASURED, "cert", 0.0))


def bore(kind):
    return BoreGauge(str(kind), kind, Known(1e-9, Tag.STANDARD), 1e-9)


PINS = tuple(known(s) for s in (8.000, 8.005, 8.010, 8.015))
SHOP_JOB = read_job(BRAKELUND / "job_a.toml")  # 8 H7: 8.000 to 8.015


def job(form=None):
    shop = replace(SHOP_JOB.shop, pins=PINS, bore_gauges=tuple(map(bore, InstrumentKind)))
    return replace(SHOP_JOB, shop=shop, habits=GaugingHabits(form=form))


BRACKET = [Reading("1", "8.005", goes=True), Reading("1", "8.010", goes=False)]


def asked(kind, readings, form):
    one = job(form)
    estimate = estimate_of(one, readings, estimate_size(one, readings), kind)
    return estimate, estimate.holes[0]


def test_pins_answer_for_the_size_that_pins_feel_unchanged():
    one = job()
    estimate = estimate_size(one, BRACKET)
    assert estimate_of(one, BRACKET, estimate, SizeKind.PIN) is estimate


def test_a_local_size_is_at_least_what_the_pin_feels_and_at_most_twice_the_form_over_it():
    estimate, hole = asked(SizeKind.TWO_POINT, BRACKET, 0.002)
    assert (hole.lower, hole.upper) == pytest.approx((8.005, 8.014))
    assert hole.shown is Shown.INSIDE
    assert "two-point" in estimate.size_kind
    assert "4 µm" in estimate.method


def test_more_form_leaves_the_hole_open_and_says_what_would_tell():
    estimate, hole = asked(SizeKind.TWO_POINT, BRACKET, 0.003)  # up to 8.016
    assert hole.shown is Shown.NEITHER
    assert estimate.good == 0
    assert estimate.inside_lower == 0
    assert estimate.limits_of_knowledge[0].code == "form-allowance"
    assert "two-point bore gauge" in estimate.limits_of_knowledge[0].text


def test_what_a_pin_would_feel_lies_at_or_below_what_a_bore_gauge_reads():
    reads = [Reading("1", "two-point", size=8.006)]
    _, hole = asked(SizeKind.PIN, reads, 0.002)
    assert (hole.lower, hole.upper) == pytest.approx((8.002, 8.006), abs=1e-6)


def test_three_jaws_feel_neither():
    reads = [Reading("1", "three-point", size=8.006)]
    _, hole = asked(SizeKind.TWO_POINT, reads, 0.001)
    assert (hole.lower, hole.upper) == pytest.approx((8.004, 8.008), abs=1e-6)


def test_a_fit_to_another_size_is_none_of_this_one():
    readings = [Reading(f"{i}", p.id, goes=p.marked < 8.004 + i * 0.0005)
                for i in range(20) for p in PINS]  # fmt: skip
    one = job(0.0)
    estimate = estimate_size(one, readings)
    widened = estimate_of(one, readings, estimate, SizeKind.TWO_POINT)
    assert widened.mean is None
    assert widened.inside_lower == widened.inside_counted
    # Perfect form widens nothing: the same holes are good.
    assert (widened.good, widened.bad) == (estimate.good, estimate.bad)


def test_without_a_form_allowance_it_is_asked_for():
    with pytest.raises(NoAnswerError, match=r"\[gauging\] form"):
        asked(SizeKind.TWO_POINT, BRACKET, None)


def test_the_cylindricity_of_the_drawing_serves_where_the_job_says_nothing():
    one = replace(job(), callout=replace(SHOP_JOB.callout, cylindricity=0.004))
    assert form_allowance(one) == 0.004
    assert form_allowance(replace(one, habits=GaugingHabits(form=0.001))) == 0.001


@pytest.mark.parametrize(("text", "kind"), [("Two point", "two-point"), (" PIN ", "pin")])
def test_a_size_is_named_as_people_write_it(text, kind):
    assert read_size_kind(text) == kind


def test_another_name_is_refused_with_those_that_are_known():
    with pytest.raises(InputError, match="pin or two-point"):
        read_size_kind("three-point")


@settings(deadline=None, max_examples=60)
@given(
    lobes=st.integers(2, 9),
    amplitude=st.floats(1e-5, 0.003),
    taper=st.floats(-0.002, 0.002),
)
def test_what_any_instrument_sees_of_a_lobed_tapered_hole_lies_within_the_widening(
    lobes, amplitude, taper
):
    """Against the forms of gauging.form: the wall lies between cylinders 2a + |t|/2 apart."""
    depths = (0.0, 5.0, 10.0)
    seen = sizes_seen(hole_form(8.0, depths, lobes={lobes: amplitude}, taper=taper), depths)
    form = 2 * amplitude + abs(taper) / 2
    for low, high in (seen.two_point, seen.three_point):
        assert seen.pin - 1e-6 <= low
        assert high <= seen.pin + 2 * form + 1e-6
