"""What a label alone says of a tool's diameter: its make tolerance, equally likely all over."""

from __future__ import annotations

import math

from holewright.errors import OutOfRangeError
from holewright.shop.drill import DrillKind
from holewright.uncertainty import Known, Tag
from holewright.units import Unit, mm_from

Band = tuple[float, float, float]
"""A row: up to and including this diameter, lower and upper deviation."""

_DRILL_HSS_UM: tuple[Band, ...] = (  # DIN 1414: h8 of ISO 286
    (3, -14, 0),
    (6, -18, 0),
    (10, -22, 0),
    (18, -27, 0),
    (30, -33, 0),
    (50, -39, 0),
)
_DRILL_CARBIDE_UM: tuple[Band, ...] = (  # m7, trade practice; first and last rows from memory
    (3, 2, 12),
    (6, 4, 16),
    (10, 6, 21),
    (18, 7, 25),
    (30, 8, 29),
    (50, 9, 34),
)
_DRILL_HSS_TENTHS: tuple[Band, ...] = (  # ANSI B94.11M, inch sizes
    (0.125, -5, 0),
    (0.25, -7, 0),
    (0.5, -10, 0),
    (1.0, -12, 0),
    (2.0, -15, 0),
)
_REAMER_H7_UM: tuple[Band, ...] = (  # DIN 1420, table for H7
    (3, 4, 8),
    (6, 5, 10),
    (10, 6, 12),
    (18, 8, 15),
    (30, 9, 17),
    (50, 12, 21),
    (80, 14, 25),
)
_REAMER_STEP_UM: tuple[Band, ...] = (  # reamers marked in hundredths, from memory
    (5.5, 0, 4),
    (20, 0, 5),
    (50, 0, 6),
)
_REAMER_TENTHS: tuple[Band, ...] = (  # ANSI B94.2, chucking reamers, from memory
    (0.25, 1, 4),
    (1.0, 1, 5),
    (2.0, 2, 6),
)
# Published restatements of the inch chucking tolerance contradict one another: +1 to +4,
# +1 to +5, +2 to +6 and 0 to +2 tenths are all printed for the sizes to 1 in. The
# uncertainty covers them all, while the middle stays that of the standard.
_REAMER_SPREAD_TENTHS = 6.0


def _row(rows: tuple[Band, ...], size: float, unit: Unit) -> tuple[float, float]:
    for top, low, high in rows:
        if 0 < size <= top * (1 + 1e-9):
            return low, high
    raise OutOfRangeError("diameter of the tool", f"{size:g} {unit}", f"up to {rows[-1][0]:g}")


def within_band(nominal: float, low: float, high: float, source: str) -> Known:
    """Return a size anywhere in a band, equally likely (JCGM 100, clause 4.3.7). [mm]

    Parameters
    ----------
    nominal : float
        Size that the deviations start from. [mm]
    low, high : float
        Lower and upper deviation. [mm]
    source : str
        Key of the source of the band.
    """
    return Known(nominal + (low + high) / 2, Tag.DEFAULT, source, (high - low) / math.sqrt(12))


def drill_by_label(nominal: float, kind: DrillKind, unit: Unit) -> Known:
    """Return what a drill's label says of its diameter. [mm]

    Parameters
    ----------
    nominal : float
        Nominal diameter, up to 50 mm, or 2 in for inch drills of HSS. [mm]
    kind : DrillKind
        High-speed-steel drills lie below the label, carbide drills above it.
    unit : Unit
        System in which the drill was made.

    Raises
    ------
    OutOfRangeError
        If the tables don't reach.

    References
    ----------
    .. [1] DIN 1414 (h8) and, in inches, ANSI B94.11M; m7 for carbide is trade practice.
    """
    carbide = kind in (DrillKind.CARBIDE, DrillKind.CARBIDE_FOUR_MARGIN)
    if unit is Unit.INCH and not carbide:
        low, high = _row(_DRILL_HSS_TENTHS, nominal / 25.4, unit)
        return within_band(nominal, _tenths(low), _tenths(high), "ansi-b94.11m")
    rows, source = (_DRILL_CARBIDE_UM, "drill-m7") if carbide else (_DRILL_HSS_UM, "din-1414")
    low, high = _row(rows, nominal, Unit.MM)
    return within_band(nominal, low / 1000, high / 1000, source)


def reamer_h7_by_label(nominal: float) -> Known:
    """Return what the label H7 says of a reamer's diameter, up to 80 mm. [mm]

    Raises
    ------
    OutOfRangeError
        If the table doesn't reach.

    References
    ----------
    .. [1] DIN 1420, table of make limits for H7, as restated in trade literature.

    Examples
    --------
    >>> round(reamer_h7_by_label(8.0).value, 4)
    8.009
    """
    low, high = _row(_REAMER_H7_UM, nominal, Unit.MM)
    return within_band(nominal, low / 1000, high / 1000, "iso-522")


def reamer_by_size(nominal: float, unit: Unit) -> Known:
    """Return what a bare size on a reamer says of its diameter. [mm]

    Parameters
    ----------
    nominal : float
        Size on the label, up to 50 mm or 2 in. [mm]
    unit : Unit
        Unit of the label.

    Raises
    ------
    OutOfRangeError
        If the tables don't reach.

    Notes
    -----
    Sources for inch chucking reamers contradict one another, so the uncertainty is wide:
    measure the reamer.

    References
    ----------
    .. [1] ANSI B94.2, from memory; metric hundredths from memory.
    """
    if unit is Unit.MM:
        low, high = _row(_REAMER_STEP_UM, nominal, unit)
        return within_band(nominal, low / 1000, high / 1000, "from-memory")
    low, high = _row(_REAMER_TENTHS, nominal / 25.4, unit)
    middle = nominal + _tenths((low + high) / 2)
    return Known(middle, Tag.DEFAULT, "ansi-b94.2", _tenths(_REAMER_SPREAD_TENTHS) / math.sqrt(12))


def _tenths(number: float) -> float:
    return mm_from(number, Unit.INCH) / 10000
