"""The hole at which the trend reaches a limit, with its interval."""

from __future__ import annotations

import math
from dataclasses import dataclass

from scipy.special import stdtrit

from holewright.errors import OutOfRangeError
from holewright.gauging.statement import root_at, root_for, size_at
from holewright.life.trend import BEND, CUT, Trend

_NEVER = 1e7
"""Holes beyond which nobody follows a tool. [-]"""


@dataclass(frozen=True)
class Crossing:
    """Where the trend reaches a limit.

    Parameters
    ----------
    limit : float
        The limit. [mm]
    hole : float, optional
        Most likely hole; None where the line runs away from the limit or along it. [-]
    lower, upper : float
        Interval of the hole; ``inf`` where the readings set no upper end. [-]
    confidence : float
        Two-sided confidence of it. [-]
    reach : float
        Most likely hole over the last one measured: above 1 the line is stretched. [-]
    method : str
        How the interval was found.
    """

    limit: float
    hole: float | None
    lower: float
    upper: float
    confidence: float
    reach: float
    method: str


def quantile(trend: Trend, p: float) -> float:
    """Return the quantile of Student's t with the trend's freedom. [-]"""
    return float(stdtrit(trend.freedom, p))


def fieller_spread(trend: Trend, confidence: float = 0.95) -> float:
    r"""Return Fieller's g: the square of how well the drift is known. [-]

    .. math:: g = t^2 s_b^2 / b^2

    From 1 on the drift may be none, and a crossing has no upper end.
    """
    t = quantile(trend, (1 + confidence) / 2)
    return (t * trend.se_slope / trend.slope) ** 2 if trend.slope else math.inf


def fieller(
    trend: Trend, limit: float, confidence: float = 0.95, *, single: bool = False
) -> Crossing:
    r"""Return where the trend reaches a limit, by Fieller's theorem.

    The interval holds every x for which

    .. math::
        (a + b x - L)^2 \le t^2 (V_{aa} + 2 x V_{ab} + x^2 V_{bb} + m s^2)

    with m = 0 for the mean line and 1 for the next single hole.

    Parameters
    ----------
    trend : Trend
        The trend; of one with a bend, the last straight piece.
    limit : float
        Limit of size. [mm]
    confidence : float
        Two-sided confidence, between 0 and 1. [-]
    single : bool
        Whether the next single hole is to reach the limit, and not the mean.

    Returns
    -------
    Crossing
        Exact for normal sizes on a straight line; with a bend, or from intervals, to leading
        order.

    Raises
    ------
    OutOfRangeError
        If `confidence` isn't between 0 and 1.

    References
    ----------
    .. [1] E. C. Fieller, "Some problems in interval estimation", J. R. Stat. Soc. B 16 (1954)
       175-185.
    """
    if not 0 < confidence < 1:
        raise OutOfRangeError("confidence", confidence, "between 0 and 1")
    t = quantile(trend, (1 + confidence) / 2)
    hole = _most_likely(trend, limit)
    what = "next single hole" if single else "mean line"
    lower, upper = _roots(trend, limit, t, single)
    if hole is None:
        upper = math.inf
    return Crossing(
        limit,
        hole,
        lower,
        upper,
        confidence,
        hole / trend.last if hole is not None else math.inf,
        f"Fieller, {what}",
    )


def profile_crossing(trend: Trend, limit: float, confidence: float = 0.95) -> Crossing:
    """Return where the mean line reaches a limit, from the likelihood itself.

    Parameters
    ----------
    trend : Trend
        A trend from intervals.
    limit : float
        Limit of size. [mm]
    confidence : float
        Two-sided confidence, between 0 and 1. [-]

    Returns
    -------
    Crossing
        Holes at which the fit may lie on the limit without its log likelihood falling by more
        than the confidence allows; for a trend of measured sizes, Fieller's interval, which
        is the same.
    """
    around = fieller(trend, limit, confidence)
    if trend.fit is None or around.hole is None:
        return around
    z = root_for(trend.fit, (1 + confidence) / 2)
    lower = _profile_end(trend, limit, around.hole, around.lower, z)
    upper = _profile_end(trend, limit, around.hole, around.upper, z)
    return Crossing(
        limit, around.hole, lower, upper, confidence, around.reach, "profile likelihood, mean line"
    )


