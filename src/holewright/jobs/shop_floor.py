"""The shop floor: all jobs at a glance, the last one worked on first."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from holewright.jobs.keep_book import holes_cut
from holewright.planning.plan import OperationKind, Route
from holewright.records.book import Reader, Saved
from holewright.records.entries import (
    EstimateEntry,
    JobEntry,
    PlanEntry,
    ReadingEntry,
    RevisionEntry,
    Stage,
    VerdictEntry,
)
from holewright.records.tool_entries import ToolEntry, ToolKind
from holewright.units import Unit

PAGE = 25
"""Jobs on one page. [-]"""


@dataclass(frozen=True)
class FloorRow:
    """One job on the shop floor.

    Parameters
    ----------
    id : int
        Its number in the book.
    name, part, callout : str
        What people know it by.
    unit : Unit
        Unit of its print.
    stage : Stage
        How far it has come.
    invented : bool
        Whether it is an invented example.
    last_mean : float, optional
        Mean of the last estimate. [mm]
    last_said : str
        The last verdict in a word, or what the last reading said; empty where none was taken.
    holes_left : int, optional
        Holes before the reamer is due; None where nobody counts them.
    changed : datetime
        When something was last written down of it.
    """

    id: int
    name: str
    part: str
    callout: str
    unit: Unit
    stage: Stage
    invented: bool
    last_mean: float | None
    last_said: str
    holes_left: int | None
    changed: datetime


def floor_rows(
    book: Reader, *, search: str = "", page: int = 1
) -> tuple[tuple[FloorRow, ...], int]:
    """Return the jobs of a page, the newest first, and how many jobs match in all.

    Parameters
    ----------
    book : Reader
        The book.
    search : str
        Words that name, part, drawing or callout must hold, in any order and case.
    page : int
        Page, counted from 1.

    Returns
    -------
    rows : tuple of FloorRow
        Up to :data:`PAGE` of them.
    count : int
        Jobs that match. [-]
    """
    words = search.lower().split()
    heads = sorted(book.find(JobEntry), key=lambda saved: -saved.id)
    if words:
        heads = [head for head in heads if _matches(book, head.id, head.entry.name, words)]
    shown = heads[(page - 1) * PAGE : page * PAGE]
    rows = []
    for head in shown:
        revision = book.last(RevisionEntry, job_id=head.id)
        if revision is not None:
            rows.append(_row(book, head, revision))
    return tuple(rows), len(heads)


def _matches(book: Reader, job_id: int, name: str, words: list[str]) -> bool:
    text = name.lower()
    if all(word in text for word in words):
        return True
    revision = book.last(RevisionEntry, job_id=job_id)
    if revision is not None:
        entry = revision.entry
        text += f" {entry.part} {entry.drawing} {entry.callout}".lower()
    return all(word in text for word in words)


def _row(book: Reader, head: Saved[JobEntry], revision: Saved[RevisionEntry]) -> FloorRow:
    """Return the row of a job, from what is written down: nothing is planned or judged here."""
    entry = revision.entry
    estimate = book.last(EstimateEntry, revision_id=revision.id)
    verdict = book.last(VerdictEntry, estimate_id=estimate.id) if estimate else None
    reading = book.last(ReadingEntry, revision_id=revision.id)
    taken = book.last(PlanEntry, revision_id=revision.id)
    times = [saved.entry.at for saved in (revision, estimate, reading, taken) if saved]
    return FloorRow(
        id=head.id,
        name=head.entry.name,
        part=entry.part,
        callout=entry.callout,
        unit=Unit(entry.document.get("unit", Unit.MM)),
        stage=head.entry.stage,
        invented=entry.invented,
        last_mean=estimate.entry.estimate.mean if estimate else None,
        last_said=str(verdict.entry.verdict.decision) if verdict else _said(reading),
        holes_left=_holes_left(book, taken.entry.plan.route if taken else None),
        changed=max(times),
    )


def _said(saved: Saved[ReadingEntry] | None) -> str:
    if saved is None or saved.entry.reading is None:
        return ""
    reading = saved.entry.reading
    if reading.size is not None:
        return f"hole {reading.hole} read off"
    return f"hole {reading.hole}: {reading.gauge} {'goes' if reading.goes else 'does not go'}"


def _holes_left(book: Reader, route: Route | None) -> int | None:
    """Return how many holes are left before the reamer of a route is due, by its expected life.

    None where no route was taken, it has no reamer of the tool room, or nobody counts its holes.
    """
    steps = [op for op in route.operations if op.kind is OperationKind.REAM] if route else []
    if not steps:
        return None
    tool = book.last(ToolEntry, kind=ToolKind.REAMER, name=steps[-1].tool)
    life = dict(steps[-1].numbers).get("life [holes]")
    if tool is None or life is None:
        return None
    cut = holes_cut(book, tool)
    return max(0, int(life.value) - cut) if cut else None
