"""Entries to write into a book, for the tests of the record book."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

from holewright.gauging.reading import Reading
from holewright.records.book import RecordBook, Saved
from holewright.records.entries import JobEntry, ReadingEntry, RevisionEntry, RunEntry

NOON = datetime(2025, 3, 31, 12, 0, tzinfo=UTC)


def signed(**more: Any) -> dict[str, Any]:
    """Return who and when of an entry."""
    return {"at": NOON, "by": "Ada"} | more


@dataclass(frozen=True)
class Begun:
    """A book with one job, its first revision and a run."""

    book: RecordBook
    job: Saved[JobEntry]
    revision: Saved[RevisionEntry]
    run: Saved[RunEntry]

    def reading(self, hole: str = "A1", **more: Any) -> ReadingEntry:
        """Return a reading of that run, not yet written."""
        fields = {
            "revision_id": self.revision.id,
            "run_id": self.run.id,
            "reading": Reading(hole, "8.01", goes=True),
        }
        return ReadingEntry(**signed(**(fields | more)))


def begin(book: RecordBook, name: str = "Carriage plate") -> Begun:
    """Write a job with a revision and a run into a book."""
    job = book.append(JobEntry(name=name, **signed()))
    revision = book.append(
        RevisionEntry(
            job_id=job.id, number=1, text="[hole]", document={"a": 0.1}, callout="8 H7", **signed()
        )
    )
    run = book.append(RunEntry(revision_id=revision.id, name="1", **signed()))
    return Begun(book, job, revision, run)
