"""Keep what a fault turned out to be, as a note in the record book, and hear it again."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from holewright.diagnosis.case import Case, find_cause
from holewright.diagnosis.causes import causes
from holewright.diagnosis.symptoms import find_symptom, symptoms
from holewright.errors import InputError
from holewright.jobs.bench import Bench
from holewright.jobs.job import Job
from holewright.jobs.keep_book import find_job, keep_job
from holewright.records.book import Reader, RecordBook
from holewright.records.entries import JobEntry, NoteEntry

_NOTE = re.compile(
    r"Fault: (?P<seen>[^.]+)\. Cause: (?P<cause>[a-z0-9-]+) \([^)]*\)\.(?P<note>.*)", re.DOTALL
)


def case_note(case: Case) -> str:
    """Return a case as a note that people read as well.

    Parameters
    ----------
    case : Case
        The case.

    Examples
    --------
    >>> case_note(Case(("T01", "T04"), "runout"))
    "Fault: oversize, bell-mouth. Cause: runout (Runout at the reamer's lead)."
    """
    seen = ", ".join(symptoms()[code].key for code in case.seen)
    name = re.sub(r"[()]", "", causes()[case.cause].name)
    return f"Fault: {seen}. Cause: {case.cause} ({name}). {case.note}".rstrip()


def read_case_note(text: str, job: str = "") -> Case | None:
    """Return the case that a note holds; None where it holds none, or one we don't know.

    Parameters
    ----------
    text : str
        The note.
    job : str
        Name of the job it belongs to.
    """
    match = _NOTE.fullmatch(text)
    if match is None:
        return None
    try:
        seen = tuple(find_symptom(word).code for word in match["seen"].split(","))
        return Case(seen, find_cause(match["cause"]), job, match["note"].strip())
    except InputError:
        return None


def cases_in(book: Reader) -> tuple[Case, ...]:
    """Return all cases in a book, in the order they were kept.

    Parameters
    ----------
    book : Reader
        The book.
    """
    names = {job.id: job.entry.name for job in book.find(JobEntry)}
    found = (
        read_case_note(note.entry.text, names.get(note.entry.job_id, ""))
        for note in book.find(NoteEntry)
    )
    return tuple(case for case in found if case is not None)


@dataclass(frozen=True)
class BookOfCases:
    """The cases of a record book: a :class:`holewright.diagnosis.case.CaseBook`.

    Parameters
    ----------
    book : RecordBook
        The book.
    bench : Bench
        Clock.
    by : str
        Who writes.
    """

    book: RecordBook
    bench: Bench
    by: str

    def cases(self) -> Sequence[Case]:
        """Return all cases."""
        return cases_in(self.book)

    def keep(self, case: Case) -> None:
        """Keep a case as a note on its job.

        Raises
        ------
        InputError
            If the book doesn't know the job.
        """
        job = find_job(self.book, case.job)
        self.book.append(
            NoteEntry(at=self.bench.now(), by=self.by, job_id=job.id, text=case_note(case))
        )


def keep_case(book: RecordBook, job: Job, text: str, case: Case, *, bench: Bench, by: str) -> None:
    """Keep a case, and the job it belongs to where the book doesn't have it yet.

    Parameters
    ----------
    book : RecordBook
        The book.
    job : Job
        The job.
    text : str
        The job file it was read from.
    case : Case
        The case; its job is taken to be this one.
    bench : Bench
        Clock and versions.
    by : str
        Who keeps it.
    """
    keep_job(book, job, text, bench=bench, by=by)
    BookOfCases(book, bench, by).keep(Case(case.seen, case.cause, job.name, case.note))
