r"""Newton's method for a normal distribution seen through intervals, many fits at a time.

With :math:`\delta = \mu/\sigma` and :math:`\tau = 1/\sigma` a bound b has the standard place
:math:`z = \tau b - \delta`, and the log likelihood is concave in (δ, τ): every climb ends on
the one top there is (J. Burridge, JRSS B 43 (1981) 41-45; for censored regression R. J. Olsen,
Econometrica 46 (1978) 1211-1215). All arrays here are in a centred and scaled unit, where
bounds are of the order of 1; :mod:`holewright.gauging.interval_fit` sees to that.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from holewright.gauging.cells import LOG_ROOT_2PI, cell_terms, log_cell_probability

Floats = NDArray[np.float64]

MAX_STEPS = 60


class Climb(NamedTuple):
    """Where the climb ended: place, height, curvature, and whether it is the top."""

    delta: Floats
    tau: Floats
    loglik: Floats
    hessian: Floats
    done: NDArray[np.bool_]


def log_likelihood(delta: Floats, tau: Floats, low: Floats, high: Floats, count: Floats) -> Floats:
    """Return the log likelihood of fits given down the leading axes, rows along the last.

    Parameters
    ----------
    delta, tau : ndarray
        Mean over sd, and 1 over sd; any leading shape. [-]
    low, high : ndarray
        Scaled bounds, equal for a size, rows along the last axis. [-]
    count : ndarray
        Holes in each row. [-]

    Returns
    -------
    ndarray
        Log likelihood in the scaled unit; ``-inf`` where tau isn't positive but must be. [-]
    """
    exact = low == high
    x, y = _places(delta, tau, low, high)
    with np.errstate(invalid="ignore", divide="ignore"):
        log_p = log_cell_probability(x, np.where(exact, np.inf, y))
        if exact.any():
            log_p = np.where(exact, np.log(tau)[..., None] - x * x / 2 - LOG_ROOT_2PI, log_p)
        log_p = np.where(np.isnan(log_p), -np.inf, log_p)
        # A row with no hole in it says nothing, however unlikely it would be.
        total: Floats = np.where(count > 0, count * log_p, 0.0).sum(-1)
    return total


def derivatives(
    delta: Floats, tau: Floats, low: Floats, high: Floats, count: Floats
) -> tuple[Floats, Floats]:
    """Return gradient (…, 2) and Hessian (…, 2, 2) of the log likelihood in (delta, tau)."""
    exact = low == high
    x, y = _places(delta, tau, low, high)
    t = cell_terms(x, np.where(exact, np.inf, y))
    a, b = np.where(np.isfinite(low), low, 0.0), np.where(np.isfinite(high), high, 0.0)
    g_delta = -(t.d_x + t.d_y)
    g_tau = a * t.d_x + b * t.d_y
    h_dd = t.d_xx + 2 * t.d_xy + t.d_yy
    h_dt = -(a * (t.d_xx + t.d_xy) + b * (t.d_xy + t.d_yy))
    h_tt = a * a * t.d_xx + 2 * a * b * t.d_xy + b * b * t.d_yy
    if exact.any():
        each, x = tau[..., None], np.where(exact, x, 0.0)
        g_delta = np.where(exact, x, g_delta)
        g_tau = np.where(exact, 1 / each - a * x, g_tau)
        h_dd = np.where(exact, -1.0, h_dd)
        h_dt = np.where(exact, a, h_dt)
        h_tt = np.where(exact, -1 / each**2 - a * a, h_tt)
    gradient = np.stack([(count * g).sum(-1) for g in (g_delta, g_tau)], axis=-1)
    dd, dt, tt = ((count * h).sum(-1) for h in (h_dd, h_dt, h_tt))
    hessian = np.stack([np.stack([dd, dt], -1), np.stack([dt, tt], -1)], -2)
    return gradient, hessian


def climb(low: Floats, high: Floats, count: Floats, delta: Floats, tau: Floats) -> Climb:
    """Return the most likely (delta, tau) of each fit, started from the given ones.

    Parameters
    ----------
    low, high, count : ndarray
        Scaled bounds and counts, shape (fits, rows). Rows that a fit lacks have count 0.
    delta, tau : ndarray
        Starts, shape (fits,), tau positive. [-]

    Returns
    -------
    Climb
        `done` is False where the top lies at infinity, or at tau ≤ 0: see
        :mod:`holewright.gauging.degenerate`, which finds these before.
    """
    delta, tau = delta.astype(float).copy(), tau.astype(float).copy()
    loglik = log_likelihood(delta, tau, low, high, count)
    done = np.zeros(delta.shape, dtype=bool)
    hessian = np.full((*delta.shape, 2, 2), np.nan)
    busy = np.arange(delta.size)
    for _ in range(MAX_STEPS):
        rows = (low[busy], high[busy], count[busy])
        gradient, h = derivatives(delta[busy], tau[busy], *rows)
        hessian[busy] = h
        step, gain = _newton_step(gradient, h)
        # What a full step would gain is below the last digit of the log likelihood: done.
        at_top = gain <= 1e-22 * (1 + np.abs(loglik[busy]))
        done[busy] = at_top
        share = np.ones(busy.size)
        # Stay where tau is positive: at most nine tenths of the way to 0.
        with np.errstate(divide="ignore", invalid="ignore"):
            room = np.where(step[:, 1] < 0, -0.9 * tau[busy] / step[:, 1], np.inf)
        share = np.minimum(share, room)
        todo = ~at_top & np.isfinite(gain)
        best = loglik[busy]
        for _ in range(40):
            new = log_likelihood(
                delta[busy] + share * step[:, 0], tau[busy] + share * step[:, 1], *rows
            )
            worse = todo & ~(new >= best - 1e-12 * (1 + np.abs(best)))
            if not worse.any():
                break
            share = np.where(worse, share / 2, share)
        moved = busy[todo]
        delta[moved] += (share * step[:, 0])[todo]
        tau[moved] += (share * step[:, 1])[todo]
        loglik[moved] = new[todo]
        busy = moved
        if not busy.size:
            break
    return Climb(delta, tau, loglik, hessian, done)


def _places(delta: Floats, tau: Floats, low: Floats, high: Floats) -> tuple[Floats, Floats]:
    """Return the standard places of both bounds, infinite where a bound is."""
    d, t = np.asarray(delta)[..., None], np.asarray(tau)[..., None]
    with np.errstate(invalid="ignore"):
        x = np.where(np.isfinite(low), t * low - d, low)
        y = np.where(np.isfinite(high), t * high - d, high)
    return x, y


def _newton_step(gradient: Floats, hessian: Floats) -> tuple[Floats, Floats]:
    """Return the step (…, 2) to the top of the local parabola and what it gains there."""
    dd, dt, tt = hessian[..., 0, 0], hessian[..., 0, 1], hessian[..., 1, 1]
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        determinant = dd * tt - dt * dt
        step_d = (dt * gradient[..., 1] - tt * gradient[..., 0]) / determinant
        step_t = (dt * gradient[..., 0] - dd * gradient[..., 1]) / determinant
        step = np.stack([step_d, step_t], -1)
        gain = (step * gradient).sum(-1)
    return step, gain
