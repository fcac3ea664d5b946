"""The tool path read back from the text of a program, not from the plan.

Reads the words that holewright writes and refuses every other, so that nothing it doesn't
understand is drawn as if it were safe.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, field, replace
from enum import StrEnum
from itertools import groupby

from holewright.errors import InputError, Where
from holewright.units import Unit, mm_from

Point = tuple[float, float, float]

PECK_CLEARANCE = 0.254
"""How far above the last peck a rapid re-entry ends; a setting of the control, .010 in here.
[mm]"""

_COMMENT = re.compile(r"\([^()]*\)")
_WORD = re.compile(r"([A-Z])([+-]?(?:\d+\.?\d*|\.\d+))")
_CYCLES = frozenset({81, 82, 83, 85, 89})
_MOTIONS = frozenset({0, 1, 80}) | _CYCLES
_STATE_G = frozenset({17, 40, 54, 90, 94})
_KNOWN_G = _MOTIONS | _STATE_G | {4, 20, 21, 43, 98, 99}
_KNOWN_M = frozenset({0, 3, 5, 6, 7, 8, 9, 30})
_CYCLE_LENGTHS = "ZRQ"


class MoveKind(StrEnum):
    """How the tool gets from one point to the next."""

    RAPID = "rapid"
    FEED = "feed"
    DWELL = "dwell"


@dataclass(frozen=True, slots=True)
class Move:
    """One straight move of the tool's tip, or a dwell.

    Parameters
    ----------
    kind : MoveKind
        Rapid, feed or dwell.
    start, end : tuple of float
        X, Y, Z; NaN where the program hasn't said yet. [mm]
    feed : float
        Feed speed; 0 unless it is a feed move. [mm/min]
    seconds : float
        Duration of a dwell. [s]
    n : float
        Spindle speed; 0 while it stands. [1/min]
    length_offset : int
        Tool length offset in force, H; 0 for none.
    line : int
        Line of the text, counted from 1.
    """

    kind: MoveKind
    start: Point
    end: Point
    feed: float
    seconds: float
    n: float
    length_offset: int
    line: int


@dataclass(frozen=True, slots=True)
class CutHole:
    """What one tool does in one hole.

    Parameters
    ----------
    x, y : float
        Centre. [mm]
    bottom : float
        Lowest Z of the tip. [mm]
    feed_in, feed_out : float
        Feed speed on the way in and on the way out; 0 out for rapid. [mm/min]
    n : float
        Spindle speed. [1/min]
    pecks : int
        Feed moves on the way in.
    dwell_s : float
        Dwell in the hole. [s]
    """

    x: float
    y: float
    bottom: float
    feed_in: float
    feed_out: float
    n: float
    pecks: int
    dwell_s: float


@dataclass(frozen=True)
class Section:
    """What happens between one tool change and the next.

    Parameters
    ----------
    tool : int
        T word.
    moves : tuple of Move
        In order.
    holes : tuple of CutHole
        In the order they are cut.
    """

    tool: int
    moves: tuple[Move, ...]
    holes: tuple[CutHole, ...]


@dataclass
class _Control:
    """What a control remembers from block to block."""

    unit: Unit | None = None
    position: Point = (math.nan, math.nan, math.nan)
    motion: int = 80
    feed: float = 0.0
    speed: float = 0.0
    turning: bool = False
    tool: int = 0
    length_offset: int = 0
    to_initial: bool = True
    initial: float = math.nan
    cycle: dict[str, float] = field(default_factory=dict)
    sections: list[tuple[int, list[Move]]] = field(default_factory=list)


def read_back(text: str) -> tuple[Section, ...]:
    """Return the tool path of a program, one section for each tool change.

    Parameters
    ----------
    text : str
        A program in the words that holewright writes.

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
    control = _Control()
    begun = False
    for number, line in enumerate(text.splitlines(), start=1):
        block = _COMMENT.sub("", line).strip()
        if block == "%":
            if begun:
                break
            begun = True
        elif block:
            try:
                ended = _run(control, _words(block), number)
            except InputError as error:
                raise error.at(Where("program", line=number)) from None
            if ended:
                break
    return tuple(Section(tool, tuple(moves), _holes(moves)) for tool, moves in control.sections)


def _words(block: str) -> list[tuple[str, float]]:
    words = [(letter, float(number)) for letter, number in _WORD.findall(block)]
    if _WORD.sub("", block).strip():
        raise InputError("block", block, "must be words such as G81 X10.000 F100.0")
    return words


def _run(control: _Control, words: list[tuple[str, float]], line: int) -> bool:
    """Obey one block; return whether it ends the program."""
    g = [number for letter, number in words if letter == "G"]
    m = [number for letter, number in words if letter == "M"]
    value = {letter: number for letter, number in words if letter not in "GMN"}
    _refuse_unknown(g, m, value)

    if 20 in g or 21 in g:
        control.unit = Unit.INCH if 20 in g else Unit.MM
    if "F" in value:
        control.feed = _mm(control, value["F"])
    if "S" in value:
        control.speed = value["S"]
    if "T" in value:
        control.tool = int(value["T"])
    if 6 in m:
        control.turning = False
        control.sections.append((control.tool, []))
    if 3 in m:
        control.turning = True
    if 43 in g:
        control.length_offset = int(_need(value, "H", "G43"))
    if 98 in g or 99 in g:
        control.to_initial = 98 in g
    if 4 in g:
        _move(control, MoveKind.DWELL, control.position, line, seconds=_need(value, "P", "G4"))
    else:
        _obey_motion(control, [int(code) for code in g if code in _MOTIONS], value, line)
    if 5 in m:
        control.turning = False
    return 30 in m