def last_safe_hole(
    trend: Trend, limit: float, confidence: float = 0.95, *, single: bool = True
) -> float:
    """Return the last hole that lies inside a limit with one-sided confidence. [-]

    Parameters
    ----------
    trend : Trend
        The trend.
    limit : float
        Limit of size that it runs to. [mm]
    confidence : float
        One-sided confidence, over a half and below 1. [-]
    single : bool
        Whether one hole is to be inside, or the mean.

    Returns
    -------
    float
        Infinite where the line doesn't run to the limit.

    Raises
    ------
    OutOfRangeError
        If `confidence` isn't over a half and below 1.
    """
    if not 0.5 < confidence < 1:
        raise OutOfRangeError("confidence", confidence, "over 0.5 and below 1")
    if _most_likely(trend, limit) is None:
        return math.inf
    return _roots(trend, limit, quantile(trend, confidence), single)[0]


def _most_likely(trend: Trend, limit: float) -> float | None:
    """Return the hole at which the last straight piece reaches the limit, if it runs to it."""
    a, b, _ = trend.last_line()
    if b == 0:
        return None
    hole = trend.middle + (limit - a) / b
    # A crossing before the line begins is no crossing: it runs away from that limit.
    start = trend.first if trend.knee is None else trend.knee
    return hole if start < hole < _NEVER else None


def _roots(trend: Trend, limit: float, t: float, single: bool) -> tuple[float, float]:
    """Return the ends of Fieller's interval in holes, the upper infinite where it has none."""
    a, b, v = trend.last_line()
    scatter = v[0, 0] + trend.u_shared**2 + (trend.sd**2 if single else 0.0)
    gap = a - limit
    # q2 z² + 2 q1 z + q0 ≤ 0, z counted from the middle and in the unit of gap over slope.
    q2 = b * b - t * t * v[1, 1]
    q1 = gap * b - t * t * v[0, 1]
    q0 = gap * gap - t * t * scatter
    root = q1 * q1 - q2 * q0
    if root < 0:
        return -math.inf, math.inf
    # Neither root loses its digits where q2 is small.
    far = -(q1 + math.copysign(math.sqrt(root), q1))
    ends = [far / q2 if q2 else math.inf, q0 / far if far else math.inf]
    if q2 > 0:
        return trend.middle + min(ends), trend.middle + max(ends)
    # The drift may be none: what is left is open on one side, and only the near end counts.
    near = [z for z in ends if z > 0] if gap * b < 0 else ends
    return trend.middle + min(near, default=-math.inf), math.inf


def _profile_end(trend: Trend, limit: float, best: float, guess: float, z: float) -> float:
    """Return where the signed root of the likelihood reaches z, near a first guess."""
    assert trend.fit is not None
    rising = trend.slope > 0

    def root(hole: float) -> float:
        assert trend.fit is not None
        causes = {CUT: hole} | (
            {BEND: max(hole - trend.knee, 0.0)} if trend.knee is not None else {}
        )
        # Held on the limit, the line is bent down by as much as it stood above it.
        return root_at(size_at(trend.fit, causes), limit)

    later = guess > best
    if math.isinf(guess):
        guess = best + 2 * (best - trend.middle)
    # A later hole that is held on the limit holds the line below where it would be.
    target = -z if later == rising else z
    inner, outer = best, guess
    for _ in range(30):
        if (root(outer) - target) * target > 0:
            break
        inner, outer = outer, best + 2 * (outer - best)
        if abs(outer) > _NEVER:
            return math.copysign(math.inf, outer - best)
    for _ in range(60):
        middle = (inner + outer) / 2
        if (root(middle) - target) * target > 0:
            outer = middle
        else:
            inner = middle
        if abs(outer - inner) < 1e-4:
            break
    return (inner + outer) / 2
