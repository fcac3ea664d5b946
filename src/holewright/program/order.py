"""The order in which the holes are made: a short way that visits each once."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from holewright.errors import InputError

_NEIGHBOURS = 10
_LEAST_GAIN = 1e-9
"""A gain below this is rounding. [mm]"""


def hole_order(xy: ArrayLike, start: tuple[float, float] = (0.0, 0.0)) -> NDArray[np.intp]:
    """Return the indices of the holes along a short way from `start`; the end is free.

    Nearest neighbour first, then 2-opt: a stretch of the way is turned round wherever that
    shortens it, until none does.

    Parameters
    ----------
    xy : array_like
        Hole centres, shape (k, 2). [mm]
    start : tuple of float
        Where the tool comes from. [mm]

    Returns
    -------
    ndarray
        Each of 0 … k - 1 once, shape (k,). [-]

    Raises
    ------
    InputError
        If `xy` is not pairs of finite numbers.

    Notes
    -----
    The way is short, not proven shortest: turns are only tried between a hole and its ten
    nearest. Equal ways are told apart by the index of the hole, so that the same holes
    always give the same order.

    References
    ----------
    .. [1] G. A. Croes, "A method for solving traveling-salesman problems", Operations
       Research 6 (1958) 791-812, the 2-opt turn (from memory).

    Examples
    --------
    >>> hole_order([[30, 0], [10, 0], [20, 0]])
    array([1, 2, 0])
    """
    holes = as_positions(xy)
    if len(holes) == 0:
        return np.zeros(0, dtype=np.intp)
    nodes = np.vstack([np.asarray(start, dtype=float), holes])
    path = _two_opt(nodes, _nearest_neighbour(nodes))
    order: NDArray[np.intp] = path[1:] - 1
    return order


def path_length(xy: ArrayLike, order: ArrayLike, start: tuple[float, float] = (0.0, 0.0)) -> float:
    """Return the length of the way from `start` through the holes in `order`. [mm]

    Parameters
    ----------
    xy : array_like
        Hole centres, shape (k, 2). [mm]
    order : array_like
        Indices of the holes, as :func:`hole_order` gives them. [-]
    start : tuple of float
        Where the tool comes from. [mm]

    Examples
    --------
    >>> path_length([[30, 0], [10, 0], [20, 0]], [1, 2, 0])
    30.0
    """
    way = np.vstack([np.asarray(start, dtype=float), as_positions(xy)[np.asarray(order)]])
    return float(np.hypot(*np.diff(way, axis=0).T).sum())


def as_positions(xy: ArrayLike) -> NDArray[np.float64]:
    """Return hole centres as an array of shape (k, 2). [mm]

    Raises
    ------
    InputError
        If they are not pairs of finite numbers.
    """
    holes = np.asarray(xy, dtype=float)
    if holes.size == 0:
        return np.zeros((0, 2))
    if holes.ndim != 2 or holes.shape[1] != 2:
        raise InputError("hole positions", xy, "must be pairs of X and Y")
    if not np.isfinite(holes).all():
        first = int(np.argmin(np.isfinite(holes).all(axis=1)))
        raise InputError(f"hole position {first + 1}", tuple(holes[first]), "must be two numbers")
    return holes


def closest_pair(holes: NDArray[np.float64]) -> tuple[int, int, float]:
    """Return the indices of the two holes that lie closest, and their distance. [mm]

    Parameters
    ----------
    holes : ndarray
        At least two hole centres, shape (k, 2). [mm]
    """
    distance, nearest = _tree(holes, neighbours=1)
    i = int(np.argmin(distance[:, 0]))
    return i, int(nearest[i, 0]), float(distance[i, 0])


def _tree(
    nodes: NDArray[np.float64], neighbours: int
) -> tuple[NDArray[np.float64], NDArray[np.intp]]:
    """Return distance and index of the nearest others of each node, itself left out."""
    # Imported here: it costs 60 ms that only somebody who writes a program should wait for.
    from scipy.spatial import cKDTree

    k = min(neighbours + 1, len(nodes))
    distance, index = cKDTree(nodes).query(nodes, k=k)
    # A node's twin at the same place may come before the node itself.
    own = index == np.arange(len(nodes))[:, None]
    own[~own.any(axis=1), -1] = True
    shape = (len(nodes), k - 1)
    return distance[~own].reshape(shape), index[~own].reshape(shape)


def _nearest_neighbour(nodes: NDArray[np.float64]) -> NDArray[np.intp]:
    """Return a way from node 0 that always goes to the nearest node not yet visited."""
    left = nodes.copy()
    path = np.zeros(len(nodes), dtype=np.intp)
    for step in range(1, len(nodes)):
        here = path[step - 1]
        left[here] = np.inf
        path[step] = np.argmin(((left - nodes[here]) ** 2).sum(axis=1))
    return path


def _two_opt(nodes: NDArray[np.float64], path: NDArray[np.intp]) -> NDArray[np.intp]:
    """Return the way with every stretch turned round that shortens it; node 0 stays first.

    All turns are weighed at once; those that pay most are made together as long as they
    don't touch the same stretch, since only then does each gain stay what it was.
    """
    _, nearest = _tree(nodes, _NEIGHBOURS)
    pairs = np.column_stack([np.repeat(np.arange(len(nodes)), nearest.shape[1]), nearest.ravel()])
    pairs = np.unique(np.sort(pairs, axis=1), axis=0)
    path = path.copy()
    place = np.empty_like(path)
    while True:
        place[path] = np.arange(len(path))
        first, last, gain = _turns(nodes[path], np.sort(place[pairs], axis=1))
        pays = np.flatnonzero(gain > _LEAST_GAIN)
        if len(pays) == 0:
            return path
        taken = np.zeros(len(path) + 1, dtype=bool)
        for turn in pays[np.argsort(-gain[pays], kind="stable")]:
            i, j = first[turn], last[turn]
            if not taken[i - 1 : j + 2].any():
                path[i : j + 1] = path[i : j + 1][::-1]
                taken[i - 1 : j + 2] = True


def _turns(
    way: NDArray[np.float64], places: NDArray[np.intp]
) -> tuple[NDArray[np.intp], NDArray[np.intp], NDArray[np.float64]]:
    """Return first and last place of each stretch that could be turned, and what it gains.

    A pair of places i < j can become neighbours in two ways: by turning i + 1 … j, or by
    turning i … j - 1.
    """
    i, j = places.T
    inner = i >= 1  # the start itself can't be turned
    first = np.concatenate([i + 1, i[inner]])
    last = np.concatenate([j, j[inner] - 1])
    before, after = way[first - 1], way[np.minimum(last + 1, len(way) - 1)]
    # The end of the way is free: nothing follows the last hole, so nothing is cut there.
    follows = last + 1 < len(way)
    old = _distance(before, way[first]) + follows * _distance(way[last], after)
    new = _distance(before, way[last]) + follows * _distance(way[first], after)
    return first, last, old - new


def _distance(a: NDArray[np.float64], b: NDArray[np.float64]) -> NDArray[np.float64]:
    distance: NDArray[np.float64] = np.hypot(a[:, 0] - b[:, 0], a[:, 1] - b[:, 1])
    return distance
