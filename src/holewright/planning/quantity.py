"""What the number of holes decides: where one choice of tools overtakes another."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from holewright.planning.candidates import evaluate
from holewright.planning.limits import all_hold
from holewright.planning.point import Point
from holewright.planning.rules import limits_of

MOST = 10_000_000
"""Holes beyond which no break-even is looked for. [-]"""


@dataclass(frozen=True)
class BreakEven:
    """Where the dearer start pays.

    Parameters
    ----------
    holes : int, optional
        Least number of holes from which `second` costs less; None where it never does.
    first, second : str
        Names of the reamers compared.
    at : tuple of (int, float, float)
        Number of holes and the cost of a good hole with either. [currency]
    """

    holes: int | None
    first: str
    second: str
    at: tuple[tuple[int, float, float], ...]


def cost_at(point: Point, holes: int) -> float:
    """Return what a good hole costs with the tools of a candidate, at its best setting.

    Parameters
    ----------
    point : Point
        Its preparation, reamer and holder.
    holes : int
        Number of holes to make, 1 or more. [-]

    Returns
    -------
    float
        Infinite where no setting keeps every limit. [currency]
    """
    task = replace(point.candidates.task, holes=holes)
    grid = evaluate(task, (point.prepared,), (point.reamer,), (point.holder,))
    kept = all_hold(limits_of(grid), grid.shape)
    return float(np.where(kept, grid.cost, np.inf).min())


def break_even_between(
    first: Point, second: Point, at: Sequence[int] = (10, 100, 1000, 10_000, 100_000)
) -> BreakEven:
    """Return the number of holes from which a second choice of tools is cheaper than a first.

    Parameters
    ----------
    first, second : Point
        Two candidates; the second is the one with the dearer start.
    at : sequence of int
        Numbers of holes to give both costs for. [-]

    Returns
    -------
    BreakEven
        Found by bisection, so that it holds where the saving grows with the number of holes.
    """

    def saves(holes: int) -> bool:
        return cost_at(second, holes) < cost_at(first, holes)

    table = tuple((n, cost_at(first, n), cost_at(second, n)) for n in at)
    names = (first.reamer.id, second.reamer.id)
    if saves(1):
        return BreakEven(1, *names, table)
    low, high = 1, 2
    while not saves(high):
        low, high = high, high * 2
        if high > MOST:
            return BreakEven(None, *names, table)
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if saves(middle) else (middle, high)
    return BreakEven(high, *names, table)
