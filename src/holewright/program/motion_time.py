"""Time of a part from the moves of its program."""

from __future__ import annotations

import math

from holewright.program.backplot import Move, MoveKind, Section
from holewright.shop.machine import Machine


def section_seconds(section: Section, machine: Machine) -> float:
    r"""Return the time of one operation, tool change apart. [s]

    .. math:: t = \sum l_\mathrm{rapid} / v_\mathrm{rapid}
              + \sum l_\mathrm{feed} / v_f + \sum t_\mathrm{dwell}

    Parameters
    ----------
    section : Section
        Moves between two tool changes, as read back from the program.
    machine : Machine
        Its rapid traverse.

    Notes
    -----
    Acceleration, spindle run-up and stops for the operator are left out, so that the machine
    takes longer, most of all in short rapids between many holes. A move whose beginning the
    program doesn't tell (the first after the start) counts along the axes that are known.

    Source: derived here.
    """
    return math.fsum(_seconds(move, machine) for move in section.moves)


def _seconds(move: Move, machine: Machine) -> float:
    if move.kind is MoveKind.DWELL:
        return move.seconds
    known = [(a, b) for a, b in zip(move.start, move.end, strict=True) if a == a and b == b]
    way = math.dist([a for a, _ in known], [b for _, b in known])
    return 60 * way / (machine.rapid if move.kind is MoveKind.RAPID else move.feed)
