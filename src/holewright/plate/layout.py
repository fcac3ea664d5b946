"""Where each hole of the plate lies, and in which order the holes are cut."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from holewright.errors import OutOfRangeError
from holewright.plate.factors import ChangedBy, Factor, Setting, changes
from holewright.reasons import Reason
from holewright.units import Unit, format_small, mm_from

Floats = NDArray[np.float64]

WEB = 1.0
"""Wall between two holes, in diameters. [-] Common practice, no source."""
MOST_HOLES = 1000


class Order(StrEnum):
    """In which order the holes are cut."""

    ROWS = "rows"
    """Row by row: one change between rows; a drift of the tool looks like an effect."""
    BLOCKS = "blocks"
    """Column by column, one hole of each row in each, in random order within it."""
    RANDOM = "random"
    """All holes in random order."""


@dataclass(frozen=True)
class PlateHole:
    """A hole of the plate.

    Parameters
    ----------
    name : str
        Row letter and place in the row: ``B7``.
    row : int
        Which row, from 0: all holes of a row have one setting. [-]
    x, y : float
        Centre from the plate's zero. [mm]
    cut : int
        Place in the order of cutting, from 1. [-]
    """

    name: str
    row: int
    x: float
    y: float
    cut: int


@dataclass(frozen=True)
class Layout:
    """All holes of a plate.

    Parameters
    ----------
    holes : tuple of PlateHole
        In the order of cutting.
    order : Order
        How the order was made.
    seed : int
        Seed of what is random in it. [-]
    pitch : float
        Distance of neighbours. [mm]
    """

    holes: tuple[PlateHole, ...]
    order: Order
    seed: int
    pitch: float

    @property
    def rows(self) -> NDArray[np.intp]:
        """Row of each hole in the order of cutting."""
        return np.array([hole.row for hole in self.holes], dtype=np.intp)

    @property
    def size(self) -> tuple[float, float]:
        """Length and width of the field of holes, centre to centre. [mm]"""
        return (
            max(hole.x for hole in self.holes) - min(hole.x for hole in self.holes),
            max(hole.y for hole in self.holes) - min(hole.y for hole in self.holes),
        )


def usual_pitch(diameter: float, unit: Unit = Unit.MM) -> float:
    """Return the distance of neighbours with a wall of one diameter, in round numbers. [mm]

    Parameters
    ----------
    diameter : float
        Diameter of the holes. [mm]
    unit : Unit
        Unit of the print: it is rounded up to a whole mm, or to a sixteenth of an inch.
    """
    step = 1.0 if unit is Unit.MM else mm_from(1, unit) / 16
    return math.ceil((1 + WEB) * diameter / step - 1e-9) * step


def lay_out(rows: int, a_row: int, *, pitch: float, order: Order, seed: int = 1) -> Layout:
    """Return the holes of a plate: one row for each setting.

    Parameters
    ----------
    rows : int
        Rows, 1 or more. [-]
    a_row : int
        Holes in each, 1 or more. [-]
    pitch : float
        Distance of neighbours, more than 0. [mm]
    order : Order
        In which order they are cut.
    seed : int
        Seed of the random orders. [-]

    Returns
    -------
    Layout
        Row A is the first, at the plate's zero; the rows go up in Y.

    Raises
    ------
    OutOfRangeError
        If there is no hole, there are more than 1000, or the pitch isn't positive.
    """
    if not (rows >= 1 and a_row >= 1 and rows * a_row <= MOST_HOLES):
        raise OutOfRangeError("holes", rows * a_row, f"from 1 to {MOST_HOLES}")
    if not pitch > 0:
        raise OutOfRangeError("pitch", pitch, "more than 0")
    places = [(row, column) for row in range(rows) for column in range(a_row)]
    rng = np.random.default_rng(seed)
    if order is Order.BLOCKS:
        places = [(int(row), column) for column in range(a_row) for row in rng.permutation(rows)]
    elif order is Order.RANDOM:
        places = [places[i] for i in rng.permutation(len(places))]
    return Layout(
        tuple(
            PlateHole(f"{row_name(row)}{column + 1}", row, column * pitch, row * pitch, cut)
            for cut, (row, column) in enumerate(places, start=1)
        ),
        order,
        seed,
        pitch,
    )


def row_name(row: int) -> str:
    """Return the letters of a row: A … Z, AA, AB …"""
    letters = ""
    row += 1
    while row:
        row, last = divmod(row - 1, 26)
        letters = chr(ord("A") + last) + letters
    return letters


def widening(x: Floats) -> Floats:
    r"""Return how much wider each effect's interval is because holes are cut in this order.

    .. math:: 1 / \sqrt{1 - R^2}

    with R the correlation of the column with the order of cutting: what the drift of the tool
    takes from it, once it is told apart.

    Parameters
    ----------
    x : ndarray
        One column for each effect, in the order of cutting, shape (holes, effects). [-]

    Returns
    -------
    ndarray
        1 for no loss, ``inf`` where order and effect are one. [-]
    """
    cut = np.arange(len(x), dtype=float)
    cut -= cut.mean()
    z = x - x.mean(0)
    with np.errstate(divide="ignore"):
        r2 = (cut @ z) ** 2 / ((cut @ cut) * (z**2).sum(0))
        wide: Floats = 1 / np.sqrt(np.maximum(1 - r2, 0.0))
    return wide


def price_of_order(
    layout: Layout,
    factors: Sequence[Factor],
    settings: Sequence[Setting],
    columns: Floats,
    *,
    drift: float,
    change_s: float,
    unit: Unit = Unit.MM,
) -> Reason:
    """Return what an order of cutting costs, in words: time, or knowledge.

    Parameters
    ----------
    layout : Layout
        The plate.
    factors : sequence of Factor
        What is varied.
    settings : sequence of tuple
        Setting of each row.
    columns : ndarray
        Model columns of the effects, in the order of cutting, shape (holes, effects). [-]
    drift : float
        Drift of the tool that is to be expected, per hole. [mm/hole]
    change_s : float
        Time of a tool change in the machine; one by hand is taken as five minutes. [s]
    unit : Unit
        Unit that sentences say first.

    Returns
    -------
    Reason
        `value` is how much wider the worst interval is. [-]
    """
    cut = [settings[hole.row] for hole in layout.holes]
    often = changes(factors, cut)
    wide = float(widening(columns).max(initial=1.0))
    over = drift * (len(layout.holes) - 1)
    said = _order_words(layout, often, change_s)
    if wide > 1.05:
        # What would pass for an effect, were the drift not told apart: first row against last.
        taken = abs(over) * (1 - 1 / len(settings))
        loss = (
            f" Order and setting go together: telling the tool's drift apart makes the worst "
            f"interval {wide:.1f} times as wide; not told apart, an expected drift would pass for "
            f"{format_small(round(taken, 5), unit)} between the first row and the last."
            if math.isfinite(wide)
            else " Order and setting can't be told apart at all: a drift is an effect here."
        )
    else:
        loss = (
            f" Drift falls on all rows alike: told apart, it widens the worst interval by "
            f"{100 * (wide - 1):.1f} %."
        )
    return Reason(f"order-{layout.order}", said + loss, wide, None, "")


def _order_words(layout: Layout, often: dict[ChangedBy, int], change_s: float) -> str:
    name = {
        Order.ROWS: "Row by row",
        Order.BLOCKS: "In blocks (one hole of each row in turn, shuffled within the block)",
        Order.RANDOM: "In random order",
    }[layout.order]
    tool, hand = often[ChangedBy.TOOL_CHANGE], often[ChangedBy.HAND]
    parts = []
    if tool:
        parts.append(f"{tool} tool changes, {tool * change_s / 60:.0f} min")
    if hand:
        parts.append(f"{hand} changes by hand, about {hand * 5} min")
    cost = " and ".join(parts) or "the program makes every change, no time is lost"
    return f"{name}: {cost}."
