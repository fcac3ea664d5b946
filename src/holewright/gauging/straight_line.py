"""A straight line through points by least squares, with what it leaves."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from holewright.errors import OutOfRangeError


@dataclass(frozen=True)
class StraightLine:
    """A line y = a + b x of least squares.

    Parameters
    ----------
    intercept, slope : float
        a, in the unit of y, and b, in that of y over that of x.
    se_intercept, se_slope : float
        Their standard errors.
    sd : float
        Standard deviation of y about the line, n - 2 degrees of freedom, in the unit of y.
    sd_overall : float
        Standard deviation of y about its mean, n - 1 degrees of freedom.
    r_squared : float
        Share of the variance of y that the line takes up; nan where y doesn't vary. [-]
    n : int
        Points. [-]
    middle, spread : float
        Mean of x, and sum of the squares of x about it.
    first, last : float
        Smallest and largest x.
    """

    intercept: float
    slope: float
    se_intercept: float
    se_slope: float
    sd: float
    sd_overall: float
    r_squared: float
    n: int
    middle: float
    spread: float
    first: float
    last: float

    def at(self, x: float) -> float:
        """Return the y of the line at x."""
        return self.intercept + self.slope * x

    def leverage(self, x: float) -> float:
        """Return the variance of the line at x, in units of the residual variance. [-]"""
        return 1 / self.n + (x - self.middle) ** 2 / self.spread


def fit_line(x: ArrayLike, y: ArrayLike) -> StraightLine:
    r"""Return the line of least squares.

    .. math:: b = S_{xy} / S_{xx}, \qquad a = \bar{y} - b \bar{x}, \qquad
              s^2 = \sum (y_i - a - b x_i)^2 / (n - 2)

    Parameters
    ----------
    x : array_like
        At least 3 values in one dimension, not all the same.
    y : array_like
        As many.

    Returns
    -------
    StraightLine
        The line, its standard errors, and both spreads.

    Raises
    ------
    OutOfRangeError
        If the two differ in number, there are fewer than 3, or all x are the same.

    Notes
    -----
    Sums are taken about the means, so sizes that differ by 1e-4 mm at 100 mm keep their
    digits.

    References
    ----------
    .. [1] NIST StRD, linear least squares: data set Norris, checked against to 1e-12.
    """
    u, v = np.asarray(x, dtype=float).ravel(), np.asarray(y, dtype=float).ravel()
    if u.size != v.size:
        raise OutOfRangeError("y", f"{v.size} values", f"as many as the {u.size} of x")
    if u.size < 3:
        raise OutOfRangeError("x", f"{u.size} values", "at least 3")
    n, middle = u.size, float(u.mean())
    level = float(v[0])
    rise = v - level
    du, dv = u - middle, rise - rise.mean()
    spread = float(du @ du)
    if not spread > 0:
        raise OutOfRangeError("x", float(u[0]), "not the same for all points")
    slope = float(du @ dv) / spread
    left = dv - slope * du
    sd = float(np.sqrt(left @ left / (n - 2)))
    total = float(dv @ dv)
    return StraightLine(
        intercept=level + float(rise.mean()) - slope * middle,
        slope=slope,
        se_intercept=sd * float(np.sqrt(1 / n + middle**2 / spread)),
        se_slope=sd / float(np.sqrt(spread)),
        sd=sd,
        sd_overall=float(np.sqrt(total / (n - 1))),
        r_squared=1 - float(left @ left) / total if total > 0 else float("nan"),
        n=n,
        middle=middle,
        spread=spread,
        first=float(u.min()),
        last=float(u.max()),
    )
