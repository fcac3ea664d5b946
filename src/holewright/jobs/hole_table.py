"""Reads a table of holes: a CSV file with their places and what is known of each."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

from holewright.callout.callout import HoleKind
from holewright.callout.found_hole import DOWN, FoundHole
from holewright.callout.notation import read_callout
from holewright.callout.pattern import FARTHEST, MOST_HOLES
from holewright.errors import InputError
from holewright.jobs.csv_rows import read_rows
from holewright.jobs.fields import (
    Fields,
    choice,
    length,
    optional,
    placed,
    refuse,
    required,
    text,
)
from holewright.units import Unit, read_length

COLUMNS = ("hole", "x", "y", "z", "diameter", "depth", "kind", "callout")
"""Columns by our names; x and y must be there, and diameter or callout."""

_UNIT_IN_NAME = re.compile(r"[\[(]\s*(?P<unit>mm|in|inch|\"|µm|um)\s*[\])]\s*$", re.IGNORECASE)
_LENGTHS = ("x", "y", "z", "diameter", "depth")
_KINDS = {"thru": HoleKind.THROUGH, "t": HoleKind.THROUGH, "b": HoleKind.BLIND}


def read_hole_table(
    path: str | Path,
    unit: Unit | None = None,
    *,
    columns: Mapping[str, str] | None = None,
) -> tuple[FoundHole, ...]:
    """Return the holes that a table lists, all drilled straight down.

    Parameters
    ----------
    path : str or Path
        A CSV file with a header.
    unit : Unit, optional
        What a bare length is in; without it every length must say.
    columns : mapping of str to str, optional
        Our name of a column -> its name in the file. A unit in brackets at the end of that,
        as in ``Pos X [mm]``, is the unit of the column. Where this is given, other columns of
        the file are left out.

    Returns
    -------
    tuple of FoundHole
        In the order of the file. [mm]

    Raises
    ------
    InputError
        If the file or a cell can't be read, with line and column.

    Examples
    --------
    A file such as::

        hole,x,y,diameter,depth,kind
        A1,10,12.5,8,22,through
    """
    path = Path(path)
    for name in columns or {}:
        if name not in COLUMNS:
            raise InputError("column", name, f"must be one of {', '.join(COLUMNS)}")
    renamed = None if columns is None else {theirs: ours for ours, theirs in columns.items()}
    rows, wrong = read_rows(path, "hole table", "hole", COLUMNS, unit, renamed=renamed)
    if wrong:
        raise wrong[0]
    if len(rows) > MOST_HOLES:
        raise InputError("hole table", path, f"must have at most {MOST_HOLES} holes")
    units = _units(columns or {})
    return tuple(_hole(row, number, units) for number, row in enumerate(rows, start=1))


def _units(columns: Mapping[str, str]) -> dict[str, str]:
    """Return the units that names of columns carry."""
    found = ((ours, _UNIT_IN_NAME.search(theirs)) for ours, theirs in columns.items())
    return {ours: match["unit"] for ours, match in found if match is not None}


def _hole(row: Fields, number: int, units: Mapping[str, str]) -> FoundHole:
    values = dict(row.values)
    for key in _LENGTHS:
        cell = str(values.get(key, ""))
        if key in units and re.fullmatch(r"[-+\d.,\s]+", cell):
            values[key] = f"{cell} {units[key]}"
    row = replace(row, values=values)
    x, y = (required(row, key, _coordinate, "12.5") for key in "xy")
    callout = optional(row, "callout", text, "")
    understood = None
    if callout:
        understood = placed(row, "callout", lambda w: read_callout(w, unit=row.unit))
    diameter = optional(row, "diameter", length, understood.nominal if understood else None)
    if diameter is None:
        refuse(row, "diameter", "must be there, or a callout, such as 8 or 8 H7")
    return FoundHole(
        name=optional(row, "hole", text, str(number)),
        entry=(x, y, optional(row, "z", _coordinate, 0.0)),
        direction=DOWN,
        diameter=diameter,
        depth=optional(row, "depth", length, understood.depth if understood else None),
        kind=optional(
            row, "kind", choice(HoleKind, _KINDS), understood.kind if understood else None
        ),
        callout=callout,
    )


def _coordinate(fields: Fields, key: str) -> float:
    value = placed(fields, key, lambda written: read_length(written, fields.unit, key))
    if abs(value) > FARTHEST:
        refuse(fields, key, f"must lie within {FARTHEST:.0f} mm of the zero")
    return value
