"""From readings to an estimate, in the words of the trade."""

import math

import numpy as np
import pytest

from holewright.callout.callout import Limits
from holewright.errors import InputError
from holewright.gauging.estimate_size import estimate_size
from holewright.gauging.reading import Reading
from holewright.shop.pin import BoreGauge, InstrumentKind, Pin, Sense
from holewright.shop.shop import Shop
from holewright.uncertainty import Known, SizeDistribution, Tag, Term
from holewright.units import Unit

INCH = 25.4
LIMITS = Limits(0.2500 * INCH, 0.2505 * INCH)
MINUS = tuple(Pin(f".{s} minus", s / 1e4 * INCH, Sense.MINUS) for s in (2495, 2500, 2505, 2510))
RIGHT = (
    Pin("GO", 0.2500 * INCH, Sense.PLUS, "XX"),
    Pin("NO-GO", 0.2505 * INCH, Sense.MINUS, "XX"),
)
GAUGE = BoreGauge("three-point", InstrumentKind.THREE_POINT, Known(0.0005, Tag.MEASURED), 0.0005)
SHOP = Shop("bench", (), (), (), (), (*MINUS, *RIGHT), (GAUGE,))


def checked(go, no_go, small, inside, large):
    """Return readings of holes that refuse the GO, pass, and take the NO-GO."""
    readings = []
    for i, goes in enumerate([0] * small + [1] * inside + [2] * large):
        readings.append(Reading(f"{i + 1}", go, goes=goes >= 1))
        readings.append(Reading(f"{i + 1}", no_go, goes=goes >= 2))
    return readings


def estimate(readings, **how):
    return estimate_size(readings, SHOP, LIMITS, material_alpha=11.5e-6, **how)


def test_thirty_good_holes_show_90_and_a_half_percent():
    said = estimate(checked("GO", "NO-GO", 0, 30, 0))
    assert (said.good, said.bad, said.unsure) == (30, 0, 0)
    # Zero failures in 30: p <= 9.50 % at 95 %, whatever the distribution.
    assert said.inside_lower == pytest.approx(1 - 0.0950339, abs=1e-7)
    assert said.mean is None
    assert "every hole fell between the same two sizes" in said.method
    assert said.limits_of_knowledge[0].code == "too-few-holes"


def test_the_same_holes_checked_with_a_minus_pin_prove_nothing():
    said = estimate(checked(".2500 minus", "NO-GO", 0, 30, 0), unit=Unit.INCH)
    assert (said.good, said.bad, said.unsure) == (0, 0, 30)
    assert said.inside_lower == 0
    first = said.limits_of_knowledge[0]
    assert first.code == "pin-uncertainty"
    assert "may be .2498 in" in first.text
    assert "More holes with pins as they are would not help" in first.text


def test_holes_that_fail_a_gauge_by_less_than_its_doubt_are_unsure():
    said = estimate(checked("GO", "NO-GO", 2, 25, 3))
    # A GO plus XX that stops may be .25002: the hole may still be good by .00002. So the five
    # that fail a gauge are not shown bad; they aren't shown good either.
    assert (said.good, said.bad, said.unsure) == (25, 0, 5)


def test_holes_that_fail_by_more_than_the_pins_doubt_are_bad():
    small = [Reading("1", ".2500 minus", goes=False), Reading("2", "NO-GO", goes=False)]
    said = estimate([*small, Reading("3", ".2510 minus", goes=True)])
    assert (said.good, said.bad, said.unsure) == (0, 2, 1)


def test_a_hole_of_which_nothing_is_proved_counts_as_not_good():
    readings = [*checked("GO", "NO-GO", 0, 29, 0), Reading("30", "GO", goes=True)]
    said = estimate(readings)
    assert (said.good, said.unsure) == (29, 1)
    # 1 of 30 not good: Clopper-Pearson, one-sided 95 %: the two-sided 90 % bound .148596.
    assert said.inside_lower == pytest.approx(1 - 0.14859606865911312, abs=1e-9)


