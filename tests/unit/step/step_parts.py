"""Solids with known holes, built by the geometry library and written as STEP files."""

from __future__ import annotations

import math
from pathlib import Path

from OCP.BRep import BRep_Builder
from OCP.BRepAlgoAPI import BRepAlgoAPI_Cut, BRepAlgoAPI_Fuse
from OCP.BRepBuilderAPI import BRepBuilderAPI_Transform
from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox, BRepPrimAPI_MakeCone, BRepPrimAPI_MakeCylinder
from OCP.gp import gp_Ax1, gp_Ax2, gp_Dir, gp_Pnt, gp_Trsf
from OCP.IFSelect import IFSelect_RetDone
from OCP.Interface import Interface_Static
from OCP.Message import Message
from OCP.STEPControl import STEPControl_AsIs, STEPControl_Writer
from OCP.TopoDS import TopoDS_Compound

DOWN = (0.0, 0.0, -1.0)


def block(x, y, z, at=(0.0, 0.0, 0.0)):
    """A block with its upper face at Z0, or elsewhere."""
    low = gp_Pnt(at[0], at[1], at[2] - z)
    return BRepPrimAPI_MakeBox(low, gp_Pnt(at[0] + x, at[1] + y, at[2])).Shape()


def cylinder(at, way, diameter, length):
    return BRepPrimAPI_MakeCylinder(gp_Ax2(gp_Pnt(*at), gp_Dir(*way)), diameter / 2, length).Shape()


def cone(at, way, first, last, length):
    axis = gp_Ax2(gp_Pnt(*at), gp_Dir(*way))
    return BRepPrimAPI_MakeCone(axis, first / 2, last / 2, length).Shape()


def cut(body, *tools):
    for tool in tools:
        body = BRepAlgoAPI_Cut(body, tool).Shape()
    return body


def joined(*bodies):
    body = bodies[0]
    for other in bodies[1:]:
        body = BRepAlgoAPI_Fuse(body, other).Shape()
    return body


def together(bodies):
    """Bodies that don't touch as one, so that they are cut in one go."""
    builder, compound = BRep_Builder(), TopoDS_Compound()
    builder.MakeCompound(compound)
    for body in bodies:
        builder.Add(compound, body)
    return compound


def drill(at, diameter, depth, *, way=DOWN, point=118.0):
    """A blind hole as a drill leaves it, begun 5 mm above its entry."""
    start = tuple(a - 5 * w for a, w in zip(at, way, strict=True))
    bottom = tuple(a + depth * w for a, w in zip(at, way, strict=True))
    tip = diameter / 2 / math.tan(math.radians(point / 2))
    return joined(cylinder(start, way, diameter, depth + 5), cone(bottom, way, diameter, 0.0, tip))


def turned(body, axis, degrees, at=(0.0, 0.0, 0.0)):
    turn = gp_Trsf()
    turn.SetRotation(gp_Ax1(gp_Pnt(*at), gp_Dir(*axis)), math.radians(degrees))
    return BRepBuilderAPI_Transform(body, turn, True).Shape()


def write(path: Path, *bodies, schema="AP214IS", unit="MM") -> Path:
    Message.DefaultMessenger_s().ChangePrinters().Clear()
    writer = STEPControl_Writer()
    Interface_Static.SetCVal_s("write.step.schema", schema)
    Interface_Static.SetCVal_s("write.step.unit", unit)
    for body in bodies:
        writer.Transfer(body, STEPControl_AsIs)
    assert writer.Write(str(path)) == IFSelect_RetDone
    Interface_Static.SetCVal_s("write.step.schema", "AP214IS")
    Interface_Static.SetCVal_s("write.step.unit", "MM")
    return path
