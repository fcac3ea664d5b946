"""The verdict on a process and on a lot. Holes are invented; a job is 8 H7, 8.000 to 8.015 mm."""

import math

import numpy as np
import pytest

from holewright.callout.callout import Limits
from holewright.errors import InputError, OutOfRangeError
from holewright.gauging.count_holes import Shown
from holewright.gauging.estimate import Estimate, HoleInterval
from holewright.proof.judge import judge
from holewright.proof.sampling import outside_upper
from holewright.proof.verdict import Decision, Demands
from holewright.reasons import Reason
from holewright.units import Unit

H7 = Limits(8.0, 8.015)
GOOD = (8.0, 8.015)
TOO_SMALL = (-math.inf, 8.0)
TOO_LARGE = (8.015, math.inf)
BRACKETS_THE_LIMIT = (7.998, 8.010)


def estimate(*intervals, u=0.0, **more):
    holes = tuple(
        HoleInterval(str(i), low, high, u) for i, (low, high) in enumerate(intervals, start=1)
    )
    defaults = {"good": 0, "bad": 0, "unsure": 0, "inside_lower": 0.0}
    return Estimate(
        n_holes=len(holes),
        method="pins",
        size_kind="maximum inscribed (pin)",
        holes=holes,
        **{**defaults, **more},
    )


def measured(sizes, u=0.0):
    return estimate(*[(s, s) for s in sizes], u=u)


def codes(verdict):
    return [reason.code for reason in verdict.because]


def test_thirty_good_holes_do_not_show_99_per_cent_and_it_says_how_many_more_would():
    verdict = judge(estimate(*[GOOD] * 30), H7)
    assert verdict.decision is Decision.HOLD
    assert verdict.inside_lower == pytest.approx(0.05 ** (1 / 30))
    assert verdict.because[0].code == "share-not-shown"
    assert verdict.next[0].holes == 299 - 30
    assert verdict.sentence == (
        "Hold: only 90.4 % of holes are shown to be inside, 95 % sure; 99 % is asked for. "
        "Gauge 269 more: all good, 99 % inside is shown, 95 % sure."
    )


@pytest.mark.parametrize("n", [1, 30, 200, 298])
def test_what_it_asks_for_is_exact_that_many_release_and_one_less_does_not(n):
    more = judge(estimate(*[GOOD] * n), H7).next[0].holes
    assert judge(estimate(*[GOOD] * (n + more)), H7).decision is Decision.RELEASE
    assert judge(estimate(*[GOOD] * (n + more - 1)), H7).decision is Decision.HOLD


def test_a_clean_release_states_share_and_confidence_and_asks_for_nothing():
    verdict = judge(estimate(*[GOOD] * 598), H7, demands=Demands(0.995, 0.95, source="job file"))
    assert verdict.decision is Decision.RELEASE
    assert verdict.sentence == "Release: at least 99.5 % of holes are inside, 95 % sure."
    assert verdict.next == ()
    assert codes(verdict) == ["none-outside", "share-shown", "asked-by"]


def test_one_hole_outside_holds_whatever_the_share_and_asks_for_containment():
    verdict = judge(estimate(*[GOOD] * 2000, TOO_LARGE), H7)
    assert verdict.inside_lower > 0.99  # the share alone would do
    assert verdict.decision is Decision.HOLD
    assert verdict.because[0].code == "holes-outside"
    assert "since the last good check" in verdict.next[0].text
    assert "hole 2001" in verdict.next[0].text


def test_a_failed_go_cannot_be_passed_by_asking():
    verdict = judge(estimate(*[GOOD] * 400, TOO_SMALL), H7, pass_anyway=["401"])
    refused = next(r for r in verdict.because if r.code == "pass-anyway-refused")
    assert verdict.decision is Decision.HOLD
    assert "refused" in refused.text
    assert "concession in writing" in refused.text


def test_nor_can_a_hole_of_which_nothing_is_proven():
    verdict = judge(estimate(*[GOOD] * 600, BRACKETS_THE_LIMIT), H7, pass_anyway=["601"])
    assert "pass-anyway-refused" in codes(verdict)
    assert verdict.decision is Decision.HOLD


def test_asking_to_pass_a_good_hole_changes_nothing():
    assert judge(estimate(*[GOOD] * 299), H7, pass_anyway=["1"]).decision is Decision.RELEASE


def test_asking_to_pass_a_hole_that_was_never_checked_is_an_error():
    with pytest.raises(InputError, match="must be a hole that was checked"):
        judge(estimate(*[GOOD] * 10), H7, pass_anyway=["77"])


def test_contradicting_readings_hold_even_when_all_else_is_good():
    clash = Reason("readings-contradict", "Hole 3: pin 8.01 goes, and pin 8.00 does not.")
    verdict = judge(estimate(*[GOOD] * 2000, contradictions=(clash,)), H7)
    assert verdict.decision is Decision.HOLD
    assert verdict.because[0].code == "readings-contradict"
    assert verdict.next[0].text.startswith("Gauge again")


