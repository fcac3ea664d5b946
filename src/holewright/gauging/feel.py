"""How sharply a hand feels whether a pin goes: the go curve over the size of the hole."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import gammaln, log_ndtr, ndtr, ndtri, xlogy

from holewright.errors import NoAnswerError, OutOfRangeError

Floats = NDArray[np.float64]

_STEPS = 60


@dataclass(frozen=True, eq=False)
class Feel:
    """The probability that a pin is said to go, over hole less pin: Φ((x - clearance) / sd).

    Parameters
    ----------
    clearance : float
        Hole less pin at which it goes every second time; negative for a forcing hand. [mm]
    sd : float
        Standard deviation of the judgement. [mm]
    intercept, slope : float
        The same curve as Φ(intercept + slope x). [-, 1/mm]
    covariance : ndarray
        Covariance of intercept and slope, shape (2, 2).
    loglik : float
        Log likelihood, binomial factors included. [-]
    deviance : float
        Twice what the curve falls short of the data's own shares. [-]
    """

    clearance: float
    sd: float
    intercept: float
    slope: float
    covariance: Floats
    loglik: float
    deviance: float

    def goes(self, difference: ArrayLike) -> Floats:
        """Return the probability of "goes" at a difference hole less pin [mm]. [-]"""
        x = np.asarray(difference, dtype=float)
        share: Floats = ndtr(self.intercept + self.slope * x)
        return share


def fit_feel(difference: ArrayLike, goes: ArrayLike, trials: ArrayLike) -> Feel:
    r"""Return the go curve of a hand, or of several, by probit regression.

    .. math:: P(\text{goes}) = \Phi\left(\frac{x - c}{\sigma}\right)

    Parameters
    ----------
    difference : array_like
        Known hole less known pin x, at least two different ones. [mm]
    goes : array_like
        How often the pin was said to go, 0 to `trials`. [-]
    trials : array_like
        How often it was tried, 1 or more. [-]

    Returns
    -------
    Feel
        The curve of most likelihood.

    Raises
    ------
    OutOfRangeError
        If the counts can't be, or there are not two differences.
    NoAnswerError
        If the answers don't overlap (each size always the same answer): the judgement is
        sharper than the sizes are apart. Or if going does not become more likely with size.

    Notes
    -----
    Fisher scoring. Trials are taken as independent: hide the sizes from the hand.

    References
    ----------
    .. [1] McCullagh, P.; Nelder, J. A. (1989), "Generalized Linear Models", 2nd ed., chapter 4.
    """
    x, k, m = (
        np.asarray(a, dtype=float).ravel() for a in np.broadcast_arrays(difference, goes, trials)
    )
    if not (m >= 1).all():
        raise OutOfRangeError("trials", float(m[~(m >= 1)][0]), "1 or more")
    if not ((k >= 0) & (k <= m)).all():
        raise OutOfRangeError("goes", float(k[~((k >= 0) & (k <= m))][0]), "from 0 to trials")
    scale = float(np.ptp(x))
    if not scale > 0:
        raise OutOfRangeError("difference", f"{x.size} alike", "of at least two sizes")
    sometimes_not, sometimes = x[k < m], x[k > 0]
    if sometimes_not.size == 0 or sometimes.size == 0 or sometimes.min() >= sometimes_not.max():
        raise NoAnswerError(
            "Each size always had the same answer, larger ones goes and smaller ones not: the "
            "judgement is sharper than the sizes are apart. Try sizes in between."
        )
    # In units of the range, about its middle, so that both parameters are of the order of 1.
    middle = float(x.mean())
    design = np.column_stack([np.ones_like(x), (x - middle) / scale])
    beta = np.array([float(ndtri((k.sum() + 0.5) / (m.sum() + 1))), 0.0])
    for _ in range(_STEPS):
        eta = design @ beta
        log_p, log_q = log_ndtr(eta), log_ndtr(-eta)
        log_density = -(eta**2) / 2 - np.log(2 * np.pi) / 2
        score = design.T @ (k * np.exp(log_density - log_p) - (m - k) * np.exp(log_density - log_q))
        weight = m * np.exp(2 * log_density - log_p - log_q)
        information = design.T @ (design * weight[:, np.newaxis])
        step = np.linalg.solve(information, score)
        beta = beta + step / max(1.0, float(np.abs(step).max()))
        if np.abs(step).max() < 1e-14 * (1 + np.abs(beta).max()):
            break
    back = np.array([[1.0, -middle / scale], [0.0, 1 / scale]])
    intercept, slope = (float(v) for v in back @ beta)
    if not slope > 0:
        raise NoAnswerError("Larger holes were not said to go more often: swap goes and not.")
    log_p, log_q = log_ndtr(design @ beta), log_ndtr(-(design @ beta))
    fitted = float((k * log_p + (m - k) * log_q).sum())
    ways = float((gammaln(m + 1) - gammaln(k + 1) - gammaln(m - k + 1)).sum())
    own = float((xlogy(k, k / m) + xlogy(m - k, (m - k) / m)).sum())
    return Feel(
        clearance=-intercept / slope,
        sd=1 / slope,
        intercept=intercept,
        slope=slope,
        covariance=back @ np.linalg.inv(information) @ back.T,
        loglik=fitted + ways,
        deviance=2 * (own - fitted),
    )
