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
from holewright.gauging.interval_fit import IntervalFit, scale_of
from holewright.gauging.newton import derivatives, log_likelihood

Floats = NDArray[np.float64]
Function = Callable[[Floats, Floats], Floats]

ANGLES = 128
ZOOMS = 6


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
    """

    fit: IntervalFit
    drop: float
    mean: Floats
    sd: Floats


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
    return Rim(fit, drop, *_points(fit, drop, angles))


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


def _points(fit: IntervalFit, drop: float, angles: Floats) -> tuple[Floats, Floats]:
    """Return mean and sd where rays from the top at these angles leave the region.

    The rays are spread evenly in the metric of the information, in which the region is
    nearly a circle. Along a ray the log likelihood is concave and falls, so that Newton from
    any point ends on the outer side and walks in without ever jumping over.
    """
    centre, scale = scale_of(fit.rows)
    low, high = (fit.rows.lower - centre) / scale, (fit.rows.upper - centre) / scale
    top = np.array([(fit.mean - centre) / fit.sd, scale / fit.sd])
    rows = (low, high, fit.rows.count)
    summit = float(log_likelihood(top[:1], top[1:], *rows)[0])
    _, hessian = derivatives(top[:1], top[1:], *rows)
    # Rows of `ways`: unit steps in the metric of the information.
    ways = np.linalg.inv(np.linalg.cholesky(-hessian[0]))
    ray = np.stack([np.cos(angles), np.sin(angles)], -1) @ ways
    with np.errstate(divide="ignore"):
        end = np.where(ray[:, 1] < 0, -top[1] / ray[:, 1], np.inf)  # where tau would be 0
    r = np.minimum(math.sqrt(2 * drop), 0.9 * end)
    for _ in range(60):
        delta, tau = (top + r[:, None] * ray).T
        height = log_likelihood(delta, tau, *rows) - (summit - drop)
        gradient, _ = derivatives(delta, tau, *rows)
        slope = (gradient * ray).sum(-1)
        with np.errstate(divide="ignore", invalid="ignore"):
            new = r - height / slope
        # Past the end of the half plane, or off the digits: go half way there instead.
        new = np.where((new < end) & (new > 0), new, np.where(height > 0, (r + end) / 2, r / 2))
        new = np.where(np.isfinite(new), new, 2 * r)
        if (np.abs(new - r) <= 1e-13 * r).all():
            break
        r = new
    delta, tau = (top + r[:, None] * ray).T
    with np.errstate(divide="ignore", invalid="ignore"):
        open_end = tau < 1e-9 * top[1]
        sd = np.where(open_end, np.inf, scale / tau)
        mean = np.where(open_end, np.sign(delta) * np.inf, centre + scale * delta / tau)
    return mean, sd


def _extreme(around: Rim, function: Function, sign: float) -> float:
    """Return the greatest value of sign · function, by zooming in on the best angle."""
    mean, sd = around.mean, around.sd
    angles = np.linspace(0, 2 * np.pi, mean.size, endpoint=False)
    step = float(angles[1])
    for _ in range(ZOOMS):
        values = sign * function(mean, sd)
        best = int(np.nanargmax(values))
        if math.isinf(values[best]):
            break
        angles = angles[best] + np.linspace(-step, step, 17)
        step = step / 8
        mean, sd = _points(around.fit, around.drop, angles)
    return float(sign * np.nanmax(sign * function(mean, sd)))
