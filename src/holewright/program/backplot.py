"""The tool path read back from the text of a program, not from the plan."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import groupby

from holewright.program.control import run
from holewright.program.moves import CutHole, Move, MoveKind, Section
from holewright.program.settings import DwellUnit

_SAME = 1e-6
"""Heights closer than this are one. [mm]"""


def read_back(
    text: str, *, dwell_unit: DwellUnit = DwellUnit.SECONDS, skip: bool = False
) -> tuple[Section, ...]:
    """Return the tool path of a program, one section for each tool change.

    Parameters
    ----------
    text : str
        A program in the words that holewright writes.
    dwell_unit : DwellUnit
        What P of a dwell is in on this control.
    skip : bool
        Whether blocks that begin with ``/`` are skipped.

    Returns
    -------
    tuple of Section
        Moves and holes by tool. [mm]

    Raises
    ------
    InputError
        If a block has a word that isn't known here, or lacks one that it needs. The line is
        named.

    Examples
    --------
    >>> path = read_back('''G21 G90
    ... T1 M6
    ... S800 M3
    ... G0 X5. Y5.
    ... G43 H1 Z25.
    ... G98 G81 X5. Y5. Z-12. R2. F100.
    ... G80
    ... M30''')
    >>> path[0].holes[0].bottom, path[0].holes[0].feed_in
    (-12.0, 100.0)
    """
    control = run(text, dwell_unit=dwell_unit, skip=skip)
    return tuple(
        Section(tool, tuple(moves), _holes(moves), offset)
        for tool, offset, moves in control.sections
    )


def _holes(moves: Sequence[Move]) -> tuple[CutHole, ...]:
    """Return the holes: each run of moves at one X, Y that feeds below the entry face."""
    holes: list[CutHole] = []
    for _, run_at in groupby(moves, key=lambda move: move.end[:2]):
        holes += _holes_at(list(run_at))
    return tuple(holes)


def _holes_at(moves: list[Move]) -> list[CutHole]:
    """Return the holes that are made at one place, one for each time the tool comes down.

    A hole is done when the tool rises above the height from which it first fed in; pecks
    come up to that height and no higher.
    """
    holes: list[CutHole] = []
    hole: CutHole | None = None
    entry: float | None = None
    for move in moves:
        feeds = move.kind is MoveKind.FEED
        if feeds and entry is None:
            entry = move.start[2]
        if feeds and move.end[2] < min(0.0, move.start[2]):
            if hole is None:
                x, y, bottom = move.end
                hole = CutHole(x, y, bottom, move.feed, 0.0, move.n, 1, 0.0, move.feed)
            else:
                bottom = min(hole.bottom, move.end[2])
                hole = replace(hole, bottom=bottom, feed_in=move.feed, pecks=hole.pecks + 1)
        elif hole is not None and move.kind is MoveKind.DWELL:
            hole = replace(hole, dwell_s=hole.dwell_s + move.seconds)
        elif hole is not None and feeds:
            hole = replace(hole, feed_out=move.feed)
        elif hole is not None and move.kind is MoveKind.RAPID and move.n == 0:
            hole = replace(hole, out_stopped=True)
        if entry is not None and move.end[2] > entry + _SAME:
            holes += [hole] if hole is not None else []
            hole, entry = None, None
    return holes if hole is None else [*holes, hole]
