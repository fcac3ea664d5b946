"""How sheets write sizes: both units, that of the print first, and limits never widened."""

from __future__ import annotations

import math

from holewright.units import Unit, format_size, inches

_PLACES = {Unit.MM: 4, Unit.INCH: 5}
"""Decimal places of a computed or measured size: a tenth of a µm, or a tenth of a tenth."""

_FUZZ = 1e-6
"""Part of the last place that counts as an error of floating point, not as a rounding."""


def other(unit: Unit) -> Unit:
    """Return the second unit of a sheet."""
    return Unit.INCH if unit is Unit.MM else Unit.MM


def size_text(mm: float, unit: Unit) -> str:
    """Return a computed or measured size in one unit: ``8.0098 mm``, ``.31535 in``.

    Parameters
    ----------
    mm : float
        Size. [mm]
    unit : Unit
        Unit to write.
    """
    return format_size(mm, unit, _PLACES[unit])


def size_pair(mm: float, unit: Unit) -> str:
    """Return a computed or measured size in both units: ``8.0098 mm (.31535 in)``.

    Parameters
    ----------
    mm : float
        Size. [mm]
    unit : Unit
        Unit of the print.
    """
    return f"{size_text(mm, unit)} ({size_text(mm, other(unit))})"


def range_text(lower: float, upper: float, unit: Unit) -> str:
    """Return a range of sizes in one unit, the unit said once: ``8.0072 to 8.0124 mm``.

    Parameters
    ----------
    lower, upper : float
        Ends of the range; one may be infinite. [mm]
    unit : Unit
        Unit to write.
    """
    if math.isinf(lower) and math.isinf(upper):
        return "not bounded"
    if math.isinf(lower):
        return f"below {size_text(upper, unit)}"
    if math.isinf(upper):
        return f"above {size_text(lower, unit)}"
    if lower == upper:
        return size_text(lower, unit)
    return f"{size_text(lower, unit).removesuffix(f' {unit}')} to {size_text(upper, unit)}"


def range_pair(lower: float, upper: float, unit: Unit) -> str:
    """Return a range of sizes in both units, that of the print first.

    Parameters
    ----------
    lower, upper : float
        Ends of the range; one may be infinite. [mm]
    unit : Unit
        Unit of the print.

    Examples
    --------
    >>> range_pair(8.0072, 8.0124, Unit.MM)
    '8.0072 to 8.0124 mm (.31524 to .31545 in)'
    """
    first = range_text(lower, upper, unit)
    if math.isinf(lower) and math.isinf(upper):
        return first
    return f"{first} ({range_text(lower, upper, other(unit))})"


def limit_text(mm: float, unit: Unit, *, lower: bool) -> str:
    """Return a limit of size in one unit, rounded into the zone where it must be rounded.

    Parameters
    ----------
    mm : float
        Limit of size. [mm]
    unit : Unit
        Unit to write.
    lower : bool
        Whether it is the lower limit, which rounds up; the upper one rounds down.

    Examples
    --------
    The lower limit of 8 H7 is .314961 in, which the nearest fifth place would widen:

    >>> limit_text(8.0, Unit.INCH, lower=True), limit_text(8.015, Unit.MM, lower=False)
    ('.31497 in', '8.015 mm')
    """
    value = mm if unit is Unit.MM else inches(mm)
    usual = 3 if unit is Unit.MM else 4
    for places in (usual, _PLACES[unit]):
        scaled = value * 10**places
        if abs(scaled - round(scaled)) < _FUZZ:
            return format_size(mm, unit, places)
    inward = math.ceil(scaled) if lower else math.floor(scaled)
    rounded = inward / 10**places
    return format_size(rounded if unit is Unit.MM else rounded * 25.4, unit, places)


def limit_pair(mm: float, unit: Unit, *, lower: bool) -> str:
    """Return a limit of size in both units, that of the print first.

    Parameters
    ----------
    mm : float
        Limit of size. [mm]
    unit : Unit
        Unit of the print.
    lower : bool
        Whether it is the lower limit.
    """
    first = limit_text(mm, unit, lower=lower)
    return f"{first} ({limit_text(mm, other(unit), lower=lower)})"


def small_pair(mm: float, unit: Unit) -> str:
    """Return a small length in both units; a tenth is always spelt out as a number too.

    Many metric shops call 0.1 mm a tenth, so the word never stands alone.

    Parameters
    ----------
    mm : float
        Small length, 0 or more. [mm]
    unit : Unit
        Unit of the print.

    Examples
    --------
    >>> small_pair(0.015, Unit.MM), small_pair(0.0127, Unit.INCH)
    ('15 µm (.00059 in, 5.9 tenths)', '.00050 in, 5.0 tenths (12.7 µm)')
    """
    inch = f"{format_size(mm, Unit.INCH, 5)}, {inches(mm) * 1e4:.1f} tenths"
    micron = f"{mm * 1000:.1f}".removesuffix(".0") + " µm"
    return f"{micron} ({inch})" if unit is Unit.MM else f"{inch} ({micron})"


def length_text(mm: float, unit: Unit) -> str:
    """Return a depth, a drill or another plain length in one unit: ``22.5 mm``, ``.886 in``.

    Parameters
    ----------
    mm : float
        Length. [mm]
    unit : Unit
        Unit to write.
    """
    if unit is Unit.INCH:
        places = 3 if abs(round(inches(mm), 3) - inches(mm)) < _FUZZ else 4
        return format_size(mm, unit, places)
    return f"{mm:.3f}".rstrip("0").rstrip(".") + " mm"


def length_pair(mm: float, unit: Unit) -> str:
    """Return a plain length in both units, that of the print first: ``22.5 mm (.8858 in)``.

    Parameters
    ----------
    mm : float
        Length. [mm]
    unit : Unit
        Unit of the print.
    """
    return f"{length_text(mm, unit)} ({length_text(mm, other(unit))})"


def tool_diameter(mm: float, unit: Unit) -> str:
    """Return the diameter of a drill or chamfer, to 0.01 mm or .001 in: no drill is truer.

    Parameters
    ----------
    mm : float
        Diameter. [mm]
    unit : Unit
        Unit to write.
    """
    if unit is Unit.INCH:
        return format_size(mm, unit, 3)
    return f"{mm:.2f}".rstrip("0").rstrip(".") + " mm"


def bare(text: str) -> str:
    """Return a value without its unit, for a column whose head names the unit."""
    return text.rsplit(" ", 1)[0]
