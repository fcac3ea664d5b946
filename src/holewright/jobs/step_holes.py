"""Finds the cylindrical holes of a solid: axis, size, ends, entry, crossing bores, walls."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from holewright.callout.callout import HoleKind
from holewright.callout.found_hole import FoundHole, Vector
from holewright.callout.hole_neighbours import crossings, walls_between
from holewright.jobs.step_shapes import Solid, TurnedFace

_SAME = 1e-3
"""Lengths closer than this are one. [mm]"""
_PARALLEL = 1e-5
_ROUND = 72
"""Directions in which the wall of a bore is looked for. [-]"""
_LEAST_ROUND = 200.0
"""A bore that reaches less far round is the end of a slot, or a fillet. [deg]"""
_LOOKS = 16
_LEVELS = (0.1, 0.5, 0.9)
"""Where walls are measured: directions, and shares of the depth. [-]"""

Array = NDArray[np.float64]


@dataclass(frozen=True)
class _Bore:
    """Hollow cylinders on one axis: `t` counts along the axis from the origin. [mm]"""

    origin: Array
    axis: Array
    radius: float
    segments: tuple[tuple[float, float], ...]
    faces: tuple[TurnedFace, ...]
    round_deg: float

    @property
    def low(self) -> float:
        return self.segments[0][0]

    @property
    def high(self) -> float:
        return self.segments[-1][1]

    def at(self, t: float) -> Array:
        point: Array = self.origin + t * self.axis
        return point


@dataclass(frozen=True)
class _End:
    """One end of a bore: where the axis ends, open or a floor, and the face around it.

    Parameters
    ----------
    t : float
        Where the axis goes through the face around the end. [mm]
    closed : bool
        Whether a floor closes it.
    point : float
        How far the floor's point reaches beyond. [mm]
    slope : float
        Greatest angle of the face around an open end. [deg]
    chamfer : float, optional
        Diameter of the cone that widens an open end. [mm]
    faces : set of int
        Faces that belong to the end.
    """

    t: float
    closed: bool
    point: float
    slope: float
    chamfer: float | None
    faces: frozenset[int]


def holes_of(solid: Solid) -> list[FoundHole]:
    """Return the holes of one solid, without names.

    Parameters
    ----------
    solid : Solid
        The solid.

    Notes
    -----
    Only true cylinders are found, not splines that look like one. Of a hole that a side wall
    cuts open, more than 200° must be there; it then has a wall of 0. Walls are measured by
    rays at three depths in 16 directions, and finer around the thinnest.
    """
    bores = _bores(solid)
    ends = [(_end(solid, bore, high=False), _end(solid, bore, high=True)) for bore in bores]
    holes, kept = [], []
    for bore, (low, high) in zip(bores, ends, strict=True):
        if low.closed and high.closed:
            continue  # a void that no drill made
        holes.append(_hole(bore, low, high))
        kept.append((bore, low, high))
    found = []
    for i, (hole, (bore, low, high)) in enumerate(zip(holes, kept, strict=True)):
        cross_bores, crossing = crossings(i, holes)
        apart = low.faces | high.faces | _faces(kept, crossing)
        walls = [_wall(solid, bore, hole, apart), *walls_between(i, holes, crossing)]
        found.append(
            replace(
                hole,
                cross_bores=tuple(cross_bores),
                wall=min((wall for wall in walls if wall is not None), default=None),
            )
        )
    return found


def _faces(kept: Sequence[tuple[_Bore, _End, _End]], which: Sequence[int]) -> frozenset[int]:
    return frozenset(face.index for i in which for face in kept[i][0].faces)


def _bores(solid: Solid) -> list[_Bore]:
    """Put the hollow cylinders together that lie on one axis with one radius."""
    clusters: list[list[TurnedFace]] = []
    for face in solid.turned:
        if face.is_cone or not face.hollow:
            continue
        for cluster in clusters:
            if _coaxial(face, cluster[0]) and abs(face.radius_low - cluster[0].radius_low) < _SAME:
                cluster.append(face)
                break
        else:
            clusters.append([face])
    return [bore for cluster in clusters for bore in _split(solid, cluster)]


def _coaxial(face: TurnedFace, other: TurnedFace) -> bool:
    a, b = np.array(face.axis), np.array(other.axis)
    if np.linalg.norm(np.cross(a, b)) > _PARALLEL:
        return False
    between = np.array(face.origin) - np.array(other.origin)
    return bool(np.linalg.norm(between - (between @ b) * b) < _SAME)


def _reach(face: TurnedFace, origin: Array, axis: Array) -> tuple[float, float]:
    """Return the ends of a face along an axis on which it lies."""
    start = float((np.array(face.origin) - origin) @ axis)
    sign = 1.0 if float(np.array(face.axis) @ axis) > 0 else -1.0
    low, high = sorted((start + sign * face.low, start + sign * face.high))
    return low, high


def _split(solid: Solid, cluster: list[TurnedFace]) -> list[_Bore]:
    """Return the bores of one axis: pieces with nothing but air between them are one."""
    origin, axis = np.array(cluster[0].origin), np.array(cluster[0].axis)
    radius = cluster[0].radius_low
    placed = sorted(((_reach(face, origin, axis), face) for face in cluster), key=lambda p: p[0])
    pieces: list[tuple[float, float, list[TurnedFace]]] = []
    for (low, high), face in placed:
        if pieces and low <= pieces[-1][1] + _SAME:
            first, last, faces = pieces[-1]
            pieces[-1] = (first, max(last, high), [*faces, face])
        else:
            pieces.append((low, high, [face]))
    whole = [(p, _round_deg(p[2])) for p in pieces]
    whole = [(p, degrees) for p, degrees in whole if degrees >= _LEAST_ROUND]
    bores: list[_Bore] = []
    for (low, high, faces), degrees in whole:
        bore = _Bore(origin, axis, radius, ((low, high),), tuple(faces), degrees)
        if bores and _is_air(solid, bores[-1], low):
            last_bore = bores[-1]
            bores[-1] = replace(
                last_bore,
                segments=(*last_bore.segments, (low, high)),
                faces=(*last_bore.faces, *faces),
                round_deg=min(last_bore.round_deg, degrees),
            )
        else:
            bores.append(bore)
    return bores


def _round_deg(faces: Sequence[TurnedFace]) -> float:
    """Return how far round the axis faces reach together."""
    x, y = np.array(faces[0].x), np.array(faces[0].y)
    covered = 0
    for k in range(_ROUND):
        angle = 2 * math.pi * (k + 0.5) / _ROUND
        way = math.cos(angle) * x + math.sin(angle) * y
        covered += any(_reaches(face, way) for face in faces)
    return 360.0 * covered / _ROUND


def _reaches(face: TurnedFace, way: Array) -> bool:
    angle = math.atan2(float(way @ np.array(face.y)), float(way @ np.array(face.x)))
    first, last = face.arc
    return (angle - first) % (2 * math.pi) <= last - first + 1e-9


def _is_air(solid: Solid, bore: _Bore, until: float) -> bool:
    """Return whether the axis meets no material between the end of a bore and a height."""
    gap = until - bore.high
    start = bore.at(bore.high + gap * 1e-3)
    if solid.is_material(_vector(start)):
        return False
    hit = solid.first_hit(_vector(start), _vector(bore.axis))
    return hit is None or hit.distance >= gap * (1 - 2e-3)


def _end(solid: Solid, bore: _Bore, *, high: bool) -> _End:
    """Return what one end of a bore is like."""
    t, out = (bore.high, 1.0) if high else (bore.low, -1.0)
    way = out * bore.axis
    own = {face.index for face in bore.faces}
    faces = set[int]()
    for face in own:
        faces |= solid.neighbours(face) - own
    here = {f for f in faces if _touches_end(solid, bore, own, f, t)}
    if _is_closed(solid, bore, t, way):
        point = _point(solid, bore, t, way)
        return _End(t, True, point, 0.0, None, frozenset(here))
    cone = _cone_at(solid, bore, here, way)
    around, around_of = here, own
    if cone is not None:
        around = solid.neighbours(cone.index) - own
        around_of = {cone.index}
    normals = [
        pair
        for face in around
        for of in around_of
        for pair in solid.along_edge(of, face)
        if abs(np.dot(pair[1], bore.axis)) > 0.05
    ]
    slope, at = _slope(bore, way, normals, t)
    chamfer = None if cone is None else 2 * max(cone.radius_low, cone.radius_high)
    return _End(at, False, 0.0, slope, chamfer, frozenset(here | around))


def _touches_end(solid: Solid, bore: _Bore, own: set[int], face: int, t: float) -> bool:
    """Return whether a neighbouring face reaches the very end of the bore."""
    ts = [
        float((np.array(point) - bore.origin) @ bore.axis)
        for of in own
        for point, _ in solid.along_edge(of, face)
    ]
    # A sloped rim is looked at in so few points that its very end may lie between two.
    near = 10 * _SAME + 0.1 * (max(ts) - min(ts))
    return any(abs(at - t) < near for at in ts)


def _point(solid: Solid, bore: _Bore, t: float, way: Array) -> float:
    """Return how far a floor's point reaches beyond the full diameter; 0 for a flat floor.

    The ray goes a little beside the axis, since at the very tip of a cone there is no face to
    hit; at a tenth of the radius a cone is nine tenths as deep.
    """
    aside = bore.at(t) + 0.1 * bore.radius * np.array(bore.faces[0].x) - _SAME * way
    hit = solid.first_hit(_vector(aside), _vector(way))
    point = 0.0 if hit is None else (hit.distance - _SAME) / 0.9
    # Deeper than any point: a smaller bore goes on in the middle of a step.
    return 0.0 if point < _SAME or point > 2 * bore.radius else point


def _is_closed(solid: Solid, bore: _Bore, t: float, way: Array) -> bool:
    """Return whether there is material right behind the rim of an end."""
    across = np.array(bore.faces[0].x), np.array(bore.faces[0].y)
    radius = 0.998 * bore.radius
    beyond = bore.at(t) + 0.01 * bore.radius * way
    found = 0
    for k in range(8):
        angle = 2 * math.pi * (k + 0.37) / 8
        rim = beyond + radius * (math.cos(angle) * across[0] + math.sin(angle) * across[1])
        found += solid.is_material(_vector(rim))
    return found >= 5


def _cone_at(solid: Solid, bore: _Bore, here: set[int], way: Array) -> TurnedFace | None:
    """Return the chamfer or countersink that widens an open end, if there is one."""
    for face in solid.turned:
        if face.index in here and face.is_cone and face.hollow and _coaxial(face, bore.faces[0]):
            wider_out = (face.radius_high > face.radius_low) == (np.dot(face.axis, way) > 0)
            if wider_out:
                return face
    return None


def _slope(
    bore: _Bore, way: Array, normals: Sequence[tuple[Vector, Vector]], t: float
) -> tuple[float, float]:
    """Return the greatest slope of the face around an end, and where the axis meets it."""
    if not normals:
        return 0.0, t
    cosines = [min(abs(float(np.dot(normal, way))), 1.0) for _, normal in normals]
    along = [float((np.array(point) - bore.origin) @ bore.axis) for point, _ in normals]
    slope = math.degrees(math.acos(min(cosines)))
    return (0.0 if slope < 0.01 else slope), (min(along) + max(along)) / 2


def _hole(bore: _Bore, low: _End, high: _End) -> FoundHole:
    """Return a bore as a hole: which end is the entry, and how deep it goes from there."""
    outward_high = _up(bore.axis)
    from_high = low.closed or (not high.closed and outward_high)
    entry, far = (high, low) if from_high else (low, high)
    direction = -bore.axis if from_high else bore.axis
    gaps = [(a[1], b[0]) for a, b in zip(bore.segments, bore.segments[1:], strict=False)]
    depths = [tuple(sorted(abs(t - entry.t) for t in gap)) for gap in gaps]
    return FoundHole(
        name="",
        entry=_vector(bore.at(entry.t)),
        direction=_vector(direction),
        diameter=round(2 * bore.radius, 6),
        depth=round(abs(far.t - entry.t), 6),
        kind=HoleKind.BLIND if far.closed else HoleKind.THROUGH,
        point=round(far.point, 6),
        entry_slope=round(entry.slope, 3),
        exit_slope=round(far.slope, 3),
        chamfer=None if entry.chamfer is None else round(entry.chamfer, 6),
        gaps=tuple((round(a, 3), round(b, 3)) for a, b in sorted(depths)),
        wall=None if bore.round_deg > 359 else 0.0,
    )


def _up(axis: Array) -> bool:
    """Return whether an axis points up: +Z, or else +Y, or else +X."""
    for part in (axis[2], axis[1], axis[0]):
        if abs(part) > 1e-6:
            return bool(part > 0)
    return True


def _wall(solid: Solid, bore: _Bore, hole: FoundHole, apart: frozenset[int]) -> float | None:
    """Return the thinnest wall beside a hole; None where there is nothing beside it."""
    if hole.wall is not None:
        return hole.wall
    x, y = np.array(bore.faces[0].x), np.array(bore.faces[0].y)

    def behind(t: float, angle: float) -> float:
        way = math.cos(angle) * x + math.sin(angle) * y
        start = bore.at(t) + (bore.radius + 0.01 * _SAME) * way
        hit = solid.first_hit(_vector(start), _vector(way))
        if hit is None or not hit.leaves or hit.face in apart:
            return math.inf
        return hit.distance

    step = 2 * math.pi / _LOOKS
    looks = [
        (behind(t, k * step), t, k * step)
        for share in _LEVELS
        for k in range(_LOOKS)
        for t in [bore.low + share * (bore.high - bore.low)]
    ]
    thinnest, t, angle = min(looks)
    if thinnest == math.inf:
        return None
    while step > 0.01:  # then off by 1 part in 20,000 of the distance to the axis
        step /= 2
        thinnest, angle = min((behind(t, angle + k * step), angle + k * step) for k in (-1, 0, 1))
    return round(thinnest, 3)


def _vector(array: Array) -> Vector:
    x, y, z = (round(float(part), 9) + 0.0 for part in array)
    return x, y, z
