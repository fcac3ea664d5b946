"""Readings that allow no finite fit, found before any fit is tried, and what they still say."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtri

from holewright.errors import OutOfRangeError
from holewright.gauging.newton import derivatives, log_likelihood
from holewright.gauging.rows import Rows


class Shortfall(StrEnum):
    """Why there is no finite fit."""

    ONE_CELL = "every hole fell between the same two sizes"
    ABOVE_ALL = "every hole is larger than the largest size checked"
    BELOW_ALL = "every hole is smaller than the smallest size checked"
    COMMON_POINT = "one size would fit all holes: no spread was seen"
    ONE_SIZE = "the only sizes read are all the same"
    EXPLAINED = "the causes explain every hole exactly: no spread is left to see"
    NO_SCALE = "pins that went and pins that didn't are mixed, and no hole lies between two"


@dataclass(frozen=True)
class Degenerate:
    """What can be said where no finite fit exists.

    Parameters
    ----------
    shortfall : Shortfall
        Why there is none.
    lower, upper : float
        The sizes common to all holes, from the largest lower to the smallest upper bound;
        lower above upper for ``NO_SCALE``. [mm]
    sup_loglik : float
        What the log likelihood tends to; ``inf`` with an exact size. [-]
    """

    shortfall: Shortfall
    lower: float
    upper: float
    sup_loglik: float


def find_degenerate(rows: Rows, x: NDArray[np.float64] | None = None) -> Degenerate | None:
    r"""Return why these rows have no finite fit, or None where they have one.

    Parameters
    ----------
    rows : Rows
        Intervals with counts.
    x : ndarray, optional
        Causes of size of each row, shape (rows, causes), no two alike and none constant.

    Returns
    -------
    Degenerate or None
        None: a finite fit with sd > 0 exists and is the only one.

    Notes
    -----
    One rule finds all cases in which the spread goes to nothing: the closed intervals of all
    holes share a point. One is left where no row is bounded on both sides: then the spread
    goes to infinity unless, on the mean, the pins that did not go are larger than the pins
    that went. (The slope of the log likelihood in 1/sd at 1/sd = 0, at the best mean there,
    has the sign of that difference; the log likelihood is concave, so the sign decides.)

    With causes, "a point" becomes "a mean for each hole, linear in its causes"; whether one
    exists is a question of linear programming. The last rule is for no causes only.
    """
    low, high = float(rows.lower.max()), float(rows.upper.min())
    if low <= high:
        return Degenerate(_shortfall(rows, low, high), low, high, _sup_loglik(rows, low, high))
    if x is not None and x.shape[1]:
        if _explained(rows, x):
            sup = math.inf if rows.exact.any() else 0.0
            return Degenerate(Shortfall.EXPLAINED, low, high, sup)
        return None
    left, right = np.isneginf(rows.lower), np.isposinf(rows.upper)
    if (left | right).all():
        went_not, went = rows.count[left], rows.count[right]
        mean_not = float((went_not * rows.upper[left]).sum() / went_not.sum())
        mean_went = float((went * rows.lower[right]).sum() / went.sum())
        if mean_not <= mean_went:
            a, b = float(went_not.sum()), float(went.sum())
            sup = a * math.log(a / (a + b)) + b * math.log(b / (a + b))
            return Degenerate(Shortfall.NO_SCALE, low, high, sup)
    return None


def sd_upper_one_cell(width: float, n: float, confidence: float = 0.95) -> float:
    r"""Return how large the spread can be if all `n` holes fell into one cell.

    .. math:: \sigma_U = \frac{w/2}{\Phi^{-1}[(1 + e^{-q/n})/2]}, \quad q = z_C^2 / 2

    Parameters
    ----------
    width : float
        Width w of the cell, more than 0. [mm]
    n : float
        Holes, all inside it, more than 0. [-]
    confidence : float
        One-sided confidence, over a half and below 1. [-]

    Returns
    -------
    float
        Upper bound on the standard deviation. [mm]

    Raises
    ------
    OutOfRangeError
        If an input is outside its range.

    Notes
    -----
    Profile likelihood of a normal distribution; approximate, since the best fit lies on the
    boundary sd = 0. The exact statement that needs no distribution is
    :func:`holewright.gauging.binomial.zero_failure_bound`.

    Examples
    --------
    Twenty of 20 holes between .2500 and .2505 in (12.7 µm wide): sd at most 3.4 µm.

    >>> round(sd_upper_one_cell(0.0127, 20), 5)
    0.00345
    """
    if not width > 0:
        raise OutOfRangeError("width", width, "more than 0")
    if not n > 0:
        raise OutOfRangeError("n", n, "more than 0")
    inside = (1 + math.exp(-_half_square(confidence) / n)) / 2
    return width / 2 / float(ndtri(inside))


def sd_upper(rows: Rows, confidence: float = 0.95) -> float:
    """Return the largest spread that rows sharing a common point leave possible.

    Parameters
    ----------
    rows : Rows
        Intervals whose closed forms share a point (see :func:`find_degenerate`).
    confidence : float
        One-sided confidence, over a half and below 1. [-]

    Returns
    -------
    float
        Upper bound by profile likelihood; ``inf`` where the rows set none. [mm]

    Raises
    ------
    OutOfRangeError
        If the rows share no point, or hold an exact size, or `confidence` isn't in range.
    """
    low, high = float(rows.lower.max()), float(rows.upper.min())
    if low > high or rows.exact.any():
        raise OutOfRangeError("rows", f"{low} to {high}", "intervals that share a point")
    if not (np.isfinite(rows.lower) & np.isfinite(rows.upper)).any():
        return math.inf
    floor = _sup_loglik(rows, low, high) - _half_square(confidence)
    bounds = np.concatenate([rows.lower, rows.upper])
    bounds = bounds[np.isfinite(bounds)]
    centre, scale = (low + high) / 2, float(np.ptp(bounds))
    a, b = (rows.lower - centre) / scale, (rows.upper - centre) / scale

    def above_floor(log_sd: float) -> bool:
        return _best_at(math.exp(-log_sd), a, b, rows.count) > floor

    small, large = -14.0, 0.0
    while above_floor(large):
        large += 1.0
        if large > 30:
            return math.inf
    for _ in range(60):
        middle = (small + large) / 2
        small, large = (middle, large) if above_floor(middle) else (small, middle)
    return scale * math.exp(large)


def _explained(rows: Rows, x: NDArray[np.float64]) -> bool:
    """Return whether some mean, linear in the causes, lies in the closed interval of every hole."""
    # Imported here: it costs a fifth of a second, and only fits with causes need it.
    from scipy.optimize import linprog

    bounds = np.concatenate([rows.lower, rows.upper])
    bounds = bounds[np.isfinite(bounds)]
    centre, scale = bounds.mean(), float(np.ptp(bounds)) or 1.0
    spread = np.ptp(x, axis=0)
    design = np.column_stack([np.ones(len(x)), (x - x.mean(0)) / np.where(spread > 0, spread, 1)])
    below, above = np.isfinite(rows.upper), np.isfinite(rows.lower)
    found = linprog(
        np.zeros(design.shape[1]),
        A_ub=np.concatenate([design[below], -design[above]]),
        b_ub=np.concatenate(
            [(rows.upper[below] - centre) / scale, -(rows.lower[above] - centre) / scale]
        ),
        bounds=(None, None),
        method="highs",
    )
    return bool(found.status == 0)


def _half_square(confidence: float) -> float:
    """Return half the square of the normal quantile: the drop in log likelihood allowed."""
    if not 0.5 < confidence < 1:
        raise OutOfRangeError("confidence", confidence, "over 0.5 and below 1")
    return float(ndtri(confidence)) ** 2 / 2


def _best_at(tau: float, a: np.ndarray, b: np.ndarray, count: np.ndarray) -> float:
    """Return the greatest log likelihood at a given 1/sd: concave in delta, so Newton finds it."""
    tau_ = np.array(tau)
    delta = np.array(0.0)
    best = float(log_likelihood(delta, tau_, a, b, count))
    for _ in range(100):
        gradient, hessian = derivatives(delta, tau_, a, b, count)
        step = -gradient[0] / min(float(hessian[0, 0]), -1e-12)
        for _ in range(60):
            new = float(log_likelihood(delta + step, tau_, a, b, count))
            if new >= best:
                break
            step /= 2
        gained = new - best
        if not gained > 1e-13 * (1 + abs(best)):
            break
        delta, best = delta + step, new
    return best


def _shortfall(rows: Rows, low: float, high: float) -> Shortfall:
    if rows.exact.any():
        return Shortfall.ONE_SIZE
    if math.isinf(high):
        return Shortfall.ABOVE_ALL
    if math.isinf(low):
        return Shortfall.BELOW_ALL
    if (rows.lower == low).all() and (rows.upper == high).all():
        return Shortfall.ONE_CELL
    return Shortfall.COMMON_POINT


def _sup_loglik(rows: Rows, low: float, high: float) -> float:
    """Return the binomial limit where rows meet in one point, else 0: any inner point fits all."""
    if rows.exact.any():
        return math.inf
    if low < high:
        return 0.0
    a = float(rows.count[rows.upper == low].sum())
    b = float(rows.count[rows.lower == low].sum())
    return a * math.log(a / (a + b)) + b * math.log(b / (a + b))
