"""Reads a text file that a person wrote, whatever program saved it."""

from __future__ import annotations

from pathlib import Path

from holewright.errors import InputError

_LARGEST = 50_000_000
"""A file of more than this is not something a person wrote. [byte]"""


def read_text(path: Path, what: str, *, fallback: str | None = None) -> str:
    """Return the text of a file, without a byte-order mark.

    Parameters
    ----------
    path : Path
        The file.
    what : str
        What it is, for an error: ``job file``.
    fallback : str, optional
        Encoding to try where the bytes are not UTF-8.

    Raises
    ------
    InputError
        If there is no such file, it can't be opened, is too large, or is not text.
    """
    raw = read_bytes(path, what)
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError:
        if fallback is not None:
            return raw.decode(fallback, errors="replace")
    raise InputError(what, path, "must be text in UTF-8; save it again as UTF-8")


def read_bytes(path: Path, what: str) -> bytes:
    """Return what a file holds.

    Parameters
    ----------
    path : Path
        The file.
    what : str
        What it is, for an error: ``job file``.

    Raises
    ------
    InputError
        If there is no such file, it can't be opened, or is too large.
    """
    try:
        if path.stat().st_size > _LARGEST:
            raise InputError(what, path, f"must be a file of less than {_LARGEST:,} bytes")
        return path.read_bytes()
    except FileNotFoundError:
        raise InputError(what, path, "must be a file; there is none of that name") from None
    except (OSError, ValueError) as error:
        said = getattr(error, "strerror", None) or str(error)
        raise InputError(what, path, f"must be a file that can be read: {said}") from None
