"""Reads where the holes of one part are: a list, a rectangle, a grid or a bolt circle."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from typing import Any

from holewright.errors import InputError
from holewright.jobs.fields import (
    Fields,
    number,
    optional,
    placed,
    refuse,
    refuse_unknown,
)
from holewright.units import read_length, read_number

Holes = tuple[tuple[float, float], ...]

PATTERN_KEYS = ("at", "rectangle", "grid", "bolt_circle", "start_deg", "origin")
_KINDS = ("at", "rectangle", "grid", "bolt_circle")
_MOST_HOLES = 5000
_FARTHEST = 10_000.0
"""No hole lies further from the zero of its part. [mm]"""

_UNIT = r"\s*(?P<unit>mm|in|inch|inches|\")?"
_LENGTH = r"\d*[.,]?\d+"
_BY = r"\s*[x×*]\s*"
_RECTANGLE = re.compile(rf"(?P<a>{_LENGTH}){_BY}(?P<b>{_LENGTH}){_UNIT}", re.IGNORECASE)
_GRID = re.compile(
    rf"(?P<columns>\d+){_BY}(?P<rows>\d+)(?:,\s+|;\s*|\s+at\s+|\s*@\s*)"
    rf"(?P<a>{_LENGTH}){_BY}(?P<b>{_LENGTH}){_UNIT}",
    re.IGNORECASE,
)
_CIRCLE = re.compile(rf"(?P<count>\d+)\s*on\s*[øØ]?\s*(?P<a>{_LENGTH}){_UNIT}", re.IGNORECASE)


def read_pattern(fields: Fields, nominal: float) -> Holes:
    """Return the hole centres of one part, from its zero. [mm]

    A rectangle and a grid start with their first hole at the zero and go along x first; a
    bolt circle has its centre there. ``origin`` shifts them.

    Parameters
    ----------
    fields : Fields
        The table ``[pattern]``; its unit is that of the print.
    nominal : float
        Nominal diameter: no two holes may overlap. [mm]

    Raises
    ------
    InputError
        If the pattern can't be read, or two holes overlap.
    """
    refuse_unknown(fields, PATTERN_KEYS)
    given = [key for key in _KINDS if key in fields.values]
    if len(given) != 1:
        raise InputError(
            "pattern",
            " and ".join(given) or "empty",
            f"must say one of {', '.join(_KINDS)}",
            fields.place(given[1] if given else "at"),
        )
    kind = given[0]
    if "start_deg" in fields.values and kind != "bolt_circle":
        refuse(fields, "start_deg", "goes with bolt_circle only")
    x0, y0 = optional(fields, "origin", _origin, (0.0, 0.0))
    read = {"at": _at, "rectangle": _rectangle, "grid": _grid, "bolt_circle": _bolt_circle}
    holes = tuple((x + x0, y + y0) for x, y in read[kind](fields, kind))
    if any(abs(value) > _FARTHEST for hole in holes for value in hole):
        refuse(fields, kind, f"must keep the holes within {_FARTHEST:.0f} mm of the zero")
    _check_apart(fields, kind, holes, nominal)
    return holes


def _origin(fields: Fields, key: str) -> tuple[float, float]:
    return _point(fields, key, fields.values[key])


def _point(fields: Fields, key: str, pair: Any) -> tuple[float, float]:
    if not isinstance(pair, list) or len(pair) != 2:
        refuse(fields, key, "must have two numbers for each hole, such as [[0, 0], [60, 0]]")
    x, y = (_coordinate(fields, key, value) for value in pair)
    return x, y


def _coordinate(fields: Fields, key: str, value: Any) -> float:
    one = replace(fields, values={key: value})
    return placed(one, key, lambda written: read_length(written, fields.unit, key))


def _at(fields: Fields, key: str) -> Holes:
    value = fields.values[key]
    if not isinstance(value, list) or not 0 < len(value) <= _MOST_HOLES:
        refuse(fields, key, f"must be a list of 1 to {_MOST_HOLES} holes: [[0, 0], [60, 0]]")
    return tuple(_point(fields, key, pair) for pair in value)


def _matched(fields: Fields, key: str, form: re.Pattern[str], example: str) -> dict[str, str]:
    written = fields.values[key]
    match = form.fullmatch(written.strip()) if isinstance(written, str) else None
    if match is None:
        refuse(fields, key, f'must be such as "{example}"')
    return match.groupdict(default="")


def _lengths(fields: Fields, key: str, found: dict[str, str], names: str) -> list[float]:
    """Return lengths that share the unit written behind the last."""
    lengths = [
        read_length(f"{found[name]} {found['unit']}".strip(), fields.unit, key) for name in names
    ]
    if not all(length > 0 for length in lengths):
        refuse(fields, key, "must have lengths of more than 0")
    return lengths


def _rectangle(fields: Fields, key: str) -> Holes:
    found = _matched(fields, key, _RECTANGLE, "60 x 44")
    a, b = _lengths(fields, key, found, "ab")
    return (0.0, 0.0), (a, 0.0), (a, b), (0.0, b)


def _grid(fields: Fields, key: str) -> Holes:
    found = _matched(fields, key, _GRID, "4 x 3, 20 x 15")
    columns = _count(fields, key, found["columns"])
    rows = _count(fields, key, found["rows"])
    if columns * rows > _MOST_HOLES:
        refuse(fields, key, f"must have at most {_MOST_HOLES} holes")
    a, b = _lengths(fields, key, found, "ab")
    return tuple((i * a, j * b) for j in range(rows) for i in range(columns))


def _bolt_circle(fields: Fields, key: str) -> Holes:
    found = _matched(fields, key, _CIRCLE, "6 on 50")
    count = _count(fields, key, found["count"])
    (diameter,) = _lengths(fields, key, found, "a")
    start = optional(fields, "start_deg", number, 0.0)
    angles = [math.radians(start + 360 * i / count) for i in range(count)]
    return tuple(
        (round(diameter / 2 * math.cos(angle), 6), round(diameter / 2 * math.sin(angle), 6))
        for angle in angles
    )


def _count(fields: Fields, key: str, written: str) -> int:
    count = read_number(written, key)
    if not 1 <= count <= _MOST_HOLES:
        refuse(fields, key, f"must have from 1 to {_MOST_HOLES} holes")
    return int(count)


def _check_apart(fields: Fields, key: str, holes: Holes, nominal: float) -> None:
    """Refuse two holes nearer than a diameter. Sorted by x, only near ones are compared."""
    order = sorted(range(len(holes)), key=lambda i: holes[i])
    for place, i in enumerate(order):
        for j in order[place + 1 :]:
            if holes[j][0] - holes[i][0] >= nominal:
                break
            if math.dist(holes[i], holes[j]) < nominal:
                first, second = sorted((i + 1, j + 1))
                refuse(
                    fields,
                    key,
                    f"must keep holes apart: holes {first} and {second} overlap, their centres "
                    f"are {math.dist(holes[i], holes[j]):.4g} mm apart",
                )
