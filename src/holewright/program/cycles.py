"""The motions at the holes as blocks: a cycle where the control has it, else long-hand.

Z0 is the entry face, Z points out of the part. What decides the motion is how the hole is
left, not what the tool is called:

==============================  =================================================
left at rapid                   G81, with a dwell G82, pecking G83 or G73
left at the feed of the way in  G85, with a dwell G89
left with a stopped spindle     G86 (a boring tool, where the settings ask for it)
left at another feed            G1 in, G1 out, written long-hand
==============================  =================================================

A reamer that is pulled out at rapid while it turns can leave a spiral; so a route feeds it
out (practice T08).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from holewright.planning.plan import Operation, OperationKind
from holewright.program.blocks import dwell, feed, length, place, speed
from holewright.program.planes import Planes
from holewright.program.settings import (
    BoreOut,
    CycleRetract,
    FeedMode,
    PeckCycle,
    ProgramSettings,
    Travel,
)
from holewright.shop.machine import Machine
from holewright.units import Unit

Place = tuple[float, float]
Blocks = list[str | tuple[str, ...]]
"""Blocks; a tuple holds the places of further holes, which may become a subprogram."""

_LEAST_DWELL = 0.001
"""Shorter than this a dwell can't be written. [s]"""
_REENTRY = 0.5
"""How far above the last peck a long-hand re-entry ends, and how far it draws back to break
a chip (common practice, no source). [mm]"""


@dataclass(frozen=True)
class Writing:
    """What every block of one program needs to know.

    Parameters
    ----------
    machine : Machine
        Its greatest speed caps the S word.
    unit : Unit
        Unit of the program.
    planes : Planes
        Heights.
    settings : ProgramSettings
        What the control has and the shop wants.
    coolant_word : str
        M7, M8, or empty for dry.
    """

    machine: Machine
    unit: Unit
    planes: Planes
    settings: ProgramSettings
    coolant_word: str = ""

    @property
    def between(self) -> float:
        """Height at which the tool goes from hole to hole. [mm]"""
        low = self.settings.travel is Travel.RETRACT
        return self.planes.retract if low else self.planes.initial


def hole_blocks(operation: Operation, holes: Sequence[Place], writing: Writing) -> Blocks:
    """Return the blocks that make holes one after the other, from a tool above the first.

    Parameters
    ----------
    operation : Operation
        What to do.
    holes : sequence of (float, float)
        Hole centres, at least one, with nothing between them that the tool must fly over. [mm]
    writing : Writing
        How to write it.
    """
    cycle = cycle_of(operation, writing.settings)
    if not cycle:
        return [block for hole in holes for block in _long_hand(operation, hole, writing)]
    words = f"{cycle} {{}} {_cycle_words(operation, cycle, writing)}"
    first, *others = (place(hole, writing.unit) for hole in holes)
    # Under G98 some controls feed all the way to the initial plane after G89, others only to
    # R. Leaving at R and going up by G0 is the same on all.
    ends_low = writing.settings.cycle_retract is CycleRetract.RETRACT or cycle == "G89"
    if writing.between > writing.planes.retract and ends_low:
        up = f"G0 {length('Z', writing.between, writing.unit)}"
        each = [(f"G99 {words.format(at)}", up) for at in (first, *others)]
        return [*(block for pair in each for block in pair), "G80"]
    end = "G98" if writing.between > writing.planes.retract else "G99"
    return [f"{end} {words.format(first)}", *([tuple(others)] if others else []), "G80"]


def cycle_of(operation: Operation, settings: ProgramSettings) -> str:
    """Return the cycle of an operation, or nothing where it is written long-hand.

    Parameters
    ----------
    operation : Operation
        What to do.
    settings : ProgramSettings
        The cycles that the control has.
    """
    waits = operation.dwell_s >= _LEAST_DWELL
    if entry_length(operation, settings) > 0:
        return ""
    if leaves_stopped(operation, settings):
        cycle = "G86"
    elif operation.feed_out == 1:
        cycle = "G89" if waits else "G85"
    elif operation.feed_out > 0:
        return ""
    elif operation.peck > 0:
        cycle = settings.peck_cycle.value
    else:
        cycle = "G82" if waits else "G81"
    return cycle if cycle in settings.cycles else ""


