"""The standard drill sizes: number, letter, fraction and metric."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

from holewright.errors import InputError
from holewright.reference.tables import table
from holewright.units import Unit, mm_from, read_number

SERIES = ("number", "letter", "fraction", "metric")


@dataclass(frozen=True)
class StandardDrill:
    """One standard drill size.

    Parameters
    ----------
    designation : str
        As the index says it: ``#7``, ``F``, ``5/16``, ``7.8 mm``.
    series : str
        ``number``, ``letter``, ``fraction`` or ``metric``.
    diameter : float
        Nominal diameter. [mm]
    source : str
        Key of its source.
    """

    designation: str
    series: str
    diameter: float
    source: str


@cache
def _all() -> tuple[StandardDrill, ...]:
    drills = [
        StandardDrill(
            row["designation"],
            row["series"],
            mm_from(read_number(row["size"]), Unit(row["unit"])),
            row["source"],
        )
        for row in table("drill_sizes", ("series", "designation", "size", "unit"))
    ]
    return tuple(sorted(drills, key=lambda drill: drill.diameter))


def standard_drills(
    lower_mm: float, upper_mm: float, series: Sequence[str] = SERIES
) -> tuple[StandardDrill, ...]:
    """Return all standard drills from one diameter to another, the smallest first.

    Parameters
    ----------
    lower_mm, upper_mm : float
        Limits of the diameter, both inclusive. [mm]
    series : sequence of str
        Which of :data:`SERIES` to take; all by default.

    Returns
    -------
    tuple of StandardDrill
        May be empty. Two series may share a diameter: letter E is 1/4 in.

    Raises
    ------
    InputError
        If a series isn't known.

    References
    ----------
    .. [1] BS 328 for the metric series; published charts for numbers and letters. See
       ``reference/drill_sizes.csv``.

    Examples
    --------
    >>> [drill.designation for drill in standard_drills(7.79, 7.95)]
    ['7.8 mm', '7.9 mm', '5/16']
    """
    for name in series:
        if name not in SERIES:
            raise InputError("series", name, f"must be one of {', '.join(SERIES)}")
    return tuple(
        drill
        for drill in _all()
        if lower_mm <= drill.diameter <= upper_mm and drill.series in series
    )
