"""Gauge pins: the tolerance of their class, and whole sets of them."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from functools import cache
from typing import overload

import numpy as np
from numpy.typing import ArrayLike, NDArray

from holewright.errors import InputError, OutOfRangeError
from holewright.reference.tables import table
from holewright.shop.pin import Pin, Sense
from holewright.units import Unit, mm_from, read_number

GRADES = ("XXX", "XX", "X", "Y", "Z", "ZZ")
"""Classes of ASME B89.1.5, the finest first."""
_MOST_PINS = 5000
_SMALLEST, _LARGEST = Decimal("1e-6"), Decimal(1000)


@cache
def _rows(grade: str) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return the bounds of the rows and their tolerances, exact in inches, in mm."""
    columns = ("over_in", "to_in", *(f"{name}_in" for name in GRADES))
    rows = table("pin_classes", columns)

    def mm(column: str) -> list[float]:
        return [mm_from(Decimal(row[column]), Unit.INCH) for row in rows]

    return np.array([mm("over_in")[0], *mm("to_in")]), np.array(mm(f"{grade}_in"))


def read_grade(text: str, field: str = "grade") -> str:
    """Return a class as the table names it, from ``zz`` or ``class ZZ``.

    Raises
    ------
    InputError
        If there is no such class.
    """
    grade = text.upper().removeprefix("CLASS").strip()
    if grade not in GRADES:
        raise InputError(field, text, f"must be a class of ASME B89.1.5: {', '.join(GRADES)}")
    return grade


@overload
def class_tolerance(grade: str, diameter_mm: float) -> float: ...


@overload
def class_tolerance(grade: str, diameter_mm: NDArray[np.float64]) -> NDArray[np.float64]: ...


def class_tolerance(grade: str, diameter_mm: ArrayLike) -> float | NDArray[np.float64]:
    """Return the maker's tolerance of a gauge pin: its full width, on one side. [mm]

    Parameters
    ----------
    grade : str
        ``XXX``, ``XX``, ``X``, ``Y``, ``Z`` or ``ZZ``.
    diameter_mm : array_like
        Marked size, over 0.254 up to 305.054: over .010 to 12.010 in. [mm]

    Returns
    -------
    float or ndarray
        Width of the tolerance, in the shape of `diameter_mm`. [mm]

    Raises
    ------
    InputError
        If there is no such class.
    OutOfRangeError
        If a diameter lies outside the table.

    Notes
    -----
    A row holds over its lower bound, up to and including its upper one. The tolerance lies
    above the marked size of a plus pin, below that of a minus pin.

    References
    ----------
    .. [1] ASME B89.1.5, table of classes; see ``reference/pin_classes.csv``.

    Examples
    --------
    >>> class_tolerance("ZZ", 8.0)
    0.00508
    """
    bounds, tolerances = _rows(read_grade(grade))
    diameter = np.asarray(diameter_mm, dtype=np.float64)
    outside = ~((diameter > bounds[0]) & (diameter <= bounds[-1]))
    if outside.any():
        raise OutOfRangeError(
            "size of the pin",
            f"{diameter[outside].ravel()[0]:g} mm",
            f"over {bounds[0]:g} mm, up to and including {bounds[-1]:g} mm",
        )
    found = tolerances[np.searchsorted(bounds, diameter, side="left") - 1]
    return float(found) if diameter.ndim == 0 else np.asarray(found, dtype=np.float64)


def size_text(size: Decimal, unit: Unit) -> str:
    """Return a marked size as it stands on the pin: ``8.01``, ``.3125``."""
    text = f"{size:f}"
    return text.removeprefix("0") if unit is Unit.INCH else text


def pin_set(
    first: Decimal | str,
    last: Decimal | str,
    step: Decimal | str,
    unit: Unit,
    sense: Sense,
    grade: str,
    missing: Iterable[Decimal | str] = (),
) -> tuple[Pin, ...]:
    """Return a set of pins, one a step, in exact decimals.

    Parameters
    ----------
    first, last, step : Decimal or str
        Smallest and largest marked size and the step between, in `unit`.
    unit : Unit
        Unit of the marks.
    sense : Sense
        Plus or minus pins.
    grade : str
        Maker's class.
    missing : iterable of Decimal or str, optional
        Marked sizes that are not in the box, in `unit`.

    Returns
    -------
    tuple of Pin
        The smallest first; the id of each is its marked size as written.

    Raises
    ------
    InputError
        If a number can't be read, the steps don't lead from first to last, or a size named
        as missing isn't one of the set.
    OutOfRangeError
        If a size lies outside the table of classes.

    Examples
    --------
    >>> [p.id for p in pin_set(".3120", ".3130", ".0005", Unit.INCH, Sense.MINUS, "ZZ")]
    ['.3120', '.3125', '.3130']
    """
    low, high, each = (
        _decimal(value, name) for value, name in ((first, "first"), (last, "last"), (step, "step"))
    )
    if not each > 0:
        raise OutOfRangeError("step", step, "more than 0")
    if not 0 < low <= high:
        raise OutOfRangeError("first", first, f"more than 0 and not above the last, {last}")
    if (high - low) / each > _MOST_PINS:
        raise OutOfRangeError("step", step, f"large enough for at most {_MOST_PINS} pins in a set")
    if (high - low) % each:
        raise InputError("last", last, f"must be a whole number of steps of {step} from {first}")
    sizes = [low + each * i for i in range(int((high - low) / each) + 1)]
    gone = {_decimal(value, "missing"): value for value in missing}
    for size, written in gone.items():
        if size not in sizes:
            raise InputError(
                "missing", written, f"must be a size of the set {first} to {last}, step {step}"
            )
    for end in (low, high):
        class_tolerance(grade, mm_from(end, unit))
    name = read_grade(grade)
    return tuple(
        Pin(size_text(size, unit), mm_from(size, unit), sense, name)
        for size in sizes
        if size not in gone
    )


def _decimal(value: Decimal | str, field: str) -> Decimal:
    number = value if isinstance(value, Decimal) else read_number(value, field)
    if number and not _SMALLEST <= abs(number) <= _LARGEST:
        raise OutOfRangeError(field, value, "a size that a pin can have")
    return number
