"""``holewright plan``."""

from __future__ import annotations

import pytest

ORDER = (
    "Get ready",
    "Cut",
    "Size to come",
    "Largest doubts",
    "Check",
    "Others that would do",
    "Refused",
    "Caution",
    "What this rests on",
)


def test_the_verdict_stands_first_and_the_rest_in_the_order_of_looking(holewright, job_a):
    answer = holewright("plan", job_a)
    assert answer.code == 0
    lines = answer.out.splitlines()
    assert lines[0].startswith("REAM")
    found = [next(i for i, line in enumerate(lines) if line.startswith(h)) for h in ORDER]
    assert found == sorted(found)


def test_the_document_holds_what_the_page_says(holewright, job_a):
    document = holewright("plan", job_a, "--json").document
    assert document["document"] == "plan"
    assert document["verdict"] in ("ream", "ream with conditions")
    assert [o["kind"] for o in document["operations"]][-1] == "ream"
    forecast = document["forecast"]
    assert forecast["below"] + forecast["inside"] + forecast["above"] == pytest.approx(1)
    assert forecast["mean_mm"] == pytest.approx(sum(s["mean_mm"] for s in forecast["sources"]))
    assert forecast["sd_mm"] ** 2 == pytest.approx(
        sum(s["sd_mm"] ** 2 for s in forecast["sources"])
    )
    assert {"code", "value", "limit", "unit", "text"} == set(document["refused"][0])
    assert document["cautions"]
    assert document["evaluated"] >= 20_000


def test_an_inch_job_is_shown_in_inches_and_a_metric_one_on_request(holewright, job_a, job_b):
    inch = holewright("plan", job_b).out
    assert "sfm" in inch
    assert "in/rev" in inch
    assert "m/min" not in inch
    asked = holewright("plan", job_a, "--unit", "in").out
    assert "sfm" in asked


def test_do_not_ream_is_an_answer_with_what_to_do_instead(holewright, job_d):
    answer = holewright("plan", job_d)
    assert answer.code == 1
    assert answer.out.startswith("DO NOT REAM")
    assert "Instead" in answer.out
    document = holewright("plan", job_d, "--json").document
    assert document["verdict"] == "do not ream"
    assert document["instead"]
    assert document["refused"]


def test_numbers_carry_how_they_are_known(holewright, job_a):
    document = holewright("plan", job_a, "--json").document
    tags = {n["tag"] for o in document["operations"] for n in o["numbers"]}
    assert tags <= {"measured", "standard", "computed", "default", "assumed"}
    assert "measured" in tags
    page = holewright("plan", job_a).out
    assert "measured" in page
    assert "calibrated" in page


def test_the_three_largest_doubts_come_with_a_test_each(holewright, job_a):
    document = holewright("plan", job_a, "--json").document
    page = holewright("plan", job_a).out
    doubts = page[page.index("Largest doubts") : page.index("\nCheck")]
    for source in document["forecast"]["sources"][:3]:
        assert f"{source['name']}, ±" in doubts
    said = " ".join(doubts.split())
    assert said.count("% of the variance") == 3
    best = holewright("plan", job_a, "--json").document["sensitivities"][0]
    assert f"Best to know first. {best['text']}" in said


def test_two_ways_to_expect_the_offset_stand_side_by_side(holewright, job_a, job_d):
    """ISO 522 for 8 H7, made 8.006 to 8.012: -6 to +3 µm."""
    page = " ".join(holewright("plan", job_a).out.split())
    assert "By what reamers made to ISO 522 take for granted: -6 µm to +3 µm" in page
    document = holewright("plan", job_a, "--json").document
    causes, standard = document["hypotheses"]
    assert (standard["low_mm"], standard["high_mm"]) == pytest.approx((-0.006, 0.003))
    assert causes["inside"] == pytest.approx(document["forecast"]["inside"])
    assert holewright("plan", job_d, "--json").document["hypotheses"] == []


def test_what_would_help_most_stands_first_in_the_document(holewright, job_a):
    told = holewright("plan", job_a, "--json").document
    left = [one["sd_without_mm"] for one in told["sensitivities"]]
    assert left == sorted(left)
    assert max(left) <= told["forecast"]["sd_mm"] * (1 + 1e-12)
    assert sum(one["share_of_variance"] for one in told["sensitivities"]) == pytest.approx(1)
    scatter = next(one for one in told["sensitivities"] if one["name"] == "scatter")
    assert scatter["sd_without_mm"] == pytest.approx(told["forecast"]["sd_mm"])


@pytest.mark.parametrize("columns", [60, 80, 100])
def test_no_line_is_longer_than_the_page(holewright, job_a, job_b, columns):
    for job in (job_a, job_b):
        page = holewright("plan", job, "--columns", columns).out
        assert max(len(line) for line in page.splitlines()) <= columns


def test_a_plain_page_is_ascii(holewright, job_a):
    assert holewright("plan", job_a, "--plain").out.isascii()


def test_an_invented_example_says_so(holewright, job_a):
    assert "invented example" in holewright("plan", job_a).out
    assert holewright("plan", job_a, "--json").document["invented"] is True


def test_a_page_asked_for_in_the_other_unit_says_every_sentence_in_it(holewright, job_a, job_b):
    metric = holewright("plan", job_b, "--unit", "mm").out
    steps = metric[metric.index("\nCut") : metric.index("Size to come")]
    assert " mm on diameter" in steps
    assert "in on diameter" not in steps
    assert "full diameter at least 19.7" in " ".join(metric.split())
    inch = holewright("plan", job_a, "--unit", "in").out
    assert " in on diameter" in inch
    assert "mm on diameter" not in inch
