"""ISO 286-1 limits of size for holes, from the published tables and in exact arithmetic.

The formulas behind the tables aren't used: rounded by the book they miss the published
value of the grades in about one case in four. Micrometres are decimals here, not floats, so
that a half micrometre of a JS hole stays one.
"""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from decimal import Decimal
from functools import cache

import numpy as np

from holewright.callout.callout import Limits
from holewright.errors import AmbiguousError, InputError, OutOfRangeError
from holewright.reference.tables import table

LETTERS = (
    *("A", "B", "C", "CD", "D", "E", "EF", "F", "FG", "G", "H"),
    *("JS", "J", "K", "M", "N", "P", "R", "S", "T", "U", "V", "X", "Y", "Z", "ZA", "ZB", "ZC"),
)
"""The letters of hole classes, in the order of the standard."""

GRADES = ("01", "0", *(str(grade) for grade in range(1, 19)))
"""The standard tolerance grades, finest first."""

_MAIN_BANDS = (3, 6, 10, 18, 30, 50, 80, 120, 180, 250, 315, 400, 500)
_DEVIATION_BANDS = (
    *(3, 6, 10, 14, 18, 24, 30, 40, 50, 65, 80, 100, 120, 140, 160, 180),
    *(200, 225, 250, 280, 315, 355, 400, 450, 500),
)
_CLASS = re.compile(r"([A-Za-z]{1,2})\s?(01|0|1[0-8]|[1-9])")
_LETTERS_WITH_EI = LETTERS[: LETTERS.index("H") + 1]
_LETTERS_WITH_DELTA_TO_8 = ("K", "M", "N")


def _band(bands: Sequence[int], nominal: Decimal) -> int:
    return next(i for i, upper in enumerate(bands) if nominal <= upper)


@cache
def _grades() -> dict[str, tuple[Decimal, ...]]:
    columns = tuple(str(upper) for upper in _MAIN_BANDS)
    rows = table("iso286_grades", ("grade", *columns))
    return {row["grade"]: tuple(Decimal(row[column]) for column in columns) for row in rows}


@cache
def _deviations() -> dict[str, tuple[Decimal | None, ...]]:
    columns = tuple(str(upper) for upper in _DEVIATION_BANDS)
    rows = table("iso286_hole_deviations", ("class", "limit", *columns))
    return {
        row["class"]: tuple(Decimal(row[column]) if row[column] else None for column in columns)
        for row in rows
    }


def _checked_nominal(nominal: Decimal | float | int) -> Decimal:
    exact = nominal if isinstance(nominal, Decimal) else Decimal(repr(float(nominal)))
    if not exact.is_finite() or not 0 < exact <= 500:
        raise OutOfRangeError("nominal", nominal, "more than 0 and at most 500 mm for ISO 286")
    return exact


def it_width(grade: int | str, nominal: Decimal | float) -> Decimal:
    """Return the width of a standard tolerance grade.

    Parameters
    ----------
    grade : int or str
        1 to 18, or ``"01"`` and ``"0"`` for the two finest; ``"IT7"`` is read too. [-]
    nominal : Decimal or float
        Nominal size, over 0 to 500. [mm]

    Returns
    -------
    Decimal
        The width as the standard prints it. [µm]

    Raises
    ------
    OutOfRangeError
        If there is no such grade, or not at this size: grades 14 to 18 start over 1 mm.

    References
    ----------
    .. [1] ISO 286-1:2010, Table 1.

    Examples
    --------
    >>> it_width(7, 10), it_width("01", 10)
    (Decimal('15'), Decimal('0.4'))
    """
    exact = _checked_nominal(nominal)
    key = str(grade).upper().removeprefix("IT")
    if key not in _grades():
        raise OutOfRangeError("grade", grade, "IT01, IT0 or IT1 to IT18")
    if exact <= 1 and GRADES.index(key) >= GRADES.index("14"):
        raise OutOfRangeError("grade", grade, "IT01 to IT13 for a nominal size up to 1 mm")
    return _grades()[key][_band(_MAIN_BANDS, exact)]


