"""The setup sheet: all that the machine needs to make the hole, with blanks for the rest."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from holewright.callout.callout import Callout, Limits
from holewright.planning.plan import Operation, OperationKind, Plan
from holewright.program.program import Program
from holewright.sheets.header import SheetHeader
from holewright.sheets.hole_map import hole_map_svg
from holewright.sheets.hole_section import hole_section_svg
from holewright.sheets.render import picture, render
from holewright.sheets.sizes import (
    bare,
    length_pair,
    length_text,
    limit_pair,
    other,
    range_pair,
    size_pair,
    size_text,
    small_pair,
    tool_diameter,
)
from holewright.sheets.words import (
    asked_beside_size,
    cycle_words,
    find_tool,
    tool_words,
)
from holewright.sheets.zone_strip import PinMark, ZoneStrip, forecast_spread, zone_strip_svg
from holewright.shop.coolant import Coolant, Fluid
from holewright.shop.machine import Machine
from holewright.shop.material import Material
from holewright.shop.reamer import Reamer
from holewright.shop.shop import Shop
from holewright.sizing.forecast import Forecast
from holewright.units import Unit, format_feed, format_feed_speed, format_size, format_speed

STOP_RULES = (
    "GO does not go, or NO-GO goes: stop, keep the part, and say so. Nobody argues with a gauge.",
    "All parts since the last good check are held until they are gauged.",
    "Noise, chatter, a chip nest, or chips that change form or colour: stop.",
    "Life count reached, or an edge chipped: change the tool, then prove the first hole again.",
)
"""When to stop; common practice, no source. A shop adds its own."""

_PICTURE = 720.0
_SECTION = 540.0
_MAP = 175.0


@dataclass(frozen=True)
class ToolRow:
    """A line of the tool list; an empty text is a blank to fill in."""

    step: str
    tool: str
    words: str
    DC: str
    label: str
    holder: str
    tir_limit: str
    life: str


@dataclass(frozen=True)
class CutRow:
    """A line of the cutting values; by hand there are no values."""

    step: str
    by_hand: bool
    diameter: str
    full_depth: str
    tip_depth: str
    n: str
    f: str
    v_f: str
    v_c: str
    cycle: str
    text: str


def setup_sheet(
    header: SheetHeader,
    *,
    callout: Callout,
    material: Material,
    machine: Machine,
    coolant: Coolant,
    plan: Plan,
    program: Program | None = None,
    forecast: Forecast | None = None,
    shop: Shop | None = None,
    reamer_limits: Limits | None = None,
    pins: tuple[PinMark, ...] = (),
    stop_rules: Sequence[str] = STOP_RULES,
) -> str:
    """Return the setup sheet as one HTML file that loads nothing and prints on A4 and Letter.

    What nobody has said yet (clamp force, pocket, measured runout, …) is a blank to fill in.

    Parameters
    ----------
    header : SheetHeader
        What identifies the sheet.
    callout : Callout
        What the drawing asks.
    material : Material
        Work material.
    machine : Machine
        Machine.
    coolant : Coolant
        Coolant on it.
    plan : Plan
        What to do; its first route is set up.
    program : Program, optional
        Its program, for the order of the holes and the time.
    forecast : Forecast, optional
        Size that will come; that of the plan otherwise.
    shop : Shop, optional
        Tool room, to say more of tools and holders than their names.
    reamer_limits : Limits, optional
        Limits to which the reamer is made. [mm]
    pins : tuple of PinMark
        GO and NO-GO pins, with their true sizes.
    stop_rules : sequence of str
        When to stop the machine.

    Returns
    -------
    str
        The file.
    """
    unit = header.unit
    foretold = forecast or plan.forecast
    steps = plan.route.operations if plan.route else ()
    strip = ZoneStrip(
        callout.limits,
        unit,
        reamer=reamer_limits,
        spread=forecast_spread(foretold) if foretold else None,
        pins=pins,
    )
    ream = next((o for o in reversed(steps) if o.kind is OperationKind.REAM), None)
    tool = find_tool(shop, ream.tool) if ream else None
    section = hole_section_svg(
        callout,
        plan.route,
        reamer=tool if isinstance(tool, Reamer) else None,
        width=_SECTION,
    )
    holes = program.holes if program else ()
    plan_view = hole_map_svg(holes, unit, diameter=callout.nominal, width=_MAP) if holes else ""
    return render(
        "setup_sheet.html",
        header,
        callout=callout,
        material=material,
        machine=machine,
        coolant=coolant_words(coolant, unit),
        plan=plan,
        program=program,
        limits=(
            limit_pair(callout.limits.lower, unit, lower=True),
            limit_pair(callout.limits.upper, unit, lower=False),
        ),
        tolerance=small_pair(callout.limits.width, unit),
        asked=asked_beside_size(callout),
        units=units_of_columns(unit),
        hardness=hardness_words(material),
        strip=picture(zone_strip_svg(strip, _PICTURE)),
        section=picture(section),
        plan_view=picture(plan_view),
        tools=[tool_row(step, callout, shop, unit) for step in steps if not step.by_hand],
        cuts=[cut_row(step, unit) for step in steps],
        seconds=part_seconds(program),
        clearance=blind_clearance(callout, steps),
        pins=[
            (pin.use, pin.name, f"{pin.sense}, {range_pair(pin.lower, pin.upper, unit)}")
            for pin in pins
        ],
        middle_half=range_pair(
            callout.limits.lower + callout.limits.width / 4,
            callout.limits.upper - callout.limits.width / 4,
            unit,
        ),
        stop_rules=stop_rules,
    )


def tool_row(operation: Operation, callout: Callout, shop: Shop | None, unit: Unit) -> ToolRow:
    """Return a tool as the list shows it; only a measured diameter fills its cell."""
    tool = find_tool(shop, operation.tool)
    measured = tool is not None and tool.DC.is_measured
    reams = operation.kind is OperationKind.REAM
    diameter = (size_pair if reams else _diameter_pair)(operation.diameter, unit)
    label = life = ""
    if isinstance(tool, Reamer):
        label = f"label {tool.label}"
        life = f"{tool.life_holes.value:.0f}, {tool.life_holes.tag}"
    return ToolRow(
        step=str(operation.kind),
        tool=operation.tool,
        words=tool_words(shop, operation),
        DC=size_pair(tool.DC.value, unit) if tool is not None and measured else "",
        label=label or f"Ø{diameter}",
        holder=operation.holder,
        # A third of the tolerance: common practice, no source.
        tir_limit=_tir(callout.limits.width / 3, unit) if reams else "",
        life=life,
    )


def cut_row(operation: Operation, unit: Unit) -> CutRow:
    """Return a step's values in both units."""
    reams = operation.kind is OperationKind.REAM
    return CutRow(
        step=str(operation.kind),
        by_hand=operation.by_hand or not operation.n,
        diameter=_column(size_text if reams else tool_diameter, operation.diameter, unit),
        full_depth=_column(length_text, operation.full_depth, unit),
        tip_depth=_column(length_text, operation.tip_depth, unit),
        n=f"{operation.n:.0f}",
        f=_column(format_feed, operation.f, unit),
        v_f=_column(format_feed_speed, operation.v_f, unit),
        v_c=_column(format_speed, operation.v_c, unit),
        cycle=cycle_words(operation, unit),
        text=operation.text,
    )


