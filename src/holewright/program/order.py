"""The order in which the holes are made: a short, safe way that visits each once."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from holewright.errors import InputError
from holewright.program.fixture import OPEN, Fixture, hop_heights

_LEAST_SECONDS, _MOST_SECONDS, _PER_SECOND = 0.1, 2.0, 2000
_STEPS = 2**16 - 1
"""The library counts distances in whole steps up to this."""
_BLOCK = 500


def hole_order(
    xy: ArrayLike,
    start: tuple[float, float] = (0.0, 0.0),
    *,
    fixture: Fixture = OPEN,
    radius: float = 0.0,
    usual: float = 0.0,
) -> NDArray[np.intp]:
    """Return the indices of the holes along a short way from `start`; the end is free.

    Parameters
    ----------
    xy : array_like
        Hole centres, shape (k, 2). [mm]
    start : tuple of float
        Where the tool comes from. [mm]
    fixture : Fixture
        What the tool must fly over; a higher flight is a longer way.
    radius : float
        Radius of tool or holder, the larger. [mm]
    usual : float
        Height between holes where nothing is in the way. [mm]

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
    Up to 18 holes (20 places for the library, which then tries all) the way is the shortest,
    to 1 part in 65,000 of the longest hop. Beyond, the library `fast_tsp` searches for 0.1 to
    2 s; at 1,000 holes its way was within 0.1 % of the best known
    (docs/validation/program.md). A search that ends by the clock may end elsewhere next time:
    above some 200 holes the same job can get two orders of nearly the same length, so keep the
    program that was proven. Where going row by row, to and fro, is as short, that is taken,
    since a person can follow it.

    References
    ----------
    .. [1] S. Lin, B. W. Kernighan, "An effective heuristic algorithm for the traveling-
       salesman problem", Operations Research 21 (1973) 498-516 (from memory): the kind of
       search that the library makes.

    Examples
    --------
    >>> hole_order([[30, 0], [10, 0], [20, 0]])
    array([1, 2, 0])
    """
    holes = as_positions(xy)
    if len(holes) < 2:
        return np.arange(len(holes))
    searched = _searched(np.vstack([np.asarray(start, float), holes]), fixture, radius, usual)
    orders = [*_to_and_fro(holes), searched]
    ways = [
        path_length(holes, order, start, fixture=fixture, radius=radius, usual=usual)
        for order in orders
    ]
    shortest = min(ways)
    return next(o for o, way in zip(orders, ways, strict=True) if way <= shortest * (1 + 1e-9))


def path_length(
    xy: ArrayLike,
    order: ArrayLike,
    start: tuple[float, float] = (0.0, 0.0),
    *,
    fixture: Fixture = OPEN,
    radius: float = 0.0,
    usual: float = 0.0,
) -> float:
    """Return the length of the way from `start` through the holes in `order`. [mm]

    Parameters
    ----------
    xy : array_like
        Hole centres, shape (k, 2). [mm]
    order : array_like
        Indices of the holes, as :func:`hole_order` gives them. [-]
    start : tuple of float
        Where the tool comes from. [mm]
    fixture : Fixture
        What the tool must fly over: the way up and down again counts.
    radius : float
        Radius of tool or holder, the larger. [mm]
    usual : float
        Height between holes where nothing is in the way. [mm]

    Examples
    --------
    >>> path_length([[30, 0], [10, 0], [20, 0]], [1, 2, 0])
    30.0
    """
    way = np.vstack([np.asarray(start, float), as_positions(xy)[np.asarray(order, dtype=int)]])
    return float(_hops(way[:-1], way[1:], fixture, radius, usual).sum())


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
    # Imported here: it costs 60 ms that only somebody who writes a program should wait for.
    from scipy.spatial import cKDTree

    distance, nearest = cKDTree(holes).query(holes, k=2)
    # A hole's twin at the same place may come before the hole itself.
    own_first = nearest[:, 0] == np.arange(len(holes))
    other = np.where(own_first, nearest[:, 1], nearest[:, 0])
    i = int(np.argmin(distance[:, 1]))
    return i, int(other[i]), float(distance[i, 1])


def _searched(
    nodes: NDArray[np.float64], fixture: Fixture, radius: float, usual: float
) -> NDArray[np.intp]:
    """Return the library's order of nodes 1 … k on a way that begins at node 0.

    The library knows round tours only. So the tour is closed over one more node that lies
    at no distance from the start and equally far from every hole: cut there, it is the
    shortest way from the start with a free end.
    """
    import fast_tsp

    count = len(nodes)
    rows = [
        _hops(nodes[first : first + _BLOCK, None], nodes[None], fixture, radius, usual)
        for first in range(0, count, _BLOCK)
    ]
    longest = max(float(row.max()) for row in rows) or 1.0
    steps = np.full((count + 1, count + 1), _STEPS, dtype=np.uint16)
    for first, row in zip(range(0, count, _BLOCK), rows, strict=True):
        steps[first : first + len(row), :count] = np.rint(row * (_STEPS / longest))
    steps[0, count] = steps[count, 0] = steps[count, count] = 0
    seconds = min(_MOST_SECONDS, _LEAST_SECONDS + count / _PER_SECOND)
    tour = fast_tsp.find_tour(steps, duration_seconds=seconds)
    cut = tour.index(count)
    way = tour[cut + 1 :] + tour[:cut]
    return np.array(way[1:] if way[0] == 0 else way[-2::-1], dtype=np.intp) - 1


def _hops(
    a: NDArray[np.float64], b: NDArray[np.float64], fixture: Fixture, radius: float, usual: float
) -> NDArray[np.float64]:
    """Return the way from each place to each other, up over what is between them and down."""
    way: NDArray[np.float64] = np.hypot(a[..., 0] - b[..., 0], a[..., 1] - b[..., 1])
    if fixture.keep_outs:
        way = way + 2 * (hop_heights(a, b, fixture, radius=radius, usual=usual) - usual)
    return way


def _to_and_fro(holes: NDArray[np.float64]) -> list[NDArray[np.intp]]:
    """Return the orders that go row by row and column by column, each to and fro."""
    orders = []
    for along, across in ((0, 1), (1, 0)):
        _, row = np.unique(np.round(holes[:, across], 6), return_inverse=True)
        direction = np.where(row % 2 == 0, 1.0, -1.0)
        orders.append(np.lexsort((direction * holes[:, along], row)))
    return orders