def test_three_cells_give_mean_and_spread_with_their_intervals():
    said = estimate(checked(".2500 minus", ".2505 minus", 2, 25, 3))
    # The closed form of three cells, pins at their middle: the fit of the handbook, less .0001.
    assert said.mean / INCH == pytest.approx(0.250269723588 - 0.0001, abs=2e-6)
    assert said.sd / INCH == pytest.approx(1.7968563922e-4, rel=0.05)
    assert said.mean_interval[0] < said.mean < said.mean_interval[1]
    assert said.sd_interval[0] < said.sd < said.sd_interval[1]
    assert said.inside == pytest.approx(1 - said.below - said.above)
    assert said.size_kind == "maximum inscribed (pin)"


def test_a_contradiction_is_reported_and_counts_as_unsure():
    readings = [
        *checked("GO", "NO-GO", 0, 9, 0),
        Reading("10", ".2495 minus", goes=False),
        Reading("10", ".2510 minus", goes=True),
    ]
    said = estimate(readings)
    assert (said.good, said.unsure, said.n_holes) == (9, 1, 10)
    assert [r.code for r in said.contradictions] == ["readings-contradict"]
    hole = said.holes[-1]
    assert hole.lower > hole.upper


def test_a_cold_aluminium_bore_that_reads_good_is_not_passed():
    # Given 32 H7 in aluminium from a 5 °C store, read +14 µm with a gauge at 20 °C.
    cold = [Reading("1", "three-point", size=32.014, part_c=5.0, gauge_c=20.0)]
    said = estimate_size(cold, SHOP, Limits(32.0, 32.025), material_alpha=23.6e-6)
    assert (said.good, said.bad, said.unsure) == (0, 0, 1)
    assert said.holes[0].lower == pytest.approx(32.0253, abs=2e-4)
    temperature = next(r for r in said.limits_of_knowledge if r.code == "temperature")
    assert "until both are at 20 °C" in temperature.text


def test_ten_times_the_holes_is_what_too_few_is_held_against():
    few = estimate(checked("GO", "NO-GO", 0, 30, 0)).limits_of_knowledge[0]
    assert few.value == pytest.approx(1 - 0.0950339, abs=1e-6)
    # Zero failures in 300: 1 - .05^(1/300).
    assert few.limit == pytest.approx(0.05 ** (1 / 300), abs=1e-9)


def test_no_reading_is_an_error_and_not_an_estimate():
    with pytest.raises(InputError, match="at least one reading"):
        estimate([])


def test_every_bound_is_a_share_and_every_sentence_ends():
    said = estimate(checked(".2500 minus", ".2505 minus", 1, 5, 2))
    assert 0 <= said.inside_lower <= 1
    assert math.isclose(said.good + said.bad + said.unsure, said.n_holes)
    for reason in (*said.contradictions, *said.limits_of_knowledge):
        assert reason.text.endswith(".")


def bracketed(sizes, pins):
    """Return the readings of holes of these sizes, each checked with every pin."""
    return [
        Reading(f"{i + 1}", pin.id, goes=bool(size > pin.calibrated.value))
        for i, size in enumerate(sizes)
        for pin in pins
    ]


KNOWN = tuple(
    Pin(f"{size:.3f} cal", size, Sense.PLUS, "", Known(size, Tag.MEASURED, "certificate", u=2e-5))
    for size in (8.002, 8.005, 8.008, 8.011, 8.014)
)
DOWEL = Limits(8.0, 8.015)


def dowel(readings, pins=KNOWN, **how):
    shop = Shop("bench", (), (), (), (), pins)
    return estimate_size(readings, shop, DOWEL, material_alpha=11.5e-6, **how)


def normal_sizes(n, mean=8.0075, sd=0.0025, seed=4):
    return np.random.default_rng(seed).normal(mean, sd, n)


def test_pins_across_the_zone_let_the_fit_speak_where_it_has_earned_it():
    said = dowel(bracketed(normal_sizes(60), KNOWN))
    assert said.remarks[0].code == "shape"
    assert "fits" in said.remarks[0].text
    assert said.inside_lower == said.inside_fitted > said.inside_counted
    assert "profile likelihood: its shape was checked" in said.method
    assert said.inside_interval[0] < said.inside < said.inside_interval[1]


def test_two_pins_never_let_the_fit_speak():
    said = estimate(checked("GO", "NO-GO", 1, 58, 1))
    assert said.inside_lower == said.inside_counted
    assert said.inside_fitted is not None
    assert "leave nothing over to check the shape" in said.remarks[0].text


