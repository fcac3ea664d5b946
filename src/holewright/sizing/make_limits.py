"""Make limits of a reamer from the limits of the hole (ISO 522, DIN 1420)."""

from __future__ import annotations

import math

from holewright.callout.callout import Limits
from holewright.errors import OutOfRangeError
from holewright.reasons import Reason
from holewright.units import Unit, format_small

_PER_MM = 10**8
"""Lengths below are whole numbers of 10 pm, in which 1 µm and .00005 in are both exact."""

_STEP = {Unit.MM: 100_000, Unit.INCH: 127_000}
"""What make limits are rounded to: 1 µm, .00005 in. [10 pm]"""

_NARROWEST_SHARE = 3 * 100_000
"""A make band whose 35 % share is less than this is ordered to measured size: 3 µm. [10 pm]"""


def _whole(limits: Limits) -> tuple[int, int]:
    for name in ("lower", "upper"):
        if not math.isfinite(getattr(limits, name)):
            raise OutOfRangeError(f"{name} limit", getattr(limits, name), "finite")
    lower, upper = round(limits.lower * _PER_MM), round(limits.upper * _PER_MM)
    if not 0 < lower < upper:
        raise OutOfRangeError("lower limit", limits.lower, "above 0 and below the upper limit")
    return lower, upper


def reamer_make_limits(limits: Limits, unit: Unit = Unit.MM) -> Limits:
    r"""Return the make limits of a reamer for a hole.

    .. math::

        d_{max} &= \lfloor D_{max} - 0.15\,T \rfloor \\
        d_{min} &= d_{max} - \lceil 0.35\,T \rceil

    Parameters
    ----------
    limits : Limits
        Limits of size of the hole, with the width T. [mm]
    unit : Unit
        Unit of the print: whole µm for mm, whole .00005 in for inches. [-]

    Returns
    -------
    Limits
        Smallest and largest diameter of the new reamer, across the land just behind the
        lead. [mm]

    Raises
    ------
    OutOfRangeError
        If the limits are not 0 < lower < upper.

    Notes
    -----
    15 % of the tolerance is left above for cutting oversize, and about half of it below for
    wear and for holes that close in. The rule is the standard's in mm only; the same shares
    rounded to .00005 in are a choice of ours. Both roundings go to the safe side of the
    upper limit. The result is what the rule gives even where it leaves no band to work with:
    ask :func:`make_band_reason`.

    References
    ----------
    .. [1] ISO 522:1975, Special tolerances for reamers; the same rule in DIN 1420.

    Examples
    --------
    >>> reamer_make_limits(Limits(10.000, 10.015))
    Limits(lower=10.006, upper=10.012)
    """
    lower, upper = _whole(limits)
    width, step = upper - lower, _STEP[unit]
    largest = (100 * upper - 15 * width) // (100 * step) * step
    band = -(-35 * width // (100 * step)) * step
    return Limits((largest - band) / _PER_MM, largest / _PER_MM)


def make_band_reason(limits: Limits, unit: Unit = Unit.MM) -> Reason | None:
    """Return why the make limits of a reamer need care, or None where they don't.

    Parameters
    ----------
    limits : Limits
        Limits of size of the hole. [mm]
    unit : Unit
        Unit of the print. [-]

    Returns
    -------
    Reason or None
        ``make-band-outside-limits`` if the rounded band reaches below the hole's lower limit;
        ``make-band-narrow`` if 35 % of the tolerance is less than 3 µm (about grade 5 and
        finer at 10 mm): order the reamer to measured size. The 3 µm are common practice,
        no source.

    Raises
    ------
    OutOfRangeError
        If the limits are not 0 < lower < upper.
    """
    lower, upper = _whole(limits)
    made = reamer_make_limits(limits, unit)
    share = 35 * (upper - lower) / 100
    if round(made.lower * _PER_MM) < lower:
        return Reason(
            "make-band-outside-limits",
            f"The tolerance of {format_small(limits.width, unit)} leaves a reamer no make band: "
            "the rule would allow one smaller than the hole. Order to measured size, or hone.",
            made.lower,
            limits.lower,
        )
    if share < _NARROWEST_SHARE:
        return Reason(
            "make-band-narrow",
            f"The make band is {format_small(share / _PER_MM, unit)} before rounding, under "
            f"{format_small(_NARROWEST_SHARE / _PER_MM, unit)}: order the reamer to measured size.",
            share / _PER_MM,
            _NARROWEST_SHARE / _PER_MM,
        )
    return None
