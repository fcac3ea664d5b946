"""A whole job as JSON data: everything the book knows of it, to be read into another book.

Entries refer to each other by their keys, which are the same in every book. Reading a job in
twice writes nothing twice.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from holewright.errors import InputError, Where
from holewright.records.book import Reader, Saved, Writer
from holewright.records.entries import (
    KINDS,
    EstimateEntry,
    JobEntry,
    NoteEntry,
    PlanEntry,
    PlateEntry,
    ReadingEntry,
    RevisionEntry,
    RunEntry,
    VerdictEntry,
)
from holewright.records.entry import Entry
from holewright.records.plain import Json, from_plain, to_plain
from holewright.records.tool_entries import (
    HolesCutEntry,
    MeasurementEntry,
    ToolChangeEntry,
    ToolEntry,
)

DOCUMENT = "job of a record book"
VERSION = 1
_TAG = "entry"
"""Key that names the kind of an entry."""
_READING_IDS = "reading_ids"

Found = dict[str, dict[int, Saved[Any]]]


def job_data(book: Reader, job: Saved[JobEntry]) -> Json:
    """Return everything the book knows of a job as JSON data.

    Parameters
    ----------
    book : Reader
        The book.
    job : Saved
        The job.

    Returns
    -------
    Json
        Its entries, each after those that it refers to.
    """
    found = _everything(book, job)
    entries = []
    for name in KINDS:
        for saved in found.get(name, {}).values():
            plain = to_plain(saved.entry)
            for field, target in _references(saved.entry):
                id = getattr(saved.entry, field)
                plain[field] = _keys(found[target], id) if id is not None else None
            entries.append({_TAG: name} | plain)
    return {"document": DOCUMENT, "version": VERSION, "entries": entries}


def _references(entry: Entry | type[Entry]) -> Iterator[tuple[str, str]]:
    """Yield each field that refers to other entries, with their kind."""
    yield from entry.REFERS.items()
    if entry.NAME == EstimateEntry.NAME:
        yield _READING_IDS, ReadingEntry.NAME


def _keys(targets: dict[int, Saved[Any]], ids: int | Iterable[int]) -> str | list[str]:
    if isinstance(ids, int):
        return str(targets[ids].entry.key)
    return [str(targets[id].entry.key) for id in ids]


def _everything(book: Reader, job: Saved[JobEntry]) -> Found:
    """Return all entries of a job by kind and id."""
    found: Found = {}

    def take(saved: Iterable[Saved[Any]]) -> tuple[Saved[Any], ...]:
        entries = tuple(saved)
        for one in entries:
            found.setdefault(one.entry.NAME, {})[one.id] = one
        return entries

    take((job,))
    take(book.find(NoteEntry, job_id=job.id))
    for revision in take(book.find(RevisionEntry, job_id=job.id)):
        of_revision: tuple[type[Entry], ...] = (RunEntry, PlateEntry, ReadingEntry, PlanEntry)
        for kind in of_revision:
            take(book.find(kind, revision_id=revision.id))
        for estimate in take(book.find(EstimateEntry, revision_id=revision.id)):
            take(book.find(VerdictEntry, estimate_id=estimate.id))
    tools: set[int] = set()
    for run in found.get(RunEntry.NAME, {}).values():
        changes = take(book.find(ToolChangeEntry, run_id=run.id))
        cut = take(book.find(HolesCutEntry, run_id=run.id))
        tools |= {id for saved in (run, *changes, *cut) for id in _tools(saved.entry)}
    for id in sorted(tools):
        take((book.get(ToolEntry, id),))
        take(book.find(MeasurementEntry, tool_id=id))
        take(book.find(HolesCutEntry, tool_id=id, run_id=None))
    return {name: dict(sorted(shelf.items())) for name, shelf in found.items()}


def _tools(entry: Entry) -> Iterator[int]:
    """Yield the ids of the tools that an entry names."""
    for field, target in entry.REFERS.items():
        if target == ToolEntry.NAME and getattr(entry, field) is not None:
            yield getattr(entry, field)


def take_job(book: Writer, data: object, source: str) -> dict[str, int]:
    """Write a job from JSON data into a book. The caller makes it all or nothing.

    Parameters
    ----------
    book : Writer
        The book, within :meth:`~holewright.records.book.RecordBook.together`.
    data : object
        As :func:`job_data` gave it.
    source : str
        Name of the file, for errors.

    Returns
    -------
    dict of str to int
        Entries of each kind in the file. Those that were there already stay as they are.

    Raises
    ------
    InputError
        If the data aren't such a job, with the number of the entry and the field.
    """
    if not isinstance(data, dict) or data.get("document") != DOCUMENT:
        raise InputError("document", source, f'must be a "{DOCUMENT}"')
    if data.get("version") != VERSION:
        raise InputError("version", data.get("version"), f"must be {VERSION}", Where(source))
    entries = data.get("entries")
    if not isinstance(entries, list):
        raise InputError("entries", source, "must be a list")
    ids: dict[tuple[str, str], int] = {}
    counts: dict[str, int] = {}
    for number, plain in enumerate(entries, start=1):
        where = Where(f"{source}, entry {number}")
        try:
            entry = _entry(plain, ids)
            ids[entry.NAME, entry.key] = book.append(entry).id
        except InputError as error:
            raise error.at(where) from None
        counts[entry.NAME] = counts.get(entry.NAME, 0) + 1
    return counts


def _entry(plain: Any, ids: dict[tuple[str, str], int]) -> Entry:
    """Return the entry that JSON data describe, with the ids of this book."""
    if not isinstance(plain, dict) or plain.get(_TAG) not in KINDS:
        raise InputError(_TAG, "this entry", f"must be one of {', '.join(KINDS)}")
    name = plain[_TAG]
    kind = KINDS[name]
    fields = {key: value for key, value in plain.items() if key != _TAG}
    for field, target in _references(kind):
        keys = fields.get(field)
        if keys is None:
            continue
        many = keys if isinstance(keys, list) else [keys]
        for key in many:
            if not isinstance(key, str) or (target, key) not in ids:
                raise InputError(field, key, f"must be the key of an entry of {target} before it")
        found = [ids[target, key] for key in many]
        fields[field] = found if isinstance(keys, list) else found[0]
    return from_plain(kind, fields, name)
