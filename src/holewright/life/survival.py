r"""How long tools last until they break, with those that were changed before they did.

Weibull's distribution in :math:`z = \beta \ln t - \beta \ln \eta`, of which the log likelihood
is concave in the two parameters :math:`(\beta \ln \eta, \beta)`, whatever is censored.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import gamma, ndtri

from holewright.errors import InputError, NoAnswerError, OutOfRangeError
from holewright.gauging.binomial import zero_failure_bound

Floats = NDArray[np.float64]

_STEPS = 100


@dataclass(frozen=True, eq=False)
class Survival:
    """A Weibull distribution of the holes that a tool lasts.

    Parameters
    ----------
    scale : float
        Holes that 63 % of the tools don't reach. [-]
    shape : float
        Below 1 tools break early, at 1 by chance alone, above 1 by age. [-]
    covariance : ndarray
        Covariance of (shape · ln scale, shape).
    loglik : float
        Log likelihood. [-]
    n, failed : float
        Tools, and those seen to break. [-]
    """

    scale: float
    shape: float
    covariance: Floats
    loglik: float
    n: float
    failed: float

    @property
    def mean(self) -> float:
        """Mean life. [holes]"""
        return self.scale * float(gamma(1 + 1 / self.shape))

    @property
    def sd(self) -> float:
        """Standard deviation of the lives. [holes]"""
        second = float(gamma(1 + 2 / self.shape))
        return self.scale * math.sqrt(second - float(gamma(1 + 1 / self.shape)) ** 2)

    @property
    def se_log_scale(self) -> float:
        """Standard error of the log of the scale. [-]"""
        turn = np.array([1 / self.shape, -math.log(self.scale) / self.shape])
        return math.sqrt(float(turn @ self.covariance @ turn))

    @property
    def se_log_shape(self) -> float:
        """Standard error of the log of the shape. [-]"""
        return math.sqrt(float(self.covariance[1, 1])) / self.shape

    def quantile(self, share: float) -> float:
        """Return the holes that a share of the tools doesn't reach. [holes]"""
        if not 0 < share < 1:
            raise OutOfRangeError("share", share, "between 0 and 1")
        return self.scale * math.exp(math.log(-math.log1p(-share)) / self.shape)


def fit_survival(lower: ArrayLike, upper: ArrayLike, count: ArrayLike = 1) -> Survival:
    r"""Fit Weibull's distribution to lives, exact or censored.

    .. math:: F(t) = 1 - e^{-(t/\eta)^\beta}

    Parameters
    ----------
    lower, upper : array_like
        Bounds of each life in holes: equal where the tool was seen to break at that hole;
        ``upper = inf`` for one changed before it broke; an interval where the break was found
        at the next check. `lower` 0 or more. [holes]
    count : array_like
        Tools with these bounds, 0 or more. [-]

    Returns
    -------
    Survival
        The fit.

    Raises
    ------
    InputError
        If the bounds aren't intervals of positive lives.
    NoAnswerError
        If fewer than two tools broke, or all at one hole; the message says what holds then.

    References
    ----------
    .. [1] NIST/SEMATECH e-Handbook of Statistical Methods, 8.4.1.3, maximum likelihood.
    .. [2] J. Burridge, "A note on maximum likelihood estimation for regression models using
       grouped data", J. R. Stat. Soc. B 43 (1981) 41-45: why it is concave.
    """
    low, high, number = (
        np.array(a, dtype=float).ravel()
        for a in np.broadcast_arrays(
            np.asarray(lower, float), np.asarray(upper, float), np.asarray(count, float)
        )
    )
    bad = ~((low >= 0) & (low <= high) & (high > 0)) | np.isinf(low)
    if bad.any():
        i = int(np.flatnonzero(bad)[0])
        raise InputError(
            f"life of row {i + 1}", f"{low[i]:g} to {high[i]:g}", "must run from 0 or more upwards"
        )
    if not ((number >= 0) & np.isfinite(number)).all():
        raise OutOfRangeError("count", float(number.min()), "0 or more")
    says = (number > 0) & ~((low == 0) & np.isinf(high))
    low, high, number = low[says], high[says], number[says]
    broke = np.isfinite(high)
    failed = float(number[broke].sum())
    _refuse_too_little(low, high, number, broke)
    middle = np.where(broke, np.where(low > 0, np.sqrt(np.maximum(low, 1e-300) * high), high), low)
    unit = float(np.exp(number @ np.log(middle) / number.sum()))
    theta = np.array([0.0, 1.0])
    rows = _Rows(low / unit, high / unit, number)
    height, slope, hessian = _likelihood(theta, rows)
    for _ in range(_STEPS):
        step = np.linalg.solve(-hessian, slope)
        gain = float(slope @ step)
        if gain < 1e-20 * (1 + abs(height)):
            break
        share = min(1.0, -0.9 * theta[1] / step[1]) if step[1] < 0 else 1.0
        for _ in range(60):
            new = _likelihood(theta + share * step, rows)
            if new[0] >= height - 1e-12 * (1 + abs(height)):
                break
            share /= 2
        theta, (height, slope, hessian) = theta + share * step, new
    else:
        raise NoAnswerError("The lives have no finite fit: more broken tools are needed.")
    # From (a, shape) in the unit of the fit to holes: a moves by shape · ln unit.
    turn = np.array([[1.0, math.log(unit)], [0.0, 1.0]])
    exact = number[low == high].sum()
    return Survival(
        scale=unit * math.exp(theta[0] / theta[1]),
        shape=float(theta[1]),
        covariance=turn @ np.linalg.inv(-hessian) @ turn.T,
        loglik=height - float(exact) * math.log(unit),
        n=float(number.sum()),
        failed=failed,
    )


