"""Holes found in a model or listed in a table: where they are, and which belong together."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

from holewright.callout.callout import CrossBore, HoleKind
from holewright.callout.pattern import Holes

Vector = tuple[float, float, float]

DOWN: Vector = (0.0, 0.0, -1.0)
"""Into the top of a part: the way a vertical machine drills."""
SAME_SIZE = 0.002
"""Diameters closer than this are one size: models and tables are rounded. [mm]"""
SAME_LEVEL = 0.01
"""Entry faces closer than this lie at one height. [mm]"""
SAME_WAY = 0.05
"""Directions closer than this are one. [deg]"""


@dataclass(frozen=True)
class FoundHole:
    """One cylindrical hole.

    Parameters
    ----------
    name : str
        Its number, or its name in a table.
    entry : tuple of float
        Where its axis goes through the entry face. [mm]
    direction : tuple of float
        Unit vector along the axis, into the material.
    diameter : float
        Diameter. [mm]
    depth : float, optional
        From the entry face to the end of the full diameter; None where nobody says. [mm]
    kind : HoleKind, optional
        Through or blind; None where nobody says.
    point : float
        How far the floor's point reaches beyond the full diameter; 0 for flat or through. [mm]
    entry_slope : float
        Angle between the axis and the normal of the entry face. [deg]
    exit_slope : float
        The same at the far face of a through hole. [deg]
    chamfer : float, optional
        Diameter of the chamfer or countersink at the entry. [mm]
    cross_bores : tuple of CrossBore
        Bores that cross it, by depth.
    gaps : tuple of (float, float)
        Depths between which the hole has no wall at all. [mm]
    wall : float, optional
        Thinnest wall left beside it, not counting entry, exit and crossing bores. [mm]
    callout : str
        Callout, where a table says it.
    """

    name: str
    entry: Vector
    direction: Vector
    diameter: float
    depth: float | None = None
    kind: HoleKind | None = None
    point: float = 0.0
    entry_slope: float = 0.0
    exit_slope: float = 0.0
    chamfer: float | None = None
    cross_bores: tuple[CrossBore, ...] = ()
    gaps: tuple[tuple[float, float], ...] = ()
    wall: float | None = None
    callout: str = ""

    @property
    def point_angle(self) -> float | None:
        """Included angle of the floor's point; None for a flat or an open end. [deg]"""
        if self.point < SAME_SIZE:
            return None
        return 2 * math.degrees(math.atan(self.diameter / 2 / self.point))


@dataclass(frozen=True)
class HoleGroup:
    """Holes of one size that are made from one side and begin at one height.

    Parameters
    ----------
    name : str
        Its letter.
    diameter : float
        Diameter of the first of them. [mm]
    direction : tuple of float
        Unit vector into the material.
    kind : HoleKind, optional
        Through or blind.
    holes : tuple of FoundHole
        Its holes.
    """

    name: str
    diameter: float
    direction: Vector
    kind: HoleKind | None
    holes: tuple[FoundHole, ...] = field(default=())

    @property
    def places(self) -> Holes:
        """Centres as a machine sees them that drills along the direction. [mm]"""
        return tuple(seen_along(hole.entry, self.direction)[:2] for hole in self.holes)

    @property
    def level(self) -> float:
        """Height of their entry faces against the drilling direction. [mm]"""
        return seen_along(self.holes[0].entry, self.direction)[2]

    @property
    def depth(self) -> float | None:
        """Greatest depth among them; None where none is known. [mm]"""
        return max((hole.depth for hole in self.holes if hole.depth is not None), default=None)

    @property
    def wall(self) -> float | None:
        """Thinnest wall beside any of them; None where none is known. [mm]"""
        return min((hole.wall for hole in self.holes if hole.wall is not None), default=None)

    @property
    def slope(self) -> float:
        """Greatest slope of an entry face. [deg]"""
        return max(hole.entry_slope for hole in self.holes)

    @property
    def cross_bores(self) -> tuple[CrossBore, ...]:
        """Crossing bores of the hole that has most of them."""
        return max((hole.cross_bores for hole in self.holes), key=len)

    @property
    def way(self) -> str:
        """The direction: ``-Z`` and the like, or its three parts."""
        for axis, letter in enumerate("XYZ"):
            if abs(abs(self.direction[axis]) - 1) < 1e-6:
                sign = "+" if self.direction[axis] > 0 else "-"
                return f"{sign}{letter}"
        return " ".join(f"{part:.3f}" for part in self.direction)


