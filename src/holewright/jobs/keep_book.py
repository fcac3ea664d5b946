"""Keep the record book: jobs with their revisions, and the tool room."""

from __future__ import annotations

import getpass
from collections.abc import Iterable
from dataclasses import dataclass, replace

from holewright.errors import InputError, StaleError
from holewright.jobs.bench import Bench
from holewright.jobs.job import Job
from holewright.records.book import Reader, RecordBook, Saved, Writer
from holewright.records.entries import (
    JobEntry,
    NoteEntry,
    RevisionEntry,
    RunEntry,
    Stage,
)
from holewright.records.plain import from_plain, to_plain
from holewright.records.tool_entries import HolesCutEntry, MeasurementEntry, ToolEntry
from holewright.records.tool_room import Tool, measurement_entry, shop_of, tool_entry
from holewright.shop.shop import Shop


def whoami() -> str:
    """Return the name under which the computer knows the user, for entries that say no other."""
    try:
        return getpass.getuser()
    except (KeyError, OSError, ImportError):
        return "unknown"


def find_job(book: Reader, name: str) -> Saved[JobEntry]:
    """Return the job of that name.

    Parameters
    ----------
    book : Reader
        The book.
    name : str
        Name of the job.

    Raises
    ------
    InputError
        If the book has none of that name.
    """
    for job in book.find(JobEntry, name=name):
        return job
    names = ", ".join(job.entry.name for job in book.find(JobEntry)[-8:])
    known = f"; the last ones are {names}" if names else "; it has none yet"
    raise InputError("job", name, f"is not in the record book{known}")


def latest_revision(book: Reader, name: str) -> Saved[RevisionEntry]:
    """Return the latest revision of a job.

    Parameters
    ----------
    book : Reader
        The book.
    name : str
        Name of the job.

    Raises
    ------
    InputError
        If the book has none of that name.
    """
    job = find_job(book, name)
    return max(book.find(RevisionEntry, job_id=job.id), key=lambda saved: saved.entry.number)


def job_of(revision: RevisionEntry) -> Job:
    """Return the job as it was understood when the revision was written.

    Parameters
    ----------
    revision : RevisionEntry
        The revision.

    Raises
    ------
    InputError
        If a newer holewright wrote it, in a way that this one doesn't know.
    """
    return from_plain(Job, revision.document, "job")


def keep_job(
    book: RecordBook,
    job: Job,
    text: str,
    *,
    bench: Bench,
    by: str,
    why: str = "",
    base: int | None = None,
) -> Saved[RevisionEntry]:
    """Write a job down as a new revision, unless it is just as it was.

    Parameters
    ----------
    book : RecordBook
        The book.
    job : Job
        The job.
    text : str
        The job file it was read from.
    bench : Bench
        Clock and versions.
    by : str
        Who writes it down.
    why : str
        Why it changed.
    base : int, optional
        Number of the revision that the change was made on; 0 for a new job. None: whichever
        is the latest.

    Returns
    -------
    Saved
        The new revision; the latest one where nothing has changed.

    Raises
    ------
    StaleError
        If somebody else has saved a revision after `base`.
    """
    document = to_plain(job)
    with book.together() as writer:
        jobs = writer.find(JobEntry, name=job.name)
        entry = jobs[0] if jobs else writer.append(JobEntry(at=bench.now(), by=by, name=job.name))
        revisions = writer.find(RevisionEntry, job_id=entry.id)
        latest = revisions[-1].entry if revisions else None
        number = latest.number if latest else 0
        if base is not None and base != number:
            raise StaleError(f"job {job.name}", base, number)
        if latest is not None and (latest.text, latest.document) == (text, document):
            return revisions[-1]
        return writer.append(
            RevisionEntry(
                at=bench.now(),
                by=by,
                job_id=entry.id,
                number=number + 1,
                text=text,
                document=document,
                callout=job.callout.text,
                part=job.part,
                revision=job.revision,
                drawing=job.drawing,
                invented=job.invented,
                software=bench.version,
                data_version=bench.data_version,
                why=why,
            )
        )


