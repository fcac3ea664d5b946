"""From readings to an estimate, in the words of the trade."""

import math

import pytest

from holewright.callout.callout import Limits
from holewright.errors import InputError
from holewright.gauging.estimate_size import estimate_size
from holewright.gauging.reading import Reading
from holewright.shop.pin import BoreGauge, InstrumentKind, Pin, Sense
from holewright.shop.shop import Shop
from holewright.uncertainty import Known, Tag
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