def read_class(text: str) -> tuple[str, str]:
    """Return letter and grade of a hole's tolerance class, such as ``("H", "7")`` for ``H7``.

    Raises
    ------
    AmbiguousError
        If the letter is lower case, since ``h7`` is the class of a shaft.
    InputError
        If it is no tolerance class.
    """
    match = _CLASS.fullmatch(text.strip())
    letter = match[1].upper() if match else ""
    if match is None or letter not in LETTERS:
        raise InputError(
            "tolerance class",
            text,
            f"must be a letter and a grade such as H7; letters are {' '.join(LETTERS)}, "
            "grades 01, 0 and 1 to 18",
        )
    if match[1][0].islower():
        raise AmbiguousError(
            "tolerance class",
            text,
            f"is the class of a shaft, since its letter is small; write {letter}{match[2]} "
            "if a hole is meant",
            readings=(f"{letter}{match[2]}",),
        )
    return letter, match[2]


def hole_deviations(nominal: Decimal | float, tolerance_class: str) -> tuple[Decimal, Decimal]:
    """Return the lower and the upper limit deviation of a hole, EI and ES.

    Parameters
    ----------
    nominal : Decimal or float
        Nominal size, over 0 to 500. [mm]
    tolerance_class : str
        Letter A to ZC and grade, e.g. ``H7``, ``JS6``, ``ZA8``.

    Returns
    -------
    tuple of Decimal
        EI and ES. [µm]

    Raises
    ------
    AmbiguousError
        If the letter is lower case: the class of a shaft.
    InputError
        If the standard defines no such class at this size; the message says what it defines.
    OutOfRangeError
        If `nominal` is not over 0 to 500 mm.

    Notes
    -----
    A to H: the table gives EI. JS: ±IT/2; the leave of an older edition to round odd widths
    of JS7 to JS11 isn't taken, so halves of a micrometre remain. J: the table gives ES for
    grades 6, 7 and 8. K, M and N to grade 8, P to ZC to grade 7: ES is the table's value plus
    Δ = IT(n) - IT(n-1), with Δ = 0 to 3 mm; beyond these grades ES is the table's value,
    for N over 3 mm zero, and K is defined to 3 mm only. M6 over 250 to 315 mm has ES = -9
    by the standard's own exception.

    References
    ----------
    .. [1] ISO 286-1:2010, Tables 1 to 3 and their footnotes.

    Examples
    --------
    >>> hole_deviations(25, "P7")
    (Decimal('-35'), Decimal('-14'))
    """
    exact = _checked_nominal(nominal)
    letter, grade = read_class(tolerance_class)
    try:
        width = it_width(grade, exact)
    except OutOfRangeError as error:
        raise _undefined(tolerance_class, exact, "grades 14 to 18 start over 1 mm") from error
    if letter == "JS":
        return -width / 2, width / 2
    if letter in _LETTERS_WITH_EI:
        lower = _table_value(letter, exact, tolerance_class)
        return lower, lower + width
    upper = _upper_deviation(letter, grade, exact, tolerance_class)
    return upper - width, upper


def _upper_deviation(letter: str, grade: str, nominal: Decimal, written: str) -> Decimal:
    order = GRADES.index(grade)
    if letter == "J":
        if grade not in {"6", "7", "8"}:
            raise _undefined(written, nominal, "J has the grades 6, 7 and 8")
        return _table_value(f"J{grade}", nominal, written)
    value = _table_value(letter, nominal, written)
    last_with_delta = "8" if letter in _LETTERS_WITH_DELTA_TO_8 else "7"
    if order > GRADES.index(last_with_delta):
        if letter == "K" and nominal > 3:
            raise _undefined(written, nominal, "over 3 mm K has the grades 3 to 8")
        if letter == "N" and nominal <= 1:
            raise _undefined(written, nominal, "up to 1 mm N has the grades 3 to 8")
        return Decimal(0) if letter == "N" and nominal > 3 else value
    if order < GRADES.index("3"):
        raise _undefined(written, nominal, f"{letter} starts at grade 3")
    if letter == "M" and grade == "6" and 250 < nominal <= 315:
        return Decimal(-9)
    if nominal <= 3:
        return value
    return value + it_width(grade, nominal) - it_width(GRADES[order - 1], nominal)


