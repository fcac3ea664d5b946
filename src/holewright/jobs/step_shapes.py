"""Opens a STEP file and hands out its solids: turned faces, what touches them, what a ray hits.

The only module that knows the geometry library (Open CASCADE, through OCP); it comes with the
extra ``holewright[step]``.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from holewright.callout.found_hole import Vector
from holewright.errors import InputError

try:
    from OCP.BRepAdaptor import BRepAdaptor_Curve, BRepAdaptor_Surface
    from OCP.BRepClass3d import BRepClass3d_SolidClassifier
    from OCP.GeomAbs import GeomAbs_Cone, GeomAbs_Cylinder
    from OCP.gp import gp_Dir, gp_Lin, gp_Pnt, gp_Vec
    from OCP.IFSelect import IFSelect_RetDone
    from OCP.IntCurvesFace import IntCurvesFace_ShapeIntersector
    from OCP.IntCurveSurface import IntCurveSurface_Out
    from OCP.Message import Message
    from OCP.ShapeAnalysis import ShapeAnalysis_Surface
    from OCP.STEPControl import STEPControl_Reader
    from OCP.TopAbs import TopAbs_EDGE, TopAbs_FACE, TopAbs_IN, TopAbs_REVERSED, TopAbs_SOLID
    from OCP.TopExp import TopExp_Explorer
    from OCP.TopoDS import TopoDS
except ImportError as error:
    MISSING: ImportError | None = error
    """Why STEP can't be read here; None where it can."""
else:
    MISSING = None

_TOLERANCE = 1e-6
_ON_EDGE = 9
"""Points at which an edge is looked at. [-]"""


@dataclass(frozen=True)
class TurnedFace:
    """A cylindrical or conical face.

    Parameters
    ----------
    index : int
        Its number among the faces of the solid.
    is_cone : bool
        Cone, or cylinder.
    origin, axis : tuple of float
        A point of its axis [mm], and its direction. [mm]
    x, y : tuple of float
        Unit vectors from which its angles are counted.
    low, high : float
        Its ends along the axis, from the origin. [mm]
    radius_low, radius_high : float
        Radius there. [mm]
    arc : tuple of float
        Angles between which it reaches. [rad]
    hollow : bool
        Whether the material lies outside it.
    """

    index: int
    is_cone: bool
    origin: Vector
    axis: Vector
    x: Vector
    y: Vector
    low: float
    high: float
    radius_low: float
    radius_high: float
    arc: tuple[float, float]
    hollow: bool


@dataclass(frozen=True)
class Hit:
    """What a ray meets first: how far away, which face, and whether it leaves the material."""

    distance: float
    face: int
    leaves: bool


class Solid:
    """One solid of a model."""

    def __init__(self, shape: Any) -> None:
        self._faces = [_face(shape) for shape in _explore(shape, TopAbs_FACE)]
        self._numbers = _Numbers(self._faces)
        self._classifier = BRepClass3d_SolidClassifier(shape)
        self._intersector = IntCurvesFace_ShapeIntersector()
        self._intersector.Load(shape, _TOLERANCE)
        self._edges = _shared_edges(self._faces)
        self.turned = tuple(_turned_faces(self._faces))

    def is_material(self, point: Vector) -> bool:
        """Return whether a point lies inside the material."""
        self._classifier.Perform(gp_Pnt(*point), _TOLERANCE)
        return bool(self._classifier.State() == TopAbs_IN)

    def first_hit(self, start: Vector, direction: Vector) -> Hit | None:
        """Return what a ray meets first, if anything."""
        line = gp_Lin(gp_Pnt(*start), gp_Dir(*direction))
        self._intersector.PerformNearest(line, _TOLERANCE, 1e5)
        if self._intersector.NbPnt() == 0:
            return None
        return Hit(
            self._intersector.WParameter(1),
            self._numbers.of(self._intersector.Face(1)),
            self._intersector.Transition(1) == IntCurveSurface_Out,
        )

    def neighbours(self, face: int) -> set[int]:
        """Return the faces that share an edge with a face."""
        return {other for pair in self._edges if face in pair for other in pair} - {face}

    def along_edge(self, face: int, other: int) -> list[tuple[Vector, Vector]]:
        """Return points of the edges between two faces, each with the normal of the second."""
        found = []
        surface = BRepAdaptor_Surface(self._faces[other])
        flip = -1.0 if self._faces[other].Orientation() == TopAbs_REVERSED else 1.0
        analysis = ShapeAnalysis_Surface(surface.Surface().Surface().Transformed(surface.Trsf()))
        for edge in self._edges.get((min(face, other), max(face, other)), ()):
            curve = BRepAdaptor_Curve(edge)
            first, last = curve.FirstParameter(), curve.LastParameter()
            for i in range(_ON_EDGE):
                point = curve.Value(first + (last - first) * i / (_ON_EDGE - 1))
                uv = analysis.ValueOfUV(point, _TOLERANCE)
                found.append((_tuple(point), _normal(surface, uv.X(), uv.Y(), flip)))
        return found


