"""Reads the CSV file of a gauge study; its columns say which study it is.

part,operator,size            the same parts read by several people, several times
part,operator,answer[,truth]  the same parts judged good or bad
master,size                   a master of known size read again and again
hole,pin,result               a pin of known size tried in holes of known size
difference,goes,tries         the same, counted: hole less pin, how often it went
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TypeAlias, TypeVar

from holewright.errors import InputError, Where
from holewright.jobs.csv_rows import read_rows
from holewright.jobs.fields import Fields, length, number, optional, placed, refuse, required, text
from holewright.jobs.tool_rows import read_unit
from holewright.units import Unit, read_length

T = TypeVar("T")

COLUMNS = {
    "repeatability": ("part", "operator", "size", "trial", "unit"),
    "agreement": ("part", "operator", "answer", "truth", "trial"),
    "bias": ("master", "size", "operator", "trial", "unit"),
    "feel": ("hole", "pin", "difference", "result", "goes", "tries", "operator", "trial", "unit"),
}
"""Study -> its columns; the first ones tell it from the others."""
_TELLING = (("answer", "agreement"), ("master", "bias"), ("difference", "feel"), ("hole", "feel"))
_KINDS = "part,operator,size; part,operator,answer; master,size; hole,pin,result"

_FAMILIES = (
    (("good", "pass", "ok", "accept", "inside"), ("bad", "fail", "not ok", "reject", "outside")),
    (("goes", "go", "yes"), ("does not go", "no go", "nogo", "not", "no")),
)
"""Words for the two answers; one file keeps to one family."""


@dataclass(frozen=True)
class GaugeReadings:
    """Readings of the same parts by several people; a row each. [mm]"""

    part: tuple[str, ...]
    operator: tuple[str, ...]
    size: tuple[float, ...]
    unit: Unit = Unit.MM


@dataclass(frozen=True)
class Judgements:
    """Judgements of the same parts; a row each.

    Parameters
    ----------
    part, operator : tuple of str
        Which part, and who judged it.
    answer : tuple of bool
        Whether it was called good (or the pin was said to go).
    truth : tuple of bool, optional
        Whether it is; None where the file doesn't say.
    words : tuple of (str, str)
        The file's words for yes and no.
    """

    part: tuple[str, ...]
    operator: tuple[str, ...]
    answer: tuple[bool, ...]
    truth: tuple[bool, ...] | None
    words: tuple[str, str]


@dataclass(frozen=True)
class MasterReadings:
    """Readings of masters of known size; a row each. [mm]"""

    master: tuple[float, ...]
    size: tuple[float, ...]
    unit: Unit = Unit.MM


@dataclass(frozen=True)
class Tries:
    """Tries of pins in holes, both of known size; a row each.

    Parameters
    ----------
    difference : tuple of float
        Hole less pin. [mm]
    goes, tries : tuple of int
        How often the pin was said to go, of how many tries. [-]
    """

    difference: tuple[float, ...]
    goes: tuple[int, ...]
    tries: tuple[int, ...]
    unit: Unit = Unit.MM


Study: TypeAlias = GaugeReadings | Judgements | MasterReadings | Tries


def read_study(path: str | Path, unit: Unit | None = None) -> Study:
    """Return the study that a CSV file holds.

    Parameters
    ----------
    path : str or Path
        The file. Commas, semicolons or tabs between the cells; # begins a comment.
    unit : Unit, optional
        Unit of lengths that don't say theirs; a column ``unit`` may say it instead.

    Returns
    -------
    GaugeReadings, Judgements, MasterReadings or Tries
        By its columns.

    Raises
    ------
    InputError
        If the file can't be read, its columns are those of no study, or a cell can't be used,
        with line and column.
    """
    path = Path(path)
    every = tuple(dict.fromkeys(name for columns in COLUMNS.values() for name in columns))
    rows, wrong = read_rows(path, "study", "row", every, unit)
    if wrong:
        raise wrong[0]
    if not rows:
        raise InputError("study", path, "must have a row below its header", Where(str(path)))
    kind = _kind(rows, path)
    for row in rows:
        for column in row.values:
            if column not in COLUMNS[kind]:
                raise InputError(
                    "column",
                    column,
                    f"is not one of a study of {kind}: {', '.join(COLUMNS[kind])}",
                    row.place(column),
                )
    return _READERS[kind](rows)


def _kind(rows: list[Fields], path: Path) -> str:
    """Return which study the columns are of."""
    used = {column for row in rows for column in row.values}
    for column, kind in _TELLING:
        if column in used:
            return kind
    if "size" in used:
        return "repeatability"
    raise InputError(
        "columns", ",".join(sorted(used)), f"must be those of a study: {_KINDS}", Where(str(path))
    )


def _repeatability(rows: list[Fields]) -> GaugeReadings:
    return GaugeReadings(
        _column(rows, "part", text, "1"),
        _column(rows, "operator", text, "A"),
        _column(rows, "size", _signed, "8.004 mm"),
        _unit_written(rows),
    )


def _agreement(rows: list[Fields]) -> Judgements:
    family = _family(rows)
    told = ["truth" in row.values for row in rows]
    if any(told) and not all(told):
        refuse(rows[told.index(False)], "truth", "must be there in every row or in none")
    return Judgements(
        _column(rows, "part", text, "1"),
        _column(rows, "operator", text, "A"),
        _column(rows, "answer", _yes_of(family), "good"),
        _column(rows, "truth", _yes_of(family), "good") if all(told) else None,
        (family[0][0], family[1][0]),
    )


def _bias(rows: list[Fields]) -> MasterReadings:
    return MasterReadings(
        _column(rows, "master", length, "8.0002 mm"),
        _column(rows, "size", length, "8.001 mm"),
        _unit_written(rows),
    )


def _feel(rows: list[Fields]) -> Tries:
    goes, tries = zip(*(_count(row) for row in rows), strict=True)
    differences = tuple(_difference(read_unit(row)) for row in rows)
    return Tries(differences, goes, tries, _unit_written(rows))


_READERS: dict[str, Callable[[list[Fields]], Study]] = {
    "repeatability": _repeatability,
    "agreement": _agreement,
    "bias": _bias,
    "feel": _feel,
}


def _column(
    rows: list[Fields], key: str, reader: Callable[[Fields, str], T], example: str
) -> tuple[T, ...]:
    return tuple(required(read_unit(row), key, reader, example) for row in rows)


def _unit_written(rows: list[Fields]) -> Unit:
    """Return the unit of the file, to answer in: that of its first row."""
    return read_unit(rows[0]).unit or Unit.MM


def _signed(fields: Fields, key: str) -> float:
    """Return a length of either sign: a size, or how far it is from the nominal. [mm]"""
    return placed(fields, key, lambda written: read_length(written, fields.unit, key))


def _difference(row: Fields) -> float:
    if "difference" in row.values:
        for key in ("hole", "pin"):
            if key in row.values:
                refuse(row, key, "says the same as difference; fill in one or the other")
        return _signed(row, "difference")
    return required(row, "hole", length, "8.004 mm") - required(row, "pin", length, "8.002 mm")


def _count(row: Fields) -> tuple[int, int]:
    """Return how often a pin went, and of how many tries."""
    if "result" in row.values:
        return int(_yes_of(_FAMILIES[1])(row, "result")), 1
    goes = required(row, "goes", _whole_or_zero, "12")
    tries = optional(row, "tries", _whole_or_zero, 0) or refuse(
        row, "tries", "must be there beside goes: how often it was tried"
    )
    if goes > tries:
        refuse(row, "goes", f"must not be more than the {tries} tries")
    return goes, tries


def _whole_or_zero(fields: Fields, key: str) -> int:
    value = number(fields, key)
    if value != int(value):
        refuse(fields, key, "must be a whole number, 0 or more")
    return int(value)


def _family(rows: list[Fields]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Return the words that the first answer belongs to."""
    word = _word(rows[0], "answer") if "answer" in rows[0].values else ""
    for family in _FAMILIES:
        if word in family[0] or word in family[1]:
            return family
    return _FAMILIES[0]


def _word(row: Fields, key: str) -> str:
    return " ".join(text(row, key).lower().replace("_", " ").replace("-", " ").split())


def _yes_of(family: tuple[tuple[str, ...], tuple[str, ...]]) -> Callable[[Fields, str], bool]:
    def read(row: Fields, key: str) -> bool:
        word = _word(row, key)
        if word not in (*family[0], *family[1]):
            refuse(row, key, f"must be {family[0][0]} or {family[1][0]}")
        return word in family[0]

    return read
