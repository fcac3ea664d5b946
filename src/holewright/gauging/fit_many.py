"""The interval fit for many hole features in one call: a plate, a month, a simulation."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from holewright.errors import InputError
from holewright.gauging.interval_fit import start_of
from holewright.gauging.newton import climb

Floats = NDArray[np.float64]

AT_ONCE = 10_000
"""Features climbed together, so that a million of them don't need memory for all at a time."""


@dataclass(frozen=True, eq=False)
class ManyFits:
    """Normal distributions fitted to many features, each by itself.

    Parameters
    ----------
    mean, sd : ndarray
        Most likely mean and standard deviation, shape (features,); nan where there is no
        finite fit. [mm]
    se_mean, se_sd : ndarray
        Their standard errors from the observed information. [mm]
    loglik : ndarray
        Log likelihood at the fit.
    has_fit : ndarray of bool
        Where a finite fit exists.
    """

    mean: Floats
    sd: Floats
    se_mean: Floats
    se_sd: Floats
    loglik: Floats
    has_fit: NDArray[np.bool_]


def fit_many(lower: ArrayLike, upper: ArrayLike, count: ArrayLike) -> ManyFits:
    """Fit a normal distribution to intervals of size, for many features at a time.

    Parameters
    ----------
    lower, upper : array_like
        Bounds, shape (features, rows) or broadcast to it; ``-inf`` and ``inf`` where open;
        equal for a size. [mm]
    count : array_like
        Holes in each, 0 where a feature lacks a row, the same shape. [-]

    Returns
    -------
    ManyFits
        The same answers as :func:`holewright.gauging.interval_fit.fit_intervals` gives one by
        one, to the last few digits.

    Raises
    ------
    InputError
        If a lower bound lies above its upper, or a count is negative.
    """
    low, high, number = np.broadcast_arrays(
        *(np.atleast_2d(np.asarray(a, dtype=float)) for a in (lower, upper, count))
    )
    there = number > 0
    if (there & ~(low <= high)).any():
        i, j = np.argwhere(there & ~(low <= high))[0]
        raise InputError(
            f"interval of feature {i + 1}, row {j + 1}",
            f"{low[i, j]} to {high[i, j]}",
            "must have a lower bound that isn't above the upper",
        )
    if not (number >= 0).all():
        i, j = np.argwhere(~(number >= 0))[0]
        raise InputError(
            f"count of feature {i + 1}, row {j + 1}", number[i, j], "must be 0 or more"
        )
    parts = [
        _fit_block(low[i : i + AT_ONCE], high[i : i + AT_ONCE], number[i : i + AT_ONCE])
        for i in range(0, low.shape[0], AT_ONCE)
    ]
    mean, sd, se_mean, se_sd, loglik = (
        np.concatenate(column) for column in zip(*parts, strict=True)
    )
    return ManyFits(mean, sd, se_mean, se_sd, loglik, np.isfinite(mean))


def _fit_block(low: Floats, high: Floats, count: Floats) -> tuple[Floats, ...]:
    """Return mean, sd, their standard errors and the log likelihood of a block of features."""
    fits = np.flatnonzero(_has_fit(low, high, count))
    low, high, n = low[fits], high[fits], count[fits]
    there = n > 0
    ends = np.concatenate([np.where(there, low, np.nan), np.where(there, high, np.nan)], axis=1)
    ends = np.where(np.isfinite(ends), ends, np.nan)
    first, last = np.nanmin(ends, axis=1), np.nanmax(ends, axis=1)
    centre, scale = (first + last) / 2, (last - first) / 2
    # A row that isn't there must not cost digits: it becomes open at both ends.
    a = np.where(there, (low - centre[:, None]) / scale[:, None], -np.inf)
    b = np.where(there, (high - centre[:, None]) / scale[:, None], np.inf)
    top = climb(a, b, n, *start_of(a, b, n))
    h_dd, h_dt, h_tt = (-top.hessian[:, i, j] for i, j in ((0, 0), (0, 1), (1, 1)))
    delta, tau = top.delta, top.tau
    # Information of (mean, sd): that of (delta, tau), turned by d(delta, tau)/d(mean, sd).
    i_mm = tau**2 * h_dd
    i_ms = -(tau**2) * (delta * h_dd + tau * h_dt)
    i_ss = tau**2 * (delta**2 * h_dd + 2 * delta * tau * h_dt + tau**2 * h_tt)
    determinant = i_mm * i_ss - i_ms**2
    exact = (there & (low == high)) * n
    answers = (
        centre + scale * delta / tau,
        scale / tau,
        scale * np.sqrt(i_ss / determinant),
        scale * np.sqrt(i_mm / determinant),
        top.loglik - exact.sum(1) * np.log(scale),
    )
    full = [np.full(count.shape[0], np.nan) for _ in answers]
    for column, answer in zip(full, answers, strict=True):
        column[fits[top.done]] = answer[top.done]
    return tuple(full)


def _has_fit(low: Floats, high: Floats, count: Floats) -> NDArray[np.bool_]:
    """Return which features have a finite fit: the rules of :mod:`~.degenerate`, row by row."""
    there = count > 0
    apart = np.where(there, low, -np.inf).max(1) > np.where(there, high, np.inf).min(1)
    bounded = (there & np.isfinite(low) & np.isfinite(high)).any(1)
    left = there & np.isneginf(low) & np.isfinite(high)
    right = there & np.isposinf(high) & np.isfinite(low)
    n_left, n_right = (count * left).sum(1), (count * right).sum(1)
    with np.errstate(invalid="ignore", divide="ignore"):
        stopped = (count * np.where(left, high, 0.0)).sum(1) / n_left
        went = (count * np.where(right, low, 0.0)).sum(1) / n_right
    rising: NDArray[np.bool_] = apart & (bounded | (stopped > went))
    return rising
