"""What a run without anybody beside it risks, and how often it pays to check."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import log_ndtr, ndtr

from holewright.callout.callout import Limits
from holewright.errors import OutOfRangeError
from holewright.gauging.statement import covariance_of, scatter_of
from holewright.life.survival import Survival, break_risk
from holewright.life.trend import Trend

Floats = NDArray[np.float64]

DRAWS = 4000
"""Draws of what isn't known of the trend: the third digit of a risk is theirs. [-]"""
_SEED = 1
_NODES = 33


@dataclass(frozen=True)
class RunRisk:
    """What the next holes risk until somebody looks.

    Parameters
    ----------
    first, holes : int
        Holes cut when the run begins, plus one; and how many it has. [-]
    any_outside : float
        Probability that at least one of them is outside the limits. [-]
    expected_outside : float
        Holes outside that are to be expected. [-]
    breaks : float, optional
        Probability that the tool breaks in the run; None where nothing is known of it. [-]
    breaks_upper : float, optional
        Upper bound on it. [-]
    parts_at_risk : float
        Parts made since the last good check when the next one comes: held until it is good. [-]
    minutes : float
        Time of the run. [min]
    """

    first: int
    holes: int
    any_outside: float
    expected_outside: float
    breaks: float | None
    breaks_upper: float | None
    parts_at_risk: float
    minutes: float

    @property
    def any_trouble(self) -> float:
        """Probability that a hole is outside or the tool breaks, taken as independent. [-]"""
        return 1 - (1 - self.any_outside) * (1 - (self.breaks or 0.0))


def run_risk(
    trend: Trend,
    limits: Limits,
    cut: int,
    holes: int,
    *,
    holes_a_part: int = 1,
    seconds_a_part: float = 0.0,
    survival: Survival | None = None,
) -> RunRisk:
    r"""Return what the next holes risk before somebody checks again.

    .. math:: P = 1 - E\left[\prod_{x} \{1 - p(x)\}\right], \qquad
              p(x) = \Phi\left(\frac{L - \mu(x)}{\sigma}\right)
                     + \Phi\left(\frac{\mu(x) - U}{\sigma}\right)

    the expectation over what isn't known of the line and the scatter: it is the same for all
    holes of the run, so that risks don't simply multiply.

    Parameters
    ----------
    trend : Trend
        The trend of the tool.
    limits : Limits
        Limits of size. [mm]
    cut : int
        Holes that it has cut, 0 or more. [-]
    holes : int
        Holes of the run, at least 1. [-]
    holes_a_part : int
        Holes of one part. [-]
    seconds_a_part : float
        Time of one part. [s]
    survival : Survival, optional
        How long its like last until they break.

    Returns
    -------
    RunRisk
        Risk, parts at risk, time.

    Raises
    ------
    OutOfRangeError
        If a number is out of its range.

    Notes
    -----
    For a line that goes on as it went. What a line doesn't show (a chip nest, low coolant, a
    wrong offset) isn't in it. Draws from Student's t of the line, or of the normal place of
    a likelihood fit; the same arguments give the same answer.
    """
    for name, value, least in (
        ("cut", cut, 0),
        ("holes", holes, 1),
        ("holes_a_part", holes_a_part, 1),
    ):
        if value < least:
            raise OutOfRangeError(name, value, f"{least} or more")
    nodes, weights = np.polynomial.legendre.leggauss(min(_NODES, 33))
    x = cut + 0.5 + holes * (nodes + 1) / 2
    mean, sd = _draws(trend, x)
    low = (limits.lower - mean) / sd
    high = (mean - limits.upper) / sd
    # ln(1 - p) keeps its digits as the log of the share inside where one side rules.
    log_in = np.log1p(-np.minimum(ndtr(low) + ndtr(high), 1 - 1e-16))
    log_in = np.where(ndtr(high) < 1e-12, log_ndtr(-low), log_in)
    log_in = np.where(ndtr(low) < 1e-12, log_ndtr(-high), log_in)
    none_outside = np.exp(holes / 2 * (log_in @ weights))
    outside = (ndtr(low) + ndtr(high)).mean(0) @ weights * holes / 2
    risks = break_risk(survival, cut, holes) if survival is not None else None
    parts = holes / holes_a_part
    return RunRisk(
        first=cut + 1,
        holes=holes,
        any_outside=float(1 - none_outside.mean()),
        expected_outside=float(outside),
        breaks=risks[0] if risks else None,
        breaks_upper=risks[1] if risks else None,
        parts_at_risk=parts,
        minutes=parts * seconds_a_part / 60,
    )


@dataclass(frozen=True)
class CheckCosts:
    """What checking and not checking cost; all in the shop's currency.

    Parameters
    ----------
    check : float
        One check, more than 0.
    bad_hole : float
        One bad hole that is found later, more than 0.
    change : float
        One tool change with its tool.
    break_rate : float
        Breaks, chips and other sudden faults per hole, more than 0. [1/hole]
    life : float
        Holes from new to where the trend has used up its room; infinite without drift. [-]
    """

    check: float
    bad_hole: float
    change: float
    break_rate: float
    life: float = math.inf


