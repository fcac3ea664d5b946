"""Entries of the tool room: each machine, holder, drill, reamer, pin and gauge an individual."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from typing import ClassVar

from holewright.records.entry import Entry
from holewright.records.plain import Json


class ToolKind(StrEnum):
    """What can stand in the tool room."""

    MACHINE = "machine"
    HOLDER = "holder"
    DRILL = "drill"
    REAMER = "reamer"
    PIN = "pin"
    BORE_GAUGE = "bore gauge"


class ToolState(StrEnum):
    """Whether a tool can be used."""

    IN_USE = "in use"
    WORN = "worn"
    BROKEN = "broken"
    GONE = "gone"


class Quantity(StrEnum):
    """What is measured of a tool."""

    SIZE = "size"
    """Diameter of a drill, reamer or pin."""
    RUNOUT = "runout"
    """Total indicator reading of a holder or spindle."""


@dataclass(frozen=True, kw_only=True)
class ToolEntry(Entry):
    """One individual of the tool room: this machine, this reamer, this pin.

    Parameters
    ----------
    kind : ToolKind
        What it is.
    name : str
        Its name in the tool room, the only one of its kind.
    document : Json
        The machine, holder, drill, reamer, pin or bore gauge as plain data.
    state : ToolState
        Whether it can be used.
    note : str
        Free text.
    """

    NAME = "tools"
    UNIQUE = ("kind", "name")
    CHANGES = True

    kind: ToolKind
    name: str
    document: Json
    state: ToolState = ToolState.IN_USE
    note: str = ""


@dataclass(frozen=True, kw_only=True)
class MeasurementEntry(Entry):
    """What was measured of a tool; for a pin or a gauge, its calibration.

    Parameters
    ----------
    tool_id : int
        The tool.
    quantity : Quantity
        What was measured.
    value, u : float
        Value and standard uncertainty. [mm]
    certificate : str
        Number of the certificate, or how it was measured.
    due : date, optional
        When it is to be measured again.
    """

    NAME = "measurements"
    REFERS: ClassVar[Mapping[str, str]] = {"tool_id": "tools"}

    tool_id: int
    quantity: Quantity
    value: float
    u: float
    certificate: str = ""
    due: date | None = None


@dataclass(frozen=True, kw_only=True)
class HolesCutEntry(Entry):
    """Holes that a tool cut; their sum is what it has cut in its life."""

    NAME = "holes_cut"
    REFERS: ClassVar[Mapping[str, str]] = {"tool_id": "tools", "run_id": "runs"}

    tool_id: int
    holes: int
    run_id: int | None = None


@dataclass(frozen=True, kw_only=True)
class ToolChangeEntry(Entry):
    """A tool taken out of a run, and the one put in for it.

    Parameters
    ----------
    run_id : int
        The run.
    out_id : int
        The tool taken out.
    in_id : int, optional
        The tool put in; None: the run ended there.
    holes : int
        Holes of the run that were cut before the change.
    why : str
        Worn, broken, size near the limit …
    """

    NAME = "tool_changes"
    REFERS: ClassVar[Mapping[str, str]] = {"run_id": "runs", "out_id": "tools", "in_id": "tools"}

    run_id: int
    out_id: int
    holes: int
    why: str
    in_id: int | None = None
