r"""How chips went with the settings: ordered words, by ordinal regression.

Proportional odds: :math:`\ln\frac{P(Y \le j)}{P(Y > j)} = \theta_j - x'\beta`. The log
likelihood is concave in :math:`(\theta, \beta)`, so Newton's rule finds its top.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import expit, ndtri

from holewright.errors import InputError, NoAnswerError

Floats = NDArray[np.float64]

_STEPS = 100
_RAN_AWAY = 30.0
"""Log odds between the ends of a cause from which on it parts the words without exception."""


class ChipForm(StrEnum):
    """What comes out of the hole, the best first."""

    TIGHT = "tight curl"
    LOOSE = "loose"
    LONG = "long"
    NEST = "nest"


CHIP_FORMS = tuple(ChipForm)
GOOD_CHIPS = frozenset({ChipForm.TIGHT, ChipForm.LOOSE})
"""Chips that leave the hole by themselves."""


@dataclass(frozen=True, eq=False)
class OrdinalFit:
    """A proportional-odds fit.

    Parameters
    ----------
    words : tuple of str
        The words that occurred, in order.
    cuts : ndarray
        Log odds at which each word ends, one less than there are words. [-]
    effects : ndarray
        Log odds towards later words, for one more of each cause. [-]
    covariance : ndarray
        Covariance of (cuts, effects).
    loglik : float
        Log likelihood. [-]
    n : int
        Holes. [-]
    """

    words: tuple[str, ...]
    cuts: Floats
    effects: Floats
    covariance: Floats
    loglik: float
    n: int

    def se(self, cause: int) -> float:
        """Return the standard error of an effect. [-]"""
        place = self.cuts.size + cause
        return math.sqrt(float(self.covariance[place, place]))

    def interval(self, cause: int, confidence: float = 0.95) -> tuple[float, float]:
        """Return the interval of an effect, by its standard error. [-]"""
        half = float(ndtri((1 + confidence) / 2)) * self.se(cause)
        return float(self.effects[cause]) - half, float(self.effects[cause]) + half

    def shares(self, x: ArrayLike) -> Floats:
        """Return the share of each word at given causes. [-]"""
        upto = expit(self.cuts - np.asarray(x, dtype=float) @ self.effects)
        ends = np.concatenate([[0.0], upto, [1.0]])
        return np.diff(ends)


def fit_ordinal(words: Sequence[str], x: ArrayLike, order: Sequence[str]) -> OrdinalFit:
    """Fit proportional odds to ordered words.

    Parameters
    ----------
    words : sequence of str
        The word for each hole.
    x : array_like
        Causes, shape (holes, causes), in the caller's units.
    order : sequence of str
        All words, in order.

    Returns
    -------
    OrdinalFit
        The fit, over the words that occurred.

    Raises
    ------
    InputError
        If a word isn't among those in order, or causes aren't told apart.
    NoAnswerError
        If only one word occurred, or a cause parts the words without exception.

    Notes
    -----
    One shift of all words is assumed for a cause: that it makes long chips longer and tight
    ones looser alike. Intervals are by the standard error and good from some five holes of
    each word.

    References
    ----------
    .. [1] P. McCullagh, "Regression models for ordinal data", J. R. Stat. Soc. B 42 (1980)
       109-142.
    """
    known = {word: i for i, word in enumerate(order)}
    for word in words:
        if word not in known:
            raise InputError("chips", word, f"must be one of: {', '.join(order)}")
    seen = tuple(word for word in order if word in set(words))
    if len(seen) < 2:
        said = f"all {len(words)} holes gave {seen[0]} chips" if seen else "no chips were noted"
        raise NoAnswerError(f"No effect on the chips can be told: {said}.")
    y = np.array([seen.index(word) for word in words])
    causes = np.asarray(x, dtype=float).reshape(len(words), -1)
    centre = causes.mean(0)
    width = np.where(np.ptp(causes, axis=0) > 0, np.ptp(causes, axis=0), 1.0)
    z = (causes - centre) / width
    if z.shape[1] and np.linalg.matrix_rank(np.column_stack([np.ones(len(z)), z])) <= z.shape[1]:
        raise InputError("causes", z.shape[1], "must each differ from hole to hole in its own way")
    k = len(seen) - 1
    upto = np.cumsum(np.bincount(y, minlength=k + 1))[:-1] / y.size
    theta = np.concatenate([np.log(upto / (1 - upto)), np.zeros(z.shape[1])])
    height, slope, hessian = _likelihood(theta, y, z, k)
    for _ in range(_STEPS):
        step = np.linalg.solve(-hessian, slope)
        gain = float(slope @ step)
        if gain < 1e-20 * (1 + abs(height)):
            break
        if np.abs(theta[k:]).max(initial=0.0) > _RAN_AWAY:
            raise NoAnswerError(_parted(seen))
        share = 1.0
        while True:
            new = _likelihood(theta + share * step, y, z, k)
            if new[0] >= height - 1e-12 * (1 + abs(height)):
                break
            share /= 2
        theta, (height, slope, hessian) = theta + share * step, new
    else:
        raise NoAnswerError(_parted(seen))
    # Back to the causes as they were given.
    turn = np.eye(k + z.shape[1])
    turn[k:, k:] = np.diag(1 / width)
    turn[:k, k:] = centre / width
    return OrdinalFit(
        seen,
        turn[:k] @ theta,
        turn[k:] @ theta,
        turn @ np.linalg.inv(-hessian) @ turn.T,
        height,
        int(y.size),
    )


def _parted(seen: Sequence[str]) -> str:
    return (
        f"The settings part the chips ({', '.join(seen)}) without exception: the effect is there, "
        f"how strong it is can't be told from these holes."
    )


def _likelihood(
    theta: Floats, y: NDArray[np.intp], z: Floats, k: int
) -> tuple[float, Floats, Floats]:
    """Return log likelihood, gradient and Hessian in (cuts, effects); -inf if cuts cross."""
    cuts, effects = theta[:k], theta[k:]
    p = theta.size
    if (np.diff(cuts) <= 0).any():
        return -math.inf, np.zeros(p), -np.eye(p)
    linear = z @ effects
    n = y.size
    has_high, has_low = y < k, y > 0
    high = np.where(has_high, cuts[np.minimum(y, k - 1)] - linear, np.inf)
    low = np.where(has_low, cuts[np.maximum(y - 1, 0)] - linear, -np.inf)
    f_high, f_low = expit(high), expit(low)
    # F(high) - F(low) without losing the digits of either tail.
    with np.errstate(over="ignore"):
        inside = np.where(has_high & has_low, f_high * (-np.expm1(low - high)) * expit(-low), 0.0)
    inside = np.where(~has_low, f_high, np.where(~has_high, expit(-low), inside))
    inside = np.maximum(inside, 1e-300)
    d_high, d_low = f_high * expit(-high), f_low * expit(-low)
    dd_high, dd_low = d_high * (1 - 2 * f_high), d_low * (1 - 2 * f_low)
    rows_high, rows_low = np.zeros((n, p)), np.zeros((n, p))
    index = np.arange(n)
    rows_high[index[has_high], y[has_high]] = 1.0
    rows_low[index[has_low], y[has_low] - 1] = 1.0
    rows_high[has_high, k:] = -z[has_high]
    rows_low[has_low, k:] = -z[has_low]
    g = (d_high[:, None] * rows_high - d_low[:, None] * rows_low) / inside[:, None]
    hessian = (
        np.einsum("i,ij,ik->jk", dd_high / inside, rows_high, rows_high)
        - np.einsum("i,ij,ik->jk", dd_low / inside, rows_low, rows_low)
        - g.T @ g
    )
    return float(np.log(inside).sum()), g.sum(0), hessian
