"""What several like things have in common, and what the next of their kind will be.

Each tool, or each job, has its own true value; the values spread about a common mean; each is
known only to its own standard error. The spread between them is what a new one adds.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import ndtri, stdtrit

from holewright.errors import OutOfRangeError

Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Pooled:
    """A common mean with the spread between its members.

    Parameters
    ----------
    mean, se : float
        The mean and its standard error, in the unit of the values.
    between : float
        Standard deviation between members.
    n : int
        Members. [-]
    members : ndarray
        Each member's own value drawn towards the mean, by as much as it is uncertain.
    """

    mean: float
    se: float
    between: float
    n: int
    members: Floats

    @property
    def new(self) -> float:
        """Standard uncertainty of the next member's true value, in the unit of the values."""
        return math.hypot(self.se, self.between)

    def interval_of_new(self, confidence: float = 0.95) -> tuple[float, float]:
        """Return the interval that the next member's true value lies in.

        Student's t with n - 1 degrees of freedom, since the spread comes from n members; of
        one member, or none, the normal, whose spread is then a prior one.
        """
        p = (1 + confidence) / 2
        t = float(stdtrit(self.n - 1, p)) if self.n > 1 else float(ndtri(p))
        return self.mean - t * self.new, self.mean + t * self.new


def pool(values: ArrayLike, se: ArrayLike) -> Pooled:
    r"""Pool values that each have their own standard error, by restricted likelihood.

    .. math:: y_i = \mu + b_i + e_i, \quad b_i \sim N(0, \tau^2), \quad e_i \sim N(0, s_i^2)

    Parameters
    ----------
    values : array_like
        Estimate of each member, at least two, all in one unit.
    se : array_like
        Standard error of each, 0 or more, in the same unit.

    Returns
    -------
    Pooled
        Mean, spread between members, and each drawn towards the mean.

    Raises
    ------
    OutOfRangeError
        If there are fewer than two, both differ in number, or a standard error is negative.

    Notes
    -----
    The spread between is taken as known in the standard error of the mean; with fewer than
    about five members it is itself hardly known, and :meth:`Pooled.interval_of_new` is wider
    for it. Where the values differ less than their standard errors explain, it is 0.

    References
    ----------
    .. [1] D. A. Harville, "Maximum likelihood approaches to variance component estimation",
       J. Am. Stat. Assoc. 72 (1977) 320-338.
    """
    y, s = np.asarray(values, dtype=float).ravel(), np.asarray(se, dtype=float).ravel()
    if y.size != s.size or y.size < 2:
        raise OutOfRangeError(
            "values", f"{y.size} with {s.size} errors", "two or more, one error each"
        )
    if not (s >= 0).all():
        raise OutOfRangeError("se", float(s[~(s >= 0)][0]), "0 or more")
    unit = max(float(np.ptp(y)), float(s.max()))
    if unit == 0:
        return Pooled(float(y[0]), 0.0, 0.0, int(y.size), y.copy())
    level = float(y[0])
    z, v = (y - level) / unit, (s / unit) ** 2
    between = _restricted_spread(z, v)
    weight = 1 / np.maximum(v + between, 1e-300)
    mean = float(weight @ z / weight.sum())
    keep = between / (v + between) if between > 0 else np.zeros(y.size)
    return Pooled(
        level + unit * mean,
        unit / math.sqrt(float(weight.sum())),
        unit * math.sqrt(between),
        int(y.size),
        level + unit * (mean + keep * (z - mean)),
    )


def _restricted_spread(z: Floats, v: Floats) -> float:
    """Return the variance between members at the top of the restricted likelihood."""
    least = 0.0 if (v > 0).all() else 1e-12

    def slope(t: float) -> float:
        w = 1 / (v + t)
        mean = w @ z / w.sum()
        return float((w**2) @ (z - mean) ** 2 - w.sum() + (w**2).sum() / w.sum())

    # The likelihood may have more than one top: look along a grid for the best, then refine.
    grid = np.concatenate([[least], np.geomspace(1e-8, 10.0, 91)])
    heights = [_restricted_height(float(t), z, v) for t in grid]
    best = int(np.argmax(heights))
    low, high = grid[max(best - 1, 0)], grid[min(best + 1, grid.size - 1)]
    if best == 0 and slope(least) <= 0:
        return least if least == 0 else 0.0
    for _ in range(80):
        middle = (low + high) / 2
        low, high = (middle, high) if slope(middle) > 0 else (low, middle)
    return float((low + high) / 2)


def _restricted_height(t: float, z: Floats, v: Floats) -> float:
    w = 1 / (v + t)
    mean = w @ z / w.sum()
    return float(np.log(w).sum() - math.log(w.sum()) - w @ (z - mean) ** 2) / 2
