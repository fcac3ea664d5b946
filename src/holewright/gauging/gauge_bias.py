"""Bias of a gauge against a master, over its range, and spread that is nested in time."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import stdtr, stdtrit

from holewright.errors import NoAnswerError, OutOfRangeError
from holewright.gauging.straight_line import StraightLine, fit_line

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Bias:
    """Bias of a gauge at one size.

    Parameters
    ----------
    bias : float
        Mean reading less the master. [mm]
    sd : float
        Standard deviation of the readings. [mm]
    n : int
        Readings. [-]
    interval : tuple of float
        Two-sided interval of the bias; the master's own uncertainty is not in it. [mm]
    p : float
        Two-sided p-value of no bias. [-]
    """

    bias: float
    sd: float
    n: int
    interval: tuple[float, float]
    p: float

    @property
    def shown(self) -> bool:
        """Whether the interval leaves out 0."""
        return not self.interval[0] <= 0 <= self.interval[1]


@dataclass(frozen=True)
class Linearity:
    """How the bias of a gauge changes over its range.

    Parameters
    ----------
    line : StraightLine
        Bias over the master's size. [mm]
    slope_interval : tuple of float
        Two-sided interval of its slope. [-]
    bias_at_ends : tuple of float
        Bias at the smallest and at the largest master. [mm]
    """

    line: StraightLine
    slope_interval: tuple[float, float]
    bias_at_ends: tuple[float, float]

    @property
    def shown(self) -> bool:
        """Whether the interval of the slope leaves out 0: the bias changes over the range."""
        return not self.slope_interval[0] <= 0 <= self.slope_interval[1]


def bias_at(readings: ArrayLike, master: float, confidence: float = 0.95) -> Bias:
    r"""Return the bias of a gauge at one size.

    .. math:: b = \bar{x} - x_0, \qquad b \pm t_{n-1}\, s / \sqrt{n}

    Parameters
    ----------
    readings : array_like
        Readings of one master by one operator, at least 2. [mm]
    master : float
        Its size. [mm]
    confidence : float
        Two-sided confidence, between 0 and 1. [-]

    Raises
    ------
    OutOfRangeError
        If there are fewer than 2 readings, or the confidence can't be.
    NoAnswerError
        If all readings are the same: the display is too coarse to show a spread.
    """
    x = np.asarray(readings, dtype=float).ravel() - master
    if x.size < 2:
        raise OutOfRangeError("readings", f"{x.size} of them", "at least 2")
    _check_confidence(confidence)
    mean, sd = float(x.mean()), float(x.std(ddof=1))
    if not sd > 0:
        raise NoAnswerError(
            "All readings are the same: the gauge shows too few digits for a bias study."
        )
    error = sd / float(np.sqrt(x.size))
    reach = float(stdtrit(x.size - 1, (1 + confidence) / 2)) * error
    p = 2 * float(stdtr(x.size - 1, -abs(mean) / error))
    return Bias(mean, sd, int(x.size), (mean - reach, mean + reach), p)


def linearity(readings: ArrayLike, masters: ArrayLike, confidence: float = 0.95) -> Linearity:
    """Return how the bias of a gauge changes over its range.

    Parameters
    ----------
    readings : array_like
        Readings, in one dimension. [mm]
    masters : array_like
        The master's size behind each of them, of at least two masters. [mm]
    confidence : float
        Two-sided confidence, between 0 and 1. [-]

    Raises
    ------
    OutOfRangeError
        If there are fewer than 3 readings, or all are of one master, or the confidence can't
        be.

    Notes
    -----
    A gauge for holes of one size needs no linearity: check its bias with a master of that
    size.
    """
    _check_confidence(confidence)
    x = np.asarray(masters, dtype=float).ravel()
    line = fit_line(x, np.asarray(readings, dtype=float).ravel() - x)
    reach = float(stdtrit(line.n - 2, (1 + confidence) / 2)) * line.se_slope
    return Linearity(
        line,
        (line.slope - reach, line.slope + reach),
        (line.at(line.first), line.at(line.last)),
    )


def pooled_sd(sds: ArrayLike, freedom: ArrayLike = 1) -> float:
    r"""Return one standard deviation from several, weighted by their degrees of freedom.

    .. math:: s = \sqrt{\sum \nu_i s_i^2 / \sum \nu_i}

    Parameters
    ----------
    sds : array_like
        Standard deviations, 0 or more. [mm]
    freedom : array_like
        Degrees of freedom, more than 0; all the same by default. [-]

    Returns
    -------
    float
        The pooled standard deviation. [mm]

    Raises
    ------
    OutOfRangeError
        If a standard deviation is negative or a freedom not positive.

    References
    ----------
    .. [1] NIST/SEMATECH e-Handbook of Statistical Methods, section 2.6.1 (gauge study of
       resistivity probes; checked against).
    """
    s, v = (np.asarray(a, dtype=float) for a in np.broadcast_arrays(sds, freedom))
    if not (s >= 0).all():
        raise OutOfRangeError("sds", float(s[~(s >= 0)].flat[0]), "0 or more")
    if not (v > 0).all():
        raise OutOfRangeError("freedom", float(v[~(v > 0)].flat[0]), "more than 0")
    return float(np.sqrt((v * s**2).sum() / v.sum()))


def reading_sd(short: float, days: float, runs: float, *, repeats: int, days_a_run: int) -> float:
    r"""Return the standard deviation of a single reading from three levels of time.

    .. math:: s = \sqrt{s_3^2 + (1 - 1/K)\, s_2^2 + (1 - 1/J)\, s_1^2}

    Parameters
    ----------
    short : float
        Level 1: spread of J repeats in a short time. [mm]
    days : float
        Level 2: spread of the K daily means of a run. [mm]
    runs : float
        Level 3: spread of the means of runs, weeks apart. [mm]
    repeats, days_a_run : int
        J and K, 1 or more. [-]

    Returns
    -------
    float
        What one reading on any day is uncertain by. [mm]

    Raises
    ------
    OutOfRangeError
        If a standard deviation is negative or a number below 1.

    References
    ----------
    .. [1] NIST/SEMATECH e-Handbook of Statistical Methods, section 2.4.4 and 2.6.1.
    """
    for name, value in (("short", short), ("days", days), ("runs", runs)):
        if not value >= 0:
            raise OutOfRangeError(name, value, "0 or more")
    for name, count in (("repeats", repeats), ("days_a_run", days_a_run)):
        if not count >= 1:
            raise OutOfRangeError(name, count, "1 or more")
    return float(np.sqrt(runs**2 + (1 - 1 / days_a_run) * days**2 + (1 - 1 / repeats) * short**2))


def _check_confidence(confidence: float) -> None:
    if not 0 < confidence < 1:
        raise OutOfRangeError("confidence", confidence, "between 0 and 1")
