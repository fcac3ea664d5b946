"""The hole at which to change the tool, so that the share outside stays under a target."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import nctdtrinc, ndtr, stdtrit

from holewright.callout.callout import Limits
from holewright.errors import OutOfRangeError
from holewright.gauging.statement import freedom_of, place_of
from holewright.life.trend import BEND, CUT, Trend

Floats = NDArray[np.float64]

_FARTHEST = 50.0
"""Times the holes measured beyond which no life is foretold. [-]"""


@dataclass(frozen=True)
class Change:
    """When to change the tool.

    Parameters
    ----------
    hole : int
        Last hole to be cut before the change; 0 where not even the first is safe. [-]
    likely : int
        The same by the best estimate alone, without any confidence. [-]
    target : float
        Share outside that may not be passed at any hole of the life. [-]
    confidence : float
        One-sided confidence. [-]
    side : str
        Limit that it runs to: ``lower``, ``upper``, or empty where the size doesn't get there.
    outside : float
        Upper bound on the share outside at `hole`. [-]
    reach : float
        `hole` over the last hole measured: above 1 the line is stretched. [-]
    cut_off : bool
        Whether the life was cut off because it ran far beyond what was measured.
    """

    hole: int
    likely: int
    target: float
    confidence: float
    side: str
    outside: float
    reach: float
    cut_off: bool = False


def share_outside(trend: Trend, hole: ArrayLike, limits: Limits) -> tuple[Floats, Floats]:
    """Return the likely shares below and above the limits at a hole. [-]

    Parameters
    ----------
    trend : Trend
        The trend.
    hole : array_like
        Holes cut. [-]
    limits : Limits
        Limits of size. [mm]
    """
    mean = trend.at(hole)
    below: Floats = ndtr((limits.lower - mean) / trend.sd)
    above: Floats = ndtr((mean - limits.upper) / trend.sd)
    return below, above


def outside_bound(
    trend: Trend, hole: ArrayLike, limits: Limits, confidence: float = 0.95
) -> Floats:
    r"""Return an upper bound on the share of holes outside the limits at a hole of the life.

    For a trend of measured sizes the bound of one side is :math:`\Phi(-\delta \sqrt{h})` with

    .. math::
        P\left(T'_\nu(\delta) \le \frac{\hat{\mu}(x) - L}{s \sqrt{h}}\right) = \gamma, \qquad
        h = V(x) / s^2

    For a trend from intervals the place of the limit, :math:`(\mu(x) - L)/\sigma`, is taken as
    Student's t with its standard error. Each side is bounded at half the risk.

    Parameters
    ----------
    trend : Trend
        The trend.
    hole : array_like
        Holes cut. [-]
    limits : Limits
        Limits of size; an infinite one isn't judged. [mm]
    confidence : float
        One-sided confidence, over a half and below 1. [-]

    Returns
    -------
    ndarray
        Upper bound, at most 1, in the shape of `hole`. [-]

    Raises
    ------
    OutOfRangeError
        If `confidence` isn't over a half and below 1.

    References
    ----------
    .. [1] G. J. Hahn, W. Q. Meeker, "Statistical Intervals", Wiley 1991, one-sided bound on a
       share from a normal sample; for a line the leverage stands in place of 1/n (derived here).
    """
    if not 0.5 < confidence < 1:
        raise OutOfRangeError("confidence", confidence, "over 0.5 and below 1")
    sides = [(s, limit) for s, limit in ((1.0, limits.lower), (-1.0, limits.upper))]
    sides = [(s, limit) for s, limit in sides if math.isfinite(limit)]
    each = 1 - (1 - confidence) / max(len(sides), 1)
    x = np.asarray(hole, dtype=float)
    total = np.zeros(x.shape)
    for sign, limit in sides:
        total = total + ndtr(-_place_bound(trend, x, sign, limit, each))
    return np.minimum(total, 1.0)


def change_hole(
    trend: Trend, limits: Limits, *, target: float = 0.01, confidence: float = 0.95
) -> Change:
    """Return the last hole to cut before the tool is changed.

    Parameters
    ----------
    trend : Trend
        The trend of this tool, or the one expected of its like.
    limits : Limits
        Limits of size. [mm]
    target : float
        Share outside that may not be passed at any hole, between 0 and 1. [-]
    confidence : float
        One-sided confidence with which it is not, over a half and below 1. [-]

    Returns
    -------
    Change
        The hole. Every hole from the first on keeps the target, not only the average.

    Raises
    ------
    OutOfRangeError
        If target or confidence are out of range.

    Notes
    -----
    Beyond the last hole measured the line is a guess: wear sets in faster at the end of a life.
    `reach` says how far it was stretched; a careful shop stays below 1.5 and gauges on.
    """
    if not 0 < target < 1:
        raise OutOfRangeError("target", target, "between 0 and 1")

    def bound(x: Floats) -> Floats:
        return outside_bound(trend, x, limits, confidence)

    def likely(x: Floats) -> Floats:
        below, above = share_outside(trend, x, limits)
        return below + above

    most = _FARTHEST * trend.last
    hole, cut_off = _last_under(bound, target, most)
    best, _ = _last_under(likely, target, most)
    below, above = share_outside(trend, max(hole, 1) + (most if cut_off else 0.0), limits)
    side = "" if cut_off else ("lower" if below > above else "upper")
    return Change(
        hole,
        best,
        target,
        confidence,
        side,
        float(bound(np.array(float(max(hole, 1))))),
        hole / trend.last,
        cut_off,
    )


def _place_bound(trend: Trend, x: Floats, sign: float, limit: float, confidence: float) -> Floats:
    """Return a lower bound on how many sd the mean lies inside a limit, at each hole."""
    if trend.fit is None:
        root_h = trend.se(x) / trend.sd
        t = sign * (trend.at(x) - limit) / (trend.sd * root_h)
        bound: Floats = nctdtrinc(trend.freedom, confidence, t) * root_h
        return bound
    z = float(stdtrit(freedom_of(trend.fit), confidence))
    flat = [_bound_of_fit(trend, float(hole), sign, limit, z) for hole in x.ravel()]
    return np.array(flat).reshape(x.shape)


def _bound_of_fit(trend: Trend, hole: float, sign: float, limit: float, z: float) -> float:
    assert trend.fit is not None
    causes = {CUT: hole}
    if trend.knee is not None:
        causes[BEND] = max(hole - trend.knee, 0.0)
    place, se = place_of(trend.fit, causes, limit)
    return sign * place - z * se


def _last_under(
    function: Callable[[Floats], Floats], target: float, most: float
) -> tuple[int, bool]:
    """Return the last hole of an unbroken run from 1 that keeps the target, and if it was cut."""
    grid = np.unique(
        np.concatenate([np.arange(1.0, 33.0), np.geomspace(33.0, max(most, 34.0), 240)])
    )
    over = function(grid) > target
    if not over.any():
        return int(most), True
    first = int(np.argmax(over))
    if first == 0:
        return 0, False
    low, high = math.floor(grid[first - 1]), math.ceil(grid[first])
    while high - low > 1:
        middle = (low + high) // 2
        if function(np.array(float(middle))) > target:
            high = middle
        else:
            low = middle
    return low, False
