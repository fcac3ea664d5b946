"""The axes of the grid of candidates: preparation, reamer, holder, speed, feed."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

PREPARED, REAMER, HOLDER, SPEED, FEED = range(5)
"""Places of the axes."""


def _along(values: Sequence[float], axis: int) -> Array:
    shape = [1] * 5
    shape[axis] = -1
    return np.array(values, dtype=float).reshape(shape)


def on_prepared(values: Sequence[float]) -> Array:
    """Return one value a preparation, on its axis of the grid."""
    return _along(values, PREPARED)


def on_reamers(values: Sequence[float]) -> Array:
    """Return one value a reamer, on its axis of the grid."""
    return _along(values, REAMER)


def on_holders(values: Sequence[float]) -> Array:
    """Return one value a holder, on its axis of the grid."""
    return _along(values, HOLDER)


def everywhere(value: float) -> Array:
    """Return one value for the whole grid."""
    return np.full((1,) * 5, value)


def series(low: Sequence[float], high: Sequence[float], points: int, axis: int) -> Array:
    """Return a geometric series for each reamer, on the speed or the feed axis.

    Parameters
    ----------
    low, high : sequence of float
        Ends of the series, one each a reamer.
    points : int
        Points of the series; 1 gives its geometric middle. [-]
    axis : int
        ``SPEED`` or ``FEED``.
    """
    if points == 1:
        values = np.sqrt(np.multiply(low, high))[np.newaxis]
    else:
        values = np.geomspace(low, high, points)
    shape = [1] * 5
    shape[REAMER], shape[axis] = len(low), points
    return values.T.reshape(shape)
