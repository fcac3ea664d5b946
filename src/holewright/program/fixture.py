"""What stands in the way of the tool: clamps, no-go boxes, and what lies under the part."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from holewright.errors import InputError, OutOfRangeError

CLEARANCE = 2.0
"""Between tool and clamp, sideways and above (common practice, no source). [mm]"""


@dataclass(frozen=True)
class KeepOut:
    """A box where no tool may be: a clamp, a stop, a probe. It stands on the table.

    Parameters
    ----------
    name : str
        What it is.
    x_min, x_max, y_min, y_max : float
        Its sides, from the part zero. [mm]
    top : float
        Its height above the entry face; the tool may fly over it. [mm]
    """

    name: str
    x_min: float
    x_max: float
    y_min: float
    y_max: float
    top: float

    def __post_init__(self) -> None:
        if not (self.x_min < self.x_max and self.y_min < self.y_max):
            raise InputError(
                "keep-out", self.name, "must have a first side below its second, in x and in y"
            )
        if not abs(self.top) < 10_000:
            raise OutOfRangeError("top", self.top, "a height above the entry face")


@dataclass(frozen=True)
class Fixture:
    """How the part is held, as far as a tool can hit it.

    Parameters
    ----------
    keep_outs : tuple of KeepOut
        Clamps and no-go boxes.
    floor : float, optional
        Depth below the entry face at which something lies under the part: table, parallels,
        vise. None where nobody says. [mm]
    """

    keep_outs: tuple[KeepOut, ...] = ()
    floor: float | None = None

    def __post_init__(self) -> None:
        if self.floor is not None and not self.floor > 0:
            raise OutOfRangeError("floor", self.floor, "a depth of more than 0 below the face")


OPEN = Fixture()
"""Nothing in the way that anybody named."""


def hop_heights(
    start: ArrayLike, end: ArrayLike, fixture: Fixture, *, radius: float, usual: float
) -> NDArray[np.float64]:
    """Return the height at which the tool can go from one place to another.

    Parameters
    ----------
    start, end : array_like
        X and Y of both ends, shapes (..., 2) that broadcast. [mm]
    fixture : Fixture
        What stands in the way.
    radius : float
        Radius of whatever turns: tool or holder, the larger. [mm]
    usual : float
        Height that is taken where nothing is in the way. [mm]

    Returns
    -------
    ndarray
        `usual`, or the top of the highest keep-out on the way with its clearance. [mm]

    Notes
    -----
    At rapid many machines drive each axis as fast as it goes, so that the way is bent: all
    that is known is that it stays in the rectangle between its ends. So that rectangle, not
    the straight line, must be clear.

    Source: derived here.
    """
    a, b = np.asarray(start, float), np.asarray(end, float)
    low, high = np.minimum(a, b) - radius - CLEARANCE, np.maximum(a, b) + radius + CLEARANCE
    height = np.full(low.shape[:-1], usual)
    for box in fixture.keep_outs:
        hit = (
            (low[..., 0] < box.x_max)
            & (high[..., 0] > box.x_min)
            & (low[..., 1] < box.y_max)
            & (high[..., 1] > box.y_min)
        )
        height = np.where(hit, np.maximum(height, box.top + CLEARANCE), height)
    return height


def check_reach(fixture: Fixture, safe: float) -> None:
    """Refuse a keep-out over which the tool can't fly at the safe height.

    Raises
    ------
    InputError
        With the height that would do.
    """
    for box in fixture.keep_outs:
        if box.top + CLEARANCE > safe:
            raise InputError(
                f"top of {box.name}",
                f"{box.top:g} mm",
                f"must be {CLEARANCE:g} mm or more below the safe height, {safe:g} mm: raise "
                f"the safe plane to {box.top + CLEARANCE:g} mm",
            )
