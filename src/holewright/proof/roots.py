"""Finds where a rising or falling function crosses a level, for whole arrays at once."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

_HALVINGS = 70  # 2**-70 of the bracket: below the spacing of doubles for any bracket used here


def crossing(
    function: Callable[[Floats], Floats], low: ArrayLike, high: ArrayLike, level: ArrayLike = 0.0
) -> Floats:
    """Return where a monotonic function crosses a level, by halving the bracket.

    Halving is slower than Newton's rule but can't run away, and every element of an array
    takes the same number of steps, so that the function is called for all of them at once.

    Parameters
    ----------
    function : callable
        Takes and returns an array of the broadcast shape; monotonic from `low` to `high`.
    low, high : array_like
        Ends of the bracket. Where the function doesn't cross `level` between them, the nearer
        end comes back. [-]
    level : array_like
        Value to be reached. [-]

    Returns
    -------
    ndarray
        The argument, in the broadcast shape of the inputs. [-]

    Examples
    --------
    >>> float(crossing(np.square, 0.0, 10.0, 2.0))
    1.41421356237
    """
    left, right, target = (np.array(a, dtype=float) for a in np.broadcast_arrays(low, high, level))
    rising = function(right) >= function(left)
    for _ in range(_HALVINGS):
        middle = (left + right) / 2
        go_right = (function(middle) < target) == rising
        left = np.where(go_right, middle, left)
        right = np.where(go_right, right, middle)
    middle_of_last: Floats = (left + right) / 2
    return middle_of_last
