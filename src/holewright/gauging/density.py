r"""Log density of the whole model: sizes, effects of named causes, and the pins' own errors.

A hole of size :math:`D = x'\beta + \sigma\varepsilon` is bounded by a gauge of size
:math:`b + e`, whose error e is one number for all holes it checked. With
:math:`\tau = 1/\sigma`, :math:`\gamma = \beta\tau` and :math:`s = e\tau` the standard place of
that bound is

.. math:: z = \tau b + s - x'\gamma,

linear in all that is unknown, :math:`\psi = (\gamma, \tau, s)`. So the readings' share of the
log density is concave in ψ, however many causes and pins there are. What is known beforehand
of β, e and ln σ comes on top as normal priors.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from holewright.gauging.cells import LOG_ROOT_2PI, cell_terms, log_cell_probability

Floats = NDArray[np.float64]

MAX_STEPS = 100


@dataclass(frozen=True, eq=False)
class Density:
    """The model in a centred and scaled unit, as a function of psi.

    Parameters
    ----------
    at_low, at_high : ndarray
        Rows of the linear map from psi to the standard places of each row's bounds, shape
        (rows, parameters). An exact size has its row in `at_low`.
    has_low, has_high, exact : ndarray
        Which bounds are there; which rows are an exact size.
    count : ndarray
        Holes in each row.
    tau : int
        Where 1/sd stands in psi.
    prior_mean, prior_weight : ndarray
        Mean and 1/variance of psi over tau, for each parameter; weight 0 where nothing is
        known, and for tau itself. [scaled unit]
    log_sd_mean, log_sd_weight : float
        Mean and 1/variance of ln sd; weight 0 where nothing is known.
    """

    at_low: Floats
    at_high: Floats
    has_low: NDArray[np.bool_]
    has_high: NDArray[np.bool_]
    exact: NDArray[np.bool_]
    count: Floats
    tau: int
    prior_mean: Floats
    prior_weight: Floats
    log_sd_mean: float = 0.0
    log_sd_weight: float = 0.0

    @property
    def size(self) -> int:
        """Number of parameters."""
        return int(self.prior_mean.size)

    @cached_property
    def products(self) -> tuple[Floats, Floats, Floats]:
        """Products of the maps, low·low, both ways low·high, high·high: (rows, parameters²)."""
        low, high = self.at_low, self.at_high
        mixed = low[:, :, None] * high[:, None, :]
        return (
            (low[:, :, None] * low[:, None, :]).reshape(len(low), -1),
            (mixed + mixed.transpose(0, 2, 1)).reshape(len(low), -1),
            (high[:, :, None] * high[:, None, :]).reshape(len(low), -1),
        )


def log_density(d: Density, psi: Floats, prior: bool = True) -> Floats:
    """Return the log density at psi, shape (…, parameters); ``-inf`` where tau ≤ 0.

    Without `prior` it is the log likelihood at these pin errors.
    """
    tau = psi[..., d.tau]
    x, y = _places(d, psi)
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        log_p = log_cell_probability(x, y)
        if d.exact.any():
            log_p = np.where(d.exact, np.log(tau)[..., None] - x * x / 2 - LOG_ROOT_2PI, log_p)
        # A pin error may turn a cell inside out: then nothing can be in it.
        log_p = np.where(np.isnan(log_p), -np.inf, log_p)
        total: Floats = (d.count * log_p).sum(-1)
        if prior:
            ratio = psi / tau[..., None] - d.prior_mean
            total = total - (d.prior_weight * ratio * ratio).sum(-1) / 2
            if d.log_sd_weight:
                total = total - d.log_sd_weight * (np.log(tau) + d.log_sd_mean) ** 2 / 2
    return np.where(tau > 0, total, -np.inf)


def slopes(d: Density, psi: Floats) -> tuple[Floats, Floats]:
    """Return gradient (…, p) and Hessian (…, p, p) of the log density at psi."""
    x, y = _places(d, psi)
    t = cell_terms(x, y)
    tau = psi[..., d.tau][..., None]
    d_x, d_xx = t.d_x, t.d_xx
    if d.exact.any():
        d_x, d_xx = np.where(d.exact, -x, d_x), np.where(d.exact, -1.0, d_xx)
    c = d.count
    gradient = (c * d_x) @ d.at_low + (c * t.d_y) @ d.at_high
    low_low, low_high, high_high = d.products
    flat = (c * d_xx) @ low_low + (c * t.d_xy) @ low_high + (c * t.d_yy) @ high_high
    hessian = flat.reshape(*psi.shape[:-1], d.size, d.size)
    k = d.tau
    ratio = psi / tau - d.prior_mean
    w = d.prior_weight
    pull = -w * ratio / tau
    gradient = gradient + pull
    turn = -psi / (tau * tau)  # how the ratio goes with tau
    n_exact = float(c[d.exact].sum())
    one = tau[..., 0]
    log_sd = np.log(one) + d.log_sd_mean
    gradient[..., k] += -(w * ratio * turn).sum(-1) + (n_exact - d.log_sd_weight * log_sd) / one
    index = np.arange(d.size)
    hessian[..., index, index] += -w / (tau * tau)
    mixed = -w * (turn / tau - ratio / (tau * tau))
    hessian[..., index, k] += mixed
    hessian[..., k, index] += mixed
    hessian[..., k, k] += -(w * (turn * turn + ratio * 2 * psi / tau**3)).sum(-1)
    hessian[..., k, k] += (-n_exact - d.log_sd_weight * (1 - log_sd)) / (one * one)
    return gradient, hessian


def climb_density(d: Density, start: Floats) -> tuple[Floats, bool]:
    """Return the psi of greatest density, and whether it was reached.

    Parameters
    ----------
    d : Density
        The model.
    start : ndarray
        Where to start, with positive tau and finite density.

    Returns
    -------
    psi : ndarray
        The top.
    done : bool
        False where the climb ran out of steps: the top lies at infinity.
    """
    psi = start.astype(float).copy()
    height = float(log_density(d, psi))
    for _ in range(MAX_STEPS):
        gradient, hessian = slopes(d, psi)
        step = _uphill(gradient, hessian)
        gain = float(gradient @ step)
        if gain <= 1e-20 * (1 + abs(height)):
            return psi, True
        share = min(1.0, -0.9 * psi[d.tau] / step[d.tau]) if step[d.tau] < 0 else 1.0
        slack = 1e-12 * (1 + abs(height))
        for _ in range(60):
            new = float(log_density(d, psi + share * step))
            if new >= height - slack:
                break
            share /= 2
        psi, height = psi + share * step, new
    return psi, False


def best_nuisance(
    d: Density, psi: Floats, free: NDArray[np.intp], steps: int = 30
) -> tuple[Floats, Floats]:
    """Return psi with the parameters `free` at their best, the rest kept, and the density.

    Parameters
    ----------
    d : Density
        The model.
    psi : ndarray
        Starts, shape (many, parameters).
    free : ndarray of int
        Parameters to move; tau isn't one of them, so that all is concave.
    steps : int
        Newton steps at most.

    Returns
    -------
    psi : ndarray
        In the shape of the starts.
    height : ndarray
        Log density there, shape (many,).
    """
    psi = psi.copy()
    height = log_density(d, psi)
    if not free.size:
        return psi, height
    pick = np.ix_(free, free)
    for _ in range(steps):
        gradient, hessian = slopes(d, psi)
        g = gradient[:, free]
        h = hessian[:, pick[0], pick[1]]
        ok = np.isfinite(h).all((1, 2)) & np.isfinite(height)
        h = np.where(ok[:, None, None], h, -np.eye(free.size))
        g = np.where(ok[:, None], g, 0.0)
        step = np.linalg.solve(-h, g[..., None])[..., 0]
        gain = (g * step).sum(-1)
        if (gain <= 1e-18 * (1 + np.abs(height))).all():
            break
        share = np.ones(height.shape)
        for _ in range(40):
            trial = psi.copy()
            trial[:, free] += share[:, None] * step
            new = log_density(d, trial)
            worse = ok & ~(new >= height - 1e-12 * (1 + np.abs(height)))
            if not worse.any():
                break
            share = np.where(worse, share / 2, share)
        psi, height = trial, new
    return psi, height


def _places(d: Density, psi: Floats) -> tuple[Floats, Floats]:
    """Return the standard places of both bounds; infinite where there is none."""
    x = np.where(d.has_low, psi @ d.at_low.T, -np.inf)
    y = np.where(d.has_high, psi @ d.at_high.T, np.inf)
    return x, y


def _uphill(gradient: Floats, hessian: Floats) -> Floats:
    """Return a Newton step, bent uphill where the density isn't concave."""
    scale = np.maximum(np.abs(np.diag(hessian)), 1e-300)
    ridge = 0.0
    for _ in range(60):
        try:
            root = np.linalg.cholesky(-hessian + ridge * np.diag(scale))
        except np.linalg.LinAlgError:
            ridge = max(2 * ridge, 1e-10) if ridge < 1e-4 else 4 * ridge
            continue
        step: Floats = np.linalg.solve(root.T, np.linalg.solve(root, gradient))
        return step
    return gradient / math.sqrt(float(gradient @ gradient) or 1.0)
