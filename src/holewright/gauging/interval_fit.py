"""The normal distribution that intervals of size make most likely."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from holewright.errors import NoAnswerError
from holewright.gauging.degenerate import Degenerate, find_degenerate
from holewright.gauging.newton import climb
from holewright.gauging.rows import Rows, rows_of

Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class IntervalFit:
    """A normal distribution fitted to intervals of size by maximum likelihood.

    Parameters
    ----------
    mean, sd : float
        The most likely mean and standard deviation. [mm]
    covariance : ndarray
        Covariance of both, (mean, sd), from the observed information; shape (2, 2). [mm²]
    loglik : float
        Log likelihood at the fit. With exact sizes among the rows it depends on the unit
        of length; differences don't.
    rows : Rows
        The rows it was fitted to.
    """

    mean: float
    sd: float
    covariance: Floats
    loglik: float
    rows: Rows

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


def scale_of(rows: Rows) -> tuple[float, float]:
    """Return centre and scale that bring all finite bounds of the rows to the order of 1. [mm]

    In a raw unit the mean is a thousand times the spread, and an optimiser that knows
    nothing of it stops early or walks nowhere.
    """
    bounds = np.concatenate([rows.lower, rows.upper])
    bounds = bounds[np.isfinite(bounds)]
    centre = float((bounds.min() + bounds.max()) / 2)
    return centre, float(np.ptp(bounds)) / 2 or 1.0


def start_of(low: Floats, high: Floats, count: Floats) -> tuple[Floats, Floats]:
    """Return a sane start (delta, tau) for each fit of scaled rows, shape (fits, rows)."""
    middle = np.where(np.isfinite(low) & np.isfinite(high), low / 2 + high / 2, 0.0)
    middle = np.where(np.isneginf(low), high, np.where(np.isposinf(high), low, middle))
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
    centre, scale = scale_of(rows)
    low, high = (rows.lower - centre) / scale, (rows.upper - centre) / scale
    one = (low[None], high[None], rows.count[None])
    top = climb(*one, *start_of(*one))
    if not top.done[0]:
        raise NoAnswerError(
            "The fit did not settle: the readings hardly bound the spread. Check more holes, "
            "or with pins closer together."
        )
    delta, tau = float(top.delta[0]), float(top.tau[0])
    # From (delta, tau) to (mean, sd); at the top the gradient is 0, so this is exact.
    jacobian = np.array([[tau, -delta * tau], [0.0, -(tau**2)]])
    information = -jacobian.T @ top.hessian[0] @ jacobian
    shift = math.fsum(rows.count[rows.exact]) * math.log(scale)
    return IntervalFit(
        mean=centre + scale * delta / tau,
        sd=scale / tau,
        covariance=np.linalg.inv(information) * scale**2,
        loglik=float(top.loglik[0]) - shift,
        rows=rows,
    )


def no_fit_sentence(trouble: Degenerate) -> str:
    """Return why no finite fit exists and what would change that, in words."""
    cure = {
        "ABOVE_ALL": "check with larger pins",
        "BELOW_ALL": "check with smaller pins",
    }.get(trouble.shortfall.name, "check with pins closer together, or with a bore gauge")
    return f"Mean and spread can't be told: {trouble.shortfall.value}. To learn more, {cure}."
