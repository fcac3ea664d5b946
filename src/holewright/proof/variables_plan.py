"""Sampling plans by measured sizes: the k method (basis of the s method of ISO 3951-1)."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import nctdtr, nctdtrit, ndtri

from holewright.errors import NoAnswerError, OutOfRangeError
from holewright.proof.plans import check_two_points

Floats = NDArray[np.float64]

MOST_MEASURED = 10_000
"""Largest sample that a design tries."""


@dataclass(frozen=True)
class VariablesPlan:
    """A plan by variables: measure n, accept when mean and s leave k times s to the limit.

    Parameters
    ----------
    n : int
        Sample size. [-]
    k : float
        Acceptability constant. [-]
    """

    n: int
    k: float


def quality_statistic(
    mean: ArrayLike, sd: ArrayLike, *, lower: ArrayLike = -np.inf, upper: ArrayLike = np.inf
) -> Floats:
    r"""Return Q, the room from the mean to the nearer limit in standard deviations.

    .. math:: Q = \min\left(\frac{U - \bar{x}}{s}, \frac{\bar{x} - L}{s}\right)

    A plan accepts when Q is at least its k.

    Parameters
    ----------
    mean, sd : array_like
        Mean and standard deviation of the sample; `sd` more than 0. [mm]
    lower, upper : array_like
        Limits of size; each side is judged by itself. [mm]

    Returns
    -------
    ndarray
        Q, in the broadcast shape of the inputs. [-]

    Raises
    ------
    OutOfRangeError
        If `sd` is not positive.

    References
    ----------
    .. [1] ISO 3951-1, s method, single limit; MIL-STD-414, example B-1 (from memory).

    Examples
    --------
    Five measured, 197 188 184 205 201, upper limit 209; 1.59 is over k = 1.53, so accepted:

    >>> round(float(quality_statistic(195.0, 8.803408, upper=209.0)), 2)
    1.59
    """
    m, s, t_l, t_u = (
        np.asarray(a, dtype=float) for a in np.broadcast_arrays(mean, sd, lower, upper)
    )
    if not (s > 0).all():
        raise OutOfRangeError("sd", float(s[~(s > 0)].flat[0]), "more than 0")
    q: Floats = np.minimum((t_u - m) / s, (m - t_l) / s)
    return q


def k_acceptance_probability(n: ArrayLike, k: ArrayLike, share_outside: ArrayLike) -> Floats:
    r"""Return the probability that a plan by variables accepts: its OC curve.

    .. math:: P_a(p) = P\left(T'_{n-1}(z_{1-p} \sqrt{n}) \ge k \sqrt{n}\right)

    Parameters
    ----------
    n : array_like
        Sample size, at least 2. [-]
    k : array_like
        Acceptability constant. [-]
    share_outside : array_like
        Share p of the process beyond the one limit, between 0 and 1. [-]

    Returns
    -------
    ndarray
        P_a, in the broadcast shape of the inputs. [-]

    Raises
    ------
    OutOfRangeError
        If an input is out of its range.

    Notes
    -----
    Exact for one limit, normal sizes and no trend. Much smaller samples than by attributes,
    paid for with that assumption.
    """
    m, c, p = (np.asarray(a, dtype=float) for a in np.broadcast_arrays(n, k, share_outside))
    if not (m >= 2).all():
        raise OutOfRangeError("n", float(m[~(m >= 2)].flat[0]), "at least 2")
    ok = (p > 0) & (p < 1)
    if not ok.all():
        raise OutOfRangeError("share_outside", float(p[~ok].flat[0]), "between 0 and 1")
    accepted: Floats = 1.0 - nctdtr(m - 1, -ndtri(p) * np.sqrt(m), c * np.sqrt(m))
    return accepted


def k_plan(good: float, alpha: float, poor: float, beta: float) -> VariablesPlan:
    """Return the smallest plan by variables that passes good quality and refuses poor.

    Parameters
    ----------
    good, poor : float
        Shares outside that should pass and should not, `good` below `poor`. [-]
    alpha, beta : float
        Greatest probabilities of refusing the one and of passing the other. [-]

    Returns
    -------
    VariablesPlan
        The smallest n for which a k exists, with the k that just keeps `alpha`.

    Raises
    ------
    OutOfRangeError
        If an input is out of its range.
    NoAnswerError
        If ten thousand sizes are not enough.

    Examples
    --------
    >>> k_plan(0.01, 0.05, 0.08, 0.10).n
    28
    """
    check_two_points(good, alpha, poor, beta)
    n = np.arange(2, MOST_MEASURED + 1, dtype=float)
    # One call for a first look would be wasteful: try in blocks that double.
    start, block = 0, 64
    while start < n.size:
        m = n[start : start + block]
        k = nctdtrit(m - 1, -ndtri(good) * np.sqrt(m), alpha) / np.sqrt(m)
        enough = k_acceptance_probability(m, k, poor) <= beta
        if enough.any():
            first = int(np.argmax(enough))
            return VariablesPlan(int(m[first]), float(k[first]))
        start, block = start + block, 2 * block
    raise NoAnswerError(f"{MOST_MEASURED:,} sizes don't tell {good} from {poor}: too near.")