def _diameter_pair(mm: float, unit: Unit) -> str:
    return f"{tool_diameter(mm, unit)} ({tool_diameter(mm, other(unit))})"


def units_of_columns(unit: Unit) -> dict[str, str]:
    """Return what the heads of the columns of lengths and speeds say."""
    if unit is Unit.MM:
        return {"length": "mm (in)", "speed": "m/min (sfm)"}
    return {"length": "in (mm)", "speed": "sfm (m/min)"}


def _tir(mm: float, unit: Unit) -> str:
    """Return a runout in both units without the tenths, which have no room in a column."""
    micron, inch = f"{mm * 1000:.1f} µm", format_size(mm, Unit.INCH, 5)
    return f"{micron} ({inch})" if unit is Unit.MM else f"{inch} ({micron})"


def _column(write: Callable[[float, Unit], str], value: float, unit: Unit) -> str:
    """Return a value in both units for a column whose head names them; empty for none."""
    return f"{bare(write(value, unit))} ({bare(write(value, other(unit)))})" if value else ""


def coolant_words(coolant: Coolant, unit: Unit) -> list[tuple[str, str]]:
    """Return what is known of the coolant, name and value."""
    psi = coolant.pressure / 0.0689475729
    bar = f"{coolant.pressure:.0f} bar"
    known = [("fluid", str(coolant.fluid))]
    if coolant.fluid is not Fluid.DRY:
        known.append(
            ("reaches the edge", "through the tool" if coolant.through else "from nozzles")
        )
    if coolant.pressure:
        pair = (bar, f"{psi:.0f} psi") if unit is Unit.MM else (f"{psi:.0f} psi", bar)
        known.append(("pressure", f"{pair[0]} ({pair[1]})"))
    if coolant.concentration is not None:
        known.append(("concentration", f"{coolant.concentration:g} %"))
    return known


def hardness_words(material: Material) -> str:
    """Return the hardness with how it is known."""
    return f"{material.hardness_hb.value:.0f} HB ({material.hardness_hb.tag})"


def blind_clearance(callout: Callout, steps: Sequence[Operation]) -> str:
    """Return what is left between the deepest tip and the floor, or how far it breaks through."""
    tips = [o.tip_depth for o in steps if o.tip_depth]
    if not tips:
        return ""
    unit = callout.unit
    if callout.floor is not None:
        left = callout.floor - max(tips)
        if left >= 0:
            return f"{length_pair(left, unit)} from the deepest tip to the floor"
        return f"the deepest tip is {length_pair(-left, unit)} below the floor: do not run"
    if callout.depth is not None and max(tips) > callout.depth:
        return f"tips reach {length_pair(max(tips) - callout.depth, unit)} beyond the far face"
    return ""


def part_seconds(program: Program | None) -> str:
    """Return the time of one part as the program gives it."""
    if program is None:
        return ""
    parts = ", ".join(f"{name} {seconds:.0f} s" for name, seconds in program.seconds)
    return f"{math.fsum(s for _, s in program.seconds):.0f} s a part: {parts}"
