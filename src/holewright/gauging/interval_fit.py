"""The normal distribution that intervals of size make most likely."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from holewright.errors import NoAnswerError
from holewright.gauging.degenerate import Degenerate, find_degenerate
from holewright.gauging.density import log_density, slopes
from holewright.gauging.hill import Hill
from holewright.gauging.newton import climb
from holewright.gauging.rows import Rows, rows_of
from holewright.gauging.size_model import density_of, exact_model

Floats = NDArray[np.float64]

NOT_SETTLED = (
    "The fit did not settle: the readings hardly bound the spread. Check more holes, or with "
    "pins closer together."
)


@dataclass(frozen=True)
class Effect:
    """What a named cause does to size, or a gauge's own error as the readings suggest it.

    Parameters
    ----------
    name : str
        The cause, or the gauge.
    value : float
        Change of size for one more of the cause [mm per its unit], or the gauge's true size
        less its best estimate. [mm]
    se : float
        Standard error, in the unit of `value`.
    """

    name: str
    value: float
    se: float


@dataclass(frozen=True, eq=False)
class IntervalFit:
    """A normal distribution fitted to intervals of size by maximum likelihood.

    Parameters
    ----------
    mean, sd : float
        The most likely mean and standard deviation; with causes, the mean at their average
        and the scatter about it. [mm]
    covariance : ndarray
        Covariance of both, (mean, sd), from the observed information; shape (2, 2). [mm²]
    loglik : float
        Log likelihood at the fit. With exact sizes among the rows it depends on the unit
        of length; differences don't.
    rows : Rows
        The rows it was fitted to.
    hill : Hill
        The log likelihood around it, for intervals.
    effects : tuple of Effect
        What each cause does to size.
    gauge_errors : tuple of Effect
        What the readings suggest of each gauge's own error.
    """

    mean: float
    sd: float
    covariance: Floats
    loglik: float
    rows: Rows
    hill: Hill
    effects: tuple[Effect, ...] = ()
    gauge_errors: tuple[Effect, ...] = ()

    @property
    def n(self) -> float:
        """Holes in the fit."""
        return self.rows.n

    @property
    def se_mean(self) -> float:
        """Standard error of the mean. [mm]"""
        return math.sqrt(self.covariance[0, 0])

    @property
    def se_sd(self) -> float:
        """Standard error of the standard deviation. [mm]"""
        return math.sqrt(self.covariance[1, 1])


def start_of(low: Floats, high: Floats, count: Floats) -> tuple[Floats, Floats]:
    """Return a sane start (delta, tau) for each fit of scaled rows, shape (fits, rows)."""
    has_low, has_high = np.isfinite(low), np.isfinite(high)
    a, b = np.where(has_low, low, 0.0), np.where(has_high, high, 0.0)
    middle = (a + b) / np.maximum(1, has_low.astype(int) + has_high)
    n = count.sum(-1)
    mean = (count * middle).sum(-1) / n
    variance = (count * (middle - mean[..., None]) ** 2).sum(-1) / n
    tau = 1 / np.sqrt(variance + 0.01)
    return mean * tau, tau


def fit_intervals(lower: ArrayLike, upper: ArrayLike, count: ArrayLike = 1) -> IntervalFit:
    r"""Fit a normal distribution to intervals of size by maximum likelihood.

    .. math:: \ln L = \sum_i n_i \ln\left[\Phi\left(\frac{b_i - \mu}{\sigma}\right)
              - \Phi\left(\frac{a_i - \mu}{\sigma}\right)\right]

    and the log density for a row whose bounds are equal.

    Parameters
    ----------
    lower, upper : array_like
        Bounds a, b of each row; ``-inf`` and ``inf`` where open; equal for a size. [mm]
    count : array_like
        Holes in each row. [-]

    Returns
    -------
    IntervalFit
        The fit.

    Raises
    ------
    NoAnswerError
        If no finite fit exists; :func:`holewright.gauging.degenerate.find_degenerate` says
        what can be said instead.
    InputError
        If the rows aren't intervals, or none says anything.

    Notes
    -----
    The bounds are taken as true sizes: pins of uncertain size are the matter of
    :mod:`holewright.gauging.shared_pins`. The sd is biased low by about 1/n, more with
    coarse cells. A bell-shaped spread is assumed; with two pins nothing can check that.

    References
    ----------
    .. [1] W. Nelson, "Applied Life Data Analysis", Wiley 1982, chapter 9 (inspection data).

    Examples
    --------
    GO .2500 and NO-GO .2505 in: 2 holes refuse GO, 3 take NO-GO.

    >>> fit = fit_intervals([-np.inf, 6.35, 6.3627], [6.35, 6.3627, np.inf], [2, 25, 3])
    >>> round(fit.mean, 5), round(fit.sd, 5)
    (6.35685, 0.00456)
    """
    rows = rows_of(lower, upper, count)
    trouble = find_degenerate(rows)
    if trouble is not None:
        raise NoAnswerError(no_fit_sentence(trouble))
    density, scaling = density_of(exact_model(rows))
    centre, scale = scaling.centre, scaling.scale
    one = ((rows.lower - centre)[None] / scale, (rows.upper - centre)[None] / scale)
    top = climb(*one, rows.count[None], *start_of(*one, rows.count[None]))
    if not top.done[0]:
        raise NoAnswerError(NOT_SETTLED)
    return fit_at(Hill(density, scaling, np.array([top.delta[0], top.tau[0]])), rows)


def fit_at(
    hill: Hill, rows: Rows, causes: Sequence[str] = (), gauges: Sequence[str] = ()
) -> IntervalFit:
    """Return the fit at the top of a hill, in mm.

    Parameters
    ----------
    hill : Hill
        The log likelihood with its top.
    rows : Rows
        The rows behind it.
    causes, gauges : sequence of str
        Names of the parameters beside mean and sd.

    Returns
    -------
    IntervalFit
        The fit.
    """
    d, s, psi = hill.density, hill.scaling, hill.top
    k, tau = d.tau, float(psi[d.tau])
    # From (beta, 1/sd, error) over sd to mm. At the top the slope is 0, so that the
    # information is turned by the Jacobian alone.
    size = psi / tau
    jacobian = np.eye(d.size) * tau
    jacobian[:, k] = -size * tau * tau
    jacobian[k, k] = -tau * tau
    _, hessian = slopes(d, psi)
    inverse = np.linalg.inv(-jacobian.T @ hessian @ jacobian)
    covariance = np.asarray(inverse, dtype=float) * s.scale**2
    se = np.sqrt(np.diag(covariance))
    loglik = float(log_density(d, psi, prior=False))
    loglik -= math.fsum(rows.count[rows.exact]) * math.log(s.scale)
    return IntervalFit(
        mean=s.centre + s.scale * float(size[0]),
        sd=s.scale / tau,
        covariance=covariance[np.ix_([0, k], [0, k])],
        loglik=loglik,
        rows=rows,
        hill=hill,
        effects=tuple(
            Effect(name, float(s.scale * size[i + 1] / width), float(se[i + 1] / width))
            for i, (name, width) in enumerate(zip(causes, s.x_scale, strict=True))
        ),
        gauge_errors=tuple(
            Effect(name, float(s.scale * size[k + 1 + i]), float(se[k + 1 + i]))
            for i, name in enumerate(gauges)
        ),
    )


def no_fit_sentence(trouble: Degenerate) -> str:
    """Return why no finite fit exists and what would change that, in words."""
    cure = {
        "ABOVE_ALL": "check with larger pins",
        "BELOW_ALL": "check with smaller pins",
    }.get(trouble.shortfall.name, "check with pins closer together, or with a bore gauge")
    return f"Mean and spread can't be told: {trouble.shortfall.value}. To learn more, {cure}."
