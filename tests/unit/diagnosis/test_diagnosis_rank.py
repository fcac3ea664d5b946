"""Bayes' rule and expected information, against sums done by hand."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from holewright.diagnosis.case import (
    LIST_COUNTS_AS,
    LOOSE_SHARE,
    OTHER_SHARE,
    Case,
    list_priors,
    priors_from_cases,
)
from holewright.diagnosis.causes import OTHER, causes
from holewright.diagnosis.effects import MOST
from holewright.diagnosis.evidence import (
    fact_evidence,
    seen_evidence,
    tried_evidence,
)
from holewright.diagnosis.facts import Fact
from holewright.diagnosis.next_test import (
    expected_information,
    may_be_asked,
    next_tests,
)
from holewright.diagnosis.quick_tests import Answer, CheckKind, QuickTest, quick_tests
from holewright.diagnosis.rank import rank, shares
from holewright.diagnosis.symptoms import links_of, symptoms
from holewright.errors import InputError

PRIORS = list_priors()


def test_one_symptom_alone_gives_the_list_mixed_with_what_is_common_overall():
    # P(c | T01) is proportional to P(c) P(T01 | c) = 0.8 asked w + 0.2 asked P(c).
    now = shares(seen_evidence(["T01"], PRIORS), PRIORS)
    overall = PRIORS.of_causes()
    for link in links_of("T01"):
        listed = (1 - OTHER_SHARE) * link.weight / 100
        by_hand = (1 - LOOSE_SHARE) * listed + LOOSE_SHARE * overall[link.cause]
        assert now[link.cause] == pytest.approx(by_hand, rel=1e-9)


def test_an_answer_multiplies_odds_by_its_likelihood_ratio():
    # TIR of half the oversize or more: 0.75 under runout, 0.08 under a reamer that is large.
    seen = seen_evidence(["T01"], PRIORS)
    before = shares(seen, PRIORS)
    after = shares([*seen, fact_evidence(Fact("tir", 2, ""))], PRIORS)
    odds = before["runout"] / before["reamer-large"] * 0.75 / 0.08
    assert after["runout"] / after["reamer-large"] == pytest.approx(odds)


def test_the_order_in_which_things_are_heard_does_not_matter():
    heard = [
        *seen_evidence(["T01", "T06"], PRIORS),
        fact_evidence(Fact("loupe", 0, "")),
        fact_evidence(Fact("witness", 2, "")),
    ]
    one, other = shares(heard, PRIORS), shares(heard[::-1], PRIORS)
    assert one == pytest.approx(other)


def test_no_answer_counts_for_more_than_twenty_to_one():
    for test in quick_tests().values():
        for index in range(len(test.answers)):
            weights = fact_evidence(Fact(test.key, index, "")).log_weights
            assert max(abs(w) for w in weights.values()) <= MOST + 1e-12


def test_a_remedy_tried_in_vain_takes_its_cause_down_and_leaves_the_odds_of_the_rest():
    seen = seen_evidence(["T04"], PRIORS)
    before = shares(seen, PRIORS)
    after = shares([*seen, tried_evidence("misaligned")], PRIORS)
    assert after["misaligned"] < before["misaligned"] / 10
    assert after["whip"] / after["runout"] == pytest.approx(before["whip"] / before["runout"])


def test_what_speaks_for_a_cause_is_said_with_odds_against_all_others():
    heard = [*seen_evidence(["T01"], PRIORS), fact_evidence(Fact("tir", 2, "TIR 20 µm."))]
    first = rank(heard, PRIORS)[0]
    assert first.cause == "runout"
    (weight,) = first.weights
    before = shares(heard[:1], PRIORS)
    others = sum(
        before[key] * quick_tests()["tir"].shares_of(key)[2] for key in causes() if key != "runout"
    ) / (1 - before["runout"])
    assert weight.times == pytest.approx(0.75 / others)


def made_up(shares_of: dict[str, tuple[float, ...]], base: tuple[float, ...]) -> QuickTest:
    answers = tuple(Answer("abc"[i], "", "", p) for i, p in enumerate(base))
    return QuickTest("made-up", CheckKind.LOOK, "", "", 1.0, (), (), "", answers, shares_of, "")


def test_a_perfect_test_of_two_equal_causes_tells_one_bit_and_a_blind_one_none():
    perfect = made_up({"runout": (1 - 1e-12, 1e-12), "worn": (1e-12, 1 - 1e-12)}, (0.5, 0.5))
    equal = {"runout": 0.5, "worn": 0.5}
    assert expected_information(perfect, equal) == pytest.approx(1.0)
    assert expected_information(made_up({}, (0.5, 0.5)), equal) == pytest.approx(0.0, abs=1e-12)


def test_a_test_that_errs_one_time_in_ten_tells_what_a_noisy_channel_carries():
    # Binary symmetric channel: 1 - H(0.1) = 0.531 bit, any book on information theory.
    noisy = made_up({"runout": (0.9, 0.1), "worn": (0.1, 0.9)}, (0.5, 0.5))
    entropy = -0.1 * math.log2(0.1) - 0.9 * math.log2(0.9)
    told = expected_information(noisy, {"runout": 0.5, "worn": 0.5})
    assert told == pytest.approx(1 - entropy)


def test_the_next_test_is_that_which_tells_most_for_its_time():
    now = shares(seen_evidence(["T08"], PRIORS), PRIORS)
    wanted = next_tests(now, ["T08"])
    # A minute's look at the program tells helix from straight line.
    assert wanted[0].test in ("retract", "marks")
    rates = [test.bits_per_minute for test in wanted]
    assert rates == sorted(rates, reverse=True)


def test_a_test_that_is_made_or_makes_no_sense_is_not_asked():
    asked = {test.key for test in may_be_asked(["T01"], {"tir"})}
    assert "tir" not in asked
    assert "break-look" not in asked  # nothing broke
    assert not any(key.startswith("job-") for key in asked)
    assert "break-look" in {test.key for test in may_be_asked(["T10"], set())}


def test_without_own_cases_the_lists_hold():
    assert priors_from_cases(()).weights == pytest.approx(list_priors().weights)


def test_own_cases_shift_what_is_expected_as_counts_beside_the_list():
    # 12 cases' worth of list with 24 % runout less 5 % for what no list has, and 6 own cases.
    own = priors_from_cases([Case(("T01",), "gauge-wrong")] * 6)
    listed = 0.95 * 0.24
    assert own.weights["T01", "runout"] == pytest.approx(12 * listed / 18)
    assert own.weights["T01", "gauge-wrong"] == pytest.approx((12 * 0.95 * 0.05 + 6) / 18)
    assert LIST_COUNTS_AS == 12
    assert own.cases == 6
    # A symptom that the cases don't touch stays as listed.
    assert own.weights["T16", "worn"] == list_priors().weights["T16", "worn"]


def test_a_shop_whose_gauge_is_always_off_is_asked_about_the_gauge_first():
    own = priors_from_cases([Case(("T01",), "gauge-wrong")] * 12)
    now = shares(seen_evidence(["T01"], own), own)
    assert max(now, key=lambda key: now[key]) == "gauge-wrong"
    assert next_tests(now, ["T01"])[0].test in ("gauge-truth", "pattern")


cases = st.lists(
    st.builds(
        Case,
        st.lists(st.sampled_from(list(symptoms())), min_size=1, max_size=3, unique=True).map(tuple),
        st.sampled_from([key for key in causes() if key != OTHER]),
    ),
    max_size=12,
)


@given(cases)
@settings(max_examples=40)
def test_whatever_cases_are_heard_the_causes_of_a_symptom_still_share_one(heard):
    priors = priors_from_cases(heard)
    for code in symptoms():
        total = sum(w for (symptom, _), w in priors.weights.items() if symptom == code)
        assert total == pytest.approx(1)
    assert sum(priors.of_causes().values()) == pytest.approx(1)
    now = shares(seen_evidence(["T05"], priors), priors)
    assert sum(now.values()) == pytest.approx(1)


def test_a_case_needs_a_symptom_and_a_known_cause():
    with pytest.raises(InputError, match="at least one symptom"):
        Case((), "runout")
    with pytest.raises(InputError, match="cause = gremlins"):
        Case(("T01",), "gremlins")
    with pytest.raises(InputError, match="T01 to T24"):
        Case(("T99",), "runout")
