"""How many holes a row it takes when every hole is measured: the classical tests."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import fdtri, ncfdtr, nctdtr, ndtr, ndtri, stdtrit

from holewright.errors import NoAnswerError, OutOfRangeError

Floats = NDArray[np.float64]


def power_of_ratio(ratio: ArrayLike, alpha: float = 0.05) -> Floats:
    """Return the power of a two-sided test of an effect so many standard errors large. [-]

    Parameters
    ----------
    ratio : array_like
        Effect over its standard error. [-]
    alpha : float
        How often an effect is seen where there is none. [-]
    """
    z = float(ndtri(1 - alpha / 2))
    r = np.asarray(ratio, dtype=float)
    power: Floats = ndtr(r - z) + ndtr(-r - z)
    return power


def power_of_two_rows(d: float, n: int, alpha: float = 0.05) -> float:
    """Return the power of a two-sample t test. [-]

    Parameters
    ----------
    d : float
        Difference over the standard deviation of a hole. [-]
    n : int
        Holes in each of the two rows, at least 2. [-]
    alpha : float
        Two-sided. [-]

    Examples
    --------
    >>> round(power_of_two_rows(0.8, 20), 6)
    0.693404
    """
    return t_power(d * math.sqrt(n / 2), 2 * n - 2, alpha)


def size_of_two_rows(d: float, power: float = 0.8, alpha: float = 0.05) -> float:
    """Return the holes a row for a two-sample t test, not rounded. [-]

    Parameters
    ----------
    d : float
        Difference over the standard deviation of a hole. [-]
    power, alpha : float
        Power, and two-sided alpha. [-]
    """
    return _solve(lambda n: t_power(d * math.sqrt(n / 2), 2 * n - 2, alpha), power)


def size_of_pairs(d: float, power: float = 0.8, alpha: float = 0.05) -> float:
    """Return the pairs for a paired t test, not rounded. [-]

    Parameters
    ----------
    d : float
        Mean difference over the standard deviation of a difference. [-]
    power, alpha : float
        Power, and two-sided alpha. [-]
    """
    return _solve(lambda n: t_power(d * math.sqrt(n), n - 1, alpha), power)


def size_of_anova(f: float, rows: int, power: float = 0.8, alpha: float = 0.05) -> float:
    """Return the holes in all for an analysis of variance of some rows, not rounded. [-]

    Parameters
    ----------
    f : float
        Standard deviation of the rows' means over that of a hole. [-]
    rows : int
        Rows. [-]
    power, alpha : float
        Power, and alpha. [-]
    """

    def of(n: float) -> float:
        freedom = n - rows
        least = float(fdtri(rows - 1, freedom, 1 - alpha))
        return 1 - float(ncfdtr(rows - 1, freedom, f * f * n, least))

    return _solve(of, power, rows + 1.0)


def size_of_shares(one: float, other: float, power: float = 0.8, alpha: float = 0.05) -> float:
    r"""Return the holes a row to see that two shares differ, not rounded. [-]

    By the arcsine rule, :math:`h = 2 \arcsin\sqrt{p_1} - 2 \arcsin\sqrt{p_2}`.

    Parameters
    ----------
    one, other : float
        Shares, e.g. of holes with nested chips. [-]
    power, alpha : float
        Power, and two-sided alpha. [-]
    """
    h = 2 * abs(math.asin(math.sqrt(one)) - math.asin(math.sqrt(other)))
    return _solve(lambda n: float(power_of_ratio(h * math.sqrt(n / 2), alpha)), power)


def t_power(ratio: float, freedom: float, alpha: float) -> float:
    """Return the power of a two-sided t test. [-]

    Parameters
    ----------
    ratio : float
        Effect over its true standard error. [-]
    freedom : float
        Degrees of freedom of the standard deviation. [-]
    alpha : float
        How often an effect is seen where there is none. [-]
    """
    t = float(stdtrit(freedom, 1 - alpha / 2))
    return 1 - float(nctdtr(freedom, ratio, t)) + float(nctdtr(freedom, ratio, -t))


def _solve(function: Callable[[float], float], power: float, least: float = 2.0) -> float:
    """Return where a rising function reaches the power."""
    if not 0 < power < 1:
        raise OutOfRangeError("power", power, "between 0 and 1")
    low, high = least, 2 * least
    while function(high) < power:
        low, high = high, 2 * high
        if high > 1e9:
            raise NoAnswerError("No number of holes shows a difference that small.")
    for _ in range(100):
        middle = (low + high) / 2
        low, high = (middle, high) if function(middle) < power else (low, middle)
    return (low + high) / 2
