"""A hint that the holes come from two groups: two reamers, two spindles, before and after."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from holewright.gauging.cells import LOG_ROOT_2PI, log_cell_probability
from holewright.gauging.interval_fit import IntervalFit
from holewright.gauging.rows import Rows
from holewright.reasons import Reason
from holewright.units import Unit, format_both

Floats = NDArray[np.float64]

GAIN = 10.0
"""Twice the gain in log likelihood from which two groups are worth a hint. Chosen so that one
group sets it off in at most 1 of 200 sets of 30 to 125 holes: by our own simulation. [-]"""
LEAST_CELLS = 5
STEPS = 300


def hint_of_two_groups(rows: Rows, fit: IntervalFit, *, unit: Unit = Unit.MM) -> Reason | None:
    """Return a hint where two normal groups of one scatter explain the holes far better.

    Parameters
    ----------
    rows : Rows
        Intervals with counts.
    fit : IntervalFit
        The single normal distribution fitted to them.
    unit : Unit
        Unit that sentences say first.

    Returns
    -------
    Reason or None
        None where one group does, or where there are too few cells to tell.

    Notes
    -----
    Maximum likelihood by expectation and maximisation (A. P. Dempster, N. M. Laird, D. B.
    Rubin, JRSS B 39 (1977) 1-38), started from the two halves. A hint, no proof: a skewed
    distribution looks like two groups as well.
    """
    cells = len({(a, b) for a, b in zip(rows.lower, rows.upper, strict=True)})
    if cells < LEAST_CELLS or fit.effects or rows.n < 2 * LEAST_CELLS:
        return None
    s = fit.hill.scaling
    low, high = (rows.lower - s.centre) / s.scale, (rows.upper - s.centre) / s.scale
    mean, sd = (fit.mean - s.centre) / s.scale, fit.sd / s.scale
    one = _log_parts(low, high, rows.exact, np.array([mean]), sd)[0]
    base = float(rows.count @ one)
    means, share = np.array([mean - 0.8 * sd, mean + 0.8 * sd]), np.array([0.5, 0.5])
    spread = 0.6 * sd
    best = -math.inf
    for _ in range(STEPS):
        log_p = _log_parts(low, high, rows.exact, means, spread) + np.log(share)[:, None]
        total = np.logaddexp(log_p[0], log_p[1])
        height = float(rows.count @ total)
        if height - best < 1e-9:
            break
        best = height
        part = np.exp(log_p - total) * rows.count
        x, xx = _moments(low, high, rows.exact, means, spread)
        size = part.sum(1)
        if (size < 1e-9 * rows.n).any():
            return None
        means = (part * x).sum(1) / size
        square = (part * (xx - 2 * means[:, None] * x + means[:, None] ** 2)).sum() / rows.n
        spread = math.sqrt(max(square, 1e-8))
        share = size / rows.n
    # A few holes far out are holes apart, not a group.
    if 2 * (best - base) < GAIN or share.min() * rows.n < LEAST_CELLS:
        return None
    sizes = sorted(s.centre + s.scale * m for m in means)
    small = share[int(np.argmin(means))]
    return Reason(
        "two-groups",
        f"The holes look like two groups: about {100 * small:.0f} % near "
        f"{format_both(sizes[0], unit)} and {100 * (1 - small):.0f} % near "
        f"{format_both(sizes[1], unit)}. Were they cut by one reamer, on one spindle, with "
        f"one coolant, or before and after a change?",
        2 * (best - base),
        GAIN,
        unit="twice the log likelihood",
    )


def _log_parts(
    low: Floats, high: Floats, exact: NDArray[np.bool_], means: Floats, sd: float
) -> Floats:
    """Return the log probability of every row in every group, shape (groups, rows)."""
    x, y = (low - means[:, None]) / sd, (high - means[:, None]) / sd
    with np.errstate(divide="ignore"):
        inside = log_cell_probability(x, np.where(exact, np.inf, y))
    return np.where(exact, -x * x / 2 - LOG_ROOT_2PI - math.log(sd), inside)


def _moments(
    low: Floats, high: Floats, exact: NDArray[np.bool_], means: Floats, sd: float
) -> tuple[Floats, Floats]:
    """Return mean and mean square of sizes within every row, in every group."""
    x, y = (low - means[:, None]) / sd, (high - means[:, None]) / sd
    with np.errstate(divide="ignore", invalid="ignore", under="ignore"):
        log_p = log_cell_probability(x, np.where(exact, np.inf, y))
        at_x = np.where(np.isfinite(x), np.exp(-x * x / 2 - LOG_ROOT_2PI - log_p), 0.0)
        at_y = np.where(np.isfinite(y), np.exp(-y * y / 2 - LOG_ROOT_2PI - log_p), 0.0)
        first = at_x - at_y
        second = (
            1 + np.where(np.isfinite(x), x, 0.0) * at_x - np.where(np.isfinite(y), y, 0.0) * at_y
        )
    size = np.where(exact, low, means[:, None] + sd * first)
    square = np.where(
        exact, low**2, means[:, None] ** 2 + 2 * means[:, None] * sd * first + sd**2 * second
    )
    return size, square
