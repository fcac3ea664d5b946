"""Reads a CSV file into rows of named cells, whatever program saved it.

Commas, semicolons or tabs between the cells; a decimal comma where it is not the
separator; a byte-order mark; lines that start with # are comments.
"""

from __future__ import annotations

import csv
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

from holewright.errors import InputError, Where
from holewright.jobs.fields import Fields, nearest
from holewright.jobs.text_files import read_text
from holewright.units import Unit


def read_rows(
    path: Path,
    what: str,
    name: str,
    columns: Sequence[str],
    unit: Unit | None = None,
    *,
    renamed: Mapping[str, str] | None = None,
) -> tuple[list[Fields], list[InputError]]:
    """Return the rows of a CSV file, and what is wrong with the rows that have no right shape.

    Parameters
    ----------
    path : Path
        The file.
    what : str
        What it is, for an error: ``readings``.
    name : str
        What a row describes: ``reading``.
    columns : sequence of str
        Columns that are known. Case, spaces and hyphens in the header don't matter.
    unit : Unit, optional
        What a bare length is in.
    renamed : mapping, optional
        Column as the file calls it -> column that is known. Columns that are neither known
        nor named here are then left out.

    Raises
    ------
    InputError
        If the file can't be read, is empty, or its header has unknown or doubled columns.
    """
    source = str(path)
    numbered, separator = _lines(path, what, columns)
    cells = _cells(numbered, separator, source)
    header_line, header = cells[0]
    names = _header(header, columns, renamed, Where(source, header_line))
    if len(cells) == 1:
        raise InputError(
            what, source, f"must have a row for each {name} below its header", Where(source)
        )
    rows: list[Fields] = []
    wrong: list[InputError] = []
    for number, row in cells[1:]:
        if any(cell.strip() for cell in row[len(names) :]):
            wrong.append(_too_long(row, names, separator, Where(source, number)))
            continue
        values = {
            key: cell.strip() for key, cell in zip(names, row, strict=False) if key and cell.strip()
        }
        if values:
            rows.append(Fields(name, values, _placing(source, number), unit))
    return rows, wrong


def read_header(path: Path, what: str, columns: Sequence[str]) -> tuple[list[str], str]:
    """Return the columns of a CSV file in their order, and what stands between its cells.

    Parameters
    ----------
    path : Path
        The file.
    what : str
        What it is, for an error.
    columns : sequence of str
        Columns that are known.

    Raises
    ------
    InputError
        If the file can't be read, is empty, or its header has unknown or doubled columns.
    """
    numbered, separator = _lines(path, what, columns)
    (line, header), *_ = _cells(numbered[:1], separator, str(path))
    return _header(header, columns, None, Where(str(path), line)), separator


def _lines(path: Path, what: str, columns: Sequence[str]) -> tuple[list[tuple[int, str]], str]:
    """Return the lines that are no comments, with their numbers, and the separator."""
    text = read_text(path, what, fallback="cp1252")
    numbered = [
        (number, line)
        for number, line in enumerate(text.splitlines(), start=1)
        if line.strip() and not line.lstrip().startswith("#")
    ]
    if not numbered:
        raise InputError(what, path, f"must not be empty; the header is {','.join(columns)}")
    return numbered, max(";\t,", key=numbered[0][1].count)


def _placing(source: str, line: int) -> Callable[[str], Where]:
    return lambda key: Where(source, line, key)


def _cells(
    numbered: list[tuple[int, str]], separator: str, source: str
) -> list[tuple[int, list[str]]]:
    """Return the cells of each line with its number. A cell can't run over a line end."""
    found = []
    for number, line in numbered:
        try:
            found.append((number, next(csv.reader([line], delimiter=separator))))
        except csv.Error as error:
            raise InputError(
                "row", line[:40], f"must be cells of text: {error}", Where(source, number)
            ) from None
    return found


def _spelt(name: str) -> str:
    """Return the name of a column without its case, spaces and hyphens."""
    return "_".join(name.strip().lower().replace("-", " ").split())


def _header(
    cells: list[str], columns: Sequence[str], renamed: Mapping[str, str] | None, where: Where
) -> list[str]:
    known = {column.lower(): column for column in columns}
    ours = {_spelt(theirs): column for theirs, column in (renamed or {}).items()}
    spelt = [_spelt(cell) for cell in cells]
    for theirs in renamed or {}:
        if _spelt(theirs) not in spelt:
            raise InputError(
                "column", theirs, f"is not in the file; {nearest(theirs, cells)}", where
            )
    names: list[str] = []
    for cell, key in zip(cells, spelt, strict=True):
        if not key and not names:
            raise InputError("column", "blank", f"must be one of {', '.join(columns)}", where)
        if key and key not in known and renamed is None:
            raise InputError(
                "column", cell.strip(), f"is not known; {nearest(key, columns)}", where
            )
        names.append(ours.get(key) or known.get(key, ""))
    doubled = [name for name, count in Counter(names).items() if name and count > 1]
    if doubled:
        raise InputError("column", doubled[0], "must stand in the header once", where)
    return names


def _too_long(row: list[str], names: list[str], separator: str, where: Where) -> InputError:
    advice = "; write a decimal point, or ; between the cells" if separator == "," else ""
    return InputError(
        "row",
        separator.join(row),
        f"must not have more cells ({len(row)}) than the header ({len(names)}){advice}",
        where,
    )
