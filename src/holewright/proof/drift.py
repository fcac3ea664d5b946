"""Capability of a process that drifts: a reamer wears, and the size wanders with it.

A machine-performance study leaves out tool wear (ISO 22514-3). So the scatter about the trend is
told apart from the trend, and the two ends of the tool's life are judged, not the average.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from holewright.callout.callout import Limits
from holewright.errors import OutOfRangeError
from holewright.gauging.straight_line import StraightLine
from holewright.proof.capability import performance, ppk_lower_bound


@dataclass(frozen=True)
class LifePerformance:
    """Ppk over the life of a tool.

    Parameters
    ----------
    within : float
        Ppk from the scatter about the trend, were the mean that of all sizes. It is what the
        process could do without drift. [-]
    overall : float
        Ppk from all sizes as they came, drift in the spread. [-]
    start, end : float
        Ppk at the first and at the last hole of the life. [-]
    start_lower, end_lower : float
        One-sided lower bounds of both. [-]
    extrapolated : float
        Life over the span of holes measured; above 1 part of it is extrapolated. [-]
    """

    within: float
    overall: float
    start: float
    end: float
    start_lower: float
    end_lower: float
    extrapolated: float

    @property
    def worst(self) -> float:
        """Ppk at the worse end. [-]"""
        return min(self.start, self.end)

    @property
    def worst_lower(self) -> float:
        """The lower of the two bounds. [-]"""
        return min(self.start_lower, self.end_lower)


def performance_over_life(
    trend: StraightLine, limits: Limits, *, first: float, last: float, confidence: float = 0.95
) -> LifePerformance:
    r"""Return Ppk at both ends of a tool's life, beside that of the whole.

    At hole x the index is :math:`(\hat{y}(x) - L) / (3 s)`, and its bound C solves

    .. math::
        P\left(T'_{n-2}(3 C / \sqrt{h}) \le 3 \hat{C} / \sqrt{h}\right) = \gamma, \qquad
        h = \frac{1}{n} + \frac{(x - \bar{x})^2}{S_{xx}}

    Parameters
    ----------
    trend : StraightLine
        Line through the sizes of one tool over its hole numbers, from
        :func:`~holewright.gauging.straight_line.fit_line`. [mm]
    limits : Limits
        Limits of size. [mm]
    first, last : float
        First and last hole of the life that is claimed, `first` below `last`. [-]
    confidence : float
        One-sided confidence of each bound. [-]

    Returns
    -------
    LifePerformance
        Indices; judge by `worst` and `worst_lower`.

    Raises
    ------
    OutOfRangeError
        If `first` is not below `last`, or the sizes lie on the line without any scatter.

    Notes
    -----
    Valid for a straight trend with normal scatter of one size along it, and for this one
    tool: the next reamer starts elsewhere. Beyond the holes measured the line is a guess:
    `extrapolated` says how far it was stretched. Wear is fast at first and at the end of a
    life: look at the residuals before a line is believed.

    References
    ----------
    .. [1] ISO 22514-2:2017, distribution models with a systematic change of the mean (detail
       from memory); bound as for a regression line, derived here.
    """
    if not first < last:
        raise OutOfRangeError("first", first, f"below last = {last}")
    if not trend.sd > 0:
        raise OutOfRangeError("sd", trend.sd, "more than 0: the sizes show no scatter at all")
    mean = trend.at(trend.middle)
    within = performance(mean, trend.sd, limits.lower, limits.upper).ppk
    overall = performance(mean, trend.sd_overall, limits.lower, limits.upper).ppk
    ends = np.array([first, last], dtype=float)
    at_ends = performance([trend.at(x) for x in ends], trend.sd, limits.lower, limits.upper).ppk
    # A line known as well as the mean of 1/h holes.
    as_good_as = 1 / np.array([trend.leverage(x) for x in ends])
    lower = ppk_lower_bound(at_ends, as_good_as, confidence, freedom=trend.n - 2)
    return LifePerformance(
        within=float(within),
        overall=float(overall),
        start=float(at_ends[0]),
        end=float(at_ends[1]),
        start_lower=float(lower[0]),
        end_lower=float(lower[1]),
        extrapolated=(last - first) / (trend.last - trend.first),
    )