def group_holes(holes: Sequence[FoundHole]) -> tuple[HoleGroup, ...]:
    """Return the holes by direction, height of the entry face, size, kind and callout.

    Parameters
    ----------
    holes : sequence of FoundHole
        Holes of one part.

    Returns
    -------
    tuple of HoleGroup
        Largest group first within each direction, those drilled straight down before others;
        named A, B, C … in that order.
    """
    groups: list[list[FoundHole]] = []
    for hole in holes:
        for group in groups:
            if _belongs(hole, group[0]):
                group.append(hole)
                break
        else:
            groups.append([hole])
    groups.sort(key=lambda group: (_angle(group[0].direction, DOWN), -len(group)))
    return tuple(
        HoleGroup(_letters(i), group[0].diameter, group[0].direction, group[0].kind, tuple(group))
        for i, group in enumerate(groups)
    )


def _belongs(hole: FoundHole, other: FoundHole) -> bool:
    return (
        abs(hole.diameter - other.diameter) <= SAME_SIZE
        and _angle(hole.direction, other.direction) <= SAME_WAY
        and hole.kind == other.kind
        and hole.callout == other.callout
        and abs(_level(hole) - _level(other)) <= SAME_LEVEL
    )


def _level(hole: FoundHole) -> float:
    return seen_along(hole.entry, hole.direction)[2]


def _angle(a: Vector, b: Vector) -> float:
    """Return the angle between two unit vectors. [deg]"""
    # By the half chord: arccos loses its digits where the vectors are alike.
    chord = math.dist(a, b)
    return math.degrees(2 * math.asin(min(chord / 2, 1.0)))


def _letters(number: int) -> str:
    """Return A … Z, AA, AB …"""
    name = ""
    number += 1
    while number:
        number, rest = divmod(number - 1, 26)
        name = chr(ord("A") + rest) + name
    return name


def seen_along(point: Vector, direction: Vector) -> Vector:
    """Return a point as a machine sees it whose Z points against the drilling direction.

    X stays X where it can: it is the part's X turned into the plane, or the part's Y where
    the holes go along X. The part zero stays zero.

    Parameters
    ----------
    point : tuple of float
        Point of the part. [mm]
    direction : tuple of float
        Unit vector of the drilling direction.

    Examples
    --------
    >>> seen_along((3.0, 4.0, 5.0), (0.0, 0.0, -1.0))
    (3.0, 4.0, 5.0)
    >>> seen_along((3.0, 4.0, 5.0), (0.0, 0.0, 1.0))
    (3.0, -4.0, -5.0)
    """
    z = tuple(-part for part in direction)
    start = (1.0, 0.0, 0.0) if abs(z[0]) < 0.9 else (0.0, 1.0, 0.0)
    along = sum(a * b for a, b in zip(start, z, strict=True))
    x = tuple(a - along * b for a, b in zip(start, z, strict=True))
    length = math.hypot(*x)
    x = tuple(part / length for part in x)
    y = (z[1] * x[2] - z[2] * x[1], z[2] * x[0] - z[0] * x[2], z[0] * x[1] - z[1] * x[0])
    u, v, w = (sum(a * b for a, b in zip(point, axis, strict=True)) for axis in (x, y, z))
    return round(u, 6) + 0.0, round(v, 6) + 0.0, round(w, 6) + 0.0
