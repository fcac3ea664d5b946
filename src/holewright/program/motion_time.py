"""Time of a part from the moves of its program, with axes and a spindle that take time to start."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import ArrayLike, NDArray

from holewright.program.moves import Move, MoveKind, Section
from holewright.shop.machine import Machine


@dataclass(frozen=True)
class SectionTime:
    """Where the time between one tool change and the next goes.

    Parameters
    ----------
    tool : int
        T word.
    rapid_s, feed_s, dwell_s : float
        Time at rapid, at feed and in dwells. [s]
    spindle_s : float
        Waiting for the spindle to reach its speed, or to stand. [s]
    change_s : float
        Tool change, chip to chip. [s]
    stops : int
        Stops for a person; their time is not known. [-]
    naive_s : float
        Lengths over speeds, dwells and tool change, as if nothing had mass. [s]
    """

    tool: int
    rapid_s: float
    feed_s: float
    dwell_s: float
    spindle_s: float
    change_s: float
    stops: int
    naive_s: float

    @property
    def cutting_s(self) -> float:
        """All but the tool change. [s]"""
        return self.rapid_s + self.feed_s + self.dwell_s + self.spindle_s

    @property
    def total_s(self) -> float:
        """All of it. [s]"""
        return self.cutting_s + self.change_s


def axis_seconds(
    way: ArrayLike, speed: ArrayLike, *, acceleration: float, jerk: float
) -> NDArray[np.float64]:
    r"""Return the time of a straight move from rest to rest under limited jerk.

    Speed rises along an S: the acceleration itself grows and falls at the rate :math:`j`.

    .. math::

        t = \begin{cases}
            d/v + v/a + a/j & \text{the speed } v \text{ is reached} \\
            2 (v_p/a + a/j),\quad v_p (v_p/a + a/j) = d & \text{the acceleration is, not } v \\
            4 \sqrt[3]{d / (2 j)} & \text{neither is}
        \end{cases}

    Where :math:`v < a^2/j` the acceleration :math:`a` is never reached: then
    :math:`v/a + a/j` is :math:`2 \sqrt{v/j}`.

    Parameters
    ----------
    way : array_like
        Length d, 0 or more. [mm]
    speed : array_like
        Greatest speed v, more than 0. [mm/min]
    acceleration : float
        Greatest acceleration a, more than 0. [mm/s²]
    jerk : float
        Greatest jerk j, more than 0. [mm/s³]

    Returns
    -------
    ndarray
        Time, in the broadcast shape of the inputs. [s]

    References
    ----------
    .. [1] L. Biagiotti, C. Melchiorri, "Trajectory Planning for Automatic Machines and
       Robots", Springer 2008, section 3.4, double S velocity profile from rest to rest (from
       memory; the formulas are derived here from the profile).

    Examples
    --------
    500 mm/s, 5 m/s², 50 m/s³: 0.1 s + 0.1 s to get up to speed, and as long to stop.

    >>> float(axis_seconds(100.0, 30000.0, acceleration=5000, jerk=50000))
    0.4
    """
    d, v = np.broadcast_arrays(np.asarray(way, float), np.asarray(speed, float) / 60)
    a, j = acceleration, jerk
    ramp = _ramp(v, a, j)
    at_speed = d / v + ramp
    peak = (-(a**2) / j + np.sqrt((a**2 / j) ** 2 + 4 * a * d)) / 2
    at_acceleration = 2 * (peak / a + a / j)
    at_jerk = 4 * np.cbrt(d / (2 * j))
    short = np.where(peak >= a**2 / j, at_acceleration, at_jerk)
    seconds: NDArray[np.float64] = np.where(d >= v * ramp, at_speed, short)
    return seconds


def _ramp(v: NDArray[np.float64], a: float, j: float) -> NDArray[np.float64]:
    """Return the time from rest to a speed [mm/s]. [s]"""
    ramp: NDArray[np.float64] = np.where(v * j >= a**2, v / a + a / j, 2 * np.sqrt(v / j))
    return ramp


def section_time(section: Section, machine: Machine) -> SectionTime:
    """Return the time of what happens between one tool change and the next.

    Parameters
    ----------
    section : Section
        Moves as read back from the program.
    machine : Machine
        Its rapid traverse, acceleration, jerk, rapid overlap, spindle run-up and tool change.

    Returns
    -------
    SectionTime
        By kind. [s]

    Notes
    -----
    Every block ends at rest, but where two rapids follow each other: there the second may
    begin while the first brakes, by the share ``machine.rapid_overlap``. At rapid each axis
    has the limits to itself and the slowest decides. The spindle starts together with the
    rapids behind it, and the first feed waits for it; its time is in proportion to the change
    of speed (constant torque). The start after a tool change is in the change, which is
    chip to chip. Look-ahead, the control's own block time and the coolant's way are left out.
    A move whose beginning the program doesn't tell counts along the axes that are known.

    Source: derived here.
    """
    moves = section.moves
    ways, lengths, rapid, feeds = _arrays(moves)
    at_rapid, at_feed = _from_rest_to_rest(ways, lengths, rapid, feeds, machine)
    feeding = feeds > 0
    return SectionTime(
        tool=section.tool,
        rapid_s=math.fsum(at_rapid) - _overlap(ways, rapid, at_rapid, machine),
        feed_s=math.fsum(at_feed),
        dwell_s=math.fsum(move.seconds for move in moves),
        spindle_s=_spindle(moves, at_rapid, machine),
        change_s=machine.tool_change_s,
        stops=sum(move.kind is MoveKind.STOP for move in moves),
        naive_s=math.fsum(
            [
                *(60 * lengths[rapid] / machine.rapid),
                *(60 * lengths[feeding] / feeds[feeding]),
                *(move.seconds for move in moves),
                machine.tool_change_s,
            ]
        ),
    )


def move_seconds(section: Section, machine: Machine) -> NDArray[np.float64]:
    """Return the time of each move or dwell from rest to rest; a stop takes none here. [s]

    Parameters
    ----------
    section : Section
        Moves as read back from the program.
    machine : Machine
        Its rapid traverse, acceleration and jerk.
    """
    ways, lengths, rapid, feeds = _arrays(section.moves)
    at_rapid, at_feed = _from_rest_to_rest(ways, lengths, rapid, feeds, machine)
    dwells = np.array([move.seconds for move in section.moves])
    seconds: NDArray[np.float64] = at_rapid + at_feed + dwells
    return seconds


def _arrays(
    moves: Sequence[Move],
) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.bool_], NDArray[np.float64]]:
    """Return ways along the axes, lengths, which moves are rapids, and feed speeds."""
    ways = np.array([_ways(move) for move in moves]).reshape(-1, 3)
    lengths = np.hypot(np.hypot(ways[:, 0], ways[:, 1]), ways[:, 2])
    rapid = np.array([move.kind is MoveKind.RAPID for move in moves], dtype=bool)
    return ways, lengths, rapid, np.array([move.feed for move in moves], dtype=float)


def _from_rest_to_rest(
    ways: NDArray[np.float64],
    lengths: NDArray[np.float64],
    rapid: NDArray[np.bool_],
    feeds: NDArray[np.float64],
    machine: Machine,
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return the time of each move at rapid and at feed; 0 where it is the other. [s]"""
    limits = {"acceleration": machine.acceleration, "jerk": machine.jerk}
    at_rapid = axis_seconds(ways, machine.rapid, **limits).max(axis=1, initial=0.0) * rapid
    at_feed = np.zeros(len(feeds))
    feeding = feeds > 0
    at_feed[feeding] = axis_seconds(lengths[feeding], feeds[feeding], **limits)
    return at_rapid, at_feed


