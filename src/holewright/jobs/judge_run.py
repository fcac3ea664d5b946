"""What the readings of a run allow to say, before anything is written down; and a release."""

from __future__ import annotations

from dataclasses import dataclass

from holewright.errors import InputError, NoAnswerError
from holewright.gauging.estimate import Estimate
from holewright.jobs.bench import Bench
from holewright.jobs.keep_book import set_stage
from holewright.jobs.keep_readings import day_of, find_run, holding_readings, judge_kept
from holewright.jobs.kept_jobs import KeptJob
from holewright.jobs.release import judge
from holewright.jobs.take_readings import estimate_size
from holewright.proof.verdict import Decision, Verdict
from holewright.records.book import Reader, RecordBook, Saved
from holewright.records.entries import JobEntry, RunEntry, Stage, VerdictEntry
from holewright.records.in_force import readings_of

_LARGEST_LOT = 10_000_000


@dataclass(frozen=True)
class Judged:
    """Readings with what they allow to say.

    Parameters
    ----------
    estimate : Estimate
        The size that came.
    verdict : Verdict
        Release or hold.
    run : Saved, optional
        The run judged; None: all readings of the revision.
    """

    estimate: Estimate
    verdict: Verdict
    run: Saved[RunEntry] | None


def read_lot(text: str) -> int | None:
    """Return the holes of a lot; None where nothing is written, and the process is judged.

    Parameters
    ----------
    text : str
        As it was written.

    Raises
    ------
    InputError
        If it is not a number of holes.
    """
    bare = text.strip().replace(",", "").replace(" ", "")
    if not bare:
        return None
    if not bare.isdecimal() or not 1 <= int(bare[:12]) <= _LARGEST_LOT:
        raise InputError("lot", text.strip()[:40], f"must be from 1 to {_LARGEST_LOT:,} holes")
    return int(bare)


def _run_of(book: Reader, kept: KeptJob, run: str) -> Saved[RunEntry] | None:
    return find_run(book, kept.revision, run) if run else None


def judge_now(
    book: Reader, kept: KeptJob, *, run: str = "", lot: int | None = None, bench: Bench
) -> Judged:
    """Return what the readings so far allow to say. Nothing is written down.

    Parameters
    ----------
    book : Reader
        The book.
    kept : KeptJob
        The job.
    run : str
        Name of a run; without it the readings of the latest revision are judged.
    lot : int, optional
        Holes in the lot; None judges the process. [-]
    bench : Bench
        Clock: a gauge that is overdue by now holds the verdict.

    Raises
    ------
    NoAnswerError
        If nothing was gauged yet.
    InputError
        If there is no such run.
    """
    found = _run_of(book, kept, run)
    holding = holding_readings(book, kept.revision, found)
    if not holding:
        raise NoAnswerError("Nothing was gauged yet, so nothing can be said of the holes.")
    estimate = estimate_size(kept.job, readings_of(holding), today=day_of(bench.now()))
    return Judged(estimate, judge(kept.job, estimate, lot=lot), found)


def keep_verdict(
    book: RecordBook,
    kept: KeptJob,
    *,
    run: str = "",
    lot: int | None = None,
    bench: Bench,
    by: str,
) -> Saved[VerdictEntry]:
    """Write the verdict on the readings so far down.

    Parameters
    ----------
    book : RecordBook
        The book.
    kept : KeptJob
        The job.
    run : str
        Name of a run, or empty.
    lot : int, optional
        Holes in the lot. [-]
    bench : Bench
        Clock and versions.
    by : str
        Who asks.
    """
    found = _run_of(book, kept, run)
    return judge_kept(book, kept.revision, run=found, lot=lot, bench=bench, by=by)


def release(
    book: RecordBook,
    kept: KeptJob,
    *,
    run: str = "",
    lot: int | None = None,
    bench: Bench,
    by: str,
) -> Saved[VerdictEntry]:
    """Release a job, if the verdict on its readings allows it.

    Parameters
    ----------
    book : RecordBook
        The book.
    kept : KeptJob
        The job.
    run : str
        Name of a run, or empty.
    lot : int, optional
        Holes in the lot. [-]
    bench : Bench
        Clock and versions.
    by : str
        Who releases it.

    Raises
    ------
    NoAnswerError
        If the verdict is to hold. It is written down all the same.
    """
    saved = keep_verdict(book, kept, run=run, lot=lot, bench=bench, by=by)
    verdict = saved.entry.verdict
    if verdict.decision is not Decision.RELEASE:
        raise NoAnswerError(f"It isn't released. {verdict.sentence}")
    head = book.get(JobEntry, kept.id)
    set_stage(book, head, Stage.RELEASED, why=verdict.sentence, bench=bench, by=by)
    return saved


def put_on_hold(book: RecordBook, kept: KeptJob, *, why: str, bench: Bench, by: str) -> None:
    """Put a job on hold: no hole of it is made, or used, until somebody says so.

    Parameters
    ----------
    book : RecordBook
        The book.
    kept : KeptJob
        The job.
    why : str
        Why.
    bench : Bench
        Clock.
    by : str
        Who does it.

    Raises
    ------
    InputError
        If nobody says why.
    """
    if not why.strip():
        raise InputError("why", "blank", "must say why the job is put on hold")
    head = book.get(JobEntry, kept.id)
    set_stage(book, head, Stage.ON_HOLD, why=why.strip()[:500], bench=bench, by=by)


def back_on_trial(book: RecordBook, kept: KeptJob, *, why: str, bench: Bench, by: str) -> None:
    """Put a job back on trial.

    Parameters
    ----------
    book : RecordBook
        The book.
    kept : KeptJob
        The job.
    why : str
        Why.
    bench : Bench
        Clock.
    by : str
        Who does it.

    Raises
    ------
    InputError
        If nobody says why.
    """
    if not why.strip():
        raise InputError("why", "blank", "must say what was done, so that it may be tried again")
    head = book.get(JobEntry, kept.id)
    set_stage(book, head, Stage.ON_TRIAL, why=why.strip()[:500], bench=bench, by=by)
