"""Reads what a person types of a reamer's teeth: their angles, and what an indicator said."""

from __future__ import annotations

import re
from itertools import pairwise

from holewright.errors import InputError, Where
from holewright.units import Unit, read_length, read_number

_PARTS = re.compile(r"[\s;]+")
_UNIT_BEHIND = re.compile(r"(?P<numbers>.*?[\d.])\s*(?P<unit>[^\d\s.;,+-].*)?", re.DOTALL)

_LARGEST_OFFSET = 0.2
"""Hole less reamer beyond which a slip is likelier. [mm]"""


def read_angles(text: str) -> tuple[float, ...]:
    """Return tooth angles from text such as ``0 57 123 180 237 303``.

    Parameters
    ----------
    text : str
        Angles in degrees, parted by blanks or semicolons.

    Returns
    -------
    tuple of float
        Angles as they were written. [deg]

    Raises
    ------
    InputError
        If one of them is no angle from 0 to under 360.

    Examples
    --------
    >>> read_angles("0 57 123.5")
    (0.0, 57.0, 123.5)
    """
    where = Where("option --spacing")
    angles = []
    for word in _words(text.replace("°", " ").replace("deg", " "), "spacing", where):
        angle = float(_number(word, "spacing", where))
        if not 0 <= angle < 360:
            raise InputError("spacing", word, "must be an angle from 0 to under 360 degrees", where)
        angles.append(angle)
    if any(b <= a for a, b in pairwise(angles)):
        raise InputError("spacing", text, "must rise from tooth to tooth", where)
    return tuple(angles)


def read_tooth_readings(text: str, unit: Unit | None = None) -> tuple[float, ...]:
    """Return indicator readings from text such as ``0 3 6 4 1 -2 µm``.

    Parameters
    ----------
    text : str
        One reading an edge in order of rotation, the unit behind the last.
    unit : Unit, optional
        What bare numbers are in.

    Returns
    -------
    tuple of float
        Readings. [mm]

    Raises
    ------
    InputError
        If one of them is no length, or no unit is given.

    Examples
    --------
    >>> [round(one, 6) for one in read_tooth_readings("0 3 -2 µm")]
    [0.0, 0.003, -0.002]
    """
    where = Where("option --teeth")
    match = _UNIT_BEHIND.fullmatch(text.strip())
    if match is None:
        raise InputError("teeth", text, 'must be readings such as "0 3 6 4 1 -2 µm"', where)
    behind = match["unit"] or ""
    try:
        return tuple(
            read_length(f"{word} {behind}".strip(), unit, "teeth")
            for word in _words(match["numbers"], "teeth", where)
        )
    except InputError as error:
        raise error.at(where) from None


def read_offset(text: str, unit: Unit | None = None) -> float:
    """Return hole less reamer from text such as ``-2 µm``. [mm]

    Raises
    ------
    InputError
        If it is no length, or so large that it can't be meant.
    """
    where = Where("option --offset")
    try:
        offset = read_length(text, unit, "offset")
    except InputError as error:
        raise error.at(where) from None
    if not abs(offset) <= _LARGEST_OFFSET:
        raise InputError("offset", text, "must be a small length such as -2 µm", where)
    return offset


def _words(text: str, field: str, where: Where) -> list[str]:
    words = [word.rstrip(",") for word in _PARTS.split(text.strip()) if word.strip(",")]
    if len(words) < 3:
        raise InputError(field, text, "must have one number a tooth, 3 or more", where)
    return words


def _number(word: str, field: str, where: Where) -> float:
    try:
        return float(read_number(word, field))
    except InputError as error:
        raise error.at(where) from None
