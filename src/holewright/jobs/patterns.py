"""Reads the table [pattern] of a job file: where the holes of one part are."""

from __future__ import annotations

import math
from dataclasses import replace
from decimal import Decimal
from typing import Any

from holewright.callout.pattern import (
    FARTHEST,
    MOST_HOLES,
    PATTERNS,
    Holes,
    overlapping,
    read_pattern,
)
from holewright.errors import InputError
from holewright.jobs.fields import Fields, optional, placed, refuse, refuse_unknown
from holewright.units import read_length, read_number

PATTERN_KEYS = ("at", "rectangle", "grid", "row", "bolt_circle", "words", "start_deg", "origin")
_KINDS = PATTERN_KEYS[:6]


def read_job_pattern(fields: Fields, nominal: float) -> Holes:
    """Return the hole centres of one part, from its zero. [mm]

    A rectangle, a row and a grid start with their first hole at the zero and go along x
    first; a bolt circle has its centre there. ``origin`` shifts them.

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
    found = _at(fields, kind) if kind == "at" else _in_words(fields, kind)
    holes = tuple((x + x0, y + y0) for x, y in found)
    if any(abs(value) > FARTHEST for hole in holes for value in hole):
        refuse(fields, kind, f"must keep the holes within {FARTHEST:.0f} mm of the zero")
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
    if not isinstance(value, list) or not 0 < len(value) <= MOST_HOLES:
        refuse(fields, key, f"must be a list of 1 to {MOST_HOLES} holes: [[0, 0], [60, 0]]")
    return tuple(_point(fields, key, pair) for pair in value)


def _in_words(fields: Fields, key: str) -> Holes:
    if key == "words":
        return placed(fields, key, lambda written: read_pattern(written, fields.unit, key))
    kind = key.replace("_", " ")
    start = ""
    if "start_deg" in fields.values:
        start = f" from {placed(fields, 'start_deg', _degrees):f} deg"
    return placed(fields, key, lambda written: PATTERNS[kind](written + start, fields.unit, key))


def _degrees(written: str) -> Decimal:
    return read_number(written, "start_deg")


def _check_apart(fields: Fields, key: str, holes: Holes, nominal: float) -> None:
    pair = overlapping(holes, nominal)
    if pair is not None:
        first, second = pair
        apart = math.dist(holes[first], holes[second])
        refuse(
            fields,
            key,
            f"must keep holes apart: holes {first + 1} and {second + 1} overlap, their centres "
            f"are {apart:.4g} mm apart",
        )
