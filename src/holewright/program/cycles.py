"""The motions of one operation as blocks: approach, cycle at every hole, retreat.

Z0 is the entry face, Z points out of the part. What decides the cycle is how the hole is
left, not what the tool is called:

=============================  ==================================================
left at rapid                  G81, with a dwell G82, pecking G83
left at the feed of the way in G85, with a dwell G89
left at another feed           G1 in, G1 out, written long-hand
=============================  ==================================================

A reamer that is pulled out at rapid while it turns can leave a spiral; so a route feeds it
out (practice T08).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from holewright.errors import OutOfRangeError
from holewright.planning.plan import Operation, OperationKind
from holewright.program.blocks import comment, decimals, dwell, feed, length, place, speed
from holewright.shop.machine import Machine
from holewright.units import Unit, mm_from

_GAUGED = frozenset({OperationKind.DRILL, OperationKind.BORE, OperationKind.REAM})
_LEAST_DWELL = 0.001
"""Shorter than this a dwell can't be written. [s]"""


@dataclass(frozen=True)
class Planes:
    """Heights above the entry face.

    Parameters
    ----------
    retract : float
        R plane: from here on the tool feeds. [mm]
    initial : float
        Height between holes, above every clamp. [mm]
    safe : float
        Height at which an operation ends, before the tool change. [mm]
    """

    retract: float
    initial: float
    safe: float

    def __post_init__(self) -> None:
        if not self.retract >= 0.1:
            raise OutOfRangeError("retract", self.retract, "0.1 mm or more above the face")
        if not self.initial >= self.retract:
            raise OutOfRangeError("initial", self.initial, f"retract ({self.retract} mm) or more")
        if not self.safe >= self.initial:
            raise OutOfRangeError("safe", self.safe, f"initial ({self.initial} mm) or more")


def usual_planes(unit: Unit) -> Planes:
    """Return the heights taken where nobody says otherwise: 2, 25 and 100 mm, or .1, 1 and 4 in.

    Source: common practice.

    Examples
    --------
    >>> usual_planes(Unit.INCH).initial
    25.4
    """
    if unit is Unit.INCH:
        return Planes(mm_from(0.1, unit), mm_from(1, unit), mm_from(4, unit))
    return Planes(2.0, 25.0, 100.0)


def operation_blocks(
    operation: Operation,
    tool_number: int,
    holes: Sequence[tuple[float, float]],
    machine: Machine,
    *,
    planes: Planes,
    unit: Unit,
    coolant_word: str,
    hold: bool = False,
) -> list[str]:
    """Return the blocks of one operation, from its tool change to the stopped spindle.

    Parameters
    ----------
    operation : Operation
        What to do, checked by :func:`holewright.program.write.write_program`.
    tool_number : int
        Its pocket and length offset: T and H.
    holes : sequence of (float, float)
        Hole centres in order, at least one. [mm]
    machine : Machine
        The machine; its greatest speed caps the S word.
    planes : Planes
        Heights.
    unit : Unit
        Unit of the program.
    coolant_word : str
        M7, M8, or empty for dry.
    hold : bool
        Whether to stop between holes that are worth gauging, tool up and spindle still.
    """
    if operation.by_hand:
        return [*comment(f"By hand: {operation.kind}. {operation.text}"), "M0"]
    gauged = hold and operation.kind in _GAUGED
    runs = [[hole] for hole in holes] if gauged else [holes]
    blocks = [*comment(tool_line(operation, tool_number, unit)), f"T{tool_number} M6"]
    for i, run in enumerate(runs):
        blocks += [
            *(["M0"] if i else []),
            f"{speed(operation.n, machine.n_max)} M3",
            f"G0 {place(run[0], unit)}",
            f"G43 H{tool_number} {length('Z', planes.initial, unit)}",
            *([coolant_word] if coolant_word else []),
            *_hole_blocks(operation, run, planes, unit),
            f"G0 {length('Z', planes.safe, unit)}",
            *(["M9"] if coolant_word else []),
            "M5",
        ]
    return blocks


def tool_line(operation: Operation, tool_number: int, unit: Unit) -> str:
    """Return tool, diameter, speed, feed and depth of an operation in one line.

    Parameters
    ----------
    operation : Operation
        The operation.
    tool_number : int
        Its pocket and length offset.
    unit : Unit
        Unit of the program.
    """
    return (
        f"T{tool_number} {operation.kind}, {operation.tool}, "
        f"dia {decimals(operation.diameter, unit)}, n {round(operation.n)}, "
        f"f {decimals(operation.f, unit)}/rev, {feed(operation.v_f, unit)[1:]}/min, "
        f"to {length('Z', -operation.tip_depth, unit)}"
    )


def _hole_blocks(
    operation: Operation, holes: Sequence[tuple[float, float]], planes: Planes, unit: Unit
) -> list[str]:
    waits = operation.dwell_s >= _LEAST_DWELL
    if operation.feed_out not in (0, 1):
        return _long_hand(operation, holes, planes, unit)
    bottom = length("Z", -operation.tip_depth, unit)
    retract = length("R", planes.retract, unit)
    rate = feed(operation.v_f, unit)
    if operation.feed_out == 1 and waits:
        # Under G98 some controls feed all the way to the initial plane, others only to R.
        # Leaving at R and going up by G0 is the same on all.
        cycle = f"{bottom} {retract} {dwell(operation.dwell_s)} {rate}"
        up = f"G0 {length('Z', planes.initial, unit)}"
        return [
            block for hole in holes for block in (f"G99 G89 {place(hole, unit)} {cycle}", up)
        ] + ["G80"]
    if operation.feed_out == 1:
        cycle = f"G85 {{}} {bottom} {retract} {rate}"
    elif operation.peck > 0:
        cycle = f"G83 {{}} {bottom} {retract} {length('Q', operation.peck, unit)} {rate}"
    elif waits:
        cycle = f"G82 {{}} {bottom} {retract} {dwell(operation.dwell_s)} {rate}"
    else:
        cycle = f"G81 {{}} {bottom} {retract} {rate}"
    first, *others = (place(hole, unit) for hole in holes)
    return [f"G98 {cycle.format(first)}", *others, "G80"]


def _long_hand(
    operation: Operation, holes: Sequence[tuple[float, float]], planes: Planes, unit: Unit
) -> list[str]:
    waits = operation.dwell_s >= _LEAST_DWELL
    retract = length("Z", planes.retract, unit)
    each = [
        f"G0 {retract}",
        f"G1 {length('Z', -operation.tip_depth, unit)} {feed(operation.v_f, unit)}",
        *([f"G4 {dwell(operation.dwell_s)}"] if waits else []),
        f"G1 {retract} {feed(operation.v_f * operation.feed_out, unit)}",
        f"G0 {length('Z', planes.initial, unit)}",
    ]
    return [block for hole in holes for block in (f"G0 {place(hole, unit)}", *each)]
