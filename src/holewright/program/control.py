"""Obeys the blocks of a program as a control would, and notes each move.

Knows the words that holewright writes and refuses every other, so that nothing it doesn't
understand is drawn, timed or checked as if it were safe.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from holewright.errors import InputError, Where
from holewright.program.moves import Move, MoveKind, Point
from holewright.program.settings import DwellUnit
from holewright.units import Unit, mm_from

PECK_CLEARANCE = 0.254
"""How far above the last peck a rapid re-entry ends, and how far G73 draws back; a setting of
the control, .010 in here. [mm]"""

_COMMENT = re.compile(r"\([^()]*\)|;.*")
_WORD = re.compile(r"([A-Z])([+-]?(?:\d+\.?\d*|\.\d+))")
_CYCLES = frozenset({73, 81, 82, 83, 85, 86, 89})
_MOTIONS = frozenset({0, 1, 80}) | _CYCLES
_OFFSETS = frozenset(range(54, 60))
_KNOWN_G = _MOTIONS | _OFFSETS | {4, 17, 20, 21, 40, 43, 90, 94, 95, 98, 99}
_KNOWN_M = frozenset({0, 1, 2, 3, 5, 6, 7, 8, 9, 30, 98, 99})
_LETTERS = frozenset("XYZRQPFSTH")
_CYCLE_LENGTHS = "ZRQ"

Words = list[tuple[str, float]]


@dataclass(frozen=True)
class Block:
    """A block as it stands in the text: line, whether it may be skipped, and its words."""

    line: int
    skip: bool
    text: str


@dataclass
class Control:
    """What a control remembers from block to block, and what it has done so far."""

    dwell_unit: DwellUnit = DwellUnit.SECONDS
    unit: Unit | None = None
    position: Point = (math.nan, math.nan, math.nan)
    motion: int = 80
    feed: float = 0.0
    per_revolution: bool = False
    speed: float = 0.0
    turning: bool = False
    coolant: bool = False
    tool: int = 0
    length_offset: int = 0
    work_offset: int = 54
    to_initial: bool = True
    initial: float = math.nan
    cycle: dict[str, float] = field(default_factory=dict)
    sections: list[tuple[int, int, list[Move]]] = field(default_factory=list)


def run(text: str, *, dwell_unit: DwellUnit, skip: bool) -> Control:
    """Return a control that has run the whole program.

    Parameters
    ----------
    text : str
        The program.
    dwell_unit : DwellUnit
        What P of a dwell is in.
    skip : bool
        Whether blocks that begin with ``/`` are skipped.

    Raises
    ------
    InputError
        If a block has a word that isn't known here, or lacks one that it needs. The line is
        named.
    """
    blocks = list(_blocks(text))
    control = Control(dwell_unit)
    _run(control, blocks, blocks, skip=skip, called=False)
    return control


def _blocks(text: str) -> Iterator[Block]:
    """Yield the blocks between the tape signs, without comments."""
    begun = False
    for number, line in enumerate(text.splitlines(), start=1):
        bare = _COMMENT.sub("", line).strip()
        if bare == "%":
            if begun:
                return
            begun = True
        elif bare:
            yield Block(number, bare.startswith("/"), bare.removeprefix("/"))


def _run(
    control: Control, blocks: Sequence[Block], whole: Sequence[Block], *, skip: bool, called: bool
) -> None:
    """Obey blocks until M30, M2 or, in a subprogram, M99."""
    for block in blocks:
        if block.skip and skip:
            continue
        try:
            words = _words(block.text)
            m = [number for letter, number in words if letter == "M"]
            if words[0][0] == "O":
                continue
            if 98 in m:
                _call(control, words, whole, skip=skip, called=called)
            elif (99 in m and called) or _obey(control, words, block.line):
                return
        except InputError as error:
            raise error.at(Where("program", line=block.line)) from None


def _call(
    control: Control, words: Words, whole: Sequence[Block], *, skip: bool, called: bool
) -> None:
    """Obey a subprogram."""
    number = int(_need(dict(words), "P", "M98"))
    if called:
        raise InputError("M98", f"P{number}", "must not be called from a subprogram")
    start = next((i for i, b in enumerate(whole) if _is_head(b.text, number)), None)
    if start is None:
        raise InputError("M98", f"P{number}", f"calls O{number}, which must be in the program")
    _run(control, whole[start + 1 :], whole, skip=skip, called=True)


def _is_head(text: str, number: int) -> bool:
    return text.startswith("O") and text[1:].isdigit() and int(text[1:]) == number


def _words(block: str) -> Words:
    words = [(letter, float(number)) for letter, number in _WORD.findall(block)]
    if _WORD.sub("", block).strip() or not words:
        raise InputError("block", block, "must be words such as G81 X10.000 F100.0")
    return words


def _obey(control: Control, words: Words, line: int) -> bool:
    """Obey one block; return whether it ends the program."""
    g = [number for letter, number in words if letter == "G"]
    m = [number for letter, number in words if letter == "M"]
    value = {letter: number for letter, number in words if letter not in "GMN"}
    _refuse_unknown(g, m, value)
    _set_state(control, g, m, value)
    if 4 in g:
        seconds = _seconds(control, _need(value, "P", "G4"))
        _move(control, MoveKind.DWELL, control.position, line, seconds=seconds)
    else:
        _obey_motion(control, [int(code) for code in g if code in _MOTIONS], value, line)
    if 5 in m:
        control.turning = False
    if 9 in m:
        control.coolant = False
    if (0 in m or 1 in m) and control.sections:
        _move(control, MoveKind.STOP, control.position, line, optional=1 in m)
    return 30 in m or 2 in m


def _set_state(control: Control, g: list[float], m: list[float], value: dict[str, float]) -> None:
    """Set what stays in force, in the order in which a control does."""
    if 20 in g or 21 in g:
        control.unit = Unit.INCH if 20 in g else Unit.MM
    if 94 in g or 95 in g:
        control.per_revolution, control.feed = 95 in g, 0.0
    if "F" in value:
        control.feed = _mm(control, value["F"])
    if "S" in value:
        control.speed = value["S"]
    if "T" in value:
        control.tool = int(value["T"])
    for code in g:
        if code in _OFFSETS:
            control.work_offset = int(code)
    if 6 in m:
        control.turning = False
        control.sections.append((control.tool, control.work_offset, []))
    if 3 in m:
        control.turning = True
    if 7 in m or 8 in m:
        control.coolant = True
    if 43 in g:
        control.length_offset = int(_need(value, "H", "G43"))
    if 98 in g or 99 in g:
        control.to_initial = 98 in g


def _refuse_unknown(g: list[float], m: list[float], value: dict[str, float]) -> None:
    unknown = [
        *(f"G{code:g}" for code in g if code not in _KNOWN_G),
        *(f"M{code:g}" for code in m if code not in _KNOWN_M),
        *(letter for letter in value if letter not in _LETTERS),
    ]
    if unknown:
        raise InputError("word", unknown[0], "is not among the words that are read here")


def _obey_motion(control: Control, g: list[int], value: dict[str, float], line: int) -> None:
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


def _cycle(control: Control, x: float, y: float, line: int) -> None:
    """Make the moves of a cycle at one hole."""
    code = control.motion
    name = f"G{code}"
    bottom = _need(control.cycle, "Z", name)
    retract = _need(control.cycle, "R", name)

    def go(kind: MoveKind, z: float, seconds: float = 0.0) -> None:
        _move(control, kind, (x, y, z), line, seconds=seconds)

    go(MoveKind.RAPID, max(control.position[2], retract))
    go(MoveKind.RAPID, retract)
    if code in (73, 83):
        peck = _need(control.cycle, "Q", name)
        if not peck > 0:
            raise InputError("Q", peck, "must be more than 0")
        reached = retract
        while reached - peck > bottom:
            reached -= peck
            go(MoveKind.FEED, reached)
            if code == 83:
                go(MoveKind.RAPID, retract)
            go(MoveKind.RAPID, reached + PECK_CLEARANCE)
    go(MoveKind.FEED, bottom)
    if code in (82, 86, 89):
        seconds = _seconds(control, _need(control.cycle, "P", name))
        go(MoveKind.DWELL, bottom, seconds=seconds)
    if code in (85, 89):
        go(MoveKind.FEED, retract)
    turning, control.turning = control.turning, control.turning and code != 86
    go(MoveKind.RAPID, max(control.initial, retract) if control.to_initial else retract)
    control.turning = turning


def _move(
    control: Control,
    kind: MoveKind,
    end: Point,
    line: int,
    *,
    seconds: float = 0.0,
    optional: bool = False,
) -> None:
    if end == control.position and kind not in (MoveKind.DWELL, MoveKind.STOP):
        return
    if not control.sections:
        raise InputError("block", f"line {line}", "moves before the first tool change")
    n = control.speed if control.turning else 0.0
    feed = 0.0
    if kind is MoveKind.FEED:
        feed = control.feed * (control.speed if control.per_revolution else 1.0)
        if not feed > 0:
            raise InputError("F", control.feed, "must be more than 0 before the tool feeds")
    control.sections[-1][2].append(
        Move(
            kind,
            control.position,
            end,
            feed,
            seconds,
            n,
            control.length_offset,
            line,
            control.coolant,
            optional,
        )
    )
    control.position = end


def _seconds(control: Control, number: float) -> float:
    return number / 1000 if control.dwell_unit is DwellUnit.MILLISECONDS else number


def _mm(control: Control, number: float) -> float:
    if control.unit is None:
        raise InputError("unit", "none", "must be set by G20 or G21 before a length")
    return mm_from(number, control.unit)


def _need(value: dict[str, float], letter: str, code: str) -> float:
    if letter not in value:
        raise InputError(letter, "missing", f"must be given with {code}")
    return value[letter]
