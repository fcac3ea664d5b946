"""Keep readings in the record book: write them down, correct them, judge them, judge again."""

from __future__ import annotations

import hashlib
import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime
from typing import Any

from holewright.errors import InputError
from holewright.gauging.reading import Reading
from holewright.jobs.bench import Bench
from holewright.jobs.keep_book import job_of, latest_revision, open_run
from holewright.jobs.release import judge
from holewright.jobs.take_readings import estimate_size
from holewright.proof.verdict import Verdict
from holewright.records.book import Reader, RecordBook, Saved, Writer
from holewright.records.entries import (
    EstimateEntry,
    ReadingEntry,
    RevisionEntry,
    RunEntry,
    VerdictEntry,
)
from holewright.records.exchange.rows import ReadingRow
from holewright.records.in_force import in_force, readings_of
from holewright.records.plain import canonical, to_plain

_SAME = 1e-9
"""Relative difference of two numbers that are the same but for the computer's last digits."""


@dataclass(frozen=True)
class KeptReadings:
    """What became of readings: those written down, and those that were there already."""

    new: tuple[Saved[ReadingEntry], ...]
    there: int


def keep_readings(
    book: RecordBook,
    revision: Saved[RevisionEntry],
    rows: Sequence[ReadingRow],
    *,
    run: str = "",
    bench: Bench,
    by: str,
) -> KeptReadings:
    """Write the readings of a file down, all of them or none.

    The same rows in the same order are the same readings: a file that is read in again, or has
    grown at its end, writes nothing twice. Other parts that happen to read the same belong to
    a run of their own.

    Parameters
    ----------
    book : RecordBook
        The book.
    revision : Saved
        Revision that the holes were made to.
    rows : sequence of ReadingRow
        The readings.
    run : str
        Name of the run of those rows that name none; made if there is none of that name.
    bench : Bench
        Clock.
    by : str
        Who writes them down, where a row doesn't say.

    Raises
    ------
    InputError
        If a row breaks a rule of the book. Then nothing is written.
    """
    new: list[Saved[ReadingEntry]] = []
    there = 0
    total = hashlib.sha256(f"{revision.entry.key} {run}".encode())
    with book.together() as writer:
        for row in rows:
            name = row.run or run
            total.update(_said(row).encode())
            key = total.hexdigest()
            if writer.find(ReadingEntry, key=key):
                there += 1
                continue
            found = open_run(writer, revision, name, bench=bench, by=by) if name else None
            entry = ReadingEntry(
                at=row.at or bench.now(),
                by=row.by or by,
                key=key,
                revision_id=revision.id,
                run_id=found.id if found else None,
                reading=row.reading,
                cut=row.cut,
            )
            try:
                new.append(writer.append(entry))
            except InputError as error:
                raise error.at(row.reading.where) if row.reading.where else error from None
    return KeptReadings(tuple(new), there)


def _said(row: ReadingRow) -> str:
    """Return what a row says, wherever it stands."""
    plain = to_plain(row)
    plain["reading"].pop("where")
    return canonical(plain)


def correct_reading(
    book: Writer,
    wrong: Saved[ReadingEntry],
    right: Reading | None,
    *,
    why: str,
    bench: Bench,
    by: str,
    key: str | None = None,
) -> Saved[ReadingEntry]:
    """Put a reading in place of a wrong one. The wrong one stays in the book.

    Parameters
    ----------
    book : Writer
        The book.
    wrong : Saved
        The reading that was wrong.
    right : Reading, optional
        What is right; None takes the wrong one back.
    why : str
        Why it was wrong.
    bench : Bench
        Clock.
    by : str
        Who corrects it.
    key : str, optional
        The same for a request that is sent again.

    Raises
    ------
    InputError
        If it was corrected already, or `why` is blank.
    """
    entry = wrong.entry
    named = {} if key is None else {"key": key}
    return book.append(
        ReadingEntry(
            at=bench.now(),
            by=by,
            revision_id=entry.revision_id,
            run_id=entry.run_id,
            plate_id=entry.plate_id,
            cut=entry.cut,
            reading=right,
            corrects_id=wrong.id,
            why=why,
            **named,
        )
    )


def find_run(book: Reader, revision: Saved[RevisionEntry], name: str) -> Saved[RunEntry]:
    """Return a run of a job: the last one of that name, of whichever revision.

    Parameters
    ----------
    book : Reader
        The book.
    revision : Saved
        A revision of the job.
    name : str
        Name of the run.

    Raises
    ------
    InputError
        If the job has none of that name.
    """
    revisions = book.find(RevisionEntry, job_id=revision.entry.job_id)
    runs = [run for one in revisions for run in book.find(RunEntry, revision_id=one.id)]
    named = [run for run in runs if run.entry.name == name]
    if not named:
        known = ", ".join(sorted({run.entry.name for run in runs})) or "none yet"
        raise InputError("run", name, f"is not a run of this job; it has {known}")
    return named[-1]


def holding_readings(
    book: Reader, revision: Saved[RevisionEntry], run: Saved[RunEntry] | None = None
) -> tuple[Saved[ReadingEntry], ...]:
    """Return the readings that hold, of a run or of a whole revision.

    Parameters
    ----------
    book : Reader
        The book.
    revision : Saved
        The revision.
    run : Saved, optional
        The run.
    """
    if run is not None:
        return in_force(book.find(ReadingEntry, run_id=run.id))
    return in_force(book.find(ReadingEntry, revision_id=revision.id))


