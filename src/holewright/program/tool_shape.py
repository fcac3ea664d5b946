"""The shape of a tool in its holder, out of the tool room."""

from __future__ import annotations

from collections.abc import Sequence

from holewright.planning.plan import Operation
from holewright.program.collision import ToolShape
from holewright.shop.shop import Shop

_CLAMPED = 3.0
"""Shank diameters on which a tool is clamped (common practice, no source). [-]"""
_NOSE = 40.0
"""Nose of a holder that nobody named (common practice, no source). [mm]"""


def tool_shapes(operations: Sequence[Operation], shop: Shop) -> dict[str, ToolShape]:
    """Return the shapes of the tools that the tool room knows, by name.

    Parameters
    ----------
    operations : sequence of Operation
        What is to be done; tools that the tool room doesn't have are left out.
    shop : Shop
        The tool room.

    Notes
    -----
    A drill is taken to have a shank as thick as its cutting diameter. Every tool sticks out
    of its holder by its overall length less three shank diameters, never less than its usable
    length.
    """
    drills = {drill.id: drill for drill in shop.drills}
    reamers = {reamer.id: reamer for reamer in shop.reamers}
    noses = {holder.id: holder.BD for holder in shop.holders}
    shapes = {}
    for operation in operations:
        tool = drills.get(operation.tool) or reamers.get(operation.tool)
        if tool is None or operation.by_hand:
            continue
        diameter = tool.DC.value
        shank = reamers[tool.id].DMM if tool.id in reamers else diameter
        shapes[tool.id] = ToolShape(
            tool.id,
            DC=diameter,
            LU=tool.LU,
            DMM=shank,
            LPR=max(tool.OAL - _CLAMPED * shank, tool.LU),
            BD=noses.get(operation.holder, _NOSE),
        )
    return shapes
