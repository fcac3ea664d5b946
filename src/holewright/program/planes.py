"""The heights above the entry face at which a program moves."""

from __future__ import annotations

from dataclasses import dataclass

from holewright.errors import OutOfRangeError
from holewright.units import Unit, mm_from


@dataclass(frozen=True)
class Planes:
    """Heights above the entry face.

    Parameters
    ----------
    retract : float
        R plane: from here on the tool feeds. [mm]
    initial : float
        Height between holes, above every clamp that isn't named as a keep-out. [mm]
    safe : float
        Height at which an operation ends, before the tool change and at stops. [mm]
    """

    retract: float
    initial: float
    safe: float

    def __post_init__(self) -> None:
        if not self.retract >= 0.1:
            raise OutOfRangeError("retract", self.retract, "0.1 mm or more above the face")
        if not self.initial >= self.retract:
            raise OutOfRangeError("initial", self.initial, f"retract ({self.retract} mm) or more")
        if not self.safe >= self.initial:
            raise OutOfRangeError("safe", self.safe, f"initial ({self.initial} mm) or more")


def usual_planes(unit: Unit) -> Planes:
    """Return the heights taken where nobody says otherwise: 2, 25 and 100 mm, or .1, 1 and 4 in.

    Source: common practice.

    Examples
    --------
    >>> usual_planes(Unit.INCH).initial
    25.4
    """
    if unit is Unit.INCH:
        return Planes(mm_from(0.1, unit), mm_from(1, unit), mm_from(4, unit))
    return Planes(2.0, 25.0, 100.0)
