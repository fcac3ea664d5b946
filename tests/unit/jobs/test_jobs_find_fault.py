"""Fault finding as a use case: files read, answers read, cases kept and heard."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import pytest

from holewright.diagnosis.case import Case, priors_from_cases
from holewright.diagnosis.pattern import Felt, Trait
from holewright.errors import InputError
from holewright.jobs.bench import Bench
from holewright.jobs.fault_checks import Check, read_checks, spots_of
from holewright.jobs.find_fault import (
    PlateEffect,
    find_fault,
    look_into,
    read_answers,
    read_seen,
)
from holewright.jobs.jobfile import read_job
from holewright.jobs.keep_cases import (
    BookOfCases,
    case_note,
    cases_in,
    keep_case,
    read_case_note,
)
from holewright.records.memory import MemoryBook

BRAKELUND = Path(__file__).parents[3] / "examples" / "brakelund"
BENCH = Bench(lambda: datetime.fromisoformat("2026-05-20T12:00:00+02:00"), "0.1.0", "00000000")
HEAD = "hole,gauge,result,size,depth,direction,by,minutes,part_temp,gauge_temp\n"


@pytest.fixture(scope="module")
def job():
    return read_job(BRAKELUND / "job_a.toml")


@pytest.fixture(scope="module")
def trouble(job):
    return look_into(job, "oversize")


def checks_from(tmp_path: Path, job, rows: str) -> tuple[Check, ...]:
    file = tmp_path / "readings.csv"
    file.write_text(HEAD + rows, encoding="utf-8")
    return read_checks(file, job)


def bell_mouth(job, tmp_path: Path) -> tuple[Check, ...]:
    gauge = job.shop.bore_gauges[0].id
    rows = "".join(
        f"{hole},{gauge},,{8.006 + up + 0.0003 * (i % 3):.4f} mm,{depth} mm,,,,,\n"
        for i, hole in enumerate("ABCDEF")
        for depth, up in ((2, 0.012), (11, 0.0), (20, 0.0))
    )
    return checks_from(tmp_path, job, rows)


def test_a_file_says_where_in_which_direction_by_whom_and_when(job, tmp_path):
    gauge = job.shop.bore_gauges[0].id
    (check,) = checks_from(tmp_path, job, f"A1,{gauge},,8.004 mm,2 mm,90°,Ann,5,24 C,21 C\n")
    assert (check.direction, check.by, check.minutes) == (90.0, "Ann", 5.0)
    assert check.reading.depth == 2.0
    (spot,) = spots_of(job, [check])
    assert spot.depth == pytest.approx(2 / 22)
    # As it was read: what warmth makes of it is for the ranking to say.
    assert spot.size == 8.004


def test_minutes_before_the_cut_are_refused_with_line_and_column(job, tmp_path):
    gauge = job.shop.bore_gauges[0].id
    said = r"line 2, column minutes: minutes = -3: must be a number from 0"
    with pytest.raises(InputError, match=said):
        checks_from(tmp_path, job, f"A1,{gauge},,8.004 mm,,,,-3,,\n")


def test_pins_that_enclose_a_hole_give_its_middle_and_others_nothing(job, tmp_path):
    rows = "A,8.00,goes,,,,,,,\nA,8.01,does not go,,,,,,,\nB,8.00,goes,,,,,,,\n"
    (spot,) = spots_of(job, checks_from(tmp_path, job, rows))
    assert spot.felt is Felt.PINS
    # Calibrated at 8.0022 and 8.0131 in the tool room.
    assert spot.size == pytest.approx((8.0022 + 8.0131) / 2, abs=2e-4)


def test_a_bell_mouth_in_the_readings_moves_the_ranking(job, tmp_path):
    without = find_fault(job, "oversize")
    found = find_fault(job, "oversize", checks=bell_mouth(job, tmp_path))
    assert 1000 * found.pattern.value(Trait.ENTRY) == pytest.approx(12, abs=0.1)

    def share(finding, key):
        return next(c.share for c in finding.causes if c.cause == key)

    assert share(found, "misaligned") > 1.5 * share(without, "misaligned")
    assert "pattern" not in {test.test for test in found.next}


def test_temperatures_in_the_readings_are_an_answer_and_an_expansion(job, tmp_path):
    gauge = job.shop.bore_gauges[0].id
    checks = checks_from(tmp_path, job, f"A,{gauge},,8.012 mm,,,,,41 C,21 C\n")
    found = find_fault(job, "oversize", checks=checks)
    said = {fact.test: fact for fact in found.answers}
    assert "41.0 °C" in said["temps"].text
    # 8 mm x (21 K x 11.5e-6 - 1 K x 11.5e-6) is 1.8 µm, over a tenth of 15 µm.
    assert said["job-warm"].answer == 1
    assert "1.8" in said["job-warm"].text
    assert "temps" not in {test.test for test in found.next}


def test_without_temperatures_nothing_is_said_of_them(job, tmp_path):
    found = find_fault(job, "oversize", checks=bell_mouth(job, tmp_path))
    # Job A states 21 °C for its part; the gauge is at 20 °C.
    assert {fact.test for fact in found.answers} == {"temps", "job-warm"}
    plain = find_fault(job, "oversize")
    assert plain.answers == ()


def test_symptoms_are_words_or_codes(job):
    assert read_seen("oversize, Bell mouth,T06,T01") == ("T01", "T04", "T06")
    with pytest.raises(InputError, match="at least one symptom"):
        read_seen(" , ")
    with pytest.raises(InputError, match="seen = huge"):
        read_seen("huge")


def test_answers_in_one_line_keys_words_and_numbers(trouble):
    answers, tried = read_answers(
        trouble, "loupe=b, tir=.0005 in; mic-reamer=8.0095 mm, temps=31 C / 21 C, tried=runout"
    )
    assert [(fact.test, fact.answer) for fact in answers] == [
        ("loupe", 1),
        ("tir", 0),  # a slim reamer: what survives of 13 µm is little
        ("mic-reamer", 0),
        ("temps", 1),
    ]
    assert tried == ("runout",)
    words = trouble.answer("loupe", "Metal welded on")
    assert words.answer == 1
    assert trouble.answer("conc", "4 %").answer == 1  # the job sets 8 %


@pytest.mark.parametrize(
    ("written", "said"),
    [
        ("loupe", "answers = loupe: must be TEST=ANSWER"),
        ("loupe=z", "must be one of a \\(clean and sharp\\)"),
        ("squint=a", "test = squint: must be one of gauge-truth"),
        ("tir=12", ""),
        ("tir=-3 um", "must be 0 or more"),
        ("temps=31 C", 'must be part and gauge, such as "31 C / 21 C"'),
        ("tried=ghosts", "cause = ghosts"),
    ],
)
def test_an_answer_that_cannot_be_used_is_said_with_what_would_do(trouble, written, said):
    if not said:
        # A bare number is in the unit of the print: 12 mm of runout is no typing error we know.
        assert read_answers(trouble, written)[0][0].answer == 2
        return
    with pytest.raises(InputError, match=said):
        read_answers(trouble, written)


def test_a_later_answer_to_the_same_test_counts(trouble):
    first, second = trouble.answer("tir", "a"), trouble.answer("tir", "c")
    assert trouble.find([first, second]).causes == trouble.find([second]).causes


def test_a_plate_and_a_feel_study_are_heard(job):
    plain = look_into(job, "scatter").find()
    heard = look_into(
        job, "scatter", feel_sd=0.004, plate=[PlateEffect("drift", 0.0002, 0.001)]
    ).find()

    def share(finding, key):
        return next(c.share for c in finding.causes if c.cause == key)

    assert share(heard, "feel") > 2 * share(plain, "feel")
    assert {"job-feel", "job-plate-drift"} <= {piece.name for piece in heard.evidence}


def test_a_case_is_a_note_that_people_read_as_well():
    case = Case(("T01", "T04"), "gauge-wrong", "Job", "the .3130 pin was a plus pin")
    note = case_note(case)
    assert note.startswith("Fault: oversize, bell-mouth. Cause: gauge-wrong (The gauge is off:")
    assert read_case_note(note, "Job") == case
    assert read_case_note("route -> on trial: first article passed") is None
    assert read_case_note("Fault: oversize. Cause: gremlins (x).") is None


def test_cases_kept_in_the_book_shift_what_is_expected(job):
    book = MemoryBook()
    text = (BRAKELUND / "job_a.toml").read_text("utf-8")
    for _ in range(8):
        keep_case(book, job, text, Case(("T01",), "gauge-wrong"), bench=BENCH, by="Ann")
    kept = BookOfCases(book, BENCH, "Ann").cases()
    assert kept == cases_in(book)
    assert [case.job for case in kept] == [job.name] * 8
    before = find_fault(job, "oversize")
    after = find_fault(job, "oversize", cases=kept)
    assert after.cases == 8
    assert priors_from_cases(kept).weights["T01", "gauge-wrong"] > 0.4

    def share(finding):
        return next(c.share for c in finding.causes if c.cause == "gauge-wrong")

    assert share(after) > 4 * share(before)
    assert after.next[0].test in ("gauge-truth", "pattern")


def test_a_case_of_a_job_that_the_book_does_not_know_is_refused(job):
    with pytest.raises(InputError, match="is not in the record book"):
        BookOfCases(MemoryBook(), BENCH, "Ann").keep(Case(("T01",), "runout", "Nobody's job"))
