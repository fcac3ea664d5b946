"""The state of a book's tables: made, found and brought up to date.

Migrations lie in ``migrations/versions``. Alembic is only loaded to run them: to open a book it
is enough to look which one it has had last.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from sqlalchemy import URL, Connection, column, inspect, select, table

from holewright.errors import BookError
from holewright.records.address import file_of, shown
from holewright.records.engine import make_engine, reading, writing
from holewright.records.sql import SqlBook

if TYPE_CHECKING:
    from alembic.config import Config

HEAD = "0001"
"""The migration that the tables in this program belong to."""
VERSION_TABLE = "book_version"
MIGRATIONS = Path(__file__).parent / "migrations"
_ONE_AT_A_TIME = 0x686F6C65
"""Number of the lock that a migration on PostgreSQL takes."""


def alembic_config(connection: Connection | None = None) -> Config:
    """Return the settings with which Alembic finds the migrations.

    Parameters
    ----------
    connection : Connection, optional
        On which they are to run.
    """
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", str(MIGRATIONS))
    config.set_main_option("path_separator", "os")
    config.attributes["connection"] = connection
    return config


def version_of(connection: Connection) -> str | None:
    """Return the last migration that a database has had; None if it isn't a record book."""
    if not inspect(connection).has_table(VERSION_TABLE):
        return None
    version: str | None = connection.scalar(
        select(column("version_num")).select_from(table(VERSION_TABLE))
    )
    return version


def open_book(url: URL) -> SqlBook:
    """Return the book at an address.

    Parameters
    ----------
    url : URL
        Address, from :func:`holewright.records.address.book_address`.

    Raises
    ------
    BookError
        If there is none, it can't be opened, or its tables are older or newer than this
        program.
    """
    file = file_of(url)
    if file is not None and not file.exists():
        raise _no_book(url)
    engine = make_engine(url)
    try:
        with reading(engine) as connection:
            version = version_of(connection)
        if version is None:
            raise _no_book(url)
        if version != HEAD:
            raise _other_version(url, version)
    except BaseException:
        engine.dispose()
        raise
    return SqlBook(engine)


def _no_book(url: URL) -> BookError:
    return BookError(f"There is no record book at {shown(url)}. Make one: holewright book init")


def _other_version(url: URL, version: str) -> BookError:
    if version > HEAD:
        return BookError(
            f"The book at {shown(url)} was written by a newer holewright (tables {version}, this "
            f"program knows {HEAD}). Install the newer one."
        )
    return BookError(
        f"The tables of the book at {shown(url)} are of an older holewright ({version}, this "
        f"program needs {HEAD}). Back it up, then: holewright book migrate"
    )


def create_book(url: URL) -> bool:
    """Make a book where there is none, and the folder for it.

    Parameters
    ----------
    url : URL
        Address.

    Returns
    -------
    bool
        True if it was made; False if one was there already.

    Raises
    ------
    BookError
        If the database holds something else.
    """
    file = file_of(url)
    if file is not None:
        file.parent.mkdir(parents=True, exist_ok=True)
    return migrate_book(url, new=True) is None


def migrate_book(url: URL, *, new: bool = False) -> str | None:
    """Bring the tables of a book up to date, all of it or nothing.

    Parameters
    ----------
    url : URL
        Address.
    new : bool
        Whether there may be no book yet; then one is made.

    Returns
    -------
    str or None
        The migration that the book had before; None if there was no book.

    Raises
    ------
    BookError
        If there is no book there, or a newer holewright wrote it.
    """
    file = file_of(url)
    if not new and file is not None and not file.exists():
        raise _no_book(url)
    engine = make_engine(url)
    try:
        with writing(engine) as connection:
            if engine.dialect.name == "postgresql":
                connection.exec_driver_sql(f"SELECT pg_advisory_xact_lock({_ONE_AT_A_TIME})")
            before = version_of(connection)
            if before is None and not new:
                raise _no_book(url)
            if before is None and inspect(connection).get_table_names():
                raise BookError(
                    f"{shown(url)} holds other tables. Give the book a file or database of its own."
                )
            if before is not None and before > HEAD:
                raise _other_version(url, before)
            if before is None or (before < HEAD and not new):
                from alembic import command

                command.upgrade(alembic_config(connection), "head")
            return before
    finally:
        engine.dispose()
