"""Backups: the whole book in one file, whichever database it is in.

The file is a ZIP archive with one text file for each table, a JSON object a line, and
``manifest.json`` with the number of rows and the SHA-256 of each. A backup is read back and
checked before it gets its name; a restored book is read out again and must give the same sums.
The sums find damage. They are no seal: who can write the file can write them, too.
"""

from __future__ import annotations

import hashlib
import json
import zipfile
import zlib
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from datetime import date, datetime
from itertools import islice
from pathlib import Path
from typing import Any

from sqlalchemy import Column, Connection, Date, Table, func, insert, inspect, select, text
from sqlalchemy.exc import IntegrityError

from holewright.errors import BookError, InputError
from holewright.records.engine import reading, writing
from holewright.records.new_file import new_file
from holewright.records.plain import canonical, from_plain, to_plain
from holewright.records.schema import HEAD
from holewright.records.sql import SqlBook
from holewright.records.tables import METADATA, UtcTime

FORMAT = "holewright record book 1"
_MANIFEST = "manifest.json"
_LARGEST_MANIFEST = 100_000
_LARGEST_LINE = 50_000_000
_CHUNK = 1000
_TABLES = {table.name: table for table in METADATA.sorted_tables}


@dataclass(frozen=True)
class Contents:
    """What a table holds: how many rows, and the SHA-256 of their lines."""

    rows: int
    sha256: str


@dataclass(frozen=True)
class Manifest:
    """What a backup holds.

    Parameters
    ----------
    format : str
        Kind and version of the file.
    tables_version : str
        Migration that the tables belong to.
    software : str
        What wrote it.
    at : datetime
        When.
    tables : tuple of (str, Contents)
        Each table with its contents.
    """

    format: str
    tables_version: str
    software: str
    at: datetime
    tables: tuple[tuple[str, Contents], ...]

    @property
    def rows(self) -> int:
        """Rows of all tables."""
        return sum(contents.rows for _, contents in self.tables)


def write_backup(
    book: SqlBook, path: Path, *, at: datetime, software: str, force: bool = False
) -> Manifest:
    """Write a backup, read it back and check it; only then it gets its name.

    Parameters
    ----------
    book : SqlBook
        The book. Others may write in it meanwhile: the backup is of one moment.
    path : Path
        File to write.
    at : datetime
        Time of the backup.
    software : str
        What writes it.
    force : bool
        Whether a file of that name may be overwritten.

    Returns
    -------
    Manifest
        What it holds.

    Raises
    ------
    InputError
        If the file is there already, is the book itself, or its folder isn't there.
    """
    with (
        new_file(path, book.engine.url, force=force, check=check_backup) as file,
        zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as archive,
    ):
        with reading(book.engine) as connection:
            tables = tuple(
                (table.name, _write_table(archive, connection, table)) for table in _TABLES.values()
            )
        manifest = Manifest(FORMAT, HEAD, software, at, tables)
        archive.writestr(_MANIFEST, canonical(to_plain(manifest)))
    return manifest


def _write_table(archive: zipfile.ZipFile, connection: Connection, table: Table) -> Contents:
    with archive.open(f"{table.name}.jsonl", "w", force_zip64=True) as member:
        return _summed(_lines(connection, table), member.write)


def _summed(lines: Iterator[bytes], take: Any) -> Contents:
    """Hand on each line, and return how many there were and their sum."""
    rows, total = 0, hashlib.sha256()
    for line in lines:
        rows += 1
        total.update(line)
        take(line)
    return Contents(rows, total.hexdigest())


def _lines(connection: Connection, table: Table) -> Iterator[bytes]:
    """Yield each row of a table as a line."""
    query = select(table).order_by(*table.primary_key.columns)
    for row in connection.execute(query).mappings():
        plain = {column.name: _plain(row[column]) for column in table.columns}
        yield (canonical(plain) + "\n").encode()


def _plain(value: Any) -> Any:
    return value.isoformat() if isinstance(value, (datetime, date)) else value


def check_backup(path: Path) -> Manifest:
    """Return what a backup holds, if it is whole.

    Parameters
    ----------
    path : Path
        The backup.

    Raises
    ------
    BookError
        If it isn't a backup, is damaged, or holds anything else.
    """
    with _opened(path) as (archive, manifest):
        for name, contents in manifest.tables:
            found = _summed(_member_lines(archive, name), lambda line: None)
            if found != contents:
                raise BookError(f"{path}: {name} is not as it was written; the backup is damaged")
    return manifest


@contextmanager
def _opened(path: Path) -> Iterator[tuple[zipfile.ZipFile, Manifest]]:
    """Return a backup with its manifest; nothing in it is ever unpacked to the disk."""
    with ExitStack() as stack:
        with _in_words(path):
            archive = stack.enter_context(zipfile.ZipFile(path))
            names = sorted(info.filename for info in archive.infolist())
            if names != sorted([_MANIFEST, *(f"{name}.jsonl" for name in _TABLES)]):
                raise BookError(f"{path}: is not a backup of a record book")
            if archive.getinfo(_MANIFEST).file_size > _LARGEST_MANIFEST:
                raise BookError(f"{path}: is not a backup of a record book")
            raw = archive.read(_MANIFEST)
        yield archive, _read_manifest(raw, path)


