"""How the holes of one part lie to each other: which cross, and what is left between them."""

from __future__ import annotations

import math
from collections.abc import Sequence

from holewright.callout.callout import CrossBore
from holewright.callout.found_hole import FoundHole, Vector

_SAME = 1e-3
"""Lengths closer than this are one. [mm]"""
_PARALLEL = 1e-9
"""Square of the sine below which two axes are parallel."""


def crossings(i: int, holes: Sequence[FoundHole]) -> tuple[list[CrossBore], list[int]]:
    """Return the bores that cross a hole, by depth, and the indices of their holes.

    Parameters
    ----------
    i : int
        Index of the hole.
    holes : sequence of FoundHole
        Holes of one solid, with their depths.
    """
    found = []
    for j, other in enumerate(holes):
        depth = None if j == i else _crossing_depth(holes[i], other)
        if depth is not None:
            found.append((depth, j))
    found.sort()
    bores = [CrossBore(holes[j].diameter, round(depth, 3)) for depth, j in found]
    return bores, [j for _, j in found]


def walls_between(i: int, holes: Sequence[FoundHole], crossing: Sequence[int]) -> list[float]:
    """Return what is left between a hole and each other that passes beside it. [mm]

    Parameters
    ----------
    i : int
        Index of the hole.
    holes : sequence of FoundHole
        Holes of one solid, with their depths.
    crossing : sequence of int
        Indices of those that cross it.
    """
    walls = []
    for j, other in enumerate(holes):
        if j != i and j not in crossing:
            apart = _apart(holes[i], other)
            if apart is not None:
                walls.append(round(apart - (holes[i].diameter + other.diameter) / 2, 3))
    return [wall for wall in walls if wall > 0]


def _crossing_depth(hole: FoundHole, other: FoundHole) -> float | None:
    """Return the depth at which another hole breaks into a hole, if it does."""
    nearest = _nearest(hole, other)
    if nearest is None:
        return None
    t, s, apart = nearest
    if apart > (hole.diameter + other.diameter) / 2:
        return None
    half = hole.diameter / 2
    if -_SAME <= t <= _length(hole) + _SAME and -half <= s <= _length(other) + half:
        return max(t, 0.0)
    return None


def _apart(hole: FoundHole, other: FoundHole) -> float | None:
    """Return the distance of two axes where both holes pass; None where they don't. [mm]"""
    nearest = _nearest(hole, other)
    if nearest is not None:
        t, s, apart = nearest
        return apart if 0 <= t <= _length(hole) and 0 <= s <= _length(other) else None
    between = _minus(other.entry, hole.entry)
    ends = sorted(
        _dot(_minus(_at(other, s), hole.entry), hole.direction) for s in (0.0, _length(other))
    )
    if ends[0] > _length(hole) or ends[1] < 0:
        return None  # one behind the other
    return math.hypot(*_cross(between, hole.direction))


def _nearest(hole: FoundHole, other: FoundHole) -> tuple[float, float, float] | None:
    """Return the depths at which two axes come nearest, and how near; None if parallel."""
    across = _cross(hole.direction, other.direction)
    square = _dot(across, across)
    if square < _PARALLEL:
        return None
    between = _minus(other.entry, hole.entry)
    t = _dot(_cross(between, other.direction), across) / square
    s = _dot(_cross(between, hole.direction), across) / square
    return t, s, abs(_dot(between, across)) / math.sqrt(square)


def _length(hole: FoundHole) -> float:
    return (hole.depth or 0.0) + hole.point


def _at(hole: FoundHole, depth: float) -> Vector:
    x, y, z = (e + depth * d for e, d in zip(hole.entry, hole.direction, strict=True))
    return x, y, z


def _minus(a: Vector, b: Vector) -> Vector:
    return a[0] - b[0], a[1] - b[1], a[2] - b[2]


def _dot(a: Vector, b: Vector) -> float:
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def _cross(a: Vector, b: Vector) -> Vector:
    return (
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    )
