"""Files that are written whole or not at all."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO
from uuid import uuid4

from sqlalchemy import URL

from holewright.errors import InputError
from holewright.records.address import file_of


@contextmanager
def new_file(
    path: Path, book: URL, *, force: bool = False, check: Callable[[Path], object] | None = None
) -> Iterator[IO[bytes]]:
    """Return a file to write; it gets its name when the block ends without an error.

    Parameters
    ----------
    path : Path
        Name of the file.
    book : URL
        Address of the book, whose own files are never overwritten.
    force : bool
        Whether another file of that name may be overwritten.
    check : callable, optional
        Reads the written file and raises an error if something is wrong with it.

    Raises
    ------
    InputError
        If the name can't be used.
    """
    own = file_of(book)
    if "\0" in str(path):
        raise InputError("file", ascii(str(path)), "must be a file name")
    if own is not None and path.resolve() in {
        own.with_name(own.name + ending).resolve() for ending in ("", "-wal", "-shm", "-journal")
    }:
        raise InputError("file", path, "is the record book itself; choose another name")
    if path.exists() and not (force and path.is_file()):
        raise InputError("file", path, "is there already; choose another name or add --force")
    if not path.parent.is_dir():
        raise InputError("file", path, "must be in a folder that is there")
    part = path.with_name(f".{uuid4().hex}.part")
    try:
        with part.open("x+b") as file:
            yield file
            file.flush()
            os.fsync(file.fileno())
        if check is not None:
            check(part)
        part.replace(path)
    finally:
        part.unlink(missing_ok=True)
