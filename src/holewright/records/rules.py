"""The rules of the book: what an entry must fulfil before it is written, in any kind of book.

A database holds the same rules as constraints and triggers; these say them in words first.
"""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Iterable, Iterator

from holewright.errors import InputError
from holewright.records.book import E, Reader, Saved
from holewright.records.entries import (
    KINDS,
    EstimateEntry,
    NoteEntry,
    PlateEntry,
    ReadingEntry,
    RevisionEntry,
    RunEntry,
)
from holewright.records.entry import Entry
from holewright.records.tool_entries import (
    HolesCutEntry,
    MeasurementEntry,
    Quantity,
    ToolChangeEntry,
    ToolEntry,
    ToolKind,
)

LONGEST_KEY = 64
_LARGEST = 2**31 - 1
"""Largest whole number of a database column."""
_NOT_BLANK = ("by", "key", "name", "text", "hole", "gauge")
_MAY_MEASURE = {
    Quantity.SIZE: (ToolKind.DRILL, ToolKind.REAMER, ToolKind.PIN),
    Quantity.RUNOUT: (ToolKind.HOLDER, ToolKind.MACHINE),
}
_USED_AS = {
    "machine_id": ToolKind.MACHINE,
    "holder_id": ToolKind.HOLDER,
    "drill_id": ToolKind.DRILL,
    "reamer_id": ToolKind.REAMER,
}


def check_fields(kind: type[Entry], names: Iterable[str]) -> None:
    """Raise an error for a field that entries of this kind don't have."""
    known = {f.name for f in dataclasses.fields(kind)}
    for name in names:
        if name not in known:
            raise TypeError(f"{kind.__name__} has no field {name}")


def same_entry(one: Entry, other: Entry) -> bool:
    """Return whether two entries say the same; when they were made doesn't matter."""
    return type(one) is type(other) and dataclasses.replace(one, at=other.at) == other


def check_sent_again(there: Entry, entry: Entry) -> None:
    """Raise an error if an entry's key is there, but with something else under it.

    Entries that may change may have changed since the first was sent, so those are let pass.
    """
    if not entry.CHANGES and not same_entry(there, entry):
        raise InputError(
            "key", entry.key, f"is the key of another entry in {entry.NAME}; give each its own"
        )


def check_change(saved: Saved[E], entry: E) -> None:
    """Raise an error if an entry must not change, or not in this way."""
    if not entry.CHANGES:
        raise InputError(
            entry.NAME, f"entry {saved.id}", "is written once and stays; append a new one"
        )
    if entry.key != saved.entry.key:
        raise InputError("key", entry.key, "must stay when an entry is changed")


def check_entry(entry: Entry, book: Reader, own_id: int | None = None) -> None:
    """Raise an error if an entry breaks a rule of the book.

    Parameters
    ----------
    entry : Entry
        The entry, not yet written.
    book : Reader
        Looks up what it refers to.
    own_id : int, optional
        Its id, where it is a new version of an entry.

    Raises
    ------
    InputError
        With the field and what would be accepted.
    """
    try:
        _check_values(entry)
    except RecursionError:
        raise InputError(entry.NAME, "plain data", "must not nest that deep") from None
    for name, kind in entry.REFERS.items():
        if (id := getattr(entry, name)) is not None:
            try:
                book.get(KINDS[kind], id)
            except InputError:
                raise InputError(name, id, f"must be the id of an entry in {kind}") from None
    if entry.UNIQUE:
        named = {name: getattr(entry, name) for name in entry.UNIQUE}
        if any(other.id != own_id for other in book.find(type(entry), **named)):
            what = ", ".join(str(value) for value in named.values())
            raise InputError(
                " and ".join(entry.UNIQUE), what, f"must be the only one in {entry.NAME}"
            )
    if isinstance(entry, ReadingEntry):
        _check_reading(entry, book)
    elif isinstance(entry, EstimateEntry):
        _check_estimate(entry, book)
    elif isinstance(entry, MeasurementEntry):
        _check_measurement(entry, book)
    elif isinstance(entry, RunEntry):
        _check_run(entry, book)
    elif isinstance(entry, (PlateEntry, NoteEntry)):
        _check_job_of_run(entry, book)
    elif isinstance(entry, (HolesCutEntry, ToolChangeEntry)):
        _check_holes(entry)


def _texts(value: object, field: str) -> Iterator[tuple[str, str]]:
    """Yield all texts in a value with their fields."""
    if isinstance(value, str):
        yield field, value
    elif dataclasses.is_dataclass(value) and not isinstance(value, type):
        for f in dataclasses.fields(value):
            yield from _texts(getattr(value, f.name), f.name)
    elif isinstance(value, dict):
        for name, item in value.items():
            yield from _texts(name, field)
            yield from _texts(item, str(name))
    elif isinstance(value, (list, tuple)):
        for item in value:
            yield from _texts(item, field)


