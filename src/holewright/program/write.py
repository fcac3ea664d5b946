"""Writes the program of a route."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from holewright.errors import InputError, OutOfRangeError
from holewright.planning.plan import Operation, OperationKind, Route
from holewright.program.backplot import read_back
from holewright.program.blocks import TAPE, comment, joined, safe_start
from holewright.program.cautions import CAUTIONS, HOLD
from holewright.program.cycles import Planes, operation_blocks, tool_line, usual_planes
from holewright.program.motion_time import section_seconds
from holewright.program.order import as_positions, closest_pair, hole_order
from holewright.program.program import Program
from holewright.shop.coolant import Coolant, Fluid
from holewright.shop.machine import Machine
from holewright.units import Unit

_LEAST_DEPTH = 0.01
"""A depth, a peck or a diameter below this is a slip of the pen. [mm]"""
_OPENS_ONLY = frozenset({OperationKind.FACE, OperationKind.SPOT, OperationKind.CHAMFER})


def write_program(
    route: Route,
    positions: Sequence[tuple[float, float]],
    machine: Machine,
    *,
    unit: Unit,
    name: str,
    callout_text: str,
    coolant: Coolant | None = None,
    cautions: tuple[str, ...] = (),
    notes: tuple[str, ...] = (),
    hold: bool = False,
    planes: Planes | None = None,
) -> Program:
    """Return the program that makes every hole of one part by a route.

    All holes are made by one tool before the next comes, in the same order by each.

    Parameters
    ----------
    route : Route
        The operations. Those by hand become a stop, M0.
    positions : sequence of (float, float)
        Hole centres from the part zero, in any order. [mm]
    machine : Machine
        The machine; speeds and feeds beyond it are refused.
    unit : Unit
        Unit of the program's words.
    name, callout_text : str
        Job and callout, for the header.
    coolant : Coolant, optional
        Decides M8 (flood), M7 (mist) or none; M8 where it isn't given.
    cautions : tuple of str
        Cautions of this job, after those that every program carries.
    notes : tuple of str
        Further lines of the header, e.g. that the example is invented.
    hold : bool
        Whether the job is not released: the header says so, and the program stops at its
        start and between drilled, bored or reamed holes, so that each can be gauged.
    planes : Planes, optional
        Heights; by default :func:`holewright.program.cycles.usual_planes`.

    Returns
    -------
    Program
        Text, hole order and time by operation.

    Raises
    ------
    InputError
        If there is no hole, two holes lie closer than half a diameter, the route has nothing
        for the machine to do, or an operation asks for what can't be written or for what the
        machine doesn't have.
    """
    cuts = tuple(op for op in route.operations if not op.by_hand)
    if not cuts:
        raise InputError("route", route.name, "must have an operation for the machine")
    for operation in cuts:
        _check(operation, machine)
    holes = as_positions(positions)
    _check_spacing(holes, cuts)

    x, y = holes[hole_order(holes)].T.tolist()
    ordered = tuple(zip(x, y, strict=True))
    numbers = {tool: i for i, tool in enumerate(dict.fromkeys(op.tool for op in cuts), start=1)}
    all_cautions = ((HOLD,) if hold else ()) + tuple(dict.fromkeys(CAUTIONS + cautions))
    blocks = [
        TAPE,
        *comment(f"Job: {name}"),
        *comment(f"Callout: {callout_text}"),
        *comment(f"Route: {route.name}"),
        *(line for note in notes for line in comment(note)),
        *comment(f"{len(holes)} holes, all lengths in {unit}"),
        *(line for op in cuts for line in comment(tool_line(op, numbers[op.tool], unit))),
        *(line for caution in all_cautions for line in comment(f"Caution: {caution}")),
        *_coolant_note(coolant),
        safe_start(unit),
        *(["M0"] if hold else []),
    ]
    for operation in route.operations:
        blocks += operation_blocks(
            operation,
            numbers.get(operation.tool, 0),
            ordered,
            machine,
            planes=planes or usual_planes(unit),
            unit=unit,
            coolant_word=_coolant_word(coolant),
            hold=hold,
        )
    text = joined([*blocks, "M30", TAPE])
    sections = read_back(text)
    seconds = tuple(
        (f"T{section.tool} {op.kind}", section_seconds(section, machine))
        for section, op in zip(sections, cuts, strict=True)
    )
    changes = ("tool changes", len(sections) * machine.tool_change_s)
    return Program(text, unit, ordered, (*seconds, changes), all_cautions)


def _check(operation: Operation, machine: Machine) -> None:
    """Refuse what can't be written, or what the machine doesn't have."""
    for field, value, least, most, unit in _ranges(operation, machine):
        if not least <= value <= most:
            raise OutOfRangeError(
                f"{field} of {operation.kind} with {operation.tool}",
                f"{value:g} {unit}",
                f"from {least:g} to {most:g} {unit} on machine {machine.id}",
            )
    if operation.peck and operation.feed_out:
        raise InputError(
            f"feed out of {operation.kind} with {operation.tool}",
            f"{operation.feed_out:g}",
            "must be 0 for a tool that pecks: it is drawn out at rapid each time",
        )
    if operation.peck and operation.dwell_s:
        raise InputError(
            f"dwell of {operation.kind} with {operation.tool}",
            f"{operation.dwell_s:g} s",
            "must be 0 for a tool that pecks: the pecking cycle has no dwell",
        )


def _ranges(
    operation: Operation, machine: Machine
) -> Iterator[tuple[str, float, float, float, str]]:
    """Yield field, value, least, most and unit of what is checked."""
    most_depth = 1000.0
    yield "diameter", operation.diameter, _LEAST_DEPTH, most_depth, "mm"
    yield "tip depth", operation.tip_depth, _LEAST_DEPTH, most_depth, "mm"
    yield "n", operation.n, max(machine.n_min, 1.0), machine.n_max, "1/min"
    yield "f", operation.f, 1e-4, 10.0, "mm"
    yield "feed speed", operation.v_f, 1e-3, machine.feed_max, "mm/min"
    yield "dwell", operation.dwell_s, 0.0, 60.0, "s"
    if operation.peck:
        yield "peck", operation.peck, _LEAST_DEPTH, most_depth, "mm"
    if operation.feed_out:
        out = operation.v_f * operation.feed_out
        yield "feed speed out", out, 1e-3, machine.feed_max, "mm/min"


def _check_spacing(holes: NDArray[np.float64], cuts: tuple[Operation, ...]) -> None:
    """Refuse no holes at all, and two that lie closer than half a diameter."""
    if len(holes) == 0:
        raise InputError("hole positions", "none", "must be at least one")
    if len(holes) == 1:
        return
    made = [op.diameter for op in cuts if op.kind not in _OPENS_ONLY]
    diameter = max(made or [op.diameter for op in cuts])
    i, j, distance = closest_pair(holes)
    if distance < diameter / 2:
        first, second = sorted((i, j))
        raise InputError(
            f"hole positions {first + 1} and {second + 1}",
            f"{distance:.3f} mm apart",
            f"must be {diameter / 2:.3f} mm or more apart, half a diameter: is one there twice?",
        )


def _coolant_word(coolant: Coolant | None) -> str:
    if coolant is None:
        return "M8"
    return {Fluid.DRY: "", Fluid.MQL: "M7"}.get(coolant.fluid, "M8")


def _coolant_note(coolant: Coolant | None) -> list[str]:
    if coolant is None or not coolant.through or coolant.fluid is Fluid.DRY:
        return []
    return comment(
        f"Coolant through the tool at {coolant.pressure:g} bar: put this machine's word for it "
        f"in place of {_coolant_word(coolant)}."
    )
