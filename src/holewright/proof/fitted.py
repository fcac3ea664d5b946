"""What a fitted normal distribution lets anyone claim: Ppk and share inside, with bounds."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from holewright.callout.callout import Limits
from holewright.errors import NoAnswerError, OutOfRangeError
from holewright.gauging.interval_fit import IntervalFit
from holewright.gauging.profile import extremes, rim
from holewright.proof.capability import performance, ppk_lower_bound

FIT_FROM = 30
"""Fewest sizes whose mean and spread may speak for tails that nobody saw (ISO 22514-3). [-]"""


def ppk_of_sizes(sizes: ArrayLike, limits: Limits, confidence: float = 0.95) -> tuple[float, float]:
    """Return Ppk and its one-sided lower bound from measured sizes.

    Parameters
    ----------
    sizes : array_like
        Sizes at 20 °C, one a hole, at least two that differ. [mm]
    limits : Limits
        Limits of size. [mm]
    confidence : float
        One-sided confidence of the bound, between 0 and 1. [-]

    Returns
    -------
    ppk, lower : tuple of float
        Ppk with the overall standard deviation, and its exact bound. [-]

    Raises
    ------
    OutOfRangeError
        If there are fewer than two sizes.
    NoAnswerError
        If all sizes are the same: they say nothing of the spread.

    Notes
    -----
    Valid for normal sizes without trend. The instrument's scatter is in the spread, which
    errs on the cautious side; its bias is not.
    """
    mean, sd, n = _mean_and_sd(sizes)
    ppk = float(performance(mean, sd, limits.lower, limits.upper).ppk)
    return ppk, float(ppk_lower_bound(ppk, n, confidence))


def ppk_of_fit(fit: IntervalFit, limits: Limits, confidence: float = 0.95) -> tuple[float, float]:
    """Return Ppk and its one-sided lower bound from a fit to intervals of size.

    Parameters
    ----------
    fit : IntervalFit
        Normal distribution fitted to what pins say of each hole.
    limits : Limits
        Limits of size. [mm]
    confidence : float
        One-sided confidence of the bound, over a half and below 1. [-]

    Returns
    -------
    ppk, lower : tuple of float
        Most likely Ppk, and the least on the rim of its one-sided likelihood region. [-]

    Notes
    -----
    Profile likelihood: an approximation, good from some thirty holes in three or more cells
    and a little bold below that. Valid for normal sizes without trend, and pins at the
    sizes that the fit took them to have.

    References
    ----------
    .. [1] Meeker, W. Q.; Escobar, L. A. (1995), "Teaching about approximate confidence regions
       based on maximum likelihood estimation", The American Statistician 49(1), 48-53.
    """
    ppk = float(performance(fit.mean, fit.sd, limits.lower, limits.upper).ppk)
    around = rim(fit, confidence, two_sided=False)
    least, _ = extremes(
        around, lambda mean, sd: performance(mean, sd, limits.lower, limits.upper).ppk
    )
    return ppk, float(least)


def ppk_from_intervals(
    mean: float,
    sd: float,
    mean_interval: tuple[float, float],
    sd_interval: tuple[float, float],
    limits: Limits,
) -> tuple[float, float]:
    r"""Return Ppk and a lower bound from intervals of mean and standard deviation alone.

    .. math:: \min\left(\frac{U - \bar{x}_{hi}}{3 s_{hi}}, \frac{\bar{x}_{lo} - L}{3 s_{hi}}\right)

    Parameters
    ----------
    mean, sd : float
        Best estimates. [mm]
    mean_interval, sd_interval : tuple of float
        Two-sided intervals of both, at one confidence γ. [mm]
    limits : Limits
        Limits of size. [mm]

    Returns
    -------
    ppk, lower : tuple of float
        Ppk and its bound, which holds at γ one-sided at least. [-]

    Raises
    ------
    OutOfRangeError
        If a standard deviation is not positive.

    Notes
    -----
    Whichever limit is the nearer one, the bound fails only if that end of the mean or the
    upper end of the spread does: each with (1 - γ)/2, together 1 - γ at most. That holds
    however the two are correlated, and is more cautious than :func:`ppk_of_fit`.
    """
    ppk = float(performance(mean, sd, limits.lower, limits.upper).ppk)
    if not np.isfinite(sd_interval[1]):
        return ppk, float("-inf")
    ends = performance(np.array(mean_interval), sd_interval[1], limits.lower, limits.upper)
    return ppk, float(min(ends.ppk_lower[0], ends.ppk_upper[1]))


def _mean_and_sd(sizes: ArrayLike) -> tuple[float, float, int]:
    x = np.asarray(sizes, dtype=float).ravel()
    if x.size < 2:
        raise OutOfRangeError("sizes", int(x.size), "at least 2")
    # About the first size: a spread of a micrometre keeps its digits at any diameter.
    about = x - x[0]
    sd = float(about.std(ddof=1))
    if not sd > 0:
        raise NoAnswerError("All sizes are the same: they say nothing of how far sizes spread.")
    return float(x[0] + about.mean()), sd, int(x.size)
