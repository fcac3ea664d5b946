"""The record book in a database: SQLite or PostgreSQL, the same statements for both."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from typing import Any, TypeVar

from sqlalchemy import Connection, Engine, RowMapping, Select, func, insert, select, update
from sqlalchemy.exc import IntegrityError

from holewright.errors import BookError, InputError, StaleError
from holewright.records.address import shown
from holewright.records.book import E, Saved, Writer
from holewright.records.engine import reading, writing
from holewright.records.entries import EstimateEntry
from holewright.records.entry import Entry
from holewright.records.mapping import entry_of, row_of, table_of
from holewright.records.rules import check_change, check_entry, check_fields, check_sent_again
from holewright.records.tables import estimate_readings

T = TypeVar("T")

LARGEST_ID = 2**31 - 1
"""Beyond this no database column holds a number of an entry."""


def _having(kind: type[Entry], equal: Mapping[str, object]) -> Select[Any]:
    """Return the query for entries whose fields have these values."""
    check_fields(kind, equal)
    table = table_of(kind)
    return select(table).where(*(table.c[name] == value for name, value in equal.items()))


class SqlWriter:
    """Looks up and writes within one transaction."""

    def __init__(self, connection: Connection) -> None:
        self._connection = connection
        self._seen: dict[tuple[type[Entry], int], Saved[Any]] = {}

    def get(self, kind: type[E], id: int) -> Saved[E]:
        """Return the entry of that id."""
        if (kind, id) not in self._seen:
            table = table_of(kind)
            query = select(table).where(table.c.id == id)
            found = self._load(kind, query) if 0 < id <= LARGEST_ID else ()
            if not found:
                raise InputError("id", id, f"must be that of an entry in {kind.NAME}")
            self._seen[kind, id] = found[0]
        return self._seen[kind, id]

    def find(self, kind: type[E], /, **equal: object) -> tuple[Saved[E], ...]:
        """Return the entries whose fields have these values, in the order they were written."""
        return self._load(kind, _having(kind, equal).order_by(table_of(kind).c.id))

    def last(self, kind: type[E], /, **equal: object) -> Saved[E] | None:
        """Return the entry with these values that was written last; None if there is none."""
        query = _having(kind, equal).order_by(table_of(kind).c.id.desc()).limit(1)
        found = self._load(kind, query)
        return found[0] if found else None

    def _load(self, kind: type[E], query: Select[Any]) -> tuple[Saved[E], ...]:
        rows = self._connection.execute(query).mappings().all()
        return tuple(
            Saved(
                row["id"],
                entry_of(kind, row, **self._elsewhere(kind, row)),
                row["version"] if kind.CHANGES else 1,
            )
            for row in rows
        )

    def _elsewhere(self, kind: type[Entry], row: RowMapping) -> dict[str, object]:
        """Return the fields of an entry that stand in another table."""
        if kind is not EstimateEntry:
            return {}
        c = estimate_readings.c
        query = select(c.reading_id).where(c.estimate_id == row["id"]).order_by(c.place)
        return {"reading_ids": tuple(self._connection.scalars(query))}

    def append(self, entry: E) -> Saved[E]:
        """Write an entry down and return it."""
        kind = type(entry)
        for there in self.find(kind, key=entry.key):
            check_sent_again(there.entry, entry)
            return there
        check_entry(entry, self)
        row = row_of(entry) | ({"version": 1} if entry.CHANGES else {})
        table = table_of(kind)
        id: int = self._connection.execute(insert(table).returning(table.c.id), row).scalar_one()
        if isinstance(entry, EstimateEntry):
            self._connection.execute(
                insert(estimate_readings),
                [
                    {"estimate_id": id, "place": place, "reading_id": reading_id}
                    for place, reading_id in enumerate(entry.reading_ids)
                ],
            )
        return Saved(id, entry)

    def change(self, saved: Saved[E], entry: E) -> Saved[E]:
        """Write a new version of an entry that may change."""
        check_change(saved, entry)
        kind, table = type(entry), table_of(type(entry))
        self._seen.pop((kind, saved.id), None)
        self._check_version(saved, entry)
        check_entry(entry, self, saved.id)
        done = self._connection.execute(
            update(table)
            .where(table.c.id == saved.id, table.c.version == saved.version)
            .values(row_of(entry) | {"version": saved.version + 1})
        )
        self._seen.pop((kind, saved.id), None)
        if done.rowcount != 1:  # changed by somebody since the look above
            self._check_version(saved, entry)
        return Saved(saved.id, entry, saved.version + 1)

    def _check_version(self, saved: Saved[E], entry: E) -> None:
        now = self.get(type(entry), saved.id).version
        if now != saved.version:
            raise StaleError(f"{entry.NAME}, entry {saved.id}", saved.version, now)


class SqlBook:
    """A :class:`~holewright.records.book.RecordBook` in a database.

    Parameters
    ----------
    engine : Engine
        Of a database whose tables are there: :func:`~holewright.records.schema.open_book` looks.
    """

    def __init__(self, engine: Engine) -> None:
        self.engine = engine

    @property
    def where(self) -> str:
        """Where it is, as people may see it."""
        return shown(self.engine.url)

    def get(self, kind: type[E], id: int) -> Saved[E]:
        """Return the entry of that id."""
        with reading(self.engine) as connection:
            return SqlWriter(connection).get(kind, id)

    def find(self, kind: type[E], /, **equal: object) -> tuple[Saved[E], ...]:
        """Return the entries whose fields have these values, in the order they were written."""
        with reading(self.engine) as connection:
            return SqlWriter(connection).find(kind, **equal)

    def last(self, kind: type[E], /, **equal: object) -> Saved[E] | None:
        """Return the entry with these values that was written last; None if there is none."""
        with reading(self.engine) as connection:
            return SqlWriter(connection).last(kind, **equal)

    def count(self, kind: type[Entry]) -> int:
        """Return how many entries of a kind there are."""
        with reading(self.engine) as connection:
            query = select(func.count()).select_from(table_of(kind))
            return connection.execute(query).scalar_one()

    def append(self, entry: E) -> Saved[E]:
        """Write an entry down and return it; once it is returned, it is saved."""
        return self._once(lambda writer: writer.append(entry))

    def change(self, saved: Saved[E], entry: E) -> Saved[E]:
        """Write a new version of an entry that may change."""
        return self._once(lambda writer: writer.change(saved, entry))

    def _once(self, write: Callable[[SqlWriter], T]) -> T:
        """Return what `write` saved.

        Two may write the same at the same moment, and the database turns one of them away: the
        second look then finds what the first wrote, and says so in the words of the rules.
        """
        try:
            with writing(self.engine) as connection:
                return write(SqlWriter(connection))
        except IntegrityError:
            with writing(self.engine) as connection:
                return write(SqlWriter(connection))

    @contextmanager
    def together(self) -> Iterator[Writer]:
        """Return a writer whose entries are saved together when the block ends, or not at all."""
        try:
            with writing(self.engine) as connection:
                yield SqlWriter(connection)
        except IntegrityError:
            raise BookError(
                "Somebody else wrote the same at the same moment, so nothing of this was saved: "
                "do it once more."
            ) from None

    def close(self) -> None:
        """Give back the connections."""
        self.engine.dispose()