def set_stage(
    book: RecordBook, job: Saved[JobEntry], stage: Stage, *, why: str, bench: Bench, by: str
) -> Saved[JobEntry]:
    """Move a job to another stage, and note who did it and why.

    Parameters
    ----------
    book : RecordBook
        The book.
    job : Saved
        The job as it was read.
    stage : Stage
        The new stage.
    why : str
        Why.
    bench : Bench
        Clock.
    by : str
        Who moves it. A person releases a job; no verdict does.

    Raises
    ------
    StaleError
        If somebody else has moved it since `job` was read.
    """
    with book.together() as writer:
        moved = writer.change(job, replace(job.entry, stage=stage))
        text = f"{job.entry.stage} -> {stage}: {why}"
        writer.append(NoteEntry(at=bench.now(), by=by, job_id=job.id, text=text))
        return moved


@dataclass(frozen=True)
class KeptTools:
    """What became of a tool room: tools that are new, changed, and measured anew."""

    new: int
    changed: int
    measured: int


def keep_tool_room(book: RecordBook, shop: Shop, *, bench: Bench, by: str) -> KeptTools:
    """Write each tool of a tool room down, and what was measured of it.

    Parameters
    ----------
    book : RecordBook
        The book.
    shop : Shop
        The tool room. Tools in the book that it doesn't list stay as they are.
    bench : Bench
        Clock.
    by : str
        Who writes it down.

    Returns
    -------
    KeptTools
        How many of its tools were new, changed and measured anew.
    """
    tools: tuple[Tool, ...] = (
        *shop.machines,
        *shop.holders,
        *shop.drills,
        *shop.reamers,
        *shop.pins,
        *shop.bore_gauges,
    )
    return keep_tools(book, tools, bench=bench, by=by)


def keep_tools(book: RecordBook, tools: Iterable[Tool], *, bench: Bench, by: str) -> KeptTools:
    """Write tools down, and what was measured of them, all or none.

    Parameters
    ----------
    book : RecordBook
        The book.
    tools : iterable of Machine, Holder, Drill, Reamer, Pin or BoreGauge
        The tools.
    bench : Bench
        Clock.
    by : str
        Who writes them down.

    Returns
    -------
    KeptTools
        How many of them were new, changed and measured anew.
    """
    new = changed = measured = 0
    with book.together() as writer:
        for tool in tools:
            entry = tool_entry(tool, at=bench.now(), by=by)
            there = writer.find(ToolEntry, kind=entry.kind, name=entry.name)
            if not there:
                saved, new = writer.append(entry), new + 1
            elif there[0].entry.document != entry.document:
                now = replace(there[0].entry, document=entry.document)
                saved, changed = writer.change(there[0], now), changed + 1
            else:
                continue
            measured += _keep_measurement(writer, saved, bench, by)
    return KeptTools(new, changed, measured)


def _keep_measurement(writer: Writer, tool: Saved[ToolEntry], bench: Bench, by: str) -> int:
    """Write down what was measured of a tool, if that is news."""
    entry = measurement_entry(tool, at=bench.now(), by=by)
    if entry is None:
        return 0
    *_, last = (None, *writer.find(MeasurementEntry, tool_id=tool.id))
    if last is not None and (last.entry.value, last.entry.u) == (entry.value, entry.u):
        return 0
    writer.append(entry)
    return 1


def tool_room(book: Reader, *, name: str, bench: Bench) -> Shop:
    """Return the tool room as it stands now, each tool as it was measured last.

    Parameters
    ----------
    book : Reader
        The book.
    name : str
        Name to give it.
    bench : Bench
        Clock: a gauge whose calibration is overdue is named in the notes.
    """
    return shop_of(
        book.find(ToolEntry),
        book.find(MeasurementEntry),
        name=name,
        today=bench.now().date(),
    )


def holes_cut(book: Reader, tool: Saved[ToolEntry]) -> int:
    """Return how many holes a tool has cut.

    Parameters
    ----------
    book : Reader
        The book.
    tool : Saved
        The tool.
    """
    return sum(saved.entry.holes for saved in book.find(HolesCutEntry, tool_id=tool.id))


def open_run(
    book: Writer, revision: Saved[RevisionEntry], name: str, *, bench: Bench, by: str
) -> Saved[RunEntry]:
    """Return the run of that name, made if there is none.

    Parameters
    ----------
    book : Writer
        The book.
    revision : Saved
        What is made in it.
    name : str
        Name of the run.
    bench : Bench
        Clock.
    by : str
        Who begins it.
    """
    for run in book.find(RunEntry, revision_id=revision.id, name=name):
        return run
    return book.append(RunEntry(at=bench.now(), by=by, revision_id=revision.id, name=name))