def judge_kept(
    book: RecordBook,
    revision: Saved[RevisionEntry],
    *,
    run: Saved[RunEntry] | None = None,
    lot: int | None = None,
    bench: Bench,
    by: str,
) -> Saved[VerdictEntry]:
    """Judge the readings in the book, and keep estimate and verdict with what they were made of.

    Parameters
    ----------
    book : RecordBook
        The book.
    revision : Saved
        Its limits, tool room, material and demands are those that count.
    run : Saved, optional
        Judge the readings of this run; None: those of the revision.
    lot : int, optional
        Holes in the lot; None judges the process. [-]
    bench : Bench
        Clock and versions.
    by : str
        Who asks.

    Raises
    ------
    InputError
        If there is no reading.
    """
    job = job_of(revision.entry)
    with book.together() as writer:
        holding = holding_readings(writer, revision, run)
        estimate = estimate_size(job, readings_of(holding), today=day_of(bench.now()))
        kept = writer.append(
            EstimateEntry(
                at=bench.now(),
                by=by,
                revision_id=revision.id,
                run_id=run.id if run else None,
                reading_ids=tuple(saved.id for saved in holding),
                estimate=estimate,
                clearance=job.habits.clearance,
                software=bench.version,
                data_version=bench.data_version,
            )
        )
        return writer.append(
            VerdictEntry(
                at=bench.now(),
                by=by,
                estimate_id=kept.id,
                verdict=judge(job, estimate, lot=lot),
                guard=job.demands.guard,
                software=bench.version,
                data_version=bench.data_version,
            )
        )


def day_of(at: datetime) -> date:
    """Return the day by which a gauge is overdue: the same wherever the book is read again.

    Parameters
    ----------
    at : datetime
        Now, or when the verdict was reached.
    """
    return at.astimezone(UTC).date()


def judge_in_book(
    book: RecordBook, job: str, *, run: str = "", lot: int | None = None, bench: Bench, by: str
) -> Verdict:
    """Judge what the book has of a job, and keep the verdict.

    Parameters
    ----------
    book : RecordBook
        The book.
    job : str
        Name of the job; its latest revision counts.
    run : str
        Name of a run; without it the readings of the latest revision are judged.
    lot : int, optional
        Holes in the lot; None judges the process. [-]
    bench : Bench
        Clock and versions.
    by : str
        Who asks.
    """
    revision = latest_revision(book, job)
    found = find_run(book, revision, run) if run else None
    return judge_kept(book, revision, run=found, lot=lot, bench=bench, by=by).entry.verdict


@dataclass(frozen=True)
class Recheck:
    """A verdict of the book, reached once more from what the book holds.

    Parameters
    ----------
    kept, again : Verdict
        As it was kept, and as it is reached now.
    differs : tuple of str
        Fields of estimate or verdict that are not as they were; empty where all are.
    software : str
        What reached the one that was kept.
    """

    kept: Verdict
    again: Verdict
    differs: tuple[str, ...]
    software: str

    @property
    def same(self) -> bool:
        """Whether the answer is the same."""
        return not self.differs


def recheck(book: Reader, verdict: Saved[VerdictEntry]) -> Recheck:
    """Reach a verdict once more from the readings, tool room and demands in the book.

    Parameters
    ----------
    book : Reader
        The book.
    verdict : Saved
        The verdict.
    """
    entry = verdict.entry
    kept = book.get(EstimateEntry, entry.estimate_id).entry
    job = job_of(book.get(RevisionEntry, kept.revision_id).entry)
    readings = readings_of(book.get(ReadingEntry, id) for id in kept.reading_ids)
    estimate = estimate_size(
        job,
        readings,
        confidence=kept.estimate.confidence,
        clearance=kept.clearance,
        guard=entry.guard,
        today=day_of(kept.at),
        causes=kept.causes or None,
        forecast=kept.forecast,
        lot_unchecked=kept.lot_unchecked,
    )
    again = judge(
        job,
        estimate,
        lot=entry.verdict.lot,
        pass_anyway=entry.pass_anyway,
        guard=entry.guard,
    )
    differs = (
        *_differences(to_plain(kept.estimate), to_plain(estimate), "estimate"),
        *_differences(to_plain(entry.verdict), to_plain(again), "verdict"),
    )
    return Recheck(entry.verdict, again, differs, entry.software)


def _differences(kept: Any, again: Any, field: str) -> tuple[str, ...]:
    """Return the fields in which plain data differ by more than the last digits."""
    if isinstance(kept, dict) and isinstance(again, dict) and kept.keys() == again.keys():
        return tuple(
            d for key in kept for d in _differences(kept[key], again[key], f"{field}.{key}")
        )
    if isinstance(kept, list) and isinstance(again, list) and len(kept) == len(again):
        pairs = enumerate(zip(kept, again, strict=True))
        return tuple(d for i, (k, a) in pairs for d in _differences(k, a, f"{field}[{i}]"))
    if isinstance(kept, float) and isinstance(again, float):
        return () if math.isclose(kept, again, rel_tol=_SAME, abs_tol=_SAME**2) else (field,)
    return () if kept == again else (field,)