def _check_values(entry: Entry) -> None:
    """Hold every entry to what both databases can keep, and to fields that are filled in."""
    if entry.at.tzinfo is None:
        raise InputError("at", entry.at, "must be a time with its time zone")
    if len(entry.key) > LONGEST_KEY:
        raise InputError("key", entry.key, f"must have up to {LONGEST_KEY} characters")
    for field, text in _texts(entry, entry.NAME):
        if "\0" in text or any("\ud800" <= letter <= "\udfff" for letter in text):
            raise InputError(field, ascii(text), "must be text, without zero bytes")
    for part in (entry, getattr(entry, "reading", None)):
        for name in _NOT_BLANK:
            written = getattr(part, name, None)
            if isinstance(written, str) and not written.strip():
                raise InputError(name, repr(written), "must not be blank")
    for f in dataclasses.fields(entry):
        value = getattr(entry, f.name)
        if isinstance(value, float) and not math.isfinite(value):
            raise InputError(f.name, value, "must be a number")
        if isinstance(value, int) and abs(value) > _LARGEST:
            raise InputError(f.name, value, f"must be up to {_LARGEST}")


def _job_of(book: Reader, revision_id: int) -> int:
    return book.get(RevisionEntry, revision_id).entry.job_id


def _check_job_of_run(entry: PlateEntry | NoteEntry, book: Reader) -> None:
    if entry.run_id is None:
        return
    run = book.get(RunEntry, entry.run_id).entry
    job = entry.job_id if isinstance(entry, NoteEntry) else _job_of(book, entry.revision_id)
    if _job_of(book, run.revision_id) != job:
        raise InputError("run_id", entry.run_id, "must be a run of the same job")


def _check_reading(entry: ReadingEntry, book: Reader) -> None:
    if entry.run_id is not None:
        run = book.get(RunEntry, entry.run_id).entry
        if run.revision_id != entry.revision_id:
            raise InputError("run_id", entry.run_id, "must be a run of the same revision")
    if entry.plate_id is not None:
        plate = book.get(PlateEntry, entry.plate_id).entry
        if plate.revision_id != entry.revision_id:
            raise InputError("plate_id", entry.plate_id, "must be a plate of the same revision")
    if entry.cut is not None and entry.cut < 1:
        raise InputError("cut", entry.cut, "must be 1 or more")
    reading = entry.reading
    for name in ("size", "depth", "part_c", "gauge_c"):
        value = getattr(reading, name, None)
        if value is not None and not math.isfinite(value):
            raise InputError(name, value, "must be a number")
    if entry.corrects_id is None:
        if reading is None:
            raise InputError("reading", "none", "must be there, unless it takes back another")
        if entry.why:
            raise InputError("why", entry.why, "belongs to a correction; say which it corrects")
    else:
        _check_correction(entry, entry.corrects_id, book)


def _check_correction(entry: ReadingEntry, corrects_id: int, book: Reader) -> None:
    if not entry.why.strip():
        raise InputError("why", repr(entry.why), "must say why the reading was wrong")
    wrong = book.get(ReadingEntry, corrects_id).entry
    for name in ("revision_id", "run_id", "plate_id"):
        if getattr(entry, name) != getattr(wrong, name):
            raise InputError(name, getattr(entry, name), "must be that of the corrected reading")
    for other in book.find(ReadingEntry, corrects_id=corrects_id):
        raise InputError(
            "corrects_id",
            corrects_id,
            f"was corrected already, by {other.entry.by}: correct reading {other.id} instead",
        )


def _check_estimate(entry: EstimateEntry, book: Reader) -> None:
    if not entry.reading_ids or len(set(entry.reading_ids)) != len(entry.reading_ids):
        raise InputError("reading_ids", entry.reading_ids, "must name readings, each once")
    job = _job_of(book, entry.revision_id)
    for id in entry.reading_ids:
        if _job_of(book, book.get(ReadingEntry, id).entry.revision_id) != job:
            raise InputError("reading_ids", id, "must be a reading of the same job")


def _check_measurement(entry: MeasurementEntry, book: Reader) -> None:
    tool = book.get(ToolEntry, entry.tool_id).entry
    if tool.kind not in _MAY_MEASURE[entry.quantity]:
        raise InputError("quantity", entry.quantity, f"is not measured of a {tool.kind}")
    least = "more than 0" if entry.quantity is Quantity.SIZE else "0 or more"
    if entry.value < 0 or (entry.quantity is Quantity.SIZE and entry.value == 0):
        raise InputError("value", entry.value, f"must be {least}")
    if entry.u < 0:
        raise InputError("u", entry.u, "must be 0 or more")


def _check_run(entry: RunEntry, book: Reader) -> None:
    for name, kind in _USED_AS.items():
        id = getattr(entry, name)
        if id is not None and (found := book.get(ToolEntry, id).entry).kind is not kind:
            raise InputError(name, found.name, f"must be a {kind}, not a {found.kind}")
    if entry.ended is not None and entry.ended.tzinfo is None:
        raise InputError("ended", entry.ended, "must be a time with its time zone")
    if entry.ended is not None and entry.ended < entry.at:
        raise InputError("ended", entry.ended, "must not be before the run began")


def _check_holes(entry: HolesCutEntry | ToolChangeEntry) -> None:
    least = 1 if isinstance(entry, HolesCutEntry) else 0
    if entry.holes < least:
        raise InputError("holes", entry.holes, f"must be {least} or more")
