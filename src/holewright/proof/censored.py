"""Ppk of holes of which only intervals are known."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from holewright.callout.callout import Limits
from holewright.errors import OutOfRangeError
from holewright.gauging.interval_fit import fit_intervals
from holewright.gauging.profile import extremes, rim
from holewright.proof.capability import performance, ppk_lower_bound


def ppk_of_holes(
    low: ArrayLike, high: ArrayLike, limits: Limits, confidence: float = 0.95
) -> tuple[float, float]:
    """Return Ppk and its one-sided lower bound from what is known hole by hole.

    Parameters
    ----------
    low, high : array_like
        Bounds of each hole's size, one dimension; equal where the size itself is known,
        ``-inf`` or ``inf`` where no reading bounds it. [mm]
    limits : Limits
        Limits of size. [mm]
    confidence : float
        One-sided confidence of the bound, over a half and below 1. [-]

    Returns
    -------
    ppk, lower : tuple of float
        Best estimate and lower bound. [-]

    Raises
    ------
    NoAnswerError
        If the intervals allow no finite fit.
    OutOfRangeError
        If there are fewer than two holes, or `confidence` is out of range.

    Notes
    -----
    Sizes known exactly: overall standard deviation and the exact bound of
    :func:`~holewright.proof.capability.ppk_lower_bound`. Intervals: the normal fit of most
    likelihood, and the least Ppk on the rim of its one-sided likelihood region: an
    approximation that is good from some thirty holes in three or more cells, and a little
    bold below. Both hold for a normal process without trend.
    """
    a, b = np.asarray(low, dtype=float), np.asarray(high, dtype=float)
    if a.size < 2:
        raise OutOfRangeError("holes", int(a.size), "at least 2")
    if (a == b).all() and np.ptp(a) > 0:
        ppk = float(performance(a.mean(), a.std(ddof=1), limits.lower, limits.upper).ppk)
        return ppk, float(ppk_lower_bound(ppk, a.size, confidence))
    fit = fit_intervals(a, b)
    ppk = float(performance(fit.mean, fit.sd, limits.lower, limits.upper).ppk)
    around = rim(fit, confidence, two_sided=False)
    least, _ = extremes(
        around, lambda mean, sd: performance(mean, sd, limits.lower, limits.upper).ppk
    )
    return ppk, least