def leaves_stopped(operation: Operation, settings: ProgramSettings) -> bool:
    """Return whether the tool leaves the hole with a stopped spindle.

    Parameters
    ----------
    operation : Operation
        What to do.
    settings : ProgramSettings
        Whether boring tools do.
    """
    return operation.kind is OperationKind.BORE and settings.bore_out is BoreOut.STOPPED


def entry_length(operation: Operation, settings: ProgramSettings) -> float:
    """Return how deep the reduced feed of the entry reaches; 0 for none. [mm]

    Until a reamer is guided by the hole, a slower feed keeps its mouth from growing (practice
    T04). It ends at half the depth at the latest.

    Parameters
    ----------
    operation : Operation
        What to do; only reamed holes are entered so.
    settings : ProgramSettings
        Share of the feed and diameters.
    """
    if operation.kind is not OperationKind.REAM or settings.entry_feed == 1:
        return 0.0
    return min(settings.entry_depth * operation.diameter, operation.tip_depth / 2)


def _cycle_words(operation: Operation, cycle: str, writing: Writing) -> str:
    unit, settings = writing.unit, writing.settings
    words = [
        length("Z", -operation.tip_depth, unit),
        length("R", writing.planes.retract, unit),
    ]
    if cycle in ("G73", "G83"):
        words.append(length("Q", operation.peck, unit))
    if cycle in ("G82", "G86", "G89"):
        words.append(dwell(operation.dwell_s, settings.dwell_unit))
    return " ".join([*words, feed_word(operation, writing)])


def feed_word(operation: Operation, writing: Writing, share: float = 1.0) -> str:
    """Return the F word of an operation, by the minute or by the revolution.

    Parameters
    ----------
    operation : Operation
        What to do.
    writing : Writing
        Feed mode and unit.
    share : float
        Share of its feed. [-]
    """
    if writing.settings.feed_mode is FeedMode.PER_REVOLUTION:
        return feed(operation.f * share, writing.unit)
    return feed(operation.v_f * share, writing.unit)


def _long_hand(operation: Operation, hole: Place, writing: Writing) -> list[str]:
    """Return the motions at one hole without a cycle."""
    unit, settings = writing.unit, writing.settings
    retract = length("Z", writing.planes.retract, unit)
    between = length("Z", writing.between, unit)
    bottom = f"G1 {length('Z', -operation.tip_depth, unit)}"
    rate = feed_word(operation, writing)
    blocks = [f"G0 {place(hole, unit)}", f"G0 {retract}"]
    entry = entry_length(operation, settings)
    if entry > 0:
        slow = feed_word(operation, writing, settings.entry_feed)
        blocks.append(f"G1 {length('Z', -entry, unit)} {slow}")
    if operation.peck > 0:
        blocks += _pecks(
            operation, writing, rate, begun=-entry if entry else writing.planes.retract
        )
    blocks.append(f"{bottom} {rate}")
    if operation.dwell_s >= _LEAST_DWELL:
        blocks.append(f"G4 {dwell(operation.dwell_s, settings.dwell_unit)}")
    if leaves_stopped(operation, settings):
        start = f"{speed(operation.n, writing.machine.n_max)} M3"
        return [*blocks, "M5", f"G0 {between}", start]
    if operation.feed_out > 0:
        blocks.append(f"G1 {retract} {feed_word(operation, writing, operation.feed_out)}")
        if writing.between == writing.planes.retract:
            return blocks
    return [*blocks, f"G0 {between}"]


def _pecks(operation: Operation, writing: Writing, rate: str, *, begun: float) -> list[str]:
    """Return all pecks but the last, from a height that the tool has fed to."""
    blocks: list[str] = []
    unit, retract = writing.unit, writing.planes.retract
    reached = begun
    while reached - operation.peck > -operation.tip_depth:
        reached -= operation.peck
        blocks.append(f"G1 {length('Z', reached, unit)} {rate}")
        if writing.settings.peck_cycle is PeckCycle.FULL:
            blocks.append(f"G0 {length('Z', retract, unit)}")
        blocks.append(f"G0 {length('Z', reached + _REENTRY, unit)}")
    return blocks
