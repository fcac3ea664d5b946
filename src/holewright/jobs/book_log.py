"""Readings of a run, written into the record book one by one while holes are gauged."""

from __future__ import annotations

import uuid
from pathlib import Path

from holewright.gauging.reading import Reading
from holewright.jobs.bench import Bench
from holewright.jobs.gauge_holes import FIRST_RUN, take_answer, take_back
from holewright.jobs.job import Job
from holewright.jobs.jobfile import read_job
from holewright.jobs.keep_book import keep_job
from holewright.jobs.kept_jobs import KeptJob, open_job
from holewright.jobs.text_files import read_text
from holewright.records.book import RecordBook, Saved
from holewright.records.entries import ReadingEntry, RunEntry
from holewright.records.in_force import in_force, readings_of


def open_book_log(
    book: RecordBook, job_file: Path, run: str = FIRST_RUN, *, bench: Bench, by: str
) -> tuple[Job, BookLog]:
    """Return the job of a file as the book keeps it, and a run of it to write readings into.

    Parameters
    ----------
    book : RecordBook
        The book; the job is written down in it, as a new revision where it has changed.
    job_file : Path
        The job file.
    run : str
        Name of the run.
    bench : Bench
        Clock and versions.
    by : str
        Who gauges.

    Raises
    ------
    InputError
        If the job file can't be used.
    """
    text = read_text(job_file, "job file")
    revision = keep_job(book, read_job(job_file), text, bench=bench, by=by, why="read to be gauged")
    kept = open_job(book, revision.entry.job_id)
    return kept.job, BookLog(book, kept, run, bench=bench, by=by)


class BookLog:
    """A run of the record book, open to be added to.

    Parameters
    ----------
    book : RecordBook
        The book.
    kept : KeptJob
        The job.
    run : str
        Name of the run; it is begun with its first reading.
    bench : Bench
        Clock.
    by : str
        Who gauges.
    """

    def __init__(
        self, book: RecordBook, kept: KeptJob, run: str = FIRST_RUN, *, bench: Bench, by: str
    ) -> None:
        self._book, self._kept, self._run = book, kept, run
        self._bench, self._by = bench, by

    @property
    def where(self) -> str:
        """Run and job, for people."""
        return f"run {self._run} of {self._kept.head.entry.name} in the record book"

    def readings(self) -> tuple[Reading, ...]:
        """Return the readings that hold, in the order in which they were written."""
        return readings_of(self._holding())

    def add(self, reading: Reading) -> None:
        """Write a reading down; once this returns, it is saved."""
        take_answer(
            self._book,
            self._kept,
            reading,
            run=self._run,
            key=uuid.uuid4().hex,
            bench=self._bench,
            by=self._by,
        )

    def take_back(self) -> Reading | None:
        """Take the last reading back, and return it; None where there is none."""
        last = max(self._holding(), key=lambda saved: saved.id, default=None)
        if last is None:
            return None
        take_back(
            self._book, self._kept, last.id, key=uuid.uuid4().hex, bench=self._bench, by=self._by
        )
        return last.entry.reading

    def _holding(self) -> tuple[Saved[ReadingEntry], ...]:
        revision = self._kept.revision.id
        runs = self._book.find(RunEntry, revision_id=revision, name=self._run)
        return in_force(self._book.find(ReadingEntry, run_id=runs[0].id)) if runs else ()
