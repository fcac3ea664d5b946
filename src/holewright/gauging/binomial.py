"""What counts of good and bad holes prove, whatever the sizes are distributed like."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import betaincinv

from holewright.errors import OutOfRangeError


def clopper_pearson(
    k: ArrayLike, n: ArrayLike, confidence: float = 0.95, *, two_sided: bool = True
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    r"""Return exact bounds on a share of which `k` in `n` were seen.

    .. math:: p_L = B^{-1}(\alpha; k, n-k+1), \quad p_U = B^{-1}(1-\alpha; k+1, n-k)

    Parameters
    ----------
    k : array_like
        Holes that had the property, 0 to n. [-]
    n : array_like
        Holes checked, 1 or more. [-]
    confidence : float
        Confidence, between 0 and 1. [-]
    two_sided : bool
        Whether both bounds hold together at `confidence`, or each holds alone.

    Returns
    -------
    lower, upper : ndarray
        Bounds, in the broadcast shape of `k` and `n`; 0 where k = 0, 1 where k = n. [-]

    Raises
    ------
    OutOfRangeError
        If `k` isn't from 0 to n, n isn't 1 or more, or `confidence` isn't between 0 and 1.

    Notes
    -----
    Holds for holes picked at random from a steady process, or from a lot much larger than
    n. It is cautious: the true confidence is at least the one stated.

    References
    ----------
    .. [1] C. J. Clopper, E. S. Pearson, "The use of confidence or fiducial limits
       illustrated in the case of the binomial", Biometrika 26 (1934) 404-413.

    Examples
    --------
    One bad hole in 30:

    >>> lower, upper = clopper_pearson(1, 30)
    >>> round(float(lower), 6), round(float(upper), 6)
    (0.000844, 0.172169)
    """
    k, n = np.broadcast_arrays(np.asarray(k, float), np.asarray(n, float))
    if not 0 < confidence < 1:
        raise OutOfRangeError("confidence", confidence, "between 0 and 1")
    if not (n >= 1).all():
        raise OutOfRangeError("n", n.min(), "1 or more")
    if not ((k >= 0) & (k <= n)).all():
        raise OutOfRangeError("k", k[~((k >= 0) & (k <= n))][0], "from 0 to n")
    tail = (1 - confidence) / 2 if two_sided else 1 - confidence
    # The inverse needs positive shapes; where a bound is 0 or 1 by definition, any will do.
    lower = np.where(k > 0, betaincinv(np.maximum(k, 1), n - k + 1, tail), 0.0)
    upper = np.where(k < n, betaincinv(k + 1, np.maximum(n - k, 1), 1 - tail), 1.0)
    return lower, upper


def zero_failure_bound(n: ArrayLike, confidence: float = 0.95) -> NDArray[np.float64]:
    r"""Return the largest share of bad holes that `n` good holes and no bad one leave open.

    .. math:: p_U = 1 - (1 - C)^{1/n}

    Parameters
    ----------
    n : array_like
        Holes checked, all good, 1 or more. [-]
    confidence : float
        One-sided confidence C, between 0 and 1. [-]

    Returns
    -------
    ndarray
        Upper bound on the share of bad holes, in the shape of `n`. [-]

    Raises
    ------
    OutOfRangeError
        If `n` isn't 1 or more, or `confidence` isn't between 0 and 1.

    Notes
    -----
    The case k = 0 of :func:`clopper_pearson`, one-sided. "3 over n" is the rule of thumb
    for it at 95 %: 5 % too high at n = 30.

    Examples
    --------
    Thirty good holes still leave room for almost one bad hole in ten:

    >>> round(float(zero_failure_bound(30)), 4)
    0.0950
    """
    n = np.asarray(n, float)
    if not 0 < confidence < 1:
        raise OutOfRangeError("confidence", confidence, "between 0 and 1")
    if not (n >= 1).all():
        raise OutOfRangeError("n", n.min(), "1 or more")
    bound: NDArray[np.float64] = -np.expm1(np.log1p(-confidence) / n)
    return bound
