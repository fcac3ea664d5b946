"""Whether tool or holder hits part, clamps or what lies under the part, move by move.

The moves are those read back from the text of the program. The part is taken to have its
entry face at Z0 everywhere and no edge: what is said to be clear is clear of any part.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from holewright.errors import OutOfRangeError
from holewright.program.fixture import CLEARANCE, Fixture, KeepOut
from holewright.program.moves import Move, MoveKind, Section

_SAME = 1e-6
"""Lengths closer than this are one. [mm]"""
_ROUNDING = 0.003
"""What writing in an inch program may move a point by, twice over. [mm]"""


@dataclass(frozen=True)
class ToolShape:
    """A tool in its holder, as three cylinders above its tip; symbols of ISO 13399.

    Parameters
    ----------
    name : str
        Name in the tool room.
    DC : float
        Cutting diameter. [mm]
    LU : float
        Usable length: up to here it is no thicker than `DC`. [mm]
    DMM : float
        Shank diameter. [mm]
    LPR : float
        Length that sticks out of the holder. [mm]
    BD : float
        Diameter of the holder's nose. [mm]
    """

    name: str
    DC: float
    LU: float
    DMM: float
    LPR: float
    BD: float

    def __post_init__(self) -> None:
        for symbol in ("DC", "LU", "DMM", "LPR", "BD"):
            if not getattr(self, symbol) > 0:
                raise OutOfRangeError(f"{symbol} of {self.name}", getattr(self, symbol), "over 0")

    @property
    def radius(self) -> float:
        """Radius of the widest of the three. [mm]"""
        return max(self.DC, self.DMM, self.BD) / 2

    @property
    def levels(self) -> tuple[tuple[str, float, float], ...]:
        """Name, height above the tip and radius of each cylinder. [mm]"""
        return (
            ("tool", 0.0, self.DC / 2),
            ("shank", min(self.LU, self.LPR), max(self.DC, self.DMM) / 2),
            ("holder", self.LPR, self.BD / 2),
        )


@dataclass(frozen=True)
class Clash:
    """One move that hits something.

    Parameters
    ----------
    line : int
        Line of the program.
    tool : int
        T word.
    code : str
        ``rapid-into-material``, ``sideways-in-material``, ``hits-keep-out``, ``hits-part`` or
        ``hits-floor``.
    text : str
        What happens, for a person.
    """

    line: int
    tool: int
    code: str
    text: str


def clashes(
    sections: Sequence[Section], tools: Mapping[int, ToolShape], fixture: Fixture
) -> tuple[Clash, ...]:
    """Return every move that hits something, in the order of the program.

    Parameters
    ----------
    sections : sequence of Section
        The tool path, as :func:`holewright.program.backplot.read_back` gives it.
    tools : mapping of int to ToolShape
        Tools by T word. Where one isn't known only its tip is checked.
    fixture : Fixture
        Clamps, no-go boxes and the floor.

    Notes
    -----
    At rapid, tool and holder are kept clear of everything in the rectangle between the ends
    of a move, since a rapid need not be straight. A rapid may go below the entry face only in a
    hole that was drilled before to that depth, by a tool at least as large. The spindle nose,
    the table's edges and cables are not known here.

    Source: derived here.
    """
    made: dict[tuple[float, float], list[tuple[float, float]]] = {}
    found: list[Clash] = []
    for section in sections:
        shape = tools.get(section.tool)
        for move in section.moves:
            if move.kind in (MoveKind.RAPID, MoveKind.FEED):
                found += _clashes_of(move, section.tool, shape, fixture, made)
            _open_hole(move, shape, made)
    return tuple(found)


def _open_hole(
    move: Move,
    shape: ToolShape | None,
    made: dict[tuple[float, float], list[tuple[float, float]]],
) -> None:
    """Note the depth and the diameter that a feed move has opened."""
    if move.kind is MoveKind.FEED and move.end[2] < 0:
        diameter = shape.DC if shape is not None else 0.0
        made.setdefault(_place(move), []).append((-move.end[2], diameter))


def _clashes_of(
    move: Move,
    tool: int,
    shape: ToolShape | None,
    fixture: Fixture,
    made: Mapping[tuple[float, float], Sequence[tuple[float, float]]],
) -> list[Clash]:
    low = min((z for z in (move.start[2], move.end[2]) if not math.isnan(z)), default=math.nan)
    sideways = move.start[:2] != move.end[:2]
    found: list[tuple[str, str]] = []
    if not sideways and move.end[2] > move.start[2]:
        return []  # straight up: whatever it hit, it hit on the way down
    if low < 0 and sideways:
        found.append(("sideways-in-material", f"goes sideways at Z{low:.3f}, below the face"))
    elif move.kind is MoveKind.RAPID and move.end[2] < min(0.0, move.start[2]):
        found += _rapid_down(move, shape, made)
    if fixture.floor is not None and low < -fixture.floor - _ROUNDING:
        found.append(
            (
                "hits-floor",
                f"reaches Z{low:.3f}; what lies under the part begins at Z{-fixture.floor:.3f}",
            )
        )
    if shape is not None:
        found += _part(low, shape, made.get(_place(move), ()))
        for box in fixture.keep_outs:
            found += _keep_out(move, low, shape, box)
    return [Clash(move.line, tool, code, f"T{tool} {text}.") for code, text in found]


def _rapid_down(
    move: Move,
    shape: ToolShape | None,
    made: Mapping[tuple[float, float], Sequence[tuple[float, float]]],
) -> list[tuple[str, str]]:
    """Return a rapid into material that nothing has drilled yet."""
    diameter = shape.DC if shape is not None else 0.0
    open_to = max(
        (depth for depth, width in made.get(_place(move), ()) if width >= diameter - _SAME),
        default=0.0,
    )
    if -move.end[2] <= open_to + _SAME:
        return []
    return [
        (
            "rapid-into-material",
            f"goes at rapid to Z{move.end[2]:.3f} where the hole is open to "
            f"Z{0.0 - open_to:.3f} only",
        )
    ]


def _part(
    low: float, shape: ToolShape, holes: Sequence[tuple[float, float]]
) -> list[tuple[str, str]]:
    """Return shank or holder at the part's face, unless the hole lets the shank in."""
    widest = max((width for _, width in holes), default=shape.DC)
    found = []
    for name, above, radius in shape.levels[1:]:
        gap = low + above
        if gap < 0 and (name == "holder" or 2 * radius > max(widest, shape.DC) + _SAME):
            found.append(("hits-part", f"its {name} goes {-gap:.1f} mm below the part's face"))
    return found


def _keep_out(move: Move, low: float, shape: ToolShape, box: KeepOut) -> list[tuple[str, str]]:
    for name, above, radius in shape.levels:
        if low + above < box.top + CLEARANCE - _ROUNDING and _near(move, radius, box):
            return [("hits-keep-out", f"its {name} comes too near {box.name}")]
    return []


def _near(move: Move, radius: float, box: KeepOut) -> bool:
    """Return whether a cylinder on its way comes within the clearance of a box, seen from above."""
    if any(math.isnan(value) for value in (*move.start[:2], *move.end[:2])):
        return False  # the first approach: it begins where the program doesn't say
    reach = radius + CLEARANCE - _ROUNDING
    xs, ys = sorted((move.start[0], move.end[0])), sorted((move.start[1], move.end[1]))
    dx = max(box.x_min - xs[1], xs[0] - box.x_max, 0.0)
    dy = max(box.y_min - ys[1], ys[0] - box.y_max, 0.0)
    return math.hypot(dx, dy) < reach


def _place(move: Move) -> tuple[float, float]:
    return move.end[0], move.end[1]
