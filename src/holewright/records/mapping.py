"""Row <-> entry, both ways, nothing else."""

from __future__ import annotations

import dataclasses
import typing
from collections.abc import Mapping
from enum import Enum
from functools import cache
from typing import Any

from sqlalchemy import Table

from holewright.errors import Where
from holewright.gauging.reading import Reading
from holewright.records.book import E
from holewright.records.entries import ReadingEntry
from holewright.records.entry import Entry
from holewright.records.plain import from_plain, to_plain
from holewright.records.tables import METADATA, Document

Row = dict[str, Any]


def table_of(kind: type[Entry]) -> Table:
    """Return the table in which entries of a kind stand."""
    return METADATA.tables[kind.NAME]


def row_of(entry: Entry) -> Row:
    """Return the columns of an entry, but for its id and version.

    Parameters
    ----------
    entry : Entry
        The entry. What an estimate was made of stands in a table of its own.
    """
    row: Row = {}
    columns = table_of(type(entry)).columns
    for f in dataclasses.fields(entry):
        value = getattr(entry, f.name)
        if f.name in columns:
            row[f.name] = _column_value(value, isinstance(columns[f.name].type, Document))
    if isinstance(entry, ReadingEntry):
        row |= _reading_columns(entry.reading)
    return row


def _column_value(value: object, is_document: bool) -> object:
    if is_document:
        return to_plain(value)
    return value.value if isinstance(value, Enum) else value


_READING = ("hole", "gauge", "goes", "size", "depth", "part_c", "gauge_c", "note")


def _reading_columns(reading: Reading | None) -> Row:
    row: Row = {name: getattr(reading, name, None) for name in _READING}
    return row | {"place": to_plain(reading.where) if reading and reading.where else None}


def entry_of(kind: type[E], row: Mapping[Any, Any], **elsewhere: object) -> E:
    """Return the entry that a row holds.

    Parameters
    ----------
    kind : type
        Kind of the entry.
    row : mapping
        Column -> value.
    **elsewhere : object
        Fields that stand in another table.
    """
    fields: Row = dict(elsewhere)
    any_kind: Any = kind
    for name, hint, is_document in _columns(any_kind):
        value = row[name]
        if is_document:
            value = from_plain(hint, value, name)
        elif isinstance(hint, type) and issubclass(hint, Enum):
            value = hint(value)
        fields[name] = value
    if kind is ReadingEntry:
        fields["reading"] = _reading(row)
    return kind(**fields)


@cache
def _columns(kind: type[Entry]) -> tuple[tuple[str, Any, bool], ...]:
    """Return name, type and whether it is a document of each field with a column of its own."""
    hints = typing.get_type_hints(kind)
    columns = table_of(kind).columns
    return tuple(
        (f.name, hints[f.name], isinstance(columns[f.name].type, Document))
        for f in dataclasses.fields(kind)
        if f.name in columns
    )


def _reading(row: Mapping[Any, Any]) -> Reading | None:
    if row["hole"] is None:
        return None
    where = from_plain(Where, row["place"]) if row["place"] else None
    return Reading(**{name: row[name] for name in _READING}, where=where)
