"""Growth of whirl over the grid of candidates."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from holewright.cutting.whirl import DIES_OUT, whirl_growth
from holewright.planning.grid import FEED, Array

_FEEDS = 6
"""Feeds at which the roots are sought; growth goes smoothly with feed and is read between."""

LEAST_TEETH = 3
"""Fewer can't be reckoned with: a two-edged reamer is taken as one of three."""


def growth_over(
    stiffness: Array,
    floating: NDArray[np.bool_],
    *,
    K_t: Array,
    f: Array,
    a_p: Array,
    ZEFP: Array,
    KAPR: Array,
) -> Array:
    """Return the growth of whirl in a revolution for every candidate.

    Parameters
    ----------
    stiffness, K_t, f, a_p, ZEFP, KAPR : ndarray
        As in :func:`holewright.cutting.whirl.whirl_growth`, on the axes of the grid.
    floating : ndarray of bool
        Where the holder floats: the hole leads the reamer there, and the model says nothing.

    Returns
    -------
    ndarray
        Growth, without a speed axis: speed is not in it. [-]
    """
    feeds = f.shape[FEED]
    at = np.unique(np.linspace(0, feeds - 1, min(feeds, _FEEDS)).round().astype(int))
    growth = whirl_growth(
        stiffness,
        K_t=K_t[..., at],
        f=f[..., at],
        a_p=a_p,
        ZEFP=np.maximum(ZEFP, LEAST_TEETH),
        KAPR=KAPR,
    )
    if at.size < feeds:
        growth = _between(growth, at, feeds)
    return np.where(floating, DIES_OUT, growth)


def _between(values: Array, at: NDArray[np.int_], points: int) -> Array:
    """Return values at all points of the last axis, straight between those that are known."""
    place = np.arange(points)
    right = np.clip(np.searchsorted(at, place), 1, at.size - 1)
    left = right - 1
    share = (place - at[left]) / (at[right] - at[left])
    between: Array = values[..., left] * (1 - share) + values[..., right] * share
    return between