def cost_of_interval(interval: NDArray[np.float64] | float, costs: CheckCosts) -> Floats:
    r"""Return what a hole costs in checks, bad holes and tools at an interval between checks.

    .. math::
        C(h) = \frac{c_c}{h} + c_b \left(\frac{h}{1 - e^{-\lambda h}}
        - \frac{1}{\lambda}\right) \frac{1 - e^{-\lambda h}}{h}
        + \frac{c_t}{T - h / 2}

    The second term is what is bad on average when a sudden fault, which strikes at the rate
    λ, is found at the next check. The third: a tool is taken out at the last check at which
    another interval would run into the limit, half an interval early on average.

    Parameters
    ----------
    interval : ndarray or float
        Holes between checks h, more than 0 and less than twice the life. [-]
    costs : CheckCosts
        Costs and rates.

    Returns
    -------
    ndarray
        Cost per hole, in the shape of `interval`. [currency]

    Notes
    -----
    Every hole after a fault is taken as bad, and every check as seeing it. Derived here; for
    a small rate and no drift it is the classical :math:`c_c/h + c_b \lambda h / 2`.
    """
    h = np.asarray(interval, dtype=float)
    rate = costs.break_rate
    fault = -np.expm1(-rate * h)  # at least one fault in an interval
    # Holes good before the first fault of an interval: (1 - e^(-λh))/λ; the rest are bad.
    bad = h - fault / rate
    total: Floats = costs.check / h + costs.bad_hole * bad / h
    if math.isfinite(costs.life):
        total = total + costs.change / np.maximum(costs.life - h / 2, 1e-9)
    return total


def cheapest_interval(costs: CheckCosts) -> tuple[int, float]:
    """Return the interval between checks that costs least, and what a hole then costs.

    Parameters
    ----------
    costs : CheckCosts
        Costs and rates.

    Returns
    -------
    interval : int
        Holes between checks, at most half the life. [-]
    cost : float
        Cost per hole. [currency]

    Raises
    ------
    OutOfRangeError
        If a cost or the rate isn't positive, or the life below 2 holes.
    """
    for name in ("check", "bad_hole", "break_rate"):
        if not getattr(costs, name) > 0:
            raise OutOfRangeError(name, getattr(costs, name), "more than 0")
    if not costs.life >= 2:
        raise OutOfRangeError("life", costs.life, "at least 2 holes")
    most = min(costs.life / 2, 1e6)
    grid = np.unique(np.floor(np.geomspace(1, max(most, 1.0), 400)))
    near = grid[int(np.argmin(cost_of_interval(grid, costs)))]
    around = np.arange(max(1.0, math.floor(near / 1.05)), min(most, math.ceil(near * 1.05)) + 1)
    cost = cost_of_interval(around, costs)
    best = int(np.argmin(cost))
    return int(around[best]), float(cost[best])


def _draws(trend: Trend, x: Floats) -> tuple[Floats, Floats]:
    """Return draws of the mean at each hole, shape (draws, holes), and of the scatter."""
    rng = np.random.default_rng(_SEED)
    if trend.fit is not None:
        return _draws_of_fit(trend, x, rng)
    k = trend.coefficients.size
    normal = rng.standard_normal((DRAWS, k))
    scale = np.sqrt(trend.freedom / rng.chisquare(trend.freedom, DRAWS))
    root = np.linalg.cholesky(trend.covariance / np.outer(_width(trend), _width(trend)))
    lines = trend.coefficients + scale[:, None] * (normal @ root.T) * _width(trend)
    mean = lines @ trend.features(x).T + trend.u_shared * rng.standard_normal((DRAWS, 1))
    return mean, trend.sd * scale[:, None]


def _draws_of_fit(trend: Trend, x: Floats, rng: np.random.Generator) -> tuple[Floats, Floats]:
    """Return draws from the normal place of the likelihood in (mean/sd, effects/sd, 1/sd)."""
    fit = trend.fit
    assert fit is not None
    d, s = fit.hill.density, fit.hill.scaling
    root = np.linalg.cholesky(covariance_of(fit))
    # All parameters are over the scatter, so that its correction draws them in alike.
    psi = fit.hill.top * (fit.sd / scatter_of(fit)) + rng.standard_normal((DRAWS, d.size)) @ root.T
    # A spread that isn't positive is no spread: such a draw is drawn in to the least one.
    tau = np.maximum(psi[:, d.tau], fit.hill.top[d.tau] / 5)
    causes = trend.features(x)[:, 1:]
    causes[:, 0] += trend.middle
    z = (causes - s.x_centre) / s.x_scale
    place = psi[:, :1] + psi[:, 1 : 1 + z.shape[1]] @ z.T
    return s.centre + s.scale * place / tau[:, None], (s.scale / tau)[:, None]


def _width(trend: Trend) -> Floats:
    width: Floats = np.sqrt(np.diag(trend.covariance))
    return width
