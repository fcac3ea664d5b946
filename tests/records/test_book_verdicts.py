"""Every verdict can be reached once more from the book, and comes out the same."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from record_book_samples import NOON
from sqlalchemy import text

from holewright.errors import InputError, StaleError
from holewright.gauging.estimate_size import estimate_size
from holewright.jobs.bench import Bench
from holewright.jobs.job import Job
from holewright.jobs.keep_book import (
    find_job,
    job_of,
    keep_job,
    keep_tool_room,
    latest_revision,
    set_stage,
)
from holewright.jobs.keep_readings import (
    correct_reading,
    find_run,
    holding_readings,
    judge_in_book,
    judge_kept,
    keep_readings,
    recheck,
)
from holewright.jobs.plan_hole import forecast
from holewright.jobs.release import judge as judged
from holewright.jobs.take_readings import estimate_size as size_that_came
from holewright.proof.judge import judge
from holewright.proof.verdict import Decision
from holewright.records.book import RecordBook
from holewright.records.entries import (
    EstimateEntry,
    JobEntry,
    NoteEntry,
    ReadingEntry,
    RevisionEntry,
    Stage,
    VerdictEntry,
)
from holewright.records.exchange.rows import ReadingRow
from holewright.records.memory import MemoryBook
from holewright.records.sql import SqlBook

ADA = "Ada"


@pytest.fixture
def kept(book: RecordBook, job_a: Job, readings_a, bench: Bench) -> RecordBook:
    """Return a book of each kind with job A and 60 of its readings, in run 1."""
    revision = keep_job(book, job_a, "[hole]", bench=bench, by=ADA)
    rows = [ReadingRow(reading, cut=i + 1) for i, reading in enumerate(readings_a[:60])]
    keep_readings(book, revision, rows, run="1", bench=bench, by=ADA)
    return book


def test_a_verdict_is_reached_once_more_and_is_the_same(kept, job_a, readings_a, bench):
    saved = judge_in_book(kept, job_a.name, run="1", lot=1920, bench=bench, by=ADA)
    (entry,) = kept.find(VerdictEntry)
    again = recheck(kept, entry)
    assert again.same
    assert again.again == saved == entry.entry.verdict
    assert again.software == "9.9"
    # And it is what the rooms below say of the same readings, without any book.
    estimate = estimate_size(
        readings_a[:60],
        job_a.shop,
        job_a.callout.limits,
        material_alpha=job_a.material.alpha,
        confidence=job_a.demands.confidence,
        unit=job_a.unit,
    )
    direct = judge(estimate, job_a.callout.limits, demands=job_a.demands, lot=1920, unit=job_a.unit)
    assert saved == direct


def test_what_comes_later_does_not_touch_a_verdict(kept, job_a, readings_a, bench):
    judge_in_book(kept, job_a.name, run="1", bench=bench, by=ADA)
    (entry,) = kept.find(VerdictEntry)
    # A reading is corrected, more are taken, and the job is asked more of.
    run = find_run(kept, latest_revision(kept, job_a.name), "1")
    first = holding_readings(kept, latest_revision(kept, job_a.name), run)[0]
    wrong = replace(first.entry.reading, goes=not first.entry.reading.goes)
    correct_reading(kept, first, wrong, why="misread", bench=bench, by="Bo")
    stricter = replace(job_a, demands=replace(job_a.demands, inside=0.9999))
    keep_job(kept, stricter, "[hole]", bench=bench, by=ADA, why="customer asks more")
    assert recheck(kept, entry).same
    assert recheck(kept, entry).again == entry.entry.verdict
    # Judged anew, the correction and the new demands count.
    revision = latest_revision(kept, job_a.name)
    anew = judge_kept(kept, revision, run=run, bench=bench, by=ADA).entry.verdict
    assert anew.demands.inside == 0.9999
    assert anew != entry.entry.verdict
    assert all(recheck(kept, saved).same for saved in kept.find(VerdictEntry))


def test_a_reading_that_was_tampered_with_shows_in_the_verdict(
    sqlite_book: SqlBook, job_a, readings_a, bench
):
    revision = keep_job(sqlite_book, job_a, "[hole]", bench=bench, by=ADA)
    rows = [ReadingRow(reading) for reading in readings_a[:60]]
    keep_readings(sqlite_book, revision, rows, bench=bench, by=ADA)
    judge_in_book(sqlite_book, job_a.name, bench=bench, by=ADA)
    with sqlite_book.engine.begin() as connection:
        connection.execute(text("DROP TRIGGER readings_no_update"))
        connection.execute(text("UPDATE readings SET goes = NOT goes WHERE id = 1"))
    (entry,) = sqlite_book.find(VerdictEntry)
    again = recheck(sqlite_book, entry)
    assert not again.same
    assert any(field.startswith("estimate.") for field in again.differs)


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=15)
@given(picked=st.sets(st.integers(0, 900), min_size=1, max_size=25), lot=st.none() | st.just(5000))
def test_any_readings_give_the_same_verdict_again(job_a, readings_a, picked, lot):
    book, bench = MemoryBook(), Bench(now=lambda: NOON, version="9.9", data_version="abc")
    revision = keep_job(book, job_a, "[hole]", bench=bench, by=ADA)
    rows = [ReadingRow(readings_a[i]) for i in sorted(picked)]
    keep_readings(book, revision, rows, bench=bench, by=ADA)
    saved = judge_kept(book, revision, lot=lot, bench=bench, by=ADA)
    assert recheck(book, saved).same


def test_an_estimate_with_forecast_and_causes_is_reached_once_more_too(
    kept, job_a, readings_a, bench
):
    revision = latest_revision(kept, job_a.name)
    holding = holding_readings(kept, revision)
    readings = tuple(saved.entry.reading for saved in holding)
    size = forecast(job_a).size
    causes = {reading.hole: {"cut": float(i)} for i, reading in enumerate(readings)}
    estimate = size_that_came(
        job_a,
        readings,
        clearance=0.0005,
        guard=2.0,
        today=NOON.date(),
        causes=causes,
        forecast=size,
        lot_unchecked=400,
    )
    entry = EstimateEntry(
        revision_id=revision.id,
        reading_ids=tuple(saved.id for saved in holding),
        estimate=estimate,
        clearance=0.0005,
        causes=causes,
        forecast=size,
        lot_unchecked=400,
        at=NOON,
        by=ADA,
    )
    saved = kept.append(entry)
    verdict = kept.append(
        VerdictEntry(
            estimate_id=saved.id,
            verdict=judged(job_a, estimate, pass_anyway=("1-1",), guard=2.0),
            guard=2.0,
            pass_anyway=("1-1",),
            at=NOON,
            by=ADA,
        )
    )
    assert kept.get(EstimateEntry, saved.id).entry == entry
    assert estimate.with_forecast is not None
    again = recheck(kept, verdict)
    assert again.differs == ()


def test_nothing_is_judged_without_readings(book, job_a, bench):
    keep_job(book, job_a, "[hole]", bench=bench, by=ADA)
    with pytest.raises(InputError, match="at least one reading"):
        judge_in_book(book, job_a.name, bench=bench, by=ADA)
    assert book.find(EstimateEntry) == ()


class TestJob:
    """A job in the book, with revisions that are never changed."""

    def test_it_comes_back_as_it_was_understood(self, book, job_a, bench):
        saved = keep_job(book, job_a, "[hole] # as typed", bench=bench, by=ADA)
        assert saved.entry.number == 1
        found = latest_revision(book, job_a.name)
        assert job_of(found.entry) == job_a
        assert found.entry.text == "[hole] # as typed"
        assert (found.entry.software, found.entry.data_version) == ("9.9", "abc")
        assert found.entry.invented

    def test_saving_it_unchanged_writes_nothing(self, book, job_a, bench):
        first = keep_job(book, job_a, "[hole]", bench=bench, by=ADA)
        assert keep_job(book, job_a, "[hole]", bench=bench, by="Bo") == first

    def test_a_change_is_a_new_revision_and_the_old_one_stays(self, book, job_a, bench):
        keep_job(book, job_a, "[hole]", bench=bench, by=ADA)
        warmer = replace(job_a, part_c=24.0)
        second = keep_job(book, warmer, "[hole]", bench=bench, by="Bo", why="gauged warm")
        assert second.entry.number == 2
        first, latest = book.find(RevisionEntry)
        assert job_of(first.entry).part_c == job_a.part_c
        assert job_of(latest.entry).part_c == 24.0
        assert len(book.find(JobEntry)) == 1

    def test_of_two_who_edit_the_same_revision_the_second_is_told(self, book, job_a, bench):
        keep_job(book, job_a, "[hole]", bench=bench, by=ADA, base=0)
        keep_job(book, replace(job_a, parts=12), "a", bench=bench, by=ADA, base=1)
        with pytest.raises(StaleError, match="somebody else saved version 2 while you"):
            keep_job(book, replace(job_a, parts=13), "b", bench=bench, by="Bo", base=1)
        assert len(book.find(RevisionEntry)) == 2

    def test_a_person_releases_it_and_the_book_says_who_and_why(self, book, job_a, bench):
        keep_job(book, job_a, "[hole]", bench=bench, by=ADA)
        job = find_job(book, job_a.name)
        moved = set_stage(book, job, Stage.RELEASED, why="proved on 60 holes", bench=bench, by="Bo")
        assert moved.entry.stage is Stage.RELEASED
        (note,) = book.find(NoteEntry, job_id=job.id)
        assert note.entry.text == "callout -> released: proved on 60 holes"
        assert note.entry.by == "Bo"
        with pytest.raises(StaleError):
            set_stage(book, job, Stage.ON_HOLD, why="late", bench=bench, by=ADA)
        assert len(book.find(NoteEntry)) == 1

    def test_a_job_that_is_not_there_is_asked_for_by_name(self, book, job_a, bench):
        with pytest.raises(InputError, match="is not in the record book; it has none yet"):
            find_job(book, "Plate")
        keep_job(book, job_a, "[hole]", bench=bench, by=ADA)
        with pytest.raises(InputError, match="the last ones are Carriage plate"):
            find_job(book, "Plate")


class TestReadings:
    """Readings of a file in the book."""

    def rows(self, readings, *picked: int, run: str = "") -> list[ReadingRow]:
        return [ReadingRow(readings[i], run=run) for i in picked]

    def test_a_file_that_is_read_in_again_writes_nothing_twice(
        self, book, job_a, readings_a, bench
    ):
        revision = keep_job(book, job_a, "[hole]", bench=bench, by=ADA)
        rows = self.rows(readings_a, 0, 1, 2)
        assert len(keep_readings(book, revision, rows, run="1", bench=bench, by=ADA).new) == 3
        grown = self.rows(readings_a, 0, 1, 2, 3)
        again = keep_readings(book, revision, grown, run="1", bench=bench, by=ADA)
        assert (len(again.new), again.there) == (1, 3)
        assert len(book.find(ReadingEntry)) == 4

    def test_the_same_check_twice_in_one_file_is_two_readings(self, book, job_a, readings_a, bench):
        revision = keep_job(book, job_a, "[hole]", bench=bench, by=ADA)
        rows = self.rows(readings_a, 0, 0)
        assert len(keep_readings(book, revision, rows, bench=bench, by=ADA).new) == 2

    def test_equal_readings_of_another_run_are_other_readings(self, book, job_a, readings_a, bench):
        revision = keep_job(book, job_a, "[hole]", bench=bench, by=ADA)
        for run in ("1", "2"):
            rows = self.rows(readings_a, 0, 1)
            assert len(keep_readings(book, revision, rows, run=run, bench=bench, by=ADA).new) == 2
        run = find_run(book, revision, "2")
        assert len(holding_readings(book, revision, run)) == 2
        assert len(holding_readings(book, revision)) == 4

    def test_a_row_may_name_its_own_run(self, book, job_a, readings_a, bench):
        revision = keep_job(book, job_a, "[hole]", bench=bench, by=ADA)
        rows = self.rows(readings_a, 0, run="night") + self.rows(readings_a, 1)
        keep_readings(book, revision, rows, run="day", bench=bench, by=ADA)
        for run in ("night", "day"):
            assert len(holding_readings(book, revision, find_run(book, revision, run))) == 1
        with pytest.raises(InputError, match="is not a run of this job; it has day, night"):
            find_run(book, revision, "noon")

    def test_a_row_that_breaks_a_rule_keeps_all_out(self, book, job_a, readings_a, bench):
        revision = keep_job(book, job_a, "[hole]", bench=bench, by=ADA)
        rows = [*self.rows(readings_a, 0), ReadingRow(readings_a[1], cut=0)]
        with pytest.raises(InputError, match=r"readings_a\.csv, line \d+, .*cut = 0"):
            keep_readings(book, revision, rows, run="1", bench=bench, by=ADA)
        assert book.find(ReadingEntry) == ()


def test_a_shop_file_read_in_twice_is_the_same_tool_room(book, job_a, bench):
    shop = replace(job_a.shop, drills=job_a.shop.drills[:3], pins=job_a.shop.pins[:40])
    first = keep_tool_room(book, shop, bench=bench, by=ADA)
    assert first.new > 40
    assert first.measured > 0
    again = keep_tool_room(book, shop, bench=bench, by=ADA)
    assert (again.new, again.changed, again.measured) == (0, 0, 0)


def test_a_hold_is_kept_like_a_release(kept, job_a, bench):
    found = judge_in_book(kept, job_a.name, run="1", lot=1_000_000, bench=bench, by=ADA)
    assert found.decision is Decision.HOLD
    (entry,) = kept.find(VerdictEntry)
    assert entry.entry.verdict.next
    assert recheck(kept, entry).same
