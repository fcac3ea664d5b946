"""Drills."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from holewright.uncertainty import Known


class DrillKind(StrEnum):
    """Drills by geometry; each leaves another spread and another axis error."""

    JOBBER_HSS = "jobber HSS"
    STUB_HSS = "stub HSS"
    CARBIDE = "solid carbide"
    CARBIDE_FOUR_MARGIN = "solid carbide, four margins"
    CORE = "core drill"


HSS_DRILLS = (DrillKind.JOBBER_HSS, DrillKind.STUB_HSS)
"""Drills of high-speed steel: they want a spot, and cut slower."""


@dataclass(frozen=True)
class Drill:
    """A drill, in symbols of ISO 13399.

    Parameters
    ----------
    id : str
        Name in the tool room.
    kind : DrillKind
        Geometry and tool material.
    DC : Known
        Cutting diameter. A label is a default; a micrometer reading is measured. [mm]
    LU : float
        Usable length. [mm]
    OAL : float
        Overall length. [mm]
    SIG : float
        Point angle. [deg]
    coolant_through : bool
        Whether coolant comes through the tool.
    price : float
        Price of one tool, in the shop's currency.
    owned : bool
        Whether it lies in the drawer; otherwise it would have to be bought.
    """

    id: str
    kind: DrillKind
    DC: Known
    LU: float
    OAL: float
    SIG: float = 118.0
    coolant_through: bool = False
    price: float = 0.0
    owned: bool = True

    @property
    def point_length(self) -> float:
        """Length of the point. [mm]"""
        return self.DC.value / 2 / math.tan(math.radians(self.SIG / 2))
