"""How sheets say tools, steps, sources and the extras of a callout."""

from __future__ import annotations

from holewright.callout.callout import Callout, Modifier
from holewright.planning.plan import Operation
from holewright.reference.tables import cite, sources
from holewright.sheets.sizes import length_pair, small_pair
from holewright.shop.drill import Drill
from holewright.shop.reamer import CoolantExit, Reamer
from holewright.shop.shop import Shop
from holewright.uncertainty import Known
from holewright.units import Unit, inches


def in_both(first: str, second: str) -> str:
    """Return a value with its second unit in brackets."""
    return f"{first} ({second})"


def roughness_pair(ra: float, unit: Unit) -> str:
    """Return a roughness [µm] in both units: ``Ra 0.8 µm (31 µin)``."""
    micron, microinch = f"{ra:g} µm", f"{inches(ra * 1000):.0f} µin"
    return "Ra " + (in_both(micron, microinch) if unit is Unit.MM else in_both(microinch, micron))


def asked_beside_size(callout: Callout) -> list[str]:
    """Return what the drawing asks of the hole beside its limits of size."""
    unit = callout.unit
    asked = []
    if callout.ra is not None:
        asked.append(roughness_pair(callout.ra, unit))
    if callout.position is not None:
        modifier = (
            f" ({callout.position.modifier})"
            if callout.position.modifier is not Modifier.NONE
            else ""
        )
        asked.append(f"position Ø{length_pair(callout.position.diameter, unit)}{modifier}")
    if callout.cylindricity is not None:
        asked.append(f"cylindricity {small_pair(callout.cylindricity, unit)}")
    if callout.envelope:
        asked.append("envelope of perfect form")
    if callout.after:
        asked.append(f"limits hold after {callout.after}")
    return asked


def tool_words(shop: Shop | None, operation: Operation) -> str:
    """Return what a tool is, beyond its name, where the tool room knows it."""
    tool = find_tool(shop, operation.tool)
    if isinstance(tool, Drill):
        through = ", coolant through" if tool.coolant_through else ""
        return _beyond(tool, f"point {tool.SIG:g}°{through}")
    if isinstance(tool, Reamer):
        exit_words = (
            ""
            if tool.coolant_exit is CoolantExit.NONE
            else (f", coolant out of the {tool.coolant_exit}")
        )
        return _beyond(tool, f"{tool.ZEFP} edges, {tool.helix} flutes{exit_words}")
    return ""


def _beyond(tool: Drill | Reamer, words: str) -> str:
    """Return the words with the tool's kind before them, unless its name says it already."""
    return words if str(tool.kind) in tool.id else f"{tool.kind}, {words}"


def find_tool(shop: Shop | None, name: str) -> Drill | Reamer | None:
    """Return a drill or reamer of the tool room by its name."""
    if shop is None:
        return None
    tools: tuple[Drill | Reamer, ...] = (*shop.drills, *shop.reamers)
    return next((tool for tool in tools if tool.id == name), None)


def cycle_words(operation: Operation, unit: Unit) -> str:
    """Return how a step moves, by function: in, dwell in time and turns, out."""
    if operation.by_hand:
        return "by hand, outside the program"
    parts = [f"peck {length_pair(operation.peck, unit)}" if operation.peck else "feed in"]
    if operation.dwell_s:
        turns = operation.dwell_s * operation.n / 60
        parts.append(f"dwell {operation.dwell_s:g} s ({turns:.1f} rev)")
    if not operation.feed_out:
        parts.append("rapid out")
    elif operation.feed_out == 1:
        parts.append("feed out")
    else:
        parts.append(f"feed out at {operation.feed_out:g} times the feed in")
    return ", ".join(parts)


def value_words(known: Known) -> str:
    """Return a number to five figures, with its standard uncertainty to two."""
    value = _figures(known.value, 5)
    return f"{value}, u = {_figures(known.u, 2)}" if known.u else value


def _figures(value: float, digits: int) -> str:
    """Return a number to so many figures; powers of ten only where it is very small."""
    return f"{value:.0f}" if abs(value) >= 10**digits else f"{value:.{digits}g}"


def source_words(source: str) -> str:
    """Return a source in words; a key of the reference tables becomes its title."""
    return cite(source) if source in sources() else source