def test_a_hole_whose_bounds_cross_proves_nothing():
    verdict = judge(estimate(*[GOOD] * 9, (8.010, 8.002)), H7)
    assert verdict.inside_lower == pytest.approx(1 - outside_upper(1, 10))


def test_where_the_pin_is_the_limit_it_names_the_pin_and_says_more_holes_would_not_help():
    verdict = judge(estimate(*[GOOD] * 56, *[BRACKETS_THE_LIMIT] * 4), H7)
    pin, more, *_ = verdict.next
    assert pin.gauge == "pin measured 8.000 mm or a little over"
    assert "A hundred more holes with the same pins would not help" in pin.text
    assert more.holes == 299 - 60  # once the four are shown good
    assert more.text.startswith("Once those are shown good")


def test_and_indeed_a_hundred_more_with_the_same_pins_release_nothing():
    for times in (1, 2, 10, 50):
        plate = [GOOD] * 56 * times + [BRACKETS_THE_LIMIT] * 4 * times
        assert judge(estimate(*plate), H7).decision is Decision.HOLD


def test_at_the_upper_limit_it_asks_for_a_pin_a_little_under():
    verdict = judge(estimate(*[GOOD] * 30, *[(8.005, 8.017)] * 3), H7)
    assert verdict.next[0].gauge == "pin measured 8.015 mm or a little under"


def test_a_few_unsure_holes_among_many_release_but_stay_to_be_checked():
    verdict = judge(estimate(*[GOOD] * 1000, BRACKETS_THE_LIMIT), H7)
    assert verdict.decision is Decision.RELEASE
    assert "unsure-count-as-not-good" in codes(verdict)
    assert "hole 1001" in verdict.next[0].text


def test_a_bore_gauge_that_reads_just_inside_proves_nothing_there():
    # 8.0145 with u = 0.5 µm: the guard band of 0.825 µm reaches over the limit.
    verdict = judge(measured([8.0145] * 5, u=0.0005), H7)
    assert verdict.inside_lower == 0
    assert "guard-band" in codes(verdict)
    assert "gauge's own uncertainty" in verdict.next[0].text


def test_six_of_a_lot_of_125_say_little_of_it():
    verdict = judge(estimate(*[GOOD] * 6), H7, lot=125)
    assert verdict.outside_in_lot_upper == 48
    assert verdict.because[0].code == "lot-not-shown"
    assert verdict.next[0].holes == 97 - 6


def test_ninety_seven_of_125_release_the_lot_with_one_allowed():
    verdict = judge(estimate(*[GOOD] * 97), H7, lot=125)
    assert verdict.decision is Decision.RELEASE
    assert verdict.sentence == (
        "Release the lot: at most 1 hole of the 125 can be outside, 95 % sure."
    )


def test_when_all_were_checked_the_lot_is_what_was_seen():
    verdict = judge(estimate(*[GOOD] * 6), H7, lot=6)
    assert verdict.sentence == "Release the lot: all 6 holes were checked, and 6 are inside."
    assert verdict.outside_in_lot_upper == 0
    assert verdict.inside_lower == 1


def test_all_checked_and_one_bad_holds_until_it_is_set_aside():
    verdict = judge(estimate(*[GOOD] * 5, TOO_SMALL), H7, lot=6)
    assert verdict.decision is Decision.HOLD
    assert "can go on as a lot of their own" in verdict.next[0].text


def test_a_lot_smaller_than_what_was_checked_is_refused():
    with pytest.raises(OutOfRangeError, match="lot = 5: must be at least the 6 holes checked"):
        judge(estimate(*[GOOD] * 6), H7, lot=5)


def test_a_fit_that_has_earned_it_shows_more_than_counting():
    fitted = estimate(*[GOOD] * 60, inside_lower=0.998, inside_fitted=0.998, inside_counted=0.951)
    verdict = judge(fitted, H7)
    assert verdict.decision is Decision.RELEASE
    assert verdict.inside_lower == 0.998
    assert "counts-and-fit" in codes(verdict)


def test_a_fit_that_has_not_earned_it_speaks_for_no_tail():
    counted = 0.05 ** (1 / 60)
    fitted = estimate(*[GOOD] * 60, inside_lower=counted, inside_fitted=0.998)
    verdict = judge(fitted, H7)
    assert verdict.decision is Decision.HOLD
    assert verdict.inside_lower == pytest.approx(counted)
    assert "counts-and-fit" not in codes(verdict)


def test_nor_does_one_at_less_confidence_than_is_asked_for():
    fitted = estimate(*[GOOD] * 60, inside_lower=0.998, inside_fitted=0.998, confidence=0.90)
    assert judge(fitted, H7).decision is Decision.HOLD