def break_risk(
    survival: Survival, cut: float, more: float, confidence: float = 0.95
) -> tuple[float, float]:
    r"""Return how likely a tool breaks within its next holes, and an upper bound on it.

    .. math:: P = 1 - e^{(x/\eta)^\beta - ((x + N)/\eta)^\beta}

    Parameters
    ----------
    survival : Survival
        Lives of its like.
    cut : float
        Holes that it has cut without breaking, 0 or more. [holes]
    more : float
        Holes to come, more than 0. [holes]
    confidence : float
        One-sided confidence of the bound, over a half and below 1. [-]

    Returns
    -------
    likely, upper : float
        Best estimate, and the bound by the standard error of ln(-ln(1 - P)). [-]

    Raises
    ------
    OutOfRangeError
        If an argument is out of its range.
    """
    if not cut >= 0:
        raise OutOfRangeError("cut", cut, "0 or more")
    if not more > 0:
        raise OutOfRangeError("more", more, "more than 0")
    if not 0.5 < confidence < 1:
        raise OutOfRangeError("confidence", confidence, "over 0.5 and below 1")
    b, log_scale = survival.shape, math.log(survival.scale)

    def hazard(a: float, shape: float) -> float:
        before = math.exp(shape * math.log(cut) - a) if cut > 0 else 0.0
        return math.exp(shape * math.log(cut + more) - a) - before

    a = b * log_scale
    h = hazard(a, b)
    # ln of the added hazard goes with a by -1, and with the shape by this slope.
    ends = [(cut + more, 1.0)] + ([(cut, -1.0)] if cut > 0 else [])
    slope = sum(s * math.exp(b * math.log(t) - a) * math.log(t) for t, s in ends) / h
    turn = np.array([-1.0, slope])
    se = math.sqrt(float(turn @ survival.covariance @ turn))
    upper = h * math.exp(float(ndtri(confidence)) * se)
    return -math.expm1(-h), -math.expm1(-upper)


@dataclass(frozen=True, eq=False)
class _Rows:
    """Lives in the unit of the fit."""

    low: Floats
    high: Floats
    count: Floats


def _refuse_too_little(low: Floats, high: Floats, number: Floats, broke: NDArray[np.bool_]) -> None:
    failed, n = float(number[broke].sum()), float(number.sum())
    if failed < 2:
        reached = float(low[~broke].min()) if (~broke).any() else 0.0
        known = ""
        if failed == 0 and n >= 1 and reached > 0:
            bound = float(zero_failure_bound(n))
            known = (
                f" What holds: {n:.0f} tools cut {reached:.0f} holes each and none broke, so at "
                f"most {100 * bound:.0f} % of such tools break before that (95 % sure)."
            )
        raise NoAnswerError(
            f"Only {failed:.0f} of {n:.0f} tools broke: two are needed to say how life spreads."
            f"{known}"
        )
    first = low[broke].max() <= high[broke].min()
    if first and (low[~broke] < high[broke].min()).all():
        raise NoAnswerError(
            "All tools that broke may have done so at one and the same hole: how their lives "
            "spread can't be told. Check more often, or follow more tools."
        )


def _likelihood(theta: Floats, rows: _Rows) -> tuple[float, Floats, Floats]:
    """Return log likelihood, gradient and Hessian in (a, shape)."""
    a, b = theta
    exact, open_ = rows.low == rows.high, np.isinf(rows.high)
    with np.errstate(divide="ignore", over="ignore"):
        x1, x2 = np.log(rows.low), np.log(np.where(open_, 1.0, rows.high))
        x1 = np.where(rows.low > 0, x1, 0.0)
        u1 = np.where(rows.low > 0, np.exp(b * x1 - a), 0.0)
        u2 = np.exp(b * x2 - a)
        d = np.where(exact | open_, 1.0, u2 - u1)
        q = 1 / np.expm1(d)
        log_p = np.where(exact, math.log(b) - x1 + (b * x1 - a) - u1, -u1)
        between = ~exact & ~open_
        log_p = np.where(between, -u1 + np.log(-np.expm1(-d)), log_p)
    # Slopes by z at the lower and at the upper bound.
    g1 = np.where(exact, 1 - u1, np.where(between, u1 * (-1 - q), -u1))
    g2 = np.where(between, u2 * q, 0.0)
    bend = -q * (1 + q)
    h11 = np.where(between, g1 + u1 * u1 * bend, -u1)
    h22 = np.where(between, g2 + u2 * u2 * bend, 0.0)
    h12 = np.where(between, -u1 * u2 * bend, 0.0)
    c = rows.count
    slope = np.array([-(c @ (g1 + g2)), c @ (g1 * x1 + g2 * x2) + float(c[exact].sum()) / b])
    aa = c @ (h11 + 2 * h12 + h22)
    ab = -(c @ (x1 * (h11 + h12) + x2 * (h12 + h22)))
    bb = c @ (x1 * x1 * h11 + 2 * x1 * x2 * h12 + x2 * x2 * h22) - float(c[exact].sum()) / b**2
    return float(c @ log_p), slope, np.array([[aa, ab], [ab, bb]])
