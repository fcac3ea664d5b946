"""Expected ranges of normal samples: what turns a range into a standard deviation."""

from __future__ import annotations

from functools import cache

import numpy as np
from scipy.special import ndtr

from holewright.errors import OutOfRangeError

MOST = 100
"""Largest sample that a range is any good for."""

_REACH = 9.0  # standard deviations: beyond them lies 1e-19
_STEPS = 1201


@cache
def d2(n: int) -> float:
    r"""Return the expected range of n standard normal values. [-]

    .. math:: d_2 = \int_{-\infty}^{\infty} [1 - \Phi(x)^n - (1 - \Phi(x))^n]\, dx

    Parameters
    ----------
    n : int
        Values, 2 to 100. [-]

    Raises
    ------
    OutOfRangeError
        If n is not from 2 to 100.

    References
    ----------
    .. [1] Tippett, L. H. C. (1925), Biometrika 17, 364-387. doi:10.1093/biomet/17.3-4.364.

    Examples
    --------
    >>> round(d2(2), 3), round(d2(5), 3)
    (1.128, 2.326)
    """
    _check(n)
    x = np.linspace(-_REACH, _REACH, _STEPS)
    p = ndtr(x)
    # The integrand and all its slopes vanish at both ends: the plain sum is exact to 1e-14.
    return float((1 - p**n - (1 - p) ** n).sum() * (x[1] - x[0]))


@cache
def d2_of_one(n: int) -> float:
    r"""Return d2* for a single range of n values: the root of its mean square. [-]

    .. math::
        d_2^{*2} = E[R^2] = n (n-1) \int_0^\infty\!\!\int_{-\infty}^{\infty} r^2\,
        \varphi(x)\, \varphi(x + r)\, [\Phi(x + r) - \Phi(x)]^{n-2}\, dx\, dr

    Dividing one range by it, and squaring, gives an unbiased variance.

    Parameters
    ----------
    n : int
        Values, 2 to 100. [-]

    Raises
    ------
    OutOfRangeError
        If n is not from 2 to 100.

    References
    ----------
    .. [1] Duncan, A. J. (1955), "The use of ranges in comparing variabilities", Industrial
       Quality Control 11(5), 18-22 (from memory).

    Examples
    --------
    >>> round(d2_of_one(2), 5), round(d2_of_one(3), 5), round(d2_of_one(10), 5)
    (1.41421, 1.91154, 3.17905)
    """
    _check(n)
    x = np.linspace(-_REACH, _REACH, _STEPS)
    nodes, weights = np.polynomial.legendre.leggauss(96)
    r = (nodes[:, np.newaxis] + 1) * _REACH
    density = np.exp(-(x**2 + (x + r) ** 2) / 2) / (2 * np.pi)
    inner = (density * (ndtr(x + r) - ndtr(x)) ** (n - 2)).sum(axis=1) * (x[1] - x[0])
    mean_square = n * (n - 1) * (weights * _REACH * r[:, 0] ** 2 * inner).sum()
    return float(np.sqrt(mean_square))


def _check(n: int) -> None:
    if not 2 <= n <= MOST:
        raise OutOfRangeError("n", n, f"from 2 to {MOST}")
