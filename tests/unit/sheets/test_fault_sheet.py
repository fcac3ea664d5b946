"""The printable test list: what must stand on it, and that nothing on it runs away."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from pathlib import Path

import pytest
from page_reader import tags_of, text_of, unclosed

from holewright.diagnosis.quick_tests import quick_tests
from holewright.jobs.bench import Bench
from holewright.jobs.find_fault import look_into, read_answers
from holewright.jobs.jobfile import read_job
from holewright.jobs.make_fault_sheet import make_fault_sheet

BRAKELUND = Path(__file__).parents[3] / "examples" / "brakelund"
BENCH = Bench(lambda: datetime.fromisoformat("2026-05-20T12:00:00+02:00"), "0.1.0", "00000000")


@pytest.fixture(scope="module")
def finding():
    trouble = look_into(read_job(BRAKELUND / "job_a.toml"), "oversize, chatter")
    answers, tried = read_answers(trouble, "loupe=a, tried=reamer-large")
    return trouble.find(answers, tried)


@pytest.fixture(scope="module")
def page(finding):
    return make_fault_sheet(read_job(BRAKELUND / "job_a.toml"), finding, BENCH)


def test_it_holds_what_is_seen_causes_with_remedies_tests_with_answers_and_blanks(page, finding):
    text = text_of(page)
    assert "Oversize over the full depth (T01); Chatter marks (T06)" in text
    assert "8 H7 x 22 through" in text
    assert "8.000 mm" in text
    assert "Causes, the likeliest first" in text
    for wanted in finding.next[:5]:
        test = quick_tests()[wanted.test]
        assert test.question in text
        for answer in test.answers:
            assert f"{answer.key} {answer.words}" in text
    for blank in ("Part or hole no.", "By, date", "It was", "Trouble gone"):
        assert blank in text


def test_safety_lines_stand_with_the_tests_and_at_the_end(page, finding):
    text = text_of(page)
    assert "With each test: Spindle stopped, and seen to stand still" in text
    for wanted in finding.next[:5]:
        for line in quick_tests()[wanted.test].safety:
            assert line in text
    for line in finding.cautions:
        assert line in text
    assert "a person decides" in text


def test_a_conflict_between_sources_is_shown_as_a_test(page):
    assert "Sources disagree:" in text_of(page)
    assert "Believe neither, test it:" in text_of(page)


def test_it_is_one_sound_file_that_loads_nothing_and_says_that_it_is_invented(page):
    assert unclosed(page) == []
    assert not tags_of(page) & {"script", "link", "img", "iframe"}
    assert "http" not in page.replace("http-equiv", "")
    assert "Invented example" in page


def test_what_a_person_wrote_is_shown_as_text_not_run(finding):
    job = replace(
        read_job(BRAKELUND / "job_a.toml"), name="<b>plate</b>", part="<script>x</script>"
    )
    page = make_fault_sheet(job, finding, BENCH)
    assert "<script>" not in page
    assert "&lt;b&gt;plate" in page


def test_inches_come_first_on_an_inch_print():
    job = read_job(BRAKELUND / "job_b.toml")
    page = make_fault_sheet(job, look_into(job, "undersize").find(), BENCH)
    assert ".3125 in (7.9375 mm)" in text_of(page)


def test_with_nothing_left_to_ask_it_says_so(finding):
    job = read_job(BRAKELUND / "job_a.toml")
    page = make_fault_sheet(job, replace(finding, next=()), BENCH)
    assert "No test that is left tells much more." in text_of(page)
