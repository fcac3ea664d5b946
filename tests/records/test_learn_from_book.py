"""The record book teaches the next forecast."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from record_book_samples import signed

from holewright.errors import BookError, NoAnswerError
from holewright.jobs.bench import open_bench
from holewright.jobs.jobfile import read_job
from holewright.jobs.keep_book import keep_job
from holewright.jobs.learn_forecast import forecast_with, learn_forecast, outcomes
from holewright.jobs.plan_hole import plan
from holewright.jobs.readingsfile import read_readings
from holewright.jobs.take_readings import estimate_size
from holewright.records.entries import EstimateEntry, ReadingEntry
from holewright.records.memory import MemoryBook
from holewright.sizing.history import Kin

BRAKELUND = Path(__file__).parents[2] / "examples" / "brakelund"


@pytest.fixture(scope="module")
def plate_job():
    return read_job(BRAKELUND / "job_a.toml")


@pytest.fixture(scope="module")
def came(plate_job):
    readings = read_readings(BRAKELUND / "readings_a.csv", plate_job.shop)
    return estimate_size(plate_job, readings)


def write(book, job, estimate, *, off=0.0):
    """Write a job with what it came to into a book."""
    revision = keep_job(book, job, "[hole]", bench=open_bench(), by="Ada")
    shifted = replace(
        estimate,
        mean=estimate.mean + off,
        mean_interval=tuple(bound + off for bound in estimate.mean_interval),
        fit=None,
    )
    reading = book.append(
        ReadingEntry(
            revision_id=revision.id,
            reading=read_readings(BRAKELUND / "readings_a.csv", job.shop)[0],
            **signed(),
        )
    )
    book.append(
        EstimateEntry(
            revision_id=revision.id, reading_ids=(reading.id,), estimate=shifted, **signed()
        )
    )
    return revision


def test_without_a_book_the_handbook_stands(plate_job):
    learned = learn_forecast(plate_job)
    assert learned.forecast == plan(plate_job).forecast
    assert learned.outcomes == 0


def test_earlier_jobs_of_the_book_move_the_forecast_to_what_came(plate_job, came):
    book = MemoryBook()
    for i in range(4):
        write(book, replace(plate_job, name=f"Plate {i}"), came, off=0.0002 * (i - 1.5))
    learned = learn_forecast(plate_job, book)
    assert learned.outcomes == learned.offset.jobs == 4
    before, after = (abs(f.mean - came.mean) for f in (learned.prior, learned.forecast))
    assert after < 0.5 * before
    assert learned.forecast.sd < learned.prior.sd
    assert learned.forecast.inside > learned.prior.inside


def test_a_job_is_not_heard_about_itself(plate_job, came):
    book = MemoryBook()
    write(book, plate_job, came)
    assert learn_forecast(plate_job, book).outcomes == 0


def test_an_outcome_says_what_it_shares(plate_job, came):
    book = MemoryBook()
    write(book, replace(plate_job, name="Other plate"), came)
    (one,) = outcomes(book)
    assert one.kin[Kin.MATERIAL] == "16MnCr5"
    assert one.kin[Kin.COOLANT] == "soluble"
    assert one.kin[Kin.MACHINE] == "mill 3"
    assert one.mean == came.mean
    low, high = came.mean_interval
    assert one.u_mean == pytest.approx((high - low) / 3.92, rel=1e-3)


def test_a_job_without_a_mean_or_without_a_reamer_teaches_nothing(plate_job, came):
    book = MemoryBook()
    write(book, replace(plate_job, name="Few holes"), came)
    bored = read_job(BRAKELUND / "job_d.toml")
    write(book, bored, came)
    assert [one.job for one in outcomes(book)] == ["Few holes"]
    with pytest.raises(NoAnswerError, match="no reamed size can be forecast"):
        learn_forecast(bored, book)


def test_the_drift_of_a_run_is_heard_where_holes_were_counted(plate_job, came):
    book = MemoryBook()
    revision = write(book, replace(plate_job, name="Long run"), came)
    readings = read_readings(BRAKELUND / "readings_a.csv", plate_job.shop)
    names = list(dict.fromkeys(reading.hole for reading in readings))
    for reading in readings:
        cut = 1 + 7 * names.index(reading.hole)
        book.append(ReadingEntry(revision_id=revision.id, reading=reading, cut=cut, **signed()))
    (one,) = outcomes(book)
    # The file states its truth: -0.8 nm a hole.
    assert one.drift == pytest.approx(-0.8e-6, abs=3 * one.u_drift)
    learned = learn_forecast(plate_job, book)
    assert learned.drift.jobs == 1


def test_a_book_that_was_asked_for_must_be_there_and_the_usual_one_need_not(
    plate_job, tmp_path, monkeypatch
):
    with pytest.raises(BookError):
        forecast_with(plate_job, str(tmp_path / "none.db"))
    monkeypatch.setenv("HOLEWRIGHT_BOOK", str(tmp_path / "none.db"))
    learned, said = forecast_with(plate_job, None)
    assert "the handbook stands alone" in said
    assert learned.forecast == learned.prior


def test_a_file_of_a_book_teaches_as_well(plate_job, came, tmp_path):
    from contextlib import closing

    from holewright.jobs.look_after_book import init_book, open_at

    where = str(tmp_path / "book.db")
    init_book(where)
    with closing(open_at(where)) as book:
        write(book, replace(plate_job, name="Plate before"), came)
    learned, said = forecast_with(plate_job, where)
    assert said == "1 earlier job of the record book heard."
    assert learned.forecast.sd < learned.prior.sd


def test_the_life_of_a_reamer_comes_out_of_the_book_as_out_of_its_file(plate_job):
    from holewright.errors import InputError
    from holewright.jobs.follow_tools import follow_tools
    from holewright.jobs.keep_readings import keep_readings
    from holewright.jobs.life_file import read_life
    from holewright.jobs.life_from_book import life_in_book
    from holewright.records.exchange.rows import ReadingRow

    file = read_life(BRAKELUND / "life_a.csv", plate_job.shop)[:1]
    book = MemoryBook()
    bench = open_bench()
    revision = keep_job(book, plate_job, "[hole]", bench=bench, by="Ada")
    with pytest.raises(InputError, match="must say how many holes the reamer had cut"):
        life_in_book(book, plate_job.name)
    rows = [ReadingRow(r, run=file[0].tool, cut=file[0].cut[r.hole]) for r in file[0].readings]
    keep_readings(book, revision, rows, bench=bench, by="Ada")
    kept = life_in_book(book, plate_job.name)
    assert [one.tool for one in kept] == ["R 8-C 1"]
    assert follow_tools(plate_job, kept).current.change.change == (
        follow_tools(plate_job, file).current.change.change
    )