def test_a_process_in_two_groups_is_hinted_at_and_keeps_to_counting():
    two = np.concatenate([normal_sizes(60, 8.0035, 0.0008), normal_sizes(60, 8.0125, 0.0008, 5)])
    said = dowel(bracketed(two, KNOWN))
    codes = [r.code for r in said.remarks]
    assert "two-groups" in codes
    assert said.remarks[0].value < 0.05
    assert said.inside_lower == said.inside_counted


def test_a_hole_that_stands_apart_is_named_and_stays_in():
    sizes = np.append(normal_sizes(60, sd=0.001), 8.03)
    said = dowel(bracketed(sizes, KNOWN))
    apart = [r for r in said.remarks if r.code == "hole-apart"]
    assert [("Hole 61" in r.text) for r in apart] == [True]
    assert said.fit.n == 61
    assert said.inside_lower == said.inside_counted


def test_what_feed_does_to_size_is_told_per_unit():
    sizes = normal_sizes(80)
    feed = {f"{i + 1}": {"feed": 0.1 if i % 2 else 0.2} for i in range(80)}
    grown = sizes + np.array([0.0 if i % 2 else 0.003 for i in range(80)])
    said = dowel(bracketed(grown, KNOWN), causes=feed)
    (effect,) = [r for r in said.remarks if r.code == "effect"]
    # 3 µm for 0.1 mm/rev more, to three standard errors.
    assert effect.value == pytest.approx(0.03, abs=3 * effect.limit)
    assert "One more of feed" in effect.text


def test_a_forecast_and_readings_together_say_more_than_either():
    forecast = SizeDistribution(
        (
            Term("reamer", 8.006, 0.003, Tag.MEASURED, "micrometer"),
            Term("runout", 0.001, 0.003, Tag.COMPUTED, "", varies=0.003),
        )
    )
    said = dowel(bracketed(normal_sizes(10), KNOWN), forecast=forecast, lot_unchecked=200)
    both = said.with_forecast
    assert both.mean_interval[1] - both.mean_interval[0] < 4 * 0.003
    assert both.inside_interval[0] < both.inside < 1
    assert 0 < both.outside_in_lot < 200
    assert both.draws > 400
    # And where all fell into one cell and no fit exists, it still speaks.
    alone = dowel(bracketed(np.full(6, 8.006), KNOWN), forecast=forecast)
    assert alone.mean is None
    assert 8.005 < alone.with_forecast.mean < 8.008


def test_pins_are_named_as_the_limit_where_they_are():
    poor = tuple(Pin(f"{s:.3f}", s, Sense.MINUS, "Z") for s in (8.002, 8.005, 8.008, 8.011, 8.014))
    shop = Shop("bench", (), (), (), (), poor)
    rng = np.random.default_rng(11)
    sizes = rng.normal(8.0075, 0.0032, 400)
    readings = [
        Reading(f"{i}", p.id, goes=bool(x > p.marked - 0.0012))
        for i, x in enumerate(sizes)
        for p in poor
    ]
    said = estimate_size(readings, shop, DOWEL, material_alpha=11.5e-6)
    assert said.inside_lower == said.inside_fitted
    first = said.limits_of_knowledge[0]
    assert first.code == "pin-uncertainty"
    assert "more holes don't average that away" in first.text
    assert first.limit > first.value


def test_pins_doubtful_against_the_scatter_cannot_check_its_shape():
    rough = tuple(
        Pin(f"{s:.3f}", s, Sense.MINUS, "ZZ") for s in (8.002, 8.005, 8.008, 8.011, 8.014)
    )
    shop = Shop("bench", (), (), (), (), rough)
    readings = [
        Reading(f"{i}", p.id, goes=bool(x > p.marked - 0.0025))
        for i, x in enumerate(normal_sizes(100))
        for p in rough
    ]
    said = estimate_size(readings, shop, DOWEL, material_alpha=11.5e-6)
    assert said.inside_lower == said.inside_counted
    assert "can't show the shape" in said.remarks[0].text
    assert "shape-unchecked" in [r.code for r in said.limits_of_knowledge]
