"""Which check to make next, and when the pin itself is the limit."""

import math

import numpy as np
import pytest
from scipy import stats

from holewright.callout.callout import Limits
from holewright.gauging.next_pin import (
    next_checks,
    next_for_hole,
    vague_prior,
    what_would_help,
)
from holewright.gauging.posterior import Posterior, Prior, posterior
from holewright.gauging.rows import rows_of
from holewright.gauging.size_model import SizeModel
from holewright.shop.pin import Pin, Sense
from holewright.uncertainty import Known, Tag

LIMITS = Limits(8.0, 8.015)


def known(size):
    return Pin(f"{size:.4f}", size, Sense.PLUS, "", Known(size, Tag.MEASURED, "cert", u=1e-6))


def model(pins, counts, half=0.0025):
    pins, counts = np.asarray(pins, float), np.asarray(counts, float)
    j = len(pins)
    return SizeModel(
        rows_of(np.r_[-np.inf, pins], np.r_[pins, np.inf], counts),
        np.r_[-1, np.arange(j)],
        np.r_[np.arange(j), -1],
        tuple(f"{p:.3f}" for p in pins),
        np.full(j, half / math.sqrt(3)),
        np.full(j, half),
        (),
        np.empty((j + 1, 0)),
    )


def two_guesses(mean_a, mean_b, sd):
    """Return a posterior that knows only two possible processes, each as likely."""
    mean = np.repeat([mean_a, mean_b], 500)
    weight = np.full(1000, 1 / 1000)
    return Posterior(
        mean,
        np.full(1000, sd),
        np.empty((1000, 0)),
        np.empty((1000, 0)),
        weight,
        1000,
        (0.0, 1.0),
        (0.0, 1.0),
    )


def test_expected_information_is_that_of_a_textbook_channel():
    # Two processes, 8.000 and 8.020 with sd .004: a pin at 8.010 goes with p and 1 - p. Then
    # I = 1 - H(p): the binary symmetric channel.
    drawn = two_guesses(7.999, 8.012, 0.004)
    nothing = model([7.0, 9.0], [1, 1, 1], half=1e-6)
    pin = known(8.0055)
    (check,) = next_checks(drawn, nothing, [pin], LIMITS)
    p = stats.norm.cdf((8.0055 - 7.999) / 0.004)
    assert check.goes == pytest.approx(0.5, abs=1e-3)
    assert check.bits == pytest.approx(1 - stats.entropy([p, 1 - p], base=2), abs=1e-3)


def test_a_pin_that_always_goes_tells_nothing():
    drawn = two_guesses(7.999, 8.012, 0.004)
    nothing = model([7.0, 9.0], [1, 1, 1], half=1e-6)
    checks = next_checks(drawn, nothing, [known(7.5), known(8.0055), known(8.5)], LIMITS)
    assert checks[0].pin == "8.0055"
    assert checks[1].bits == pytest.approx(0, abs=1e-9)
    assert checks[2].bits == pytest.approx(0, abs=1e-9)


def test_a_doubtful_pin_tells_less_than_a_known_one_of_that_size():
    drawn = two_guesses(7.999, 8.012, 0.004)
    nothing = model([7.0, 9.0], [1, 1, 1], half=1e-6)
    doubtful = Pin("8.003 plus", 8.003, Sense.PLUS, "ZZ")  # 8.003 to 8.008
    best, second = next_checks(drawn, nothing, [known(8.0055), doubtful], LIMITS)
    assert best.pin == "8.0055"
    assert second.bits < best.bits


def test_after_readings_the_next_pin_lies_where_the_doubt_is():
    # Checked so far at 8.002 and 8.006 only; whether holes pass 8.015 is the open question.
    checked = model([8.002, 8.006], [2, 8, 20], half=0.0001)
    drawn = posterior(checked, vague_prior(LIMITS))
    sizes = [known(7.99 + 0.005 * i) for i in range(10)]
    best = next_checks(drawn, checked, sizes, LIMITS)[0]
    assert float(best.pin) in (8.01, 8.015, 8.02)


def test_for_one_hole_the_pin_at_the_open_limit_tells_most():
    checked = model([8.002, 8.006], [2, 8, 20], half=0.0001)
    drawn = posterior(checked, Prior(8.008, 0.002, 0.004))
    sizes = [known(s) for s in (7.995, 8.0, 8.005, 8.010, 8.015, 8.020)]
    best = next_for_hole(drawn, checked, sizes, LIMITS, 8.006, math.inf)[0]
    assert best.pin == "8.0150"
    # A hole known to be good has no question left.
    assert next_for_hole(drawn, checked, sizes, LIMITS, 8.006, 8.012)[0].bits < 1e-6


def test_with_many_holes_and_doubtful_pins_the_pin_is_the_limit():
    said = what_would_help(
        model([8.0, 8.005, 8.010, 8.015], [60, 520, 800, 560, 60]), vague_prior(LIMITS), LIMITS
    )
    assert said.text.startswith("A hundred more holes would not help: the pin is the limit.")
    assert said.pin in said.text
    assert said.more_holes > 0.9 * said.now
    assert said.known_pins < 0.7 * said.now


def test_with_few_holes_and_known_pins_more_holes_help():
    said = what_would_help(
        model([8.0, 8.005, 8.010, 8.015], [1, 6, 8, 4, 1], half=0.0001), vague_prior(LIMITS), LIMITS
    )
    assert said.text.startswith("More holes help more than better known pins.")
    assert said.more_holes < 0.6 * said.now


def test_the_pin_to_calibrate_first_is_the_worst_known_one_at_a_limit():
    one = model([8.0, 8.005, 8.010, 8.015], [60, 520, 800, 560, 60], half=0.0002)
    one.u[3], one.half_width[3] = 0.0025 / math.sqrt(3), 0.0025
    assert what_would_help(one, vague_prior(LIMITS), LIMITS).pin == "8.015"
