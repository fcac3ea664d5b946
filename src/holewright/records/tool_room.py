"""Tool room <-> record book: each tool an individual, with what was measured of it last."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import date, datetime
from typing import TypeAlias, TypeVar

from holewright.records.book import Saved
from holewright.records.plain import from_plain, to_plain
from holewright.records.tool_entries import (
    MeasurementEntry,
    Quantity,
    ToolEntry,
    ToolKind,
    ToolState,
)
from holewright.shop.drill import Drill
from holewright.shop.holder import Holder
from holewright.shop.machine import Machine
from holewright.shop.pin import BoreGauge, Pin
from holewright.shop.reamer import Reamer
from holewright.shop.shop import Shop
from holewright.uncertainty import Known, Tag

T = TypeVar("T")
Tool: TypeAlias = Machine | Holder | Drill | Reamer | Pin | BoreGauge

_CLASSES: Mapping[ToolKind, type[Tool]] = {
    ToolKind.MACHINE: Machine,
    ToolKind.HOLDER: Holder,
    ToolKind.DRILL: Drill,
    ToolKind.REAMER: Reamer,
    ToolKind.PIN: Pin,
    ToolKind.BORE_GAUGE: BoreGauge,
}
_KINDS = {made: kind for kind, made in _CLASSES.items()}


def tool_entry(tool: Tool, *, at: datetime, by: str) -> ToolEntry:
    """Return the entry of a tool.

    Parameters
    ----------
    tool : Machine, Holder, Drill, Reamer, Pin or BoreGauge
        The tool. Its key in the book is made of its kind and id, so that the same tool room
        has the same keys in every book.
    at : datetime
        When it is written down.
    by : str
        By whom.
    """
    kind = _KINDS[type(tool)]
    key = hashlib.sha256(f"{kind}:{tool.id}".encode()).hexdigest()
    return ToolEntry(at=at, by=by, key=key, kind=kind, name=tool.id, document=to_plain(tool))


def measurement_entry(tool: Saved[ToolEntry], *, at: datetime, by: str) -> MeasurementEntry | None:
    """Return what the tool's own document says was measured of it; None if nothing was.

    Parameters
    ----------
    tool : Saved
        The tool in the book.
    at : datetime
        When it is written down.
    by : str
        By whom.
    """
    made = tool_of(tool.entry)
    known, quantity = _measured(made)
    if known is None or quantity is None or not known.is_measured:
        return None
    return MeasurementEntry(
        at=at,
        by=by,
        tool_id=tool.id,
        quantity=quantity,
        value=known.value,
        u=known.u,
        certificate=known.source,
    )


def _measured(tool: Tool) -> tuple[Known | None, Quantity | None]:
    """Return the value of a tool that can be measured, and what it is."""
    match tool:
        case Pin():
            return tool.calibrated, Quantity.SIZE
        case Drill() | Reamer():
            return tool.DC, Quantity.SIZE
        case Holder():
            return tool.tir, Quantity.RUNOUT
        case Machine():
            return tool.spindle_tir, Quantity.RUNOUT
        case _:
            return None, None


def tool_of(entry: ToolEntry) -> Tool:
    """Return the tool that an entry describes, as it was listed.

    Parameters
    ----------
    entry : ToolEntry
        The entry.
    """
    return from_plain(_CLASSES[entry.kind], entry.document, f"{entry.kind} {entry.name}")


def as_measured(tool: Tool, measured: Iterable[MeasurementEntry]) -> Tool:
    """Return a tool with what was measured of it last.

    Parameters
    ----------
    tool : Machine, Holder, Drill, Reamer, Pin or BoreGauge
        The tool as it was listed.
    measured : iterable of MeasurementEntry
        Its measurements, in the order they were written.
    """
    *_, last = (None, *measured)
    if last is None:
        return tool
    known = Known(last.value, Tag.MEASURED, last.certificate or "record book", last.u)
    match tool:
        case Pin():
            return replace(tool, calibrated=known)
        case Drill() | Reamer():
            return replace(tool, DC=known)
        case Holder():
            return replace(tool, tir=known)
        case Machine():
            return replace(tool, spindle_tir=known)
        case _:
            return tool


def shop_of(
    tools: Iterable[Saved[ToolEntry]],
    measured: Iterable[Saved[MeasurementEntry]],
    *,
    name: str,
    today: date,
) -> Shop:
    """Return the tool room as it stands now.

    Parameters
    ----------
    tools : iterable of Saved
        All tools; those that are worn, broken or gone are left out.
    measured : iterable of Saved
        All measurements.
    name : str
        Name of the tool room.
    today : date
        A gauge whose calibration was due before is named in the notes.

    Returns
    -------
    Shop
        Each tool with what was measured of it last.
    """
    by_tool: dict[int, list[MeasurementEntry]] = {}
    for saved in measured:
        by_tool.setdefault(saved.entry.tool_id, []).append(saved.entry)
    found: dict[ToolKind, list[Tool]] = {kind: [] for kind in ToolKind}
    notes = []
    for tool in tools:
        if tool.entry.state is not ToolState.IN_USE:
            continue
        own = by_tool.get(tool.id, [])
        found[tool.entry.kind].append(as_measured(tool_of(tool.entry), own))
        if own and own[-1].due is not None and own[-1].due < today:
            notes.append(
                f"{tool.entry.kind} {tool.entry.name}: was to be measured by {own[-1].due}"
            )
    return Shop(
        name=name,
        machines=_only(Machine, found[ToolKind.MACHINE]),
        holders=_only(Holder, found[ToolKind.HOLDER]),
        drills=_only(Drill, found[ToolKind.DRILL]),
        reamers=_only(Reamer, found[ToolKind.REAMER]),
        pins=_only(Pin, found[ToolKind.PIN]),
        bore_gauges=_only(BoreGauge, found[ToolKind.BORE_GAUGE]),
        notes=tuple(notes),
    )


def _only(kind: type[T], tools: Iterable[object]) -> tuple[T, ...]:
    return tuple(tool for tool in tools if isinstance(tool, kind))