@contextmanager
def _in_words(path: Path) -> Iterator[None]:
    """Say in words what the reader of archives finds wrong."""
    try:
        yield
    except (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, RuntimeError) as error:
        raise BookError(
            f"{path}: is not a backup of a record book, or is damaged ({error})"
        ) from None


def _read_manifest(raw: bytes, path: Path) -> Manifest:
    try:
        manifest = from_plain(Manifest, json.loads(raw))
    except (ValueError, RecursionError, InputError) as error:
        raise BookError(f"{path}: is not a backup of a record book ({error})") from None
    if manifest.format != FORMAT or manifest.tables_version != HEAD:
        raise BookError(
            f"{path}: was written by {manifest.software} ({manifest.format}, tables "
            f"{manifest.tables_version}); this program reads tables {HEAD}. Restore it with that "
            f"version, then: holewright book migrate"
        )
    if {name for name, _ in manifest.tables} != set(_TABLES):
        raise BookError(f"{path}: its manifest does not name the tables of a record book")
    return manifest


def _member_lines(archive: zipfile.ZipFile, name: str) -> Iterator[bytes]:
    with _in_words(Path(str(archive.filename))), archive.open(f"{name}.jsonl") as member:
        while line := member.readline(_LARGEST_LINE):
            yield line


def restore_backup(path: Path, book: SqlBook) -> Manifest:
    """Fill an empty book from a backup, all of it or nothing.

    Parameters
    ----------
    path : Path
        The backup.
    book : SqlBook
        A book with nothing in it.

    Returns
    -------
    Manifest
        What it held.

    Raises
    ------
    BookError
        If the backup isn't whole, the book isn't empty, or what is read out of it afterwards
        isn't what the backup says.
    """
    check_backup(path)
    try:
        return _restore(path, book)
    except IntegrityError as error:
        raise BookError(f"{path}: holds what can't stand in a book ({error.orig})") from None


def _restore(path: Path, book: SqlBook) -> Manifest:
    with _opened(path) as (archive, manifest), writing(book.engine) as connection:
        if any(connection.scalar(select(func.count()).select_from(t)) for t in _TABLES.values()):
            raise BookError(
                "A backup is only restored into an empty book, so that nothing is lost: give "
                "--book a new file or database."
            )
        expected = dict(manifest.tables)
        for name, table in _TABLES.items():
            _fill(connection, table, _member_lines(archive, name))
            if _summed(_lines(connection, table), lambda line: None) != expected[name]:
                raise BookError(f"{path}: {name} did not come back as it was; nothing was restored")
        _set_counters(connection)
    return manifest


def _fill(connection: Connection, table: Table, lines: Iterator[bytes]) -> None:
    while chunk := [_row(table, line) for line in islice(lines, _CHUNK)]:
        connection.execute(insert(table), chunk)


def _row(table: Table, line: bytes) -> dict[str, Any]:
    """Return the columns of a row as the database takes them."""
    try:
        plain = json.loads(line)
        if plain.keys() != set(table.c.keys()):
            raise ValueError("other columns")
        return {column.name: _value(column, plain[column.name]) for column in table.columns}
    except (ValueError, TypeError, AttributeError, RecursionError):
        raise BookError(f"{table.name}: holds a line that isn't a row of a record book") from None


def _value(column: Column[Any], plain: Any) -> Any:
    if plain is not None and isinstance(column.type, UtcTime):
        return datetime.fromisoformat(plain)
    if plain is not None and isinstance(column.type, Date):
        return date.fromisoformat(plain)
    return plain


def _set_counters(connection: Connection) -> None:
    """Let PostgreSQL count on from the ids that were restored; SQLite does so by itself."""
    if connection.dialect.name != "postgresql":
        return
    for name in _TABLES:
        if "id" in _TABLES[name].columns:
            connection.execute(
                text(
                    f"SELECT setval(pg_get_serial_sequence('{name}', 'id'), "
                    f"(SELECT coalesce(max(id), 0) + 1 FROM {name}), false)"
                )
            )


def damage(book: SqlBook) -> tuple[str, ...]:
    """Return what a database itself finds wrong with the book; nothing for a sound one.

    Parameters
    ----------
    book : SqlBook
        The book. Of one on PostgreSQL, whose server keeps its own checks, only that every
        table can be read is looked at.
    """
    found = []
    with reading(book.engine) as connection:
        if connection.dialect.name == "sqlite":
            said = connection.exec_driver_sql("PRAGMA integrity_check").scalars().all()
            found += [line for line in said if line != "ok"]
            for row in connection.exec_driver_sql("PRAGMA foreign_key_check"):
                found.append(
                    f"{row[0]}, row {row[1]}: refers to an entry in {row[2]} that isn't there"
                )
        missing = set(_TABLES) - set(inspect(connection).get_table_names())
        found += [f"table {name} is missing" for name in sorted(missing)]
        for name in set(_TABLES) - missing:
            _summed(_lines(connection, _TABLES[name]), lambda line: None)
    return tuple(found)