def test_what_the_estimate_says_of_a_hole_stands():
    # Shown inside by its pins, though its bore-gauge value alone would be too near the limit.
    hole = HoleInterval("1", 8.0149, 8.0149, 0.001, Shown.INSIDE)
    said = Estimate(1, "pins and gauge", "both", (hole,), 1, 0, 0, 0.05)
    assert judge(said, H7).inside_lower == pytest.approx(0.05)


@pytest.mark.parametrize("code", ["temperature-gap", "calibration-overdue"])
def test_readings_that_are_no_evidence_hold_whatever_they_show(code):
    remark = Reason(code, "Pin 8.00: was due.", 1.0, 0.0)
    verdict = judge(estimate(*[GOOD] * 2000, remarks=(remark,)), H7)
    assert verdict.decision is Decision.HOLD
    assert verdict.because[0].code == code
    assert verdict.next


def test_a_ppk_that_is_asked_for_must_be_shown_at_its_lower_bound():
    rng = np.random.default_rng(3)
    sizes = rng.normal(8.0075, 0.0015, 30)  # Ppk about 1.67, its bound about 1.3
    verdict = judge(measured(sizes), H7, demands=Demands(0.9, 0.95, ppk=1.33))
    assert verdict.ppk > 1.33 > verdict.ppk_lower
    assert verdict.decision is Decision.HOLD
    assert verdict.because[0].code == "ppk-not-shown"
    assert verdict.next[0].gauge == "bore gauge"


def test_a_ppk_below_target_is_told_that_more_holes_will_not_show_it():
    sizes = 8.0075 + 0.004 * np.sin(np.arange(40) * 1.7)
    verdict = judge(measured(sizes), H7, demands=Demands(0.9, 0.95, ppk=1.33))
    assert "more holes will not show 1.33" in verdict.next[-1].text


def test_a_ppk_without_spread_is_unknown_not_infinite():
    verdict = judge(estimate(*[GOOD] * 299), H7, demands=Demands(0.99, 0.95, ppk=1.33))
    assert verdict.ppk is None
    assert verdict.because[0].code == "ppk-unknown"


def test_ppk_of_a_fit_to_pins_takes_the_worst_ends_of_mean_and_spread():
    fitted = estimate(
        *[GOOD] * 299,
        mean=8.007,
        sd=0.0015,
        mean_interval=(8.0065, 8.0075),
        sd_interval=(0.0012, 0.0019),
    )
    verdict = judge(fitted, H7, demands=Demands(0.99, 0.95, ppk=1.0))
    assert verdict.ppk == pytest.approx(0.007 / 0.0045)
    assert verdict.ppk_lower == pytest.approx(0.0065 / 0.0057)
    assert verdict.decision is Decision.RELEASE


def test_more_confidence_than_the_fit_has_leaves_its_bound_unknown():
    fitted = estimate(
        *[GOOD] * 500,
        mean=8.007,
        sd=0.0015,
        mean_interval=(8.0065, 8.0075),
        sd_interval=(0.0012, 0.0019),
        confidence=0.90,
    )
    verdict = judge(fitted, H7, demands=Demands(0.99, 0.95, ppk=0.5))
    assert verdict.ppk_lower is None
    assert verdict.because[0].code == "ppk-unknown"


def test_nothing_checked_is_a_hold_not_a_division_by_zero():
    verdict = judge(estimate(), H7)
    assert verdict.because[0].code == "nothing-checked"
    assert verdict.inside_lower == 0
    assert verdict.next[0].holes == 299


def test_counts_without_a_list_of_holes_are_judged_too():
    verdict = judge(estimate(good=299), H7)
    assert verdict.decision is Decision.RELEASE


def test_every_verdict_says_what_it_does_not_prove():
    for holes in ([GOOD] * 299, [GOOD] * 3):
        said = " ".join(judge(estimate(*holes), H7).cautions)
        for word in ("form", "position", "depths", "wears", "Stop the spindle", "person"):
            assert word in said


def test_an_inch_print_is_spoken_to_in_inches():
    quarter = Limits(6.35, 6.3627)  # .2500 +.0005/-0
    verdict = judge(estimate(*[(6.345, 6.36)] * 9), quarter, unit=Unit.INCH)
    assert verdict.next[0].gauge == "pin measured .2500 in or a little over"


def test_each_reason_that_compares_carries_its_value_and_limit():
    for reason in judge(estimate(*[GOOD] * 30, TOO_SMALL), H7, lot=500).because:
        assert reason.value is not None, reason.code


@pytest.mark.parametrize(("name", "value"), [("inside", 1.0), ("confidence", 0.0)])
def test_a_demand_nobody_can_meet_is_refused(name, value):
    with pytest.raises(OutOfRangeError, match=name):
        judge(estimate(GOOD), H7, demands=Demands(**{name: value}))
