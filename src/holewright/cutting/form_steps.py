"""The steps of the simulated reamer, written so that they run as they are and compiled alike.

Plain loops over plain numbers: on lists they take some 40 µs a step, compiled by numba, where
that is installed, some 0.5 µs. It is one text, so that both give the same wall.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from typing import Any

NEWTON = 4
"""Rounds of Newton's method at most; two nearly always do."""

_SETTLED = 1e-22
"""Square of the last correction at which a step has settled. [mm²]"""


def follow(
    wall: Any,
    path_x: Any,
    path_y: Any,
    top: Any,
    left: Any,
    cosine: Any,
    sine: Any,
    place: Any,
    error: Any,
    drilled: Any,
    weight: Any,
    f: float,
    sin: float,
    cos: float,
    a_p: float,
    K_r: float,
    K_t: float,
    edge_r: float,
    edge_t: float,
    margin: float,
    friction: float,
    stiffness: float,
    spring_back: float,
    foot: float,
    push_x: float,
    push_y: float,
) -> None:
    """Follow a reamer step by step; the wall and the path of its tip are filled in.

    Parameters
    ----------
    wall : sequence
        Outlines to fill, revolution by point, far below any wall at first. [mm]
    path_x, path_y : sequence
        Deflection to fill, one a step. [mm]
    top : sequence
        Highest of earlier passes at each point, along the normal of the lead. [mm]
    left : sequence
        What each tooth left at each point, tooth by point. [mm]
    cosine, sine : sequence
        Of the angle of each point. [-]
    place : sequence
        Point at which each tooth starts. [-]
    error, drilled : sequence
        Radial error of each tooth; radius of the drilled hole at each point, both from the
        true one. [mm]
    weight : sequence
        Share of each point along a margin. [-]
    f, a_p : float
        Feed per revolution, stock per side. [mm]
    sin, cos : float
        Of the lead angle. [-]
    K_r, K_t : float
        Radial and tangential cutting coefficient. [N/mm²]
    edge_r, edge_t : float
        Radial and tangential ploughing. [N/mm]
    margin, stiffness : float
        Contact stiffness of a margin; side stiffness of the tool. [N/mm]
    friction : float
        Friction at the margins. [-]
    spring_back : float
        How far the wall springs back. [mm]
    foot : float
        Contact that an edge has with what it leaves at this very step. [mm]
    push_x, push_y : float
        Side push over the first tenth of a turn. [N]
    """
    points = len(cosine)
    teeth = len(place)
    width = len(weight)
    x, y = 0.0, 0.0
    for turn in range(len(wall)):
        for j in range(points):
            depth = f * (turn + j / points) * sin
            pushed = turn == 0 and j < points // 10
            load_x = push_x if pushed else 0.0
            load_y = push_y if pushed else 0.0
            for _ in range(NEWTON):
                # Balance of forces, and its slope against the deflection.
                force_x, force_y = stiffness * x - load_x, stiffness * y - load_y
                xx, xy, yx, yy = stiffness, 0.0, 0.0, stiffness
                for i in range(teeth):
                    at = (place[i] + j) % points
                    n_x, n_y = cosine[at], sine[at]
                    d = error[i] + n_x * x + n_y * y
                    h = depth + d * cos - top[at]
                    b = (a_p - drilled[at] + d) / sin
                    if h > 0.0 and b > 0.0:
                        cut_x, cut_y = K_r * n_x - K_t * n_y, K_r * n_y + K_t * n_x
                        edge_x, edge_y = edge_r * n_x - edge_t * n_y, edge_r * n_y + edge_t * n_x
                        force_x += b * (h * cut_x + edge_x)
                        force_y += b * (h * cut_y + edge_y)
                        grows = b * cos + h / sin
                        by_x, by_y = cut_x * grows + edge_x / sin, cut_y * grows + edge_y / sin
                        xx += by_x * n_x
                        xy += by_x * n_y
                        yx += by_y * n_x
                        yy += by_y * n_y
                    # The margin trails its edge and presses where the wall stands in its way.
                    touch, slope_x, slope_y = foot, 0.0, 0.0
                    for back in range(width):
                        trail = at - back - 1
                        if trail < 0:
                            trail += points
                        m_x, m_y = cosine[trail], sine[trail]
                        press = m_x * x + m_y * y - left[i][trail] + error[i] + spring_back
                        if press > 0.0:
                            touch += press * weight[back]
                            slope_x += m_x * weight[back]
                            slope_y += m_y * weight[back]
                    rub_x, rub_y = (
                        margin * (n_x - friction * n_y),
                        margin * (n_y + friction * n_x),
                    )
                    force_x += touch * rub_x
                    force_y += touch * rub_y
                    xx += rub_x * slope_x
                    xy += rub_x * slope_y
                    yx += rub_y * slope_x
                    yy += rub_y * slope_y
                determinant = xx * yy - xy * yx
                step_x = (yy * force_x - xy * force_y) / determinant
                step_y = (xx * force_y - yx * force_x) / determinant
                x -= step_x
                y -= step_y
                if step_x * step_x + step_y * step_y < _SETTLED:
                    break
            for i in range(teeth):
                at = (place[i] + j) % points
                reach = depth + (error[i] + cosine[at] * x + sine[at] * y) * cos
                if reach > top[at]:
                    top[at] = reach
                left[i][at] = (top[at] - depth) / cos
                if left[i][at] > wall[turn][at]:
                    wall[turn][at] = left[i][at]
            path_x[turn * points + j] = x
            path_y[turn * points + j] = y


@cache
def compiled() -> Callable[..., None] | None:
    """Return the steps compiled by numba, or None where it isn't installed."""
    try:
        from numba import njit
    except ImportError:
        return None
    try:
        made: Callable[..., None] = njit(cache=True)(follow)
    except RuntimeError:  # no folder in which numba could keep what it compiled
        made = njit(follow)
    return made
