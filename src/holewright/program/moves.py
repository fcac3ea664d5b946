"""What a tool does: moves, holes, and all between two tool changes."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

Point = tuple[float, float, float]


class MoveKind(StrEnum):
    """How the tool gets from one point to the next."""

    RAPID = "rapid"
    FEED = "feed"
    DWELL = "dwell"
    STOP = "stop"
    """M0 or M1: the machine waits for a person."""


@dataclass(frozen=True, slots=True)
class Move:
    """One straight move of the tool's tip, a dwell or a stop.

    Parameters
    ----------
    kind : MoveKind
        Rapid, feed, dwell or stop.
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
    coolant : bool
        Whether coolant is on.
    optional : bool
        Whether a stop is M1.
    """

    kind: MoveKind
    start: Point
    end: Point
    feed: float
    seconds: float
    n: float
    length_offset: int
    line: int
    coolant: bool = False
    optional: bool = False


@dataclass(frozen=True)
class CutHole:
    """What one tool does in one hole.

    Parameters
    ----------
    x, y : float
        Centre. [mm]
    bottom : float
        Lowest Z of the tip. [mm]
    feed_in, feed_out : float
        Feed speed on the last stretch in and on the way out; 0 out for rapid. [mm/min]
    n : float
        Spindle speed. [1/min]
    pecks : int
        Feed moves on the way in.
    dwell_s : float
        Dwell in the hole. [s]
    feed_entry : float
        Feed speed on the first stretch in. [mm/min]
    out_stopped : bool
        Whether the spindle stands on the way out.
    """

    x: float
    y: float
    bottom: float
    feed_in: float
    feed_out: float
    n: float
    pecks: int
    dwell_s: float
    feed_entry: float = 0.0
    out_stopped: bool = False


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
    work_offset : int
        54 to 59.
    """

    tool: int
    moves: tuple[Move, ...]
    holes: tuple[CutHole, ...]
    work_offset: int = 54
