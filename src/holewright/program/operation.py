"""The blocks of one operation: tool, approach, every hole, stops, retreat."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from holewright.planning.plan import Operation, OperationKind
from holewright.program.blocks import comment, decimals, feed, length, place, speed
from holewright.program.cycles import Blocks, Place, Writing, hole_blocks
from holewright.program.fixture import Fixture, hop_heights
from holewright.program.order import as_positions
from holewright.program.settings import ProgramSettings, StopWord
from holewright.units import Unit

_GAUGED = frozenset({OperationKind.DRILL, OperationKind.BORE, OperationKind.REAM})
_MAKES_CHIPS = frozenset({OperationKind.DRILL, OperationKind.BORE})


@dataclass(frozen=True)
class Stop:
    """A stop for a person, tool up and spindle still.

    Parameters
    ----------
    why : str
        What to do, for the comment.
    word : StopWord
        M0 or M1.
    skip : bool
        Whether its blocks begin with ``/``.
    """

    why: str
    word: StopWord
    skip: bool


@dataclass(frozen=True)
class _Run:
    """Holes made one after the other, and what comes before the first of them."""

    holes: tuple[Place, ...]
    height: float
    stop: Stop | None


def operation_blocks(
    operation: Operation,
    tool_number: int,
    holes: Sequence[Place],
    writing: Writing,
    *,
    change: bool = True,
    hold: bool = False,
    fixture: Fixture,
    radius: float = 0.0,
) -> Blocks:
    """Return the blocks of one operation, from its tool change to the stopped spindle.

    Parameters
    ----------
    operation : Operation
        What to do, checked by :func:`holewright.program.write.write_program`.
    tool_number : int
        Its pocket and length offset: T and H.
    holes : sequence of (float, float)
        Hole centres in order, at least one. [mm]
    writing : Writing
        How to write it.
    change : bool
        Whether its tool must be fetched; otherwise it is in the spindle.
    hold : bool
        Whether to stop between holes that are worth gauging.
    fixture : Fixture
        What to fly over.
    radius : float
        Radius of tool or holder, the larger. [mm]
    """
    if operation.by_hand:
        return [*comment(f"By hand: {operation.kind}. {operation.text}"), "M0"]
    unit, planes, settings = writing.unit, writing.planes, writing.settings
    start = f"{speed(operation.n, writing.machine.n_max)} M3"
    first, *others = _runs(operation, holes, writing, fixture, radius, hold=hold)
    initial = length("Z", planes.initial, unit)
    blocks: Blocks = [
        *comment(tool_line(operation, tool_number, unit)),
        *([f"T{tool_number} M6"] if change else []),
        start,
        f"G0 {place(first.holes[0], unit)}",
        f"G43 H{tool_number} {initial}" if change else f"G0 {initial}",
        *([writing.coolant_word] if writing.coolant_word else []),
        *hole_blocks(operation, first.holes, writing),
    ]
    for run in others:
        blocks += _crossing(run, start, writing)
        blocks += hole_blocks(operation, run.holes, writing)
    blocks += [f"G0 {length('Z', planes.safe, unit)}", *_quiet(writing)]
    if settings.break_check:
        blocks += [
            *comment(f"Look at T{tool_number}: is it whole?"),
            "/" * settings.block_skip + settings.stop,
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


def _runs(
    operation: Operation,
    holes: Sequence[Place],
    writing: Writing,
    fixture: Fixture,
    radius: float,
    *,
    hold: bool,
) -> list[_Run]:
    """Split the holes wherever the tool must stop, or fly higher than between others."""
    usual = writing.between
    places = as_positions(holes)
    heights = hop_heights(places[:-1], places[1:], fixture, radius=radius, usual=usual).tolist()
    runs: list[_Run] = []
    begun, height, stop = 0, usual, None
    for i in range(1, len(holes)):
        next_stop = _stop_after(operation, i, writing.settings, hold=hold)
        if next_stop is not None or heights[i - 1] > usual:
            runs.append(_Run(tuple(holes[begun:i]), height, stop))
            begun, height, stop = i, heights[i - 1], next_stop
    return [*runs, _Run(tuple(holes[begun:]), height, stop)]


def _stop_after(
    operation: Operation, made: int, settings: ProgramSettings, *, hold: bool
) -> Stop | None:
    """Return the stop that comes after so many holes, if any."""
    if hold and operation.kind in _GAUGED:
        return Stop("Gauge this hole", StopWord.ALWAYS, skip=False)
    chips, gauge = settings.chip_stop_every, settings.gauge_every
    if chips and operation.kind in _MAKES_CHIPS and made % chips == 0:
        return Stop("Clear the chips", settings.stop, settings.block_skip)
    if gauge and operation.kind is OperationKind.REAM and (made == 1 or made % gauge == 0):
        return Stop("Gauge this hole", settings.stop, settings.block_skip)
    return None


def _crossing(run: _Run, start: str, writing: Writing) -> Blocks:
    """Return the way from the last hole of one run to above the first of the next.

    Skipped blocks leave the control as it was: the tool below the safe height, turning, and
    coolant on. So what follows is right whether they are obeyed or not.
    """
    unit, planes = writing.unit, writing.planes
    blocks: Blocks = []
    if run.stop is not None:
        stopped = [
            f"G0 {length('Z', planes.safe, unit)}",
            *_quiet(writing),
            run.stop.word,
            start,
            *([writing.coolant_word] if writing.coolant_word else []),
        ]
        blocks += comment(run.stop.why)
        blocks += [("/" * run.stop.skip) + block for block in stopped]
    blocks += [
        f"G0 {length('Z', max(run.height, planes.initial), unit)}",
        f"G0 {place(run.holes[0], unit)}",
    ]
    if run.height > planes.initial:
        blocks.append(f"G0 {length('Z', planes.initial, unit)}")
    return blocks


def _quiet(writing: Writing) -> list[str]:
    return [*(["M9"] if writing.coolant_word else []), "M5"]