def read_solids(path: Path) -> list[Solid]:
    """Return the solids of a STEP file, in mm whatever its unit.

    Parameters
    ----------
    path : Path
        A file of ISO 10303-21: AP203, AP214 or AP242.

    Raises
    ------
    InputError
        If it isn't one, or has no solid.
    """
    printers = Message.DefaultMessenger_s().ChangePrinters()
    printers.Clear()  # its reports would go to standard output, between ours
    reader = STEPControl_Reader()
    if reader.ReadFile(str(path)) != IFSelect_RetDone:
        raise InputError("STEP file", path, "must be a file of ISO 10303-21 that can be read")
    reader.TransferRoots()
    solids = [Solid(shape) for shape in _explore(reader.OneShape(), TopAbs_SOLID)]
    if not solids:
        raise InputError("STEP file", path, "must have a solid; surfaces alone have no inside")
    return solids


def _explore(shape: Any, kind: Any) -> Iterator[Any]:
    explorer = TopExp_Explorer(shape, kind)
    while explorer.More():
        yield explorer.Current()
        explorer.Next()


def _face(shape: Any) -> Any:
    return TopoDS.Face(shape) if hasattr(TopoDS, "Face") else TopoDS.Face_s(shape)


def _edge(shape: Any) -> Any:
    return TopoDS.Edge(shape) if hasattr(TopoDS, "Edge") else TopoDS.Edge_s(shape)


class _Numbers:
    """Numbers of shapes, found again whichever way they are turned."""

    def __init__(self, shapes: list[Any]) -> None:
        self._known: dict[int, list[tuple[Any, int]]] = {}
        for number, shape in enumerate(shapes):
            self._known.setdefault(hash(shape), []).append((shape, number))

    def of(self, shape: Any) -> int:
        """Return the number of a shape; -1 where it isn't known."""
        known = self._known.get(hash(shape), ())
        return next((number for other, number in known if other.IsSame(shape)), -1)


def _shared_edges(faces: list[Any]) -> dict[tuple[int, int], list[Any]]:
    """Return the edges between each two faces that touch."""
    touching: dict[int, list[tuple[Any, set[int]]]] = {}
    for number, face in enumerate(faces):
        for shape in _explore(face, TopAbs_EDGE):
            for edge, owners in touching.setdefault(hash(shape), []):
                if edge.IsSame(shape):
                    owners.add(number)
                    break
            else:
                touching[hash(shape)].append((_edge(shape), {number}))
    shared: dict[tuple[int, int], list[Any]] = {}
    for entries in touching.values():
        for edge, owners in entries:
            if len(owners) == 2:
                first, second = sorted(owners)
                shared.setdefault((first, second), []).append(edge)
    return shared


def _turned_faces(faces: list[Any]) -> Iterator[TurnedFace]:
    for number, face in enumerate(faces):
        surface = BRepAdaptor_Surface(face)
        kind = surface.GetType()
        if kind == GeomAbs_Cylinder:
            body, slope = surface.Cylinder(), 0.0
            radius = body.Radius()
        elif kind == GeomAbs_Cone:
            body, slope = surface.Cone(), surface.Cone().SemiAngle()
            radius = body.RefRadius()
        else:
            continue
        v = (surface.FirstVParameter(), surface.LastVParameter())
        ends = sorted((w * math.cos(slope), abs(radius + w * math.sin(slope))) for w in v)
        frame = body.Position()
        is_reversed = face.Orientation() == TopAbs_REVERSED
        yield TurnedFace(
            number,
            kind == GeomAbs_Cone,
            _tuple(body.Location()),
            _tuple(body.Axis().Direction()),
            _tuple(frame.XDirection()),
            _tuple(frame.YDirection()),
            ends[0][0],
            ends[1][0],
            ends[0][1],
            ends[1][1],
            (surface.FirstUParameter(), surface.LastUParameter()),
            is_reversed == frame.Direct(),
        )


def _normal(surface: Any, u: float, v: float, flip: float) -> Vector:
    """Return the unit normal of a face that points out of the material."""
    point, along_u, along_v = gp_Pnt(), gp_Vec(), gp_Vec()
    surface.D1(u, v, point, along_u, along_v)
    normal = along_u.Crossed(along_v)
    if normal.Magnitude() < _TOLERANCE:
        return (0.0, 0.0, 0.0)
    normal.Multiply(flip / normal.Magnitude())
    return _tuple(normal)


def _tuple(vector: Any) -> Vector:
    return vector.X(), vector.Y(), vector.Z()
