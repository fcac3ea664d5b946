"""Where the record book is: a file, or a database by its URL."""

from __future__ import annotations

import os
from collections.abc import Mapping
from pathlib import Path

import platformdirs
from sqlalchemy import URL, make_url
from sqlalchemy.exc import ArgumentError

from holewright.errors import InputError

VARIABLE = "HOLEWRIGHT_BOOK"
"""Environment variable that names the book."""
_ACCEPTED = "must be a file name, or postgresql://user@server/database"


def default_file() -> Path:
    """Return the book in the user's data folder."""
    return Path(platformdirs.user_data_dir("holewright", appauthor=False)) / "book.db"


def book_address(chosen: str | None = None, environment: Mapping[str, str] = os.environ) -> URL:
    """Return the address of the book.

    Parameters
    ----------
    chosen : str, optional
        File or URL that the person gave; it wins over the environment.
    environment : mapping
        Holds ``HOLEWRIGHT_BOOK``, perhaps. Without either, it is a file in the user's data
        folder.

    Returns
    -------
    URL
        Of SQLite, with the whole path of the file, or of PostgreSQL.

    Raises
    ------
    InputError
        If it is neither a file name nor such a URL, or the name is that of something that
        isn't a file.
    """
    text = (chosen or environment.get(VARIABLE) or "").strip()
    if "://" not in text:
        return _file(Path(text).expanduser() if text else default_file())
    try:
        url = make_url(text)
    except (ArgumentError, ValueError):
        # The text may hold a password, so it isn't said again.
        raise InputError("book", "the address given", _ACCEPTED) from None
    backend = url.drivername.partition("+")[0]
    if backend == "sqlite":
        if url.host or url.query or not url.database or url.database.startswith("file:"):
            raise InputError("book", text, "must be sqlite:/// and a file name, and no more")
        return _file(Path(url.database))
    if backend in ("postgresql", "postgres"):
        return url.set(drivername="postgresql+psycopg")
    raise InputError("book", backend, _ACCEPTED)


def _file(path: Path) -> URL:
    """Return the URL of a file, if a book can be there."""
    if "\0" in str(path) or str(path) == ":memory:":
        raise InputError("book", ascii(str(path)), _ACCEPTED)
    whole = path.absolute()
    if whole.exists() and not whole.is_file():
        raise InputError("book", path, "must be a file; a folder or device has that name")
    return URL.create("sqlite+pysqlite", database=str(whole))


def file_of(url: URL) -> Path | None:
    """Return the file of a book, or None if it is on a server."""
    return Path(url.database) if url.get_backend_name() == "sqlite" and url.database else None


def shown(url: URL) -> str:
    """Return an address as people may see it: a file name, or a URL without its password."""
    file = file_of(url)
    return str(file) if file else url.render_as_string(hide_password=True)
