"""Sampling plans by attributes, and what they let through."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import bdtr, betaincinv, gammaln

from holewright.errors import NoAnswerError, OutOfRangeError
from holewright.proof.sampling import holes_needed, holes_needed_in_lot

Floats = NDArray[np.float64]

MOST_FAULTS = 500
"""Largest acceptance number that a two-point design tries."""


@dataclass(frozen=True)
class Plan:
    """A single sampling plan: check n, accept when at most c are outside.

    Parameters
    ----------
    n : int
        Sample size. [-]
    c : int
        Acceptance number. [-]
    letter : str
        Code letter where the plan is one of ISO 2859-1, otherwise empty.
    """

    n: int
    c: int
    letter: str = ""


def acceptance_probability(n: ArrayLike, c: ArrayLike, share_outside: ArrayLike) -> Floats:
    r"""Return the probability that a plan accepts, over the quality offered: its OC curve.

    .. math:: P_a(p) = \sum_{i=0}^{c} \binom{n}{i} p^i (1-p)^{n-i}

    Parameters
    ----------
    n : array_like
        Sample size, at least 1. [-]
    c : array_like
        Acceptance number, 0 to n. [-]
    share_outside : array_like
        Share p of the process that is outside, 0 to 1. [-]

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
    Binomial: for a process, or a lot over ten times the sample. For a small lot take
    :func:`acceptance_probability_in_lot`.

    References
    ----------
    .. [1] NIST/SEMATECH e-Handbook of Statistical Methods, section 6.2.3.

    Examples
    --------
    The plan n = 52, c = 3 lets a process with 10 % outside pass in 2 of 9 cases:

    >>> round(float(acceptance_probability(52, 3, 0.10)), 4)
    0.2232
    """
    m, k, p = (np.asarray(a, dtype=float) for a in np.broadcast_arrays(n, c, share_outside))
    _check_plan(m, k)
    _require((p >= 0) & (p <= 1), "share_outside", p, "from 0 to 1")
    accepted: Floats = bdtr(k, m.astype(int), p)
    return accepted


@dataclass(frozen=True, eq=False)
class OcCurve:
    """Points of an OC curve, ready to draw.

    Parameters
    ----------
    plan : Plan
        The plan.
    share_outside : ndarray
        Quality offered, rising from 0. [-]
    accepted : ndarray
        Probability of acceptance at each. [-]
    """

    plan: Plan
    share_outside: Floats
    accepted: Floats


def oc_curve(plan: Plan, points: int = 101) -> OcCurve:
    """Return an OC curve from quality 0 to where the plan hardly ever accepts.

    Parameters
    ----------
    plan : Plan
        The plan, c < n.
    points : int
        Number of points, at least 2. [-]

    Raises
    ------
    OutOfRangeError
        If the plan or the number of points can't be.
    """
    if points < 2:
        raise OutOfRangeError("points", points, "at least 2")
    share = np.linspace(0.0, float(quality_accepted(plan.n, plan.c, 0.001)), points)
    return OcCurve(plan, share, acceptance_probability(plan.n, plan.c, share))


def acceptance_probability_in_lot(n: int, c: int, outside: ArrayLike, lot: int) -> Floats:
    r"""Return the probability that a plan accepts a lot with so many items outside.

    Parameters
    ----------
    n, c : int
        Sample size and acceptance number. [-]
    outside : array_like
        Items of the lot that are outside, whole numbers from 0 to `lot`. [-]
    lot : int
        Items in the lot. [-]

    Returns
    -------
    ndarray
        Hypergeometric probability of at most c, in the shape of `outside`. [-]

    Raises
    ------
    OutOfRangeError
        If an input is out of its range.
    """
    d = np.asarray(outside, dtype=float)
    _check_plan(np.asarray(float(n)), np.asarray(float(c)))
    if n > lot:
        raise OutOfRangeError("n", n, f"at most the lot of {lot}")
    _require((d >= 0) & (d <= lot), "outside", d, f"from 0 to the lot of {lot}")
    k = np.arange(c + 1, dtype=float)
    d = d[..., np.newaxis]
    can_be = (k <= d) & (n - k <= lot - d)
    k_ok = np.where(can_be, k, np.maximum(0.0, n - lot + d))  # any k that can be
    log_p = _log_comb(d, k_ok) + _log_comb(lot - d, n - k_ok) - _log_comb(lot, n)
    accepted: Floats = np.minimum(np.where(can_be, np.exp(log_p), 0.0).sum(axis=-1), 1.0)
    return accepted


def average_outgoing_quality(
    n: ArrayLike, c: ArrayLike, share_outside: ArrayLike, lot: ArrayLike
) -> Floats:
    r"""Return the share outside that leaves the shop when refused lots are sorted.

    .. math:: AOQ = P_a(p)\, p\, (N - n) / N

    Parameters
    ----------
    n, c, share_outside : array_like
        As for :func:`acceptance_probability`. [-]
    lot : array_like
        Lot size N, at least n. [-]

    Returns
    -------
    ndarray
        In the broadcast shape of the inputs. [-]

    Raises
    ------
    OutOfRangeError
        If an input is out of its range.

    References
    ----------
    .. [1] NIST/SEMATECH e-Handbook of Statistical Methods, section 6.2.3.2.
    """
    size = np.asarray(lot, dtype=float)
    _require(size >= np.asarray(n), "lot", size, "at least the sample")
    left: Floats = np.asarray(share_outside) * (size - np.asarray(n)) / size
    return acceptance_probability(n, c, share_outside) * left


def quality_accepted(n: ArrayLike, c: ArrayLike, probability: ArrayLike) -> Floats:
    r"""Return the share outside that a plan accepts with a given probability.

    At 0.95 it is what the maker may count on; at 0.10 what the customer may still get.

    .. math:: p = B^{-1}(1 - P_a;\ c + 1,\ n - c)

    Parameters
    ----------
    n, c : array_like
        Sample size and acceptance number, c < n. [-]
    probability : array_like
        Probability of acceptance P_a, between 0 and 1. [-]

    Returns
    -------
    ndarray
        p, in the broadcast shape of the inputs. [-]

    Raises
    ------
    OutOfRangeError
        If an input is out of its range.

    Examples
    --------
    An ISO 2859-1 plan for AQL 1 %, n = 80 and c = 2, still passes one lot in ten with:

    >>> round(float(quality_accepted(80, 2, 0.10)), 4)
    0.0652
    """
    m, k, pa = (np.asarray(a, dtype=float) for a in np.broadcast_arrays(n, c, probability))
    _check_plan(m, k)
    _require(k < m, "c", k, "less than n")
    _require((pa > 0) & (pa < 1), "probability", pa, "between 0 and 1")
    p: Floats = betaincinv(k + 1, m - k, 1 - pa)
    return p


def zero_plan(
    share_outside: float, beta: float = 0.05, lot: int | None = None, *, cautious: bool = False
) -> Plan:
    """Return the plan with c = 0 that seldom passes a given quality.

    Parameters
    ----------
    share_outside : float
        Share outside that should be refused, between 0 and 1. [-]
    beta : float
        Greatest probability of passing it. [-]
    lot : int, optional
        Lot size; without it, a process. [-]
    cautious : bool
        Whether a broken number of items, `lot` times `share_outside`, is rounded down
        instead of up: that asks for more checks.

    Returns
    -------
    Plan
        With c = 0.

    Raises
    ------
    OutOfRangeError
        If an input is out of its range.

    Examples
    --------
    >>> zero_plan(0.01).n, zero_plan(0.01, lot=125).n, zero_plan(0.01, lot=125, cautious=True).n
    (299, 97, 119)
    """
    if lot is None:
        return Plan(holes_needed(1 - share_outside, 1 - beta), 0)
    if not 0 < share_outside < 1:
        raise OutOfRangeError("share_outside", share_outside, "between 0 and 1")
    items = round(lot * share_outside, 9)  # 250 × 0.02 is 5, whatever the doubles say
    outside = int(items) if cautious else ceil(items)
    return Plan(holes_needed_in_lot(lot, max(outside, 1) - 1, round(1 - beta, 12)), 0)


def two_point_plan(good: float, alpha: float, poor: float, beta: float) -> Plan:
    """Return the smallest plan that passes good quality and refuses poor quality.

    Parameters
    ----------
    good : float
        Share outside that should pass. [-]
    alpha : float
        Greatest probability of refusing it (producer's risk). [-]
    poor : float
        Share outside that should not pass, above `good`. [-]
    beta : float
        Greatest probability of passing it (consumer's risk). [-]

    Returns
    -------
    Plan
        With the smallest acceptance number that does both, and the smallest sample for it.

    Raises
    ------
    OutOfRangeError
        If an input is out of its range.
    NoAnswerError
        If no plan with c up to 500 does both.

    References
    ----------
    .. [1] NIST/SEMATECH e-Handbook of Statistical Methods, section 6.2.3.1.

    Examples
    --------
    >>> two_point_plan(0.01, 0.05, 0.06, 0.10)
    Plan(n=110, c=3, letter='')
    """
    check_two_points(good, alpha, poor, beta)
    for c in range(MOST_FAULTS + 1):
        # Pa falls with n, so the smallest n that refuses poor quality is found by halving.
        low, high = c, max(2 * (c + 1), 2)
        while bdtr(c, high, poor) > beta:
            low, high = high, 2 * high
        while high - low > 1:
            middle = (low + high) // 2
            low, high = (low, middle) if bdtr(c, middle, poor) <= beta else (middle, high)
        if bdtr(c, high, good) >= 1 - alpha:
            return Plan(high, c)
    raise NoAnswerError(
        f"No plan with up to {MOST_FAULTS} faults tells {good} from {poor}: they are too near."
    )


def check_two_points(good: float, alpha: float, poor: float, beta: float) -> None:
    """Raise unless two points of an OC curve make sense together.

    Raises
    ------
    OutOfRangeError
        If a share or a risk isn't between 0 and 1, or `good` isn't below `poor`.
    """
    for name, value in (("good", good), ("alpha", alpha), ("poor", poor), ("beta", beta)):
        if not 0 < value < 1:
            raise OutOfRangeError(name, value, "between 0 and 1")
    if not good < poor:
        raise OutOfRangeError("good", good, f"below poor = {poor}")
    if not alpha + beta < 1:
        raise OutOfRangeError("alpha", alpha, f"below 1 - beta = {1 - beta:g}")


def _log_comb(n: ArrayLike, k: ArrayLike) -> Floats:
    n, k = np.asarray(n, dtype=float), np.asarray(k, dtype=float)
    log: Floats = gammaln(n + 1) - gammaln(k + 1) - gammaln(n - k + 1)
    return log


def _check_plan(n: Floats, c: Floats) -> None:
    _require(n >= 1, "n", n, "at least 1")
    _require((c >= 0) & (c <= n), "c", c, "from 0 to n")


def _require(ok: NDArray[np.bool_] | np.bool_, field: str, value: Floats, accepted: str) -> None:
    ok = np.asarray(ok)
    if not ok.all():
        raise OutOfRangeError(field, float(np.broadcast_to(value, ok.shape)[~ok].flat[0]), accepted)