def _refuse_unknown(g: list[float], m: list[float], value: dict[str, float]) -> None:
    unknown = [
        *(f"G{code:g}" for code in g if code not in _KNOWN_G),
        *(f"M{code:g}" for code in m if code not in _KNOWN_M),
        *(letter for letter in value if letter not in "XYZRQPFSTH"),
    ]
    if unknown:
        raise InputError("word", unknown[0], "is not among the words that are read here")


def _obey_motion(control: _Control, g: list[int], value: dict[str, float], line: int) -> None:
    if g:
        if g[-1] in _CYCLES and control.motion not in _CYCLES:
            control.initial = control.position[2]
            control.cycle = {}
        control.motion = g[-1]
    if not value.keys() & set("XYZ"):
        return
    x, y, z = (
        _mm(control, value[axis]) if axis in value else here
        for axis, here in zip("XYZ", control.position, strict=True)
    )
    if control.motion in _CYCLES:
        control.cycle |= {w: _mm(control, value[w]) for w in _CYCLE_LENGTHS if w in value}
        control.cycle |= {"P": value["P"]} if "P" in value else {}
        _cycle(control, x, y, line)
    elif control.motion == 80:
        raise InputError("block", f"line {line}", "has an axis word, but no motion is in force")
    else:
        kind = MoveKind.RAPID if control.motion == 0 else MoveKind.FEED
        _move(control, kind, (x, y, z), line)


def _cycle(control: _Control, x: float, y: float, line: int) -> None:
    """Make the moves of a cycle at one hole."""
    name = f"G{control.motion}"
    bottom = _need(control.cycle, "Z", name)
    retract = _need(control.cycle, "R", name)

    def go(kind: MoveKind, z: float, seconds: float = 0.0) -> None:
        _move(control, kind, (x, y, z), line, seconds=seconds)

    go(MoveKind.RAPID, max(control.position[2], retract))
    go(MoveKind.RAPID, retract)
    if control.motion == 83:
        peck = _need(control.cycle, "Q", name)
        if not peck > 0:
            raise InputError("Q", peck, "must be more than 0")
        reached = retract
        while reached - peck > bottom:
            reached -= peck
            go(MoveKind.FEED, reached)
            go(MoveKind.RAPID, retract)
            go(MoveKind.RAPID, reached + PECK_CLEARANCE)
    go(MoveKind.FEED, bottom)
    if control.motion in (82, 89):
        go(MoveKind.DWELL, bottom, seconds=_need(control.cycle, "P", name))
    if control.motion in (85, 89):
        go(MoveKind.FEED, retract)
    go(MoveKind.RAPID, max(control.initial, retract) if control.to_initial else retract)


def _move(
    control: _Control, kind: MoveKind, end: Point, line: int, *, seconds: float = 0.0
) -> None:
    if end == control.position and kind is not MoveKind.DWELL:
        return
    if kind is MoveKind.FEED and not control.feed > 0:
        raise InputError("F", control.feed, "must be more than 0 before the tool feeds")
    if not control.sections:
        raise InputError("block", f"line {line}", "moves before the first tool change")
    move = Move(
        kind,
        control.position,
        end,
        control.feed if kind is MoveKind.FEED else 0.0,
        seconds,
        control.speed if control.turning else 0.0,
        control.length_offset,
        line,
    )
    control.sections[-1][1].append(move)
    control.position = end


def _mm(control: _Control, number: float) -> float:
    if control.unit is None:
        raise InputError("unit", "none", "must be set by G20 or G21 before a length")
    return mm_from(number, control.unit)


def _need(value: dict[str, float], letter: str, code: str) -> float:
    if letter not in value:
        raise InputError(letter, "missing", f"must be given with {code}")
    return value[letter]


def _holes(moves: list[Move]) -> tuple[CutHole, ...]:
    """Return the holes: each run of moves at one X, Y that feeds below the entry face."""
    holes = []
    for (x, y), run in groupby(moves, key=lambda move: move.end[:2]):
        hole: CutHole | None = None
        for move in run:
            down = move.end[2] < move.start[2]
            if move.kind is MoveKind.FEED and down and move.end[2] < 0:
                if hole is None:
                    hole = CutHole(x, y, move.end[2], move.feed, 0.0, move.n, 1, 0.0)
                else:
                    bottom = min(hole.bottom, move.end[2])
                    hole = replace(hole, bottom=bottom, pecks=hole.pecks + 1)
            elif hole is not None and move.kind is MoveKind.DWELL:
                hole = replace(hole, dwell_s=hole.dwell_s + move.seconds)
            elif hole is not None and move.kind is MoveKind.FEED:
                hole = replace(hole, feed_out=move.feed)
        if hole is not None:
            holes.append(hole)
    return tuple(holes)