def _table_value(row: str, nominal: Decimal, written: str) -> Decimal:
    values = _deviations()[row]
    value = values[_band(_DEVIATION_BANDS, nominal)]
    if value is None:
        defined = [i for i, each in enumerate(values) if each is not None]
        over = _DEVIATION_BANDS[defined[0] - 1] if defined[0] else 0
        upto = _DEVIATION_BANDS[defined[-1]]
        raise _undefined(written, nominal, f"{row} is defined over {over} to {upto} mm")
    if row in {"A", "B"} and nominal <= 1:
        raise _undefined(written, nominal, f"{row} is defined over 1 mm")
    return value


def _undefined(written: str, nominal: Decimal, defined: str) -> InputError:
    return InputError(
        "tolerance class",
        written,
        f"is not defined by ISO 286-1 for a nominal size of {nominal.normalize():f} mm: {defined}",
    )


def hole_limits(nominal: Decimal | float, tolerance_class: str) -> Limits:
    """Return the limits of size of a hole by ISO 286-1.

    Parameters
    ----------
    nominal : Decimal or float
        Nominal size, over 0 to 500. [mm]
    tolerance_class : str
        Letter A to ZC and grade, e.g. ``H7``.

    Returns
    -------
    Limits
        Lower and upper limit, each the float nearest to the exact decimal. [mm]

    Raises
    ------
    AmbiguousError, InputError, OutOfRangeError
        As :func:`hole_deviations`; also if the lower limit would not be above 0.

    Examples
    --------
    >>> hole_limits(10, "JS7")
    Limits(lower=9.9925, upper=10.0075)
    """
    exact = _checked_nominal(nominal)
    ei, es = hole_deviations(exact, tolerance_class)
    lower, upper = exact + ei / 1000, exact + es / 1000
    if lower <= 0:
        raise _undefined(tolerance_class, exact, "a lower limit must be above 0")
    return Limits(float(lower), float(upper))


def grade_for(width: float, nominal: float) -> float:
    """Return the tolerance grade that a width corresponds to, as a number with a fraction.

    Parameters
    ----------
    width : float
        Tolerance width, more than 0. [mm]
    nominal : float
        Nominal size, over 0 to 500. [mm]

    Returns
    -------
    float
        1 to 18 for IT1 to IT18, 0 for IT0, -1 for IT01; between two grades by linear
        interpolation in the logarithm of the width. [-]

    Raises
    ------
    OutOfRangeError
        If `width` or `nominal` is out of its range.

    Notes
    -----
    For rules such as "tighter than IT6" (``grade_for(...) < 6``). A width outside IT01 to
    IT18 returns the end of the scale. The fraction is a convenience: ISO 286 has whole
    grades only.

    Examples
    --------
    >>> grade_for(0.015, 10), round(grade_for(0.012, 10), 2)
    (7.0, 6.56)
    """
    if not (math.isfinite(width) and width > 0):
        raise OutOfRangeError("tolerance width", width, "more than 0 mm")
    band = _band(_MAIN_BANDS, _checked_nominal(nominal))
    widths = [float(_grades()[grade][band]) for grade in GRADES]
    # Steps of a grade are near a constant ratio, so the logarithm is near a straight line.
    # Rounding to a millionth of a micrometre keeps 10.015 - 10 on its grade.
    micrometres = max(round(width * 1000, 6), 1e-6)
    position = np.interp(math.log(micrometres), np.log(widths), np.arange(-1, 19))
    return float(position)
