"""Counted intervals of size: what every fit in this room starts from."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from holewright.errors import InputError, OutOfRangeError

Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Rows:
    """Intervals of size with the number of holes in each.

    Parameters
    ----------
    lower, upper : ndarray
        Bounds; ``-inf`` and ``inf`` where open; equal where the size itself is known. [mm]
    count : ndarray
        Holes with these bounds, more than 0. [-]
    """

    lower: Floats
    upper: Floats
    count: Floats

    @property
    def exact(self) -> NDArray[np.bool_]:
        """Which rows are a size and not an interval."""
        return np.equal(self.lower, self.upper)

    @property
    def n(self) -> float:
        """Holes in all."""
        return float(self.count.sum())


def rows_of(lower: ArrayLike, upper: ArrayLike, count: ArrayLike = 1) -> Rows:
    """Return checked rows; those that say nothing (open at both ends, or no hole) are left out.

    Parameters
    ----------
    lower, upper : array_like
        Bounds, lower ≤ upper; ``-inf`` and ``inf`` where open. [mm]
    count : array_like
        Holes in each, 0 or more. [-]

    Returns
    -------
    Rows
        The rows, one dimension.

    Raises
    ------
    InputError
        If a bound isn't a number, a lower bound lies above its upper, or no row is left.
    OutOfRangeError
        If a count is negative or not finite.
    """
    low, high, number = (
        np.array(a, dtype=float).ravel()
        for a in np.broadcast_arrays(
            np.asarray(lower, float), np.asarray(upper, float), np.asarray(count, float)
        )
    )
    bad = ~(low <= high) | (low == np.inf) | (high == -np.inf)
    if bad.any():
        i = int(np.flatnonzero(bad)[0])
        raise InputError(
            f"interval of row {i + 1}",
            f"{low[i]} to {high[i]}",
            "must have a lower bound that isn't above the upper",
        )
    if not ((number >= 0) & np.isfinite(number)).all():
        raise OutOfRangeError(
            "count", number[~((number >= 0) & np.isfinite(number))][0], "0 or more"
        )
    says = (number > 0) & (np.isfinite(low) | np.isfinite(high))
    if not says.any():
        raise InputError("rows", "none", "must hold at least one interval that bounds a hole")
    return Rows(low[says], high[says], number[says])
