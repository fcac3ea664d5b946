"""What the pages of the tool room ask for, and how they say a tool."""

from __future__ import annotations

from enum import StrEnum

from markupsafe import Markup

from holewright.gauging.pin_size import pin_size
from holewright.records.tool_entries import ToolKind
from holewright.records.tool_room import Tool
from holewright.shop.drill import Drill, DrillKind
from holewright.shop.holder import Holder, HolderKind
from holewright.shop.machine import Machine
from holewright.shop.pin import BoreGauge, InstrumentKind, Pin, Sense
from holewright.shop.reamer import CoolantExit, Helix, Reamer, ReamerKind
from holewright.web.shown import Shown

SLUGS = {
    "machines": ToolKind.MACHINE,
    "holders": ToolKind.HOLDER,
    "drills": ToolKind.DRILL,
    "reamers": ToolKind.REAMER,
    "pins": ToolKind.PIN,
    "bore-gauges": ToolKind.BORE_GAUGE,
}
"""Word of the address -> kind of tool."""

_UNITS = (("", "choose"), ("mm", "mm"), ("in", "in"))


def _words(kinds: type[StrEnum]) -> tuple[tuple[str, str], ...]:
    return tuple((str(one), str(one)) for one in kinds)


Ask = tuple[str, str, str, tuple[tuple[str, str], ...]]
"""Field, label, example, and the choices of a list; no choices: free text."""

ASKS: dict[ToolKind, tuple[Ask, ...]] = {
    ToolKind.MACHINE: (
        ("id", "Name", "mill 3", ()),
        ("n_max", "Greatest speed, 1/min", "12000", ()),
        ("power", "Power", "15 kW", ()),
        ("coolants", "Coolant, as it comes", "soluble 8 %, through, 40 bar", ()),
        ("n_min", "Least speed, 1/min", "60", ()),
        ("torque", "Greatest torque", "95 N·m", ()),
        ("thrust", "Greatest feed force", "8 kN", ()),
        ("feed_max", "Greatest feed", "15 m/min", ()),
        ("rapid", "Rapid", "36 m/min", ()),
        ("tool_change_s", "Tool change, s", "4", ()),
        ("rate", "Cost of an hour", "85", ()),
        ("spindle_tir_measured", "Spindle runout, measured", "2 µm", ()),
        ("can_bore", "A boring head can be set", "", (("", "no"), ("yes", "yes"))),
    ),
    ToolKind.HOLDER: (
        ("id", "Name", "hydraulic 12", ()),
        ("kind", "Kind", "", _words(HolderKind)),
        ("tir_measured", "Runout at the reamer's lead, measured", "3 µm", ()),
        ("DMM_min", "Shanks from", "6 mm", ()),
        ("DMM_max", "Shanks to", "20 mm", ()),
    ),
    ToolKind.DRILL: (
        ("label", "Etched on it", "7.75 mm, F, 5/16", ()),
        ("kind", "Kind", "", _words(DrillKind)),
        ("unit", "Unit", "", _UNITS),
        ("measured", "Measured", "7.764", ()),
        ("LU", "Usable length", "", ()),
        ("coolant_through", "Coolant through it", "", (("", "no"), ("yes", "yes"))),
        ("price", "Price", "", ()),
        ("id", "Name, if it needs one", "D 7.75 C", ()),
    ),
    ToolKind.REAMER: (
        ("label", "Etched on it", "8 H7, .3130", ()),
        ("kind", "Kind", "", _words(ReamerKind)),
        ("unit", "Unit", "", _UNITS),
        ("measured", "Measured behind the lead", "8.009", ()),
        ("u", "Standard uncertainty of that", "1 µm", ()),
        ("ZEFP", "Cutting edges (ZEFP)", "6", ()),
        ("helix", "Flutes", "", _words(Helix)),
        ("coolant_exit", "Coolant comes out at", "", _words(CoolantExit)),
        ("LU", "Usable length", "", ()),
        ("life_holes", "Holes it usually makes", "", ()),
        ("price", "Price", "", ()),
        ("id", "Name, if it needs one", "R 8-1", ()),
    ),
    ToolKind.PIN: (
        ("marked", "Marked", "8.01", ()),
        ("unit", "Unit", "", _UNITS),
        ("sense", "Plus or minus", "", _words(Sense)),
        ("grade", "Class", "ZZ", ()),
        ("calibrated", "Calibrated size", "8.0094", ()),
        ("u", "Standard uncertainty of that", "0.5 µm", ()),
        ("id", "Name, if it needs one", "", ()),
    ),
    ToolKind.BORE_GAUGE: (
        ("id", "Name", "three-point 6-12", ()),
        ("kind", "Kind", "", _words(InstrumentKind)),
        ("resolution", "Smallest step", "1 µm", ()),
        ("u", "Standard uncertainty of a reading", "1.5 µm", ()),
    ),
}
"""What the form of each kind asks for; a CSV file may say more."""

SET_ASKS: tuple[Ask, ...] = (
    ("first", "First", "7.90", ()),
    ("last", "Last", "8.10", ()),
    ("step", "Step", "0.01", ()),
    ("unit", "Unit", "", _UNITS),
    ("sense", "Plus or minus", "", _words(Sense)),
    ("grade", "Class", "ZZ", ()),
    ("missing", "Lost ones", "7.96 8.03", ()),
)


def tool_words(tool: Tool, q: Shown) -> Markup:
    """Return what a tool is, with the numbers that matter first.

    Parameters
    ----------
    tool : Machine, Holder, Drill, Reamer, Pin or BoreGauge
        The tool.
    q : Shown
        Unit that comes first.
    """
    match tool:
        case Machine():
            return Markup("{:,.0f} 1/min, {:g} kW, runout {}").format(
                tool.n_max, tool.power / 1000, q.small(tool.spindle_tir.value)
            )
        case Holder():
            return Markup("{}, runout {} {}").format(
                tool.kind, q.small(tool.tir.value), tool.tir.tag
            )
        case Drill():
            return Markup("{}, {} {}").format(tool.kind, q.size(tool.DC.value), tool.DC.tag)
        case Reamer():
            return Markup("{}, {} edges, {} {}, etched {}").format(
                tool.kind, tool.ZEFP, q.size(tool.DC.value), tool.DC.tag, tool.label
            )
        case Pin():
            size = pin_size(tool)
            how = "calibrated" if tool.calibrated else f"class {tool.grade}"
            return Markup("{} pin, {}: true size {}").format(
                tool.sense, how, q.between(size.smallest(), size.largest())
            )
        case BoreGauge():
            return Markup("{}, step {}, u {}").format(
                tool.kind, q.small(tool.resolution), q.small(tool.u.value)
            )
    return Markup("")  # pragma: no cover
