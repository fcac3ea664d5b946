"""Characteristics that can't be below zero: roundness, flatness, eccentricity, position.

They have no Cp, and no normal table gives the share outside. Each model says its quantiles and
its share beyond a limit; the index comes from the percentiles (ISO 22514-2).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import ndtr, ndtri

from holewright.errors import OutOfRangeError
from holewright.proof.capability import HIGH_SHARE, LOW_SHARE, percentile_performance
from holewright.proof.roots import crossing

Floats = NDArray[np.float64]


class ZeroBounded(Protocol):
    """A distribution on sizes from zero up."""

    def quantile(self, share: ArrayLike) -> Floats:
        """Return the value that a share stays below. [mm]"""
        ...

    def beyond(self, limit: ArrayLike) -> Floats:
        """Return the share above a limit. [-]"""
        ...


@dataclass(frozen=True)
class Rayleigh:
    """Distance from the axis of two equal, independent normal errors: position, eccentricity.

    Parameters
    ----------
    scale : float
        Standard deviation of each error, more than 0. [mm]
    """

    scale: float

    def __post_init__(self) -> None:
        _positive(scale=self.scale)

    def quantile(self, share: ArrayLike) -> Floats:
        """Return the value that a share stays below. [mm]"""
        x: Floats = self.scale * np.sqrt(-2 * np.log1p(-np.asarray(share, dtype=float)))
        return x

    def beyond(self, limit: ArrayLike) -> Floats:
        """Return the share above a limit. [-]"""
        x = np.maximum(np.asarray(limit, dtype=float), 0.0) / self.scale
        share: Floats = np.exp(-(x**2) / 2)
        return share


@dataclass(frozen=True)
class FoldedNormal:
    """Size of a normal deviation without its sign: roundness, flatness, parallelism.

    Parameters
    ----------
    mean, sd : float
        Mean and standard deviation of the deviation with its sign; `sd` more than 0. [mm]
    """

    mean: float
    sd: float

    def __post_init__(self) -> None:
        _positive(sd=self.sd)

    def quantile(self, share: ArrayLike) -> Floats:
        """Return the value that a share stays below. [mm]"""
        p = np.asarray(share, dtype=float)
        # |X| keeps the share p within |mean| + z((1+p)/2) sd at the most.
        most = abs(self.mean) + self.sd * ndtri((1 + p) / 2)
        return crossing(lambda x: 1.0 - self.beyond(x), np.zeros_like(most), most, p)

    def beyond(self, limit: ArrayLike) -> Floats:
        """Return the share above a limit. [-]"""
        x = np.maximum(np.asarray(limit, dtype=float), 0.0)
        share: Floats = ndtr((self.mean - x) / self.sd) + ndtr((-self.mean - x) / self.sd)
        return share


@dataclass(frozen=True)
class LogNormal:
    """Product of many small causes: roughness, roundness of worn tools.

    Parameters
    ----------
    median : float
        Median, more than 0. [mm]
    sd_log : float
        Standard deviation of the natural logarithm, more than 0. [-]
    """

    median: float
    sd_log: float

    def __post_init__(self) -> None:
        _positive(median=self.median, sd_log=self.sd_log)

    def quantile(self, share: ArrayLike) -> Floats:
        """Return the value that a share stays below. [mm]"""
        x: Floats = self.median * np.exp(self.sd_log * ndtri(np.asarray(share, dtype=float)))
        return x

    def beyond(self, limit: ArrayLike) -> Floats:
        """Return the share above a limit. [-]"""
        with np.errstate(divide="ignore"):
            z = np.log(np.maximum(np.asarray(limit, dtype=float), 0.0) / self.median) / self.sd_log
        share: Floats = ndtr(-z)
        return share


@dataclass(frozen=True)
class Weibull:
    """A pliable shape for what starts at zero.

    Parameters
    ----------
    shape : float
        Shape, more than 0. [-]
    scale : float
        Value that 63 % stay below, more than 0. [mm]
    """

    shape: float
    scale: float

    def __post_init__(self) -> None:
        _positive(shape=self.shape, scale=self.scale)

    def quantile(self, share: ArrayLike) -> Floats:
        """Return the value that a share stays below. [mm]"""
        p = np.asarray(share, dtype=float)
        x: Floats = self.scale * (-np.log1p(-p)) ** (1 / self.shape)
        return x

    def beyond(self, limit: ArrayLike) -> Floats:
        """Return the share above a limit. [-]"""
        x = np.maximum(np.asarray(limit, dtype=float), 0.0) / self.scale
        share: Floats = np.exp(-(x**self.shape))
        return share


@dataclass(frozen=True)
class UpperPerformance:
    """Index and share outside of a zero-bounded characteristic: neither stands for the other.

    Parameters
    ----------
    ppk : float
        Percentile index to the one limit. [-]
    beyond : float
        Share beyond it. [-]
    """

    ppk: float
    beyond: float


def performance_of_zero_bounded(distribution: ZeroBounded, upper: float) -> UpperPerformance:
    r"""Return the index of a characteristic with one limit above zero.

    .. math:: P_{pk} = \frac{U - X_{50}}{X_{99.865} - X_{50}}

    Parameters
    ----------
    distribution : ZeroBounded
        One of the models of this module, or anything with the same two functions.
    upper : float
        Limit, more than 0. [mm]

    Returns
    -------
    UpperPerformance
        Index and share beyond. [-]

    Raises
    ------
    OutOfRangeError
        If `upper` is not positive.

    Notes
    -----
    Zero is where the scale ends, no lower limit: there is no Pp. The index is not the normal
    one: a Rayleigh characteristic of Ppk 1.56 has 3.7 parts per million beyond its limit, a
    normal one 1.5.

    References
    ----------
    .. [1] ISO 22514-2:2017, percentile method (detail from memory).

    Examples
    --------
    Eccentricity with 4 µm either way against a limit of 20 µm:

    >>> round(performance_of_zero_bounded(Rayleigh(0.004), 0.020).ppk, 3)
    1.555
    """
    _positive(upper=upper)
    low, median, high = distribution.quantile(np.array([LOW_SHARE, 0.5, HIGH_SHARE]))
    each = percentile_performance(low, median, high, -np.inf, upper)
    return UpperPerformance(float(each.ppk), float(distribution.beyond(upper)))


def _positive(**values: float) -> None:
    for name, value in values.items():
        if not value > 0:
            raise OutOfRangeError(name, value, "more than 0")
