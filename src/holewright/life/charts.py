"""Control limits for sizes in sequence: individuals, EWMA, and limits that go with the wear."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from holewright.errors import OutOfRangeError
from holewright.gauging.range_constants import d2
from holewright.life.trend import Trend

Floats = NDArray[np.float64]

SIGMAS = 3.0
"""How many standard deviations the limits lie from the middle. [-] Common practice."""


@dataclass(frozen=True, eq=False)
class ControlLimits:
    """Middle and limits of a chart, one for each value. Not limits of size.

    Parameters
    ----------
    points : ndarray
        What is plotted. [mm]
    middle, lower, upper : ndarray
        Centre line and control limits, in the shape of `points`. [mm]
    sd : float
        Standard deviation that the limits rest on. [mm]
    """

    points: Floats
    middle: Floats
    lower: Floats
    upper: Floats
    sd: float

    @property
    def signals(self) -> NDArray[np.intp]:
        """Which points lie outside the control limits."""
        return np.flatnonzero((self.points < self.lower) | (self.points > self.upper))


def sd_of_moving_range(values: ArrayLike) -> float:
    r"""Return the standard deviation as neighbours show it. [mm]

    .. math:: s = \overline{MR} / d_2(2)

    Parameters
    ----------
    values : array_like
        At least two values in the order in which the holes were cut. [mm]

    Raises
    ------
    OutOfRangeError
        If there are fewer than two.
    """
    x = np.asarray(values, dtype=float).ravel()
    if x.size < 2:
        raise OutOfRangeError("values", int(x.size), "at least 2")
    return float(np.abs(np.diff(x)).mean()) / d2(2)


def individuals(values: ArrayLike) -> ControlLimits:
    r"""Return the limits of an individuals chart.

    .. math:: \bar{x} \pm 3\, \overline{MR} / d_2(2)

    Parameters
    ----------
    values : array_like
        Sizes in the order in which the holes were cut, at least two. [mm]

    Returns
    -------
    ControlLimits
        The same limits for every value.

    Raises
    ------
    OutOfRangeError
        If there are fewer than two values.

    Notes
    -----
    For a process that doesn't drift. A reamer that wears runs out of these limits without
    anything being wrong: use :func:`trend_limits`.

    References
    ----------
    .. [1] NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.2.
    """
    x = np.asarray(values, dtype=float).ravel()
    sd = sd_of_moving_range(x)
    return _around(x, np.full(x.shape, x.mean()), sd)


def ewma(
    values: ArrayLike,
    *,
    start: float,
    sd: float,
    weight: float = 0.3,
    sigmas: float = SIGMAS,
    steady: bool = True,
) -> ControlLimits:
    r"""Return an exponentially weighted moving average with its limits.

    .. math::
        z_i = \lambda x_i + (1 - \lambda) z_{i-1}, \qquad
        z_0 \pm k s \sqrt{\frac{\lambda}{2 - \lambda} [1 - (1 - \lambda)^{2 i}]}

    Parameters
    ----------
    values : array_like
        Sizes in the order in which the holes were cut. [mm]
    start : float
        Where the process should be: z_0. [mm]
    sd : float
        Standard deviation of one value, more than 0. [mm]
    weight : float
        Weight λ of the newest value, over 0 and up to 1. [-]
    sigmas : float
        k. [-]
    steady : bool
        Whether the limits are those of a long run from the first value on; else they open
        from narrow ones.

    Returns
    -------
    ControlLimits
        The averages from z_1 on, with their limits.

    Raises
    ------
    OutOfRangeError
        If `sd` isn't positive or `weight` out of its range.

    References
    ----------
    .. [1] NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.4.
    """
    if not 0 < weight <= 1:
        raise OutOfRangeError("weight", weight, "over 0 and up to 1")
    if not sd > 0:
        raise OutOfRangeError("sd", sd, "more than 0")
    x = np.asarray(values, dtype=float).ravel()
    average = np.empty(x.shape)
    z = start
    for i, value in enumerate(x):
        z = weight * value + (1 - weight) * z
        average[i] = z
    settled = np.ones(x.shape)
    if not steady:
        settled = 1 - (1 - weight) ** (2 * np.arange(1.0, x.size + 1))
    half = sigmas * sd * np.sqrt(weight / (2 - weight) * settled)
    middle = np.full(x.shape, start)
    return ControlLimits(average, middle, middle - half, middle + half, sd)


def trend_limits(hole: ArrayLike, size: ArrayLike, trend: Trend) -> ControlLimits:
    r"""Return limits that go with the wear: parallel to the trend, either side of it.

    .. math:: \hat{y}(x) \pm 3\, \overline{MR}_{res} / d_2(2)

    Parameters
    ----------
    hole : array_like
        Holes cut at each size. [-]
    size : array_like
        Sizes, in the order in which the holes were cut, at least two. [mm]
    trend : Trend
        The trend through them, or one foretold.

    Returns
    -------
    ControlLimits
        Sloped limits. They rest on how much neighbours differ about the trend, so that a
        wrong trend shows as a run to one side and not as wider limits.

    Raises
    ------
    OutOfRangeError
        If there are fewer than two sizes.

    References
    ----------
    .. [1] Sloped limits for tool wear are published practice (congress paper 1988, seen in
       abstract); the moving range as in NIST 6.3.2.2.
    """
    x, y = np.asarray(hole, dtype=float).ravel(), np.asarray(size, dtype=float).ravel()
    middle = trend.at(x)
    return _around(y, middle, sd_of_moving_range(y - middle))


def _around(points: Floats, middle: Floats, sd: float) -> ControlLimits:
    return ControlLimits(points, middle, middle - SIGMAS * sd, middle + SIGMAS * sd, sd)
