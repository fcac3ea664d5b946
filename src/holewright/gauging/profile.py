r"""Profile-likelihood intervals, read off the rim of the confidence region.

The points whose log likelihood lies within q/2 of the top form a convex region in
:math:`(\mu/\sigma, 1/\sigma)`, since the log likelihood is concave there. The profile interval
of any function of mean and sd runs from its least to its greatest value over that region; for
mean, sd and the share outside limits both lie on the rim, a closed curve that is traced once
for all of them.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr, ndtri

from holewright.errors import OutOfRangeError
from holewright.gauging.interval_fit import IntervalFit

Floats = NDArray[np.float64]
Function = Callable[[Floats, Floats], Floats]

ANGLES = 64
ZOOMS = 3
"""Three zooms by eight leave the angle within 2e-4, and the value at a peak within 1e-8."""


@dataclass(frozen=True, eq=False)
class Rim:
    """The rim of a confidence region of (mean, sd).

    Parameters
    ----------
    fit : IntervalFit
        The fit inside it.
    drop : float
        How far below the top it runs in log likelihood. [-]
    mean, sd : ndarray
        Points of the rim in order; `sd` is ``inf`` where the region has no end. [mm]
    angle, r, psi : ndarray
        Where the points lie in the metric of the information, and all parameters there.
    """

    fit: IntervalFit
    drop: float
    mean: Floats
    sd: Floats
    angle: Floats
    r: Floats
    psi: Floats


def rim(fit: IntervalFit, confidence: float = 0.95, *, two_sided: bool = True) -> Rim:
    """Return the rim from which profile intervals of single quantities are read.

    Parameters
    ----------
    fit : IntervalFit
        The fit.
    confidence : float
        Confidence of each single interval or bound, between 0 and 1. [-]
    two_sided : bool
        Whether an interval holds at `confidence`, or each of its ends alone does.

    Returns
    -------
    Rim
        Its points. They bound single quantities at `confidence`; the region as a whole has
        less.

    Raises
    ------
    OutOfRangeError
        If `confidence` isn't between 0 and 1 (over a half for a bound).
    """
    drop = _drop(confidence, two_sided)
    angles = np.linspace(0, 2 * np.pi, ANGLES, endpoint=False)
    end = np.full(ANGLES, math.sqrt(2 * drop))
    return _trace(fit, drop, angles, end, np.tile(fit.hill.top, (ANGLES, 1)))


def extremes(around: Rim, function: Function) -> tuple[float, float]:
    """Return the least and the greatest value of a function of (mean, sd) on the rim.

    Parameters
    ----------
    around : Rim
        The rim.
    function : callable
        Takes arrays of mean and sd [mm] (`sd` may be ``inf``), returns an array. It must
        have no peak and no dip inside the region.

    Returns
    -------
    lower, upper : float
        Profile interval of the function, in its own unit, to about 9 digits.
    """
    return _extreme(around, function, -1.0), _extreme(around, function, 1.0)


def mean_interval(around: Rim) -> tuple[float, float]:
    """Return the profile interval of the mean. [mm]"""
    return extremes(around, lambda mean, sd: mean)


def sd_interval(around: Rim) -> tuple[float, float]:
    """Return the profile interval of the standard deviation. [mm]"""
    return extremes(around, lambda mean, sd: sd)


def outside_interval(around: Rim, lower: float, upper: float) -> tuple[float, float]:
    """Return the profile interval of the share of holes outside two limits.

    Parameters
    ----------
    around : Rim
        The rim.
    lower, upper : float
        Limits of size; ``-inf`` or ``inf`` for none. [mm]

    Returns
    -------
    low, high : float
        Interval of the share outside. [-]
    """
    low, high = extremes(around, lambda mean, sd: log_outside(mean, sd, lower, upper))
    return math.exp(low), math.exp(high)


def log_outside(mean: Floats, sd: Floats, lower: float, upper: float) -> Floats:
    """Return the log of the share outside the limits; all of it where sd is infinite. [-]"""
    with np.errstate(invalid="ignore", divide="ignore"):
        outside = ndtr((lower - mean) / sd) + ndtr((mean - upper) / sd)
        share: Floats = np.log(np.where(np.isfinite(sd), outside, 1.0))
    return share


def _drop(confidence: float, two_sided: bool) -> float:
    least = 0.0 if two_sided else 0.5
    if not least < confidence < 1:
        raise OutOfRangeError("confidence", confidence, f"over {least} and below 1")
    return float(ndtri((1 + confidence) / 2 if two_sided else confidence)) ** 2 / 2


def _trace(fit: IntervalFit, drop: float, angles: Floats, r: Floats, psi: Floats) -> Rim:
    """Return the points where rays from the top at these angles leave the region.

    The rays are spread evenly in the metric of the information, in which the region is
    nearly a circle; `r` and `psi` are guesses. With exact bounds the log likelihood is concave
    along a ray, and Newton walks in from outside without ever jumping over; the bracket is
    for the other cases.
    """
    hill = fit.hill
    top, floor = hill.place, hill.summit - drop
    # Rows of `ways`: unit steps in the metric of the information.
    ways = np.linalg.inv(np.linalg.cholesky(-hill.curvature))
    ray = np.stack([np.cos(angles), np.sin(angles)], -1) @ ways
    with np.errstate(divide="ignore"):
        end = np.where(ray[:, 1] < 0, -top[1] / ray[:, 1], np.inf)  # where tau would be 0
    inner, outer = np.zeros(angles.size), end.copy()
    r = np.minimum(r, 0.9 * end)
    for _ in range(60):
        height, slope, psi = hill.height(top + r[:, None] * ray, psi)
        above = height > floor
        inner, outer = np.where(above, r, inner), np.where(above, outer, r)
        with np.errstate(divide="ignore", invalid="ignore"):
            new = r - (height - floor) / (slope * ray).sum(-1)
            middle = np.where(np.isinf(outer), 2 * r, (inner + outer) / 2)
        # Past the bracket by rounding is at its end; past it by more is a jump.
        new = np.where((new > inner * (1 - 1e-9)) & (new < outer * (1 + 1e-9)), new, middle)
        close = np.abs(new - r) <= 1e-11 * r
        r = np.minimum(new, end)
        if close.all():
            break
    delta, tau = (top + r[:, None] * ray).T
    s = hill.scaling
    with np.errstate(divide="ignore", invalid="ignore"):
        open_end = tau < 1e-9 * top[1]
        sd = np.where(open_end, np.inf, s.scale / tau)
        mean = np.where(open_end, np.sign(delta) * np.inf, s.centre + s.scale * delta / tau)
    return Rim(fit, drop, mean, sd, angles, r, psi)


def _extreme(around: Rim, function: Function, sign: float) -> float:
    """Return the greatest value of sign · function, by zooming in on the best angle."""
    step = float(around.angle[1])
    values = sign * function(around.mean, around.sd)
    for _ in range(ZOOMS):
        best = int(np.nanargmax(values))
        if math.isinf(values[best]):
            break
        around = _trace(
            around.fit,
            around.drop,
            around.angle[best] + np.linspace(-step, step, 17),
            np.full(17, around.r[best]),
            np.tile(around.psi[best], (17, 1)),
        )
        step = step / 8
        values = sign * function(around.mean, around.sd)
    return float(sign * np.nanmax(values))
