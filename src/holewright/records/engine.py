"""Connections to SQLite or PostgreSQL, set so that what is saved stays saved."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from sqlalchemy import URL, Connection, Engine, create_engine, event
from sqlalchemy.exc import DBAPIError, IntegrityError, NoSuchModuleError

from holewright.errors import BookError
from holewright.records.address import shown

WAIT_S = 10
"""How long a writer waits for another one to finish. [s]"""
_WRITES = "holewright_writes"


def make_engine(url: URL) -> Engine:
    """Return the engine of a book.

    SQLite keeps a log beside the file (WAL), so that readers and a writer don't wait for each
    other, and waits for the disk at every save (``synchronous = FULL``). PostgreSQL waits for
    its own log (``synchronous_commit = on``), whatever the server's default.

    Parameters
    ----------
    url : URL
        Address, from :func:`holewright.records.address.book_address`.

    Raises
    ------
    BookError
        If the driver for PostgreSQL isn't installed.
    """
    if url.get_backend_name() == "sqlite":
        engine = create_engine(url, connect_args={"timeout": WAIT_S})
        event.listen(engine, "connect", _set_up_sqlite)
        event.listen(engine, "begin", _begin_sqlite)
        return engine
    try:
        engine = create_engine(url, pool_pre_ping=True, connect_args={"connect_timeout": WAIT_S})
    except (ModuleNotFoundError, NoSuchModuleError):
        raise BookError(
            "A book on PostgreSQL needs its driver: install holewright[postgres]."
        ) from None
    event.listen(engine, "connect", _set_up_postgresql)
    return engine


def _set_up_sqlite(connection: Any, record: object) -> None:
    connection.isolation_level = None  # so that BEGIN is ours: see below
    # fullfsync: on macOS only this waits for the disk itself; elsewhere it does nothing.
    for pragma in (
        "foreign_keys = ON",
        "journal_mode = WAL",
        "synchronous = FULL",
        "fullfsync = ON",
    ):
        connection.execute(f"PRAGMA {pragma}").close()


def _begin_sqlite(connection: Connection) -> None:
    # A writer takes its place in the queue at once. One that starts as a reader and writes
    # later would be turned away if another had written between.
    writes = connection.get_execution_options().get(_WRITES, False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")


def _set_up_postgresql(connection: Any, record: object) -> None:
    with connection.cursor() as cursor:
        cursor.execute("SET synchronous_commit = on")
        cursor.execute(f"SET lock_timeout = '{WAIT_S}s'")
    connection.commit()


@contextmanager
def reading(engine: Engine) -> Iterator[Connection]:
    """Return a connection that sees the book as it is at one moment."""
    with _in_words(engine), engine.connect() as connection:
        if engine.dialect.name == "postgresql":
            connection = connection.execution_options(isolation_level="REPEATABLE READ")
        with connection.begin():
            yield connection


@contextmanager
def writing(engine: Engine) -> Iterator[Connection]:
    """Return a connection whose changes are saved when the block ends, or not at all."""
    with (
        _in_words(engine),
        engine.connect().execution_options(**{_WRITES: True}) as connection,
        connection.begin(),
    ):
        yield connection


@contextmanager
def _in_words(engine: Engine) -> Iterator[None]:
    """Say in words what the database reports."""
    try:
        yield
    except IntegrityError:
        raise
    except DBAPIError as error:
        said = " ".join(str(error.orig).split())
        raise BookError(f"{shown(engine.url)}: {_advice(said)} ({said})") from error


def _advice(said: str) -> str:
    """Return what to do about what a database said."""
    lower = said.lower()
    if "locked" in lower or "lock timeout" in lower:
        return f"another program has been writing for {WAIT_S} s; nothing was saved, try again"
    if "not a database" in lower or "malformed" in lower:
        return "the file is not a record book, or is damaged; restore a backup into a new file"
    if "readonly" in lower or "read-only" in lower:
        return "the book can't be written; look at the rights on its file and folder"
    if "disk is full" in lower or "no space" in lower:
        return "the disk is full; nothing was saved"
    if "unable to open" in lower:
        return "the file can't be opened; look at the rights on its folder"
    if "connect" in lower:
        return "the server can't be reached or doesn't let you in"
    return "the database reports an error; nothing was saved"
