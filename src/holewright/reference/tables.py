"""Loads a published table from the package and checks its columns and sources."""

from __future__ import annotations

import csv
import hashlib
import tomllib
from collections.abc import Mapping, Sequence
from functools import cache
from importlib import resources

from holewright.errors import InputError, Where

Row = Mapping[str, str]


@cache
def sources() -> Mapping[str, Mapping[str, str]]:
    """Return all sources: key -> title, kind and, where known, edition, clause or page."""
    text = resources.files("holewright.reference").joinpath("sources.toml").read_text("utf-8")
    return tomllib.loads(text)


def cite(key: str) -> str:
    """Return a source in words.

    Raises
    ------
    InputError
        If there is no such key in ``sources.toml``.
    """
    if key not in sources():
        raise InputError("source", key, "must be a key of reference/sources.toml")
    entry = sources()[key]
    return ", ".join(entry[part] for part in ("title", "edition", "place") if entry.get(part))


@cache
def table(name: str, columns: tuple[str, ...]) -> Sequence[Row]:
    """Return the rows of ``reference/NAME.csv``.

    Parameters
    ----------
    name : str
        File name without its ending.
    columns : tuple of str
        Columns that must be there; a column ``source`` must be among those of the file, and
        each of its cells a key of ``sources.toml``.

    Returns
    -------
    sequence of mapping
        One mapping a row, column -> text as printed. Callers convert.

    Raises
    ------
    InputError
        If a column is missing or a source key unknown: a fault of the package.
    """
    file = f"{name}.csv"
    text = resources.files("holewright.reference").joinpath(file).read_text("utf-8")
    rows = list(csv.DictReader(text.splitlines()))
    have = set(rows[0]) if rows else set()
    missing = {*columns, "source"} - have
    if missing:
        raise InputError("columns", ", ".join(sorted(missing)), "must be there", Where(file))
    for line, row in enumerate(rows, start=2):
        if row["source"] not in sources():
            raise InputError(
                "source",
                row["source"],
                "must be a key of reference/sources.toml",
                Where(file, line, "source"),
            )
    return rows


@cache
def data_version() -> str:
    """Return a short name of the data set: it changes when any table or source does."""
    total = hashlib.sha256()
    room = resources.files("holewright.reference")
    for entry in sorted(room.iterdir(), key=lambda item: item.name):
        if entry.name.endswith((".csv", ".toml")):
            total.update(entry.name.encode())
            total.update(entry.read_bytes().replace(b"\r\n", b"\n"))
    return total.hexdigest()[:8]