def _ways(move: Move) -> list[float]:
    """Return how far a move goes along X, Y and Z; 0 along an axis that isn't known yet."""
    return [
        abs(b - a) if a == a and b == b else 0.0 for a, b in zip(move.start, move.end, strict=True)
    ]


def _overlap(
    ways: NDArray[np.float64],
    rapid: NDArray[np.bool_],
    seconds: NDArray[np.float64],
    machine: Machine,
) -> float:
    """Return the time saved where a rapid begins while the one before it brakes. [s]"""
    if not machine.rapid_overlap or len(seconds) < 2:
        return 0.0
    v = np.asarray(machine.rapid / 60)
    ramp = np.minimum(_ramp(v, machine.acceleration, machine.jerk), seconds / 2)
    both = rapid[:-1] & rapid[1:]
    saved = np.minimum(ramp[:-1], ramp[1:]) * both
    return machine.rapid_overlap * math.fsum(saved)


def _spindle(moves: Sequence[Move], at_rapid: NDArray[np.float64], machine: Machine) -> float:
    """Return the time for which feed, or a stop, waits for the spindle. [s]"""
    spindle = _Spindle(machine.spindle_run_up_s / machine.n_max)
    for move, seconds in zip(moves, at_rapid.tolist(), strict=True):
        if move.kind is MoveKind.STOP:
            spindle.settle(0.0)
        elif move.kind is MoveKind.RAPID and move.n == 0 and spindle.n:
            spindle.settle(0.0)  # drawn out with a stopped spindle: it must stand first
        elif move.kind is MoveKind.RAPID:
            spindle.turn(move.n, seconds)
        else:
            spindle.settle(move.n)
    return spindle.waited


@dataclass
class _Spindle:
    """A spindle on its way to a speed."""

    seconds_per_n: float
    n: float | None = None
    due: float = 0.0
    waited: float = field(default=0.0)

    def turn(self, n: float, meanwhile: float) -> None:
        """Head for a speed while a rapid goes on."""
        if self.n is None:
            self.n = n  # the start after the change is in the change
        self.due = max(0.0, self.due + abs(n - self.n) * self.seconds_per_n - meanwhile)
        self.n = n

    def settle(self, n: float) -> None:
        """Wait until the speed is there."""
        self.turn(n, 0.0)
        self.waited += self.due
        self.due = 0.0
