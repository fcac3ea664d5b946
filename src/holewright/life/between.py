"""Several tools of a kind: how they differ, and what the next one is expected to do."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.special import stdtrit

from holewright.errors import InputError
from holewright.life.trend import Trend
from holewright.sizing.pooling import Pooled, pool


@dataclass(frozen=True, eq=False)
class LikeTools:
    """What several tools of a kind have in common.

    Parameters
    ----------
    names : tuple of str
        The tools.
    start : Pooled
        Size of the first hole less the tool's own diameter. [mm]
    drift : Pooled
        Change of size per hole at the end of each line. [mm/hole]
    sd : float
        Scatter of one hole about its tool's line. [mm]
    longest : float
        Holes cut by the tool that was followed furthest. [-]
    u_shared : float
        Standard uncertainty of all starts together: the gauges' own errors. [mm]
    freedom : float
        Degrees of freedom of `sd`. [-]
    """

    names: tuple[str, ...]
    start: Pooled
    drift: Pooled
    sd: float
    longest: float
    u_shared: float = 0.0
    freedom: float = 1.0


def like_tools(
    names: Sequence[str], trends: Sequence[Trend], diameters: Sequence[float]
) -> LikeTools:
    """Pool tools of a kind.

    Parameters
    ----------
    names : sequence of str
        At least two tools.
    trends : sequence of Trend
        The trend of each.
    diameters : sequence of float
        Measured diameter of each when it was new; where it isn't known, the same number for
        all, and the starts then differ by the tools' sizes as well. [mm]

    Returns
    -------
    LikeTools
        Starts and drifts with their spread between tools.

    Raises
    ------
    InputError
        If there are fewer than two tools, or the three lists differ in length.

    Notes
    -----
    Start and drift are pooled apart: that a tool which starts large may also drift faster
    isn't used. A drift is that of the last straight piece of a line.
    """
    if not len(names) == len(trends) == len(diameters) or len(names) < 2:
        raise InputError("tools", len(names), "must be two or more, each with trend and diameter")
    first = min(trend.first for trend in trends)
    starts = [float(t.at(first)) - d for t, d in zip(trends, diameters, strict=True)]
    # What all readings share moves all tools alike: it is no difference between them.
    apart = [float(t.se_apart(first)) for t in trends]
    shared = [
        math.sqrt(max(float(t.se(first)) ** 2 - s**2, 0.0))
        for t, s in zip(trends, apart, strict=True)
    ]
    weights = np.array([t.n - t.coefficients.size for t in trends], dtype=float)
    variance = weights @ np.array([t.sd**2 for t in trends]) / weights.sum()
    return LikeTools(
        tuple(names),
        pool(starts, apart),
        pool([t.slope for t in trends], [t.se_slope for t in trends]),
        math.sqrt(float(variance)),
        max(t.last for t in trends),
        max(shared),
        float(weights.sum()),
    )


def expected_trend(like: LikeTools, diameter: float, *, u: float = 0.0) -> Trend:
    """Return the trend that a new tool of the kind starts with.

    Parameters
    ----------
    like : LikeTools
        Its like.
    diameter : float
        Its measured diameter, or the number that stood for all. [mm]
    u : float
        Standard uncertainty of it. [mm]

    Returns
    -------
    Trend
        A line from hole 1 whose uncertainty is that of the mean and of the spread between
        tools together.

    Notes
    -----
    The spread between tools is known from few of them. Its standard errors are therefore
    stretched by the ratio of Student's t at 97.5 %, for one tool less than there are, to that
    of the scatter: exact for bounds near there, and with two tools little is foretold.
    """
    n = len(like.names)
    stretch = float(stdtrit(n - 1, 0.975) / stdtrit(like.freedom, 0.975))
    start = (stretch * like.start.new) ** 2 + u**2 + like.u_shared**2
    return Trend(
        coefficients=np.array([diameter + like.start.mean, like.drift.mean]),
        covariance=np.diag([start, (stretch * like.drift.new) ** 2]),
        sd=like.sd,
        freedom=like.freedom,
        middle=1.0,
        n=n,
        first=0.0,
        last=like.longest,
    )
