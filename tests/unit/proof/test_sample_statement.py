"""What "six of 125 checked, all good" means."""

import numpy as np
import pytest

from holewright.proof.plans import Plan, acceptance_probability, oc_curve
from holewright.proof.sample_statement import plates_statement, say_sample
from holewright.proof.sampling import outside_in_lot_upper


def test_six_of_125_all_good():
    assert say_sample(125, 6) == (
        "6 of 125 holes were checked, none of them outside. 95 % sure: at most 48 of the 125 are "
        "outside, all of them among the 119 that nobody checked. Of a process without end it says "
        "that at most 39.4 % are outside. To show 99 % inside, check 97 of the 125, all good."
    )


def test_a_bad_one_among_them_is_counted_in():
    text = say_sample(125, 30, 1)
    assert "1 of them outside" in text
    assert "among the 95 that nobody checked" in text


def test_all_of_them_checked_leaves_nothing_to_chance():
    assert say_sample(12, 12).endswith("That is the whole lot: nothing is left to chance.")


def test_more_bad_than_allowed_offers_no_sample_that_would_mend_it():
    assert "To show" not in say_sample(125, 30, 5)


def test_enough_checked_says_that_the_rest_is_good():
    assert "none of the 3 that nobody checked is outside" in say_sample(100, 97, inside=0.999)


def test_a_bound_is_rounded_up_never_down():
    # 1 - 0.05**(1/6) = 0.39304...: 39.4 %, not 39.3 %.
    assert "39.4 %" in say_sample(125, 6)


def test_holes_of_one_plate_are_not_counted_one_by_one():
    nested = plates_statement(125, 6, 4)
    counted_singly = outside_in_lot_upper(500, 24)
    assert nested.holes_outside_upper > counted_singly


def test_an_oc_curve_starts_at_one_and_ends_where_nothing_passes():
    curve = oc_curve(Plan(52, 3), 51)
    assert curve.accepted[0] == 1
    assert curve.accepted[-1] == pytest.approx(0.001, rel=1e-9)
    assert (np.diff(curve.accepted) < 0).all()
    np.testing.assert_allclose(
        curve.accepted, acceptance_probability(52, 3, curve.share_outside), rtol=1e-14
    )
