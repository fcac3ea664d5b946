"""Reads a hardness or a strength and turns it into Brinell hardness."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from holewright.errors import AmbiguousError, InputError, OutOfRangeError
from holewright.reference.tables import table
from holewright.uncertainty import Known, Tag
from holewright.units import read_number

_COLUMNS = {"HRC": "hrc", "HV": "hv", "HB": "hb", "MPa": "rm_mpa"}
_WORDS = {
    "hrc": "HRC",
    "rc": "HRC",
    "hb": "HB",
    "hbw": "HB",
    "hbs": "HB",
    "bhn": "HB",
    "brinell": "HB",
    "hv": "HV",
    "vickers": "HV",
    "mpa": "MPa",
    "n/mm2": "MPa",
    "n/mm²": "MPa",
}
# One standard uncertainty of a single statement: the tester and the scatter of the bar,
# common practice (HRC in points, the others as a share of the value).
_STATED_U = {"HRC": 1.0, "HB": 0.03, "HV": 0.03, "MPa": 0.03}
# What the conversion itself adds, as a share: from memory. ISO 18265 calls the conversion
# of tensile strength the least reliable of its tables.
_CONVERSION_U = {"HRC": 0.02, "HB": 0.0, "HV": 0.02, "MPa": 0.05}
_HB_RANGE = (20, 750)
"""From soft magnesium to the hardest steel. [HB]"""

_SCALE = "|".join(sorted(map(re.escape, _WORDS), key=len, reverse=True))
_NUMBER = r"\d*[.,]?\d+"
_HARDNESS = re.compile(
    rf"(?:about|approx\.?|ca\.?|rm|~)?\s*(?P<before>{_SCALE})?\s*(?:=|:)?\s*"
    rf"(?P<low>{_NUMBER})(?:\s*(?:-|–|to|\.\.)\s*(?P<high>{_NUMBER}))?"
    rf"\s*(?P<after>{_SCALE})?",
    re.IGNORECASE,
)
_AT_AN_END = re.compile(
    rf"(?P<end>{_NUMBER}(?:\s*(?:-|–|to)\s*{_NUMBER})?\s*(?:{_SCALE}))\b", re.IGNORECASE
)
_FORM = 'must be a hardness or a strength such as "30 HRC", "28-32 HRC", "170 HB" or "600 MPa"'


@dataclass(frozen=True)
class Hardness:
    """A hardness as it was stated.

    Parameters
    ----------
    scale : str
        ``HRC``, ``HB``, ``HV`` or ``MPa`` (tensile strength).
    low, high : float
        Ends of the stated range; equal for a single value. In `scale`.
    """

    scale: str
    low: float
    high: float


@cache
def _conversion(scale: str) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    rows = [
        row for row in table("hardness", tuple(_COLUMNS.values())) if row[_COLUMNS[scale]].strip()
    ]
    return (
        np.array([float(row[_COLUMNS[scale]]) for row in rows]),
        np.array([float(row["hb"]) for row in rows]),
    )


def brinell_from(scale: str, value: ArrayLike) -> NDArray[np.float64]:
    """Return the Brinell hardness of a steel, straight between the rows of the table. [HB]

    Parameters
    ----------
    scale : str
        ``HRC``, ``HB``, ``HV`` or ``MPa`` (tensile strength).
    value : array_like
        Value on that scale.

    Returns
    -------
    ndarray
        Brinell hardness, in the shape of `value`. [HB]

    Raises
    ------
    OutOfRangeError
        If a value lies outside the table: 20 to 65 HRC, 80 to 832 HV, 255 to 2330 MPa.

    Notes
    -----
    For carbon, alloy, tool, martensitic and precipitation-hardening steels. Not for
    austenitic or duplex stainless steel, iron, or other metals.

    References
    ----------
    .. [1] ASTM E140, Table 1, and ISO 18265, Table A.1; see ``reference/hardness.csv``.

    Examples
    --------
    >>> float(brinell_from("HRC", 30))
    286.0
    """
    given = np.asarray(value, dtype=np.float64)
    if scale == "HB":
        return given
    x, hb = _conversion(scale)
    outside = ~((given >= x[0]) & (given <= x[-1]))
    if outside.any():
        advice = "; below 20 HRC state it in HB" if scale == "HRC" else ""
        raise OutOfRangeError(
            "hardness",
            f"{given[outside].ravel()[0]:g} {scale}",
            f"from {x[0]:g} to {x[-1]:g} {scale}, the rows of the conversion table{advice}",
        )
    return np.asarray(np.interp(given, x, hb), dtype=np.float64)


def read_hardness(text: str, field: str = "hardness") -> Hardness:
    """Return a hardness as people write it: ``30 HRC``, ``28-32 HRC``, ``600 MPa``.

    Raises
    ------
    AmbiguousError
        If the number has no scale behind it.
    InputError
        If it is not a hardness.

    Examples
    --------
    >>> read_hardness("28-32 HRC")
    Hardness(scale='HRC', low=28.0, high=32.0)
    """
    match = _HARDNESS.fullmatch(text.strip())
    if match is None or (match["before"] and match["after"]):
        raise InputError(field, text, _FORM)
    word = match["before"] or match["after"]
    if word is None:
        raise AmbiguousError(
            field,
            text,
            "has no scale; write HRC, HB, HV or MPa behind it",
            readings=tuple(f"{text.strip()} {scale}" for scale in _COLUMNS),
        )
    scale = _WORDS[word.lower()]
    low = float(read_number(match["low"], field))
    high = float(read_number(match["high"], field)) if match["high"] else low
    if not 0 < low <= high:
        raise InputError(field, text, "must be more than 0, the lower value first")
    if scale == "HB" and not _HB_RANGE[0] <= low <= high <= _HB_RANGE[1]:
        raise OutOfRangeError(field, text, f"from {_HB_RANGE[0]} to {_HB_RANGE[1]} HB")
    return Hardness(scale, low, high)


def split_hardness(text: str) -> tuple[str, str | None]:
    """Return a material's name and the hardness written before or behind it, if any.

    Examples
    --------
    >>> split_hardness("4140 PH 28-32 HRC")
    ('4140 PH', '28-32 HRC')
    """
    match = _AT_AN_END.search(text)
    if match is None:
        return text, None
    rest = f"{text[: match.start()]} {text[match.end() :]}".strip(" ,;")
    return rest, match["end"]


def brinell(stated: Hardness, source: str) -> Known:
    """Return the Brinell hardness of a steel from what was stated. [HB]

    A range is read as: anywhere in it, equally likely (JCGM 100, clause 4.3.7). A single
    value gets the uncertainty of an ordinary test. A conversion adds its own.

    Parameters
    ----------
    stated : Hardness
        What was stated.
    source : str
        Who says so, e.g. ``job file``.

    Raises
    ------
    OutOfRangeError
        If a conversion leaves its table.
    """
    middle = (stated.low + stated.high) / 2
    if stated.high > stated.low:
        u_stated = (stated.high - stated.low) / math.sqrt(12)
    else:
        u_stated = _STATED_U[stated.scale] * (1 if stated.scale == "HRC" else middle)
    low, mid, high = brinell_from(stated.scale, [stated.low, middle, stated.high])
    if stated.high > stated.low:
        slope = (high - low) / (stated.high - stated.low)
    else:
        slope = _slope(stated.scale, middle)
    u = math.hypot(u_stated * slope, _CONVERSION_U[stated.scale] * mid)
    return Known(float(mid), Tag.STANDARD, source, float(u))


def _slope(scale: str, value: float) -> float:
    """Return d HB / d scale between the two rows around a value."""
    if scale == "HB":
        return 1.0
    x, hb = _conversion(scale)
    i = int(np.clip(np.searchsorted(x, value), 1, len(x) - 1))
    return float((hb[i] - hb[i - 1]) / (x[i] - x[i - 1]))
