"""The window: the region of speed and feed that a route allows, and what bounds it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from contourpy import contour_generator
from numpy.typing import NDArray

from holewright.planning.candidates import Candidates, evaluate
from holewright.planning.grid import FEED, SPEED, everywhere
from holewright.planning.limits import Limit, all_hold, hopeless
from holewright.planning.point import Point
from holewright.planning.rules import limits_of

POINTS = 121
STRETCH = 3.0
"""How far the window shows beyond the published ranges, as a factor. [-]"""

Line = NDArray[np.float64]


@dataclass(frozen=True)
class Border:
    """One limit where it crosses the window.

    Parameters
    ----------
    code : str
        Code of the limit.
    text : str
        What is beyond it, at the point of the window nearest to it.
    lines : tuple of ndarray
        Polylines of shape (k, 2): speed [m/min] and feed [mm/rev].
    """

    code: str
    text: str
    lines: tuple[Line, ...]


@dataclass(frozen=True)
class Window:
    """Speed across, feed up.

    Parameters
    ----------
    v_c : ndarray
        Cutting speeds, increasing. [m/min]
    f : ndarray
        Feeds, increasing. [mm/rev]
    allowed : ndarray of bool
        Shape (len(v_c), len(f)): where every limit is kept.
    borders : tuple of Border
        Each limit that crosses the window, and the published ranges.
    chosen : tuple of float
        Speed and feed of the route. [m/min], [mm/rev]
    closed_by : tuple of str
        What alone forbids the whole window, in words; empty if something is allowed.
    """

    v_c: NDArray[np.float64]
    f: NDArray[np.float64]
    allowed: NDArray[np.bool_]
    borders: tuple[Border, ...]
    chosen: tuple[float, float]
    closed_by: tuple[str, ...] = ()


def window_of(point: Point, *, points: int = POINTS, stretch: float = STRETCH) -> Window:
    """Return the window of one choice of tools.

    Parameters
    ----------
    point : Point
        The candidate: its preparation, reamer and holder make the window, its speed and feed
        are marked in it.
    points : int
        Points on either axis. [-]
    stretch : float
        How far to look beyond the published ranges, as a factor. [-]

    Returns
    -------
    Window
        Region, borders, and the chosen point.
    """
    wide = evaluate(
        point.candidates.task,
        (point.prepared,),
        (point.reamer,),
        (point.holder,),
        speeds=points,
        feeds=points,
        stretch=stretch,
    )
    limits = (*limits_of(wide), *_published(wide))
    v_c, f = wide.v_c.ravel(), wide.f.ravel()
    allowed = all_hold(limits, wide.shape)[0, 0, 0]
    borders = tuple(b for b in (_border(one, wide, v_c, f) for one in limits) if b.lines)
    closed = tuple(r.text for r in hopeless(limits, wide.shape, wide.task.callout.unit))
    return Window(v_c, f, allowed, borders, (point.at("v_c"), point.at("f")), closed)


def _published(wide: Candidates) -> tuple[Limit, ...]:
    """Return the ends of the published ranges as limits of their own."""
    start = wide.starts[0]
    rows = (
        ("published-speed-low", wide.v_c, start.vc_lo, False, "m/min", 0),
        ("published-speed-high", wide.v_c, start.vc_hi, True, "m/min", 0),
        ("published-feed-low", wide.f, start.f_lo, False, "mm/rev", 3),
        ("published-feed-high", wide.f, start.f_hi, True, "mm/rev", 3),
    )
    return tuple(
        Limit(
            code,
            value,
            everywhere(end),
            at_most,
            unit,
            f"{{value}} is {'over' if at_most else 'under'} the published range, which ends at "
            "{limit}",
            places,
        )
        for code, value, end, at_most, unit, places in rows
    )


def _border(
    limit: Limit, wide: Candidates, v_c: NDArray[np.float64], f: NDArray[np.float64]
) -> Border:
    room = np.broadcast_to(limit.value - limit.limit, wide.shape)[0, 0, 0]
    room = -room if limit.at_most else room
    scale = float(np.max(np.abs(room)))
    if not np.isfinite(scale) or scale == 0 or room.min() > 0 or room.max() < 0:
        return Border(limit.code, "", ())
    moves = limit.value.shape[SPEED] + limit.value.shape[FEED] > 2
    moves |= limit.limit.shape[SPEED] + limit.limit.shape[FEED] > 2
    if not moves:
        return Border(limit.code, "", ())
    found = contour_generator(np.log(v_c), np.log(f), room.T / scale).lines(0.0)
    lines: list[Line] = [np.exp(np.asarray(line)) for line in found]
    nearest = np.unravel_index(int(np.argmin(np.where(room < 0, -room, np.inf))), room.shape)
    index = (0, 0, 0, int(nearest[0]), int(nearest[1]))
    return Border(
        limit.code,
        limit.reason(wide.shape, index, unit=wide.task.callout.unit).text,
        tuple(line for line in lines if len(line) > 1),
    )


def nearest_border(window: Window, v_c: float, f: float) -> tuple[str, float] | None:
    """Return the limit nearest to a point, and how far off it is as a factor on speed or feed.

    Parameters
    ----------
    window : Window
        The window.
    v_c : float
        Cutting speed. [m/min]
    f : float
        Feed. [mm/rev]

    Returns
    -------
    tuple of (str, float) or None
        Code and factor: 1.2 means that 20 % more (or less) of speed or feed reaches it. None
        where no border crosses the window.
    """
    best: tuple[str, float] | None = None
    here = np.log([v_c, f])
    for border in window.borders:
        for line in border.lines:
            steps: Sequence[float] = np.abs(np.log(line) - here).max(axis=1).tolist()
            factor = float(np.exp(min(steps)))
            if best is None or factor < best[1]:
                best = (border.code, factor)
    return best
