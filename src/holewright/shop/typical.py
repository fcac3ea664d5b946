"""Drills and reamers as they usually are: what a list of tools leaves out.

Lengths follow DIN 338, DIN 1897, DIN 6537 and ISO 521 between the rows remembered here.
Edge numbers, cores, prices and lives are judgement, to be replaced by the shop's own.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from holewright.shop.drill import Drill, DrillKind
from holewright.shop.reamer import CoolantExit, Helix, Reamer, ReamerKind
from holewright.uncertainty import Known, Tag

Rows = tuple[tuple[float, float, float], ...]
"""Diameter, usable or flute length, overall length. [mm]"""

_JOBBER: Rows = (  # DIN 338
    (1, 12, 34),
    (2, 24, 49),
    (3, 33, 61),
    (5, 52, 86),
    (8, 75, 117),
    (10, 87, 133),
    (12, 101, 151),
    (16, 120, 178),
    (20, 140, 205),
    (32, 185, 260),
)
_STUB: Rows = (  # DIN 1897
    (1, 6, 26),
    (3, 16, 46),
    (5, 26, 62),
    (8, 37, 79),
    (10, 43, 89),
    (12, 51, 102),
    (16, 58, 115),
    (20, 66, 131),
    (32, 85, 165),
)
_CARBIDE: Rows = (  # DIN 6537 long, five diameters deep
    (1, 6, 48),
    (3, 20, 66),
    (5, 30, 82),
    (8, 44, 91),
    (10, 55, 103),
    (12, 66, 118),
    (16, 82, 133),
    (20, 102, 153),
    (32, 160, 225),
)
_HSS_REAMER_OAL: Rows = (  # ISO 521: diameter, flute, overall length
    (1, 8, 34),
    (3, 15, 61),
    (5, 23, 86),
    (8, 33, 117),
    (10, 38, 133),
    (12, 44, 151),
    (16, 52, 170),
    (20, 60, 195),
    (32, 77, 317),
)
_OUT_OF_HOLDER = 0.6
"""Share of a reamer's overall length that can stand out of the holder."""
_LIFE_U = 0.5


@dataclass(frozen=True)
class _DrillBuild:
    rows: Rows
    SIG: float
    coolant_through: bool
    price_at_8: float
    price_power: float


@dataclass(frozen=True)
class _ReamerBuild:
    teeth: tuple[tuple[float, int], ...]
    """Teeth up to and including a diameter."""
    lead_share: float
    core: float
    edge_radius: float
    price_at_8: float
    life_holes: float


_DRILLS = {
    DrillKind.JOBBER_HSS: _DrillBuild(_JOBBER, 118, False, 3, 1.5),
    DrillKind.STUB_HSS: _DrillBuild(_STUB, 118, False, 5, 1.5),
    DrillKind.CARBIDE: _DrillBuild(_CARBIDE, 140, True, 55, 1.2),
    DrillKind.CARBIDE_FOUR_MARGIN: _DrillBuild(_CARBIDE, 140, True, 95, 1.2),
    DrillKind.CORE: _DrillBuild(_JOBBER, 120, False, 40, 1.2),
}
_REAMERS = {
    ReamerKind.HSS: _ReamerBuild(((3, 4), (10, 6), (20, 8), (100, 10)), 0.10, 0.65, 0.006, 18, 400),
    ReamerKind.CARBIDE_TIPPED: _ReamerBuild(
        ((8, 4), (20, 6), (100, 8)), 0.10, 0.70, 0.008, 55, 2000
    ),
    ReamerKind.COATED_CARBIDE: _ReamerBuild(
        ((5, 4), (20, 6), (100, 8)), 0.08, 0.75, 0.012, 130, 6000
    ),
}


def _between(rows: Rows, diameter: float, column: int) -> float:
    """Return a length straight between the rows, and in proportion beyond the last."""
    x = [row[0] for row in rows]
    y = [row[column] for row in rows]
    beyond = max(diameter / x[-1], 1.0)
    return round(float(np.interp(diameter, x, y)) * beyond, 1)


def _price(at_8: float, diameter: float, power: float) -> float:
    """Return a price class: two significant digits, dearer with size. [currency]"""
    return float(f"{at_8 * max(diameter / 8, 0.5) ** power:.2g}")


def typical_drill(id: str, kind: DrillKind, DC: Known, *, owned: bool = True) -> Drill:
    """Return a drill of usual build.

    Parameters
    ----------
    id : str
        Name in the tool room.
    kind : DrillKind
        Geometry and tool material.
    DC : Known
        Cutting diameter. [mm]
    owned : bool
        Whether it lies in the drawer.
    """
    build = _DRILLS[kind]
    return Drill(
        id=id,
        kind=kind,
        DC=DC,
        LU=_between(build.rows, DC.value, 1),
        OAL=_between(build.rows, DC.value, 2),
        SIG=build.SIG,
        coolant_through=build.coolant_through and DC.value >= 3,
        price=_price(build.price_at_8, DC.value, build.price_power),
        owned=owned,
    )


def typical_reamer(
    id: str,
    label: str,
    kind: ReamerKind,
    DC: Known,
    *,
    helix: Helix = Helix.STRAIGHT,
    coolant_exit: CoolantExit = CoolantExit.NONE,
    owned: bool = True,
) -> Reamer:
    """Return a reamer of usual build.

    Parameters
    ----------
    id : str
        Name in the tool room.
    label : str
        What is etched on it.
    kind : ReamerKind
        Tool material and build.
    DC : Known
        Cutting diameter behind the lead. [mm]
    helix : Helix
        Flute hand.
    coolant_exit : CoolantExit
        Where coolant leaves it.
    owned : bool
        Whether it lies in the drawer.
    """
    build, diameter = _REAMERS[kind], DC.value
    if kind is ReamerKind.COATED_CARBIDE:
        OAL, LU = 36 + 8 * diameter, 10 + 5 * diameter
    else:
        OAL = _between(_HSS_REAMER_OAL, diameter, 2)
        LU = _OUT_OF_HOLDER * OAL
    return Reamer(
        id=id,
        label=label,
        kind=kind,
        DC=DC,
        ZEFP=next((z for top, z in build.teeth if diameter <= top + 0.1), build.teeth[-1][1]),
        KAPR=45.0,
        lead=round(max(0.4, build.lead_share * diameter), 1),
        LU=round(LU, 1),
        OAL=round(OAL, 1),
        DMM=round(0.9 * diameter, 1),
        helix=helix,
        coolant_exit=coolant_exit,
        core=build.core,
        edge_radius=build.edge_radius,
        price=_price(build.price_at_8, diameter, 1.2),
        life_holes=Known(
            build.life_holes, Tag.ASSUMED, "own-judgement", _LIFE_U * build.life_holes
        ),
        owned=owned,
    )
