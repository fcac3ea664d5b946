"""The tables of fault finding hang together: every symptom, cause, test and line is reachable."""

from __future__ import annotations

import pytest

from holewright.diagnosis.causes import OTHER, Way, causes
from holewright.diagnosis.quick_tests import (
    PATTERN,
    CheckKind,
    conflicts,
    find_test,
    quick_tests,
    safety_lines,
)
from holewright.diagnosis.symptoms import find_symptom, links, links_of, symptoms
from holewright.errors import InputError


def test_all_24_symptoms_are_there_each_with_causes_in_an_order():
    assert list(symptoms()) == [f"T{i:02d}" for i in range(1, 25)]
    for code in symptoms():
        listed = links_of(code)
        assert len(listed) >= 3, code
        assert [link.place for link in listed] == list(range(1, len(listed) + 1)), code
        assert len({link.cause for link in listed}) == len(listed), code


def test_the_causes_of_a_symptom_share_a_hundred_and_the_first_listed_weighs_among_the_most():
    for code in symptoms():
        weights = [link.weight for link in links_of(code)]
        assert sum(weights) == 100, code
        # Oversize and the like: the trade puts its first cause first.
        assert weights[0] >= 0.6 * max(weights), code


def test_every_cause_is_listed_for_a_symptom_and_every_listed_cause_is_known():
    assert {link.cause for link in links()} == set(causes()) - {OTHER}


BY_EXCLUSION = {("T02", "recovery")}
"""A wall that springs back is known by what a thick block does not change."""


def test_every_listed_cause_has_a_test_of_its_own_that_tells_it():
    for link in links():
        test = quick_tests()[link.test]
        ratio = max(p / q for p, q in zip(test.shares_of(link.cause), test.base, strict=True))
        assert ratio > 1.4 or (link.symptom, link.cause) in BY_EXCLUSION, (link, ratio)
        assert not test.only or link.symptom in test.only, (link.symptom, link.test)


def test_answers_are_shares_that_add_up_and_keys_run_from_a():
    for test in quick_tests().values():
        assert sum(test.base) == pytest.approx(1), test.key
        assert [a.key for a in test.answers] == list("abcdefgh")[: len(test.answers)], test.key
        for cause, shares in test.shares.items():
            assert cause in causes(), (test.key, cause)
            assert sum(shares) == pytest.approx(1), (test.key, cause)
            assert min(shares) > 0, (test.key, cause)


def test_five_quick_facts_are_gauge_warmth_map_tool_and_drilled_hole():
    quick = [t.key for t in quick_tests().values() if t.kind is CheckKind.QUICK]
    assert quick == ["gauge-truth", "temps", PATTERN, "mic-reamer", "tir", "loupe", "drilled"]


def test_every_test_a_person_makes_carries_its_safety_lines_and_at_a_spindle_the_spindle_stops():
    stopped, by_hand = safety_lines()["stopped"], safety_lines()["by-hand"]
    trial, still = safety_lines()["trial"], safety_lines()["desk"]
    for test in quick_tests().values():
        if test.kind is CheckKind.JOB:
            continue
        assert test.safety, test.key
        assert test.minutes > 0, test.key
        if test.kind is CheckKind.TRIAL:
            assert trial in test.safety, test.key
        elif still not in test.safety:
            safe = {stopped, by_hand, safety_lines()["broken"], safety_lines()["hot"]}
            assert safe & set(test.safety) or safety_lines()["moving"] in test.safety, test.key


def test_an_indicator_never_goes_to_a_tool_that_runs():
    for key in ("tir", "tir-5", "align", "stickout"):
        assert safety_lines()["by-hand"] in quick_tests()[key].safety


def test_safety_lines_name_a_stopped_spindle_hands_hot_parts_and_swarf():
    text = " ".join(safety_lines().values()).lower()
    for word in ("spindle stopped", "gloves", "hot", "swarf", "eye protection", "class d"):
        assert word in text


def test_the_signature_decides_what_the_map_is_said_to_show():
    shares = quick_tests()[PATTERN].shares
    assert shares["runout"][0] > 0.75  # the same everywhere
    assert shares["drill-taper"][1] > 0.7  # with depth
    assert shares["whirl"][2] > 0.7  # with direction
    assert shares["worn"][3] > 0.7  # steadily
    assert shares["rapid-out"][7] > 0.7  # not in the size
    assert causes()["gauged-warm"].signature[0].way is Way.TIME


def test_conflicts_are_settled_by_a_test_and_never_by_one_side():
    for conflict in conflicts():
        assert conflict.test in quick_tests(), conflict.key
        assert set(conflict.causes) <= set(causes()), conflict.key
        assert conflict.says != conflict.against


def test_the_disputed_direction_of_speed_and_feed_is_no_rule():
    # One study and one trade article disagree (see diagnosis_conflicts.csv): neither cause may
    # claim a sign of the size.
    for key in ("speed-high", "feed-light", "feed-heavy"):
        assert [s.way for s in causes()[key].signature] == [Way.NONE]
    assert {"speed-size", "feed-size"} <= {c.key for c in conflicts()}


def test_a_symptom_is_found_by_code_or_word_and_a_wrong_word_lists_them():
    assert find_symptom("Bell mouth").code == find_symptom("t04").code == "T04"
    with pytest.raises(InputError, match="seen = wobbly: must be one of oversize, undersize"):
        find_symptom("wobbly")


def test_a_fact_of_the_job_is_not_asked():
    with pytest.raises(InputError, match="test = job-fluid: must be one of"):
        find_test("job-fluid")
