"""Where the holes of one part are, in words: row, grid, rectangle, bolt circle.

=====================================  ====================================================
``rectangle 60 x 44``                  four holes, round from the first
``grid 5 x 12 at 10 mm``               5 along X by 12 along Y, a pitch of 10 mm both ways
``grid 4 x 3 at 20 x 15``              a pitch for each way; ``,`` or ``@`` stand for ``at``
``row of 6 at 12``                     along X; ``row of 6 at 12 along y``, ``… at 30 deg``
``bolt circle 6 on 60 from 30 deg``    about the zero, the first hole at 30° from X
=====================================  ====================================================
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Sequence

from holewright.errors import InputError
from holewright.units import Unit, read_length, read_number

Holes = tuple[tuple[float, float], ...]
"""Hole centres from the zero of the part. [mm]"""

MOST_HOLES = 5000
"""No part that this is meant for has more holes in one pattern. [-]"""
FARTHEST = 10_000.0
"""No hole lies further from the zero of its part. [mm]"""

_UNIT = r"\s*(?P<unit>mm|in|inch|inches|\")?"
_LENGTH = r"\d*[.,]?\d+"
_ANGLE = r"[+-]?\d*[.,]?\d+"
_DEGREES = r"\s*(?:deg(?:rees?)?|°)?"
_BY = r"\s*[x×*]\s*"
_RECTANGLE = re.compile(rf"(?P<a>{_LENGTH}){_BY}(?P<b>{_LENGTH}){_UNIT}", re.IGNORECASE)
_GRID = re.compile(
    rf"(?P<columns>\d+){_BY}(?P<rows>\d+)(?:,\s+|;\s*|\s+at\s+|\s*@\s*)"
    rf"(?P<a>{_LENGTH})(?:{_BY}(?P<b>{_LENGTH}))?{_UNIT}",
    re.IGNORECASE,
)
_ROW = re.compile(
    rf"(?:of\s+)?(?P<count>\d+)(?:,\s+|;\s*|\s+at\s+|\s*@\s*)(?P<a>{_LENGTH}){_UNIT}"
    rf"(?:\s+along\s+(?P<axis>[xy])|\s+(?:at|from|along)\s+(?P<angle>{_ANGLE}){_DEGREES})?",
    re.IGNORECASE,
)
_CIRCLE = re.compile(
    rf"(?P<count>\d+)\s*on\s*[øØ]?\s*(?P<a>{_LENGTH}){_UNIT}"
    rf"(?:\s+(?:from|at)\s+(?P<angle>{_ANGLE}){_DEGREES})?",
    re.IGNORECASE,
)
_WORDS = re.compile(r"\s*(?P<kind>rectangle|grid|row|bolt[\s_-]*circle)\s+(?P<rest>.+?)\s*", re.I)


def read_pattern(text: str, unit: Unit | None = None, field: str = "pattern") -> Holes:
    """Return the hole centres that a pattern in words means. [mm]

    Parameters
    ----------
    text : str
        A pattern as in the table above.
    unit : Unit, optional
        What a bare length is in. A unit in the text wins.
    field : str
        Name to use in an error.

    Returns
    -------
    tuple of (float, float)
        In the order in which the words name them, from the first hole of a row, grid or
        rectangle, and from the centre of a bolt circle. [mm]

    Raises
    ------
    InputError
        If the words aren't understood, or mean more than 5000 holes.

    Examples
    --------
    >>> read_pattern("row of 3 at 12 mm")
    ((0.0, 0.0), (12.0, 0.0), (24.0, 0.0))
    >>> len(read_pattern("grid 5 x 12 at 10", Unit.MM))
    60
    """
    match = _WORDS.fullmatch(text)
    if match is None:
        raise InputError(
            field,
            text,
            'must begin with grid, row, rectangle or bolt circle, such as "row of 6 at 12"',
        )
    kind = "bolt circle" if match["kind"].lower().startswith("bolt") else match["kind"].lower()
    return PATTERNS[kind](match["rest"], unit, field)


def rectangle(text: str, unit: Unit | None = None, field: str = "rectangle") -> Holes:
    """Return the corners of a rectangle such as ``60 x 44``, round from its first. [mm]

    Raises
    ------
    InputError
        If it isn't understood.
    """
    found = _matched(text, field, _RECTANGLE, "60 x 44")
    a, b = _lengths(text, found, "ab", unit, field)
    return (0.0, 0.0), (a, 0.0), (a, b), (0.0, b)


def grid(text: str, unit: Unit | None = None, field: str = "grid") -> Holes:
    """Return the holes of a grid such as ``4 x 3, 20 x 15``, along X first. [mm]

    Raises
    ------
    InputError
        If it isn't understood, or has no hole or too many.
    """
    found = _matched(text, field, _GRID, "4 x 3, 20 x 15")
    columns, rows = (_count(text, found[name], field) for name in ("columns", "rows"))
    if columns * rows > MOST_HOLES:
        raise InputError(field, text, f"must have at most {MOST_HOLES} holes")
    a, b = _lengths(text, found, "ab" if found["b"] else "aa", unit, field)
    return tuple((i * a, j * b) for j in range(rows) for i in range(columns))


def row(text: str, unit: Unit | None = None, field: str = "row") -> Holes:
    """Return the holes of a row such as ``6 at 12`` or ``6 at 12 along y``. [mm]

    Raises
    ------
    InputError
        If it isn't understood, or has no hole or too many.
    """
    found = _matched(text, field, _ROW, "6 at 12")
    count = _count(text, found["count"], field)
    (pitch,) = _lengths(text, found, "a", unit, field)
    degrees = 90.0 if found["axis"].lower() == "y" else _angle(found["angle"], field)
    return tuple(_polar(i * pitch, degrees) for i in range(count))


def bolt_circle(text: str, unit: Unit | None = None, field: str = "bolt circle") -> Holes:
    """Return the holes of a bolt circle such as ``6 on 50 from 30 deg`` about the zero. [mm]

    Raises
    ------
    InputError
        If it isn't understood, or has no hole or too many.
    """
    found = _matched(text, field, _CIRCLE, "6 on 50")
    count = _count(text, found["count"], field)
    (diameter,) = _lengths(text, found, "a", unit, field)
    start = _angle(found["angle"], field)
    return tuple(_polar(diameter / 2, start + 360 * i / count) for i in range(count))


PATTERNS: dict[str, Callable[[str, Unit | None, str], Holes]] = {
    "rectangle": rectangle,
    "grid": grid,
    "row": row,
    "bolt circle": bolt_circle,
}
"""How each kind of pattern is read."""


def overlapping(holes: Sequence[tuple[float, float]], diameter: float) -> tuple[int, int] | None:
    """Return the indices of the first two holes found nearer than a diameter, or None.

    Parameters
    ----------
    holes : sequence of (float, float)
        Hole centres. [mm]
    diameter : float
        Their diameter. [mm]

    Examples
    --------
    >>> overlapping([(0, 0), (20, 0), (7.9, 0)], 8.0)
    (0, 2)
    """
    # Sorted by x, only near ones are compared.
    order = sorted(range(len(holes)), key=lambda i: holes[i])
    for place, i in enumerate(order):
        for j in order[place + 1 :]:
            if holes[j][0] - holes[i][0] >= diameter:
                break
            if math.dist(holes[i], holes[j]) < diameter:
                return min(i, j), max(i, j)
    return None


def _polar(radius: float, degrees: float) -> tuple[float, float]:
    angle = math.radians(degrees)
    # A micrometre of a micrometre: so that cos 90° leaves no 1e-15 in a program or a test.
    return round(radius * math.cos(angle), 6) + 0.0, round(radius * math.sin(angle), 6) + 0.0


def _matched(text: str, field: str, form: re.Pattern[str], example: str) -> dict[str, str]:
    match = form.fullmatch(text.strip())
    if match is None:
        raise InputError(field, text, f'must be such as "{example}"')
    return match.groupdict(default="")


def _lengths(
    text: str, found: dict[str, str], names: str, unit: Unit | None, field: str
) -> list[float]:
    """Return lengths that share the unit written behind the last."""
    lengths = [read_length(f"{found[name]} {found['unit']}".strip(), unit, field) for name in names]
    if not all(length > 0 for length in lengths):
        raise InputError(field, text, "must have lengths of more than 0")
    return lengths


def _count(text: str, written: str, field: str) -> int:
    count = read_number(written, field)
    if not 1 <= count <= MOST_HOLES:
        raise InputError(field, text, f"must have from 1 to {MOST_HOLES} holes")
    return int(count)


def _angle(written: str, field: str) -> float:
    return float(read_number(written, field)) if written else 0.0
