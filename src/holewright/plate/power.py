"""How many holes a row it takes to see a difference, with pins or with a gauge that reads.

Pins tell only between which two of them a hole lies. How much that says depends on where the
size falls: at a pin a hole tells nearly two thirds of what a measured size would, and half-way
between two pins that stand far apart hardly anything.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from holewright.errors import NoAnswerError, OutOfRangeError
from holewright.gauging.cells import cell_terms
from holewright.plate.layout import Layout, Order, lay_out
from holewright.plate.power_of_sizes import power_of_ratio, t_power

Floats = NDArray[np.float64]

MOST_A_ROW = 200
"""More holes a row than this are not worth naming. [-]"""
SCATTER_FACTOR = 2.0
"""The forecast knows the scatter to this factor, one standard deviation of its log. [-]"""
_PLACES = 9
_RIDGE = 1e-10
"""What nothing is known of gets a spread of 100,000, and not one without end. [-]"""


def pin_information(
    mean: ArrayLike, sd: float, pins: ArrayLike, u: ArrayLike = 0.0
) -> tuple[Floats, Floats]:
    r"""Return what one hole is expected to tell, gauged with these pins.

    .. math:: I = \sum_k \frac{1}{p_k} \frac{\partial p_k}{\partial\theta}
              \frac{\partial p_k}{\partial\theta}^T, \qquad
              p_k = \Phi\left(\frac{b_{k+1} - \mu}{\sigma}\right)
              - \Phi\left(\frac{b_k - \mu}{\sigma}\right)

    Parameters
    ----------
    mean : array_like
        Mean size of each hole, shape (holes,). [mm]
    sd : float
        Scatter of one hole, more than 0. [mm]
    pins : array_like
        True sizes of the pins, ascending, at least one. [mm]
    u : array_like
        Standard uncertainty of each pin: one error for all holes. [mm]

    Returns
    -------
    information : ndarray
        Expected Fisher information of each hole about (its mean / sd, ln sd, error of each
        pin / sd), shape (holes, 2 + pins, 2 + pins). [-]
    prior : ndarray
        What is known of scatter and pins beforehand, shape (2 + pins, 2 + pins). [-]

    Raises
    ------
    OutOfRangeError
        If `sd` isn't positive or the pins don't ascend.
    """
    mu = np.atleast_1d(np.asarray(mean, dtype=float))
    b = np.atleast_1d(np.asarray(pins, dtype=float))
    if not sd > 0:
        raise OutOfRangeError("sd", sd, "more than 0")
    if b.size < 1 or not (np.diff(b) > 0).all():
        raise OutOfRangeError("pins", b.tolist(), "at least one, in ascending order")
    k = b.size
    far = np.full((mu.size, 1), np.inf)
    z = np.concatenate([-far, (b - mu[:, None]) / sd, far], axis=1)
    cell = cell_terms(z[:, :-1], z[:, 1:])
    # Slopes of each cell's log probability by mean/sd, ln sd and the pins at either end of it.
    inner = np.where(np.isfinite(z), z, 0.0)
    slope = np.zeros((mu.size, k + 1, 2 + k))
    slope[..., 0] = -(cell.d_x + cell.d_y)
    slope[..., 1] = -(inner[:, :-1] * cell.d_x + inner[:, 1:] * cell.d_y)
    index = np.arange(k)
    slope[:, index, 2 + index] = cell.d_y[:, :-1]
    slope[:, index + 1, 2 + index] = cell.d_x[:, 1:]
    weighted = slope * np.exp(cell.log_p / 2)[..., None]
    information = np.einsum("hci,hcj->hij", weighted, weighted)
    prior = np.zeros((2 + k, 2 + k))
    known = np.broadcast_to(np.asarray(u, dtype=float), b.shape)
    # A pin that is known exactly is as one known a thousand times better than a hole.
    prior[2 + index, 2 + index] = 1 / np.maximum(known / sd, 1e-3) ** 2
    prior[1, 1] = 1 / math.log(SCATTER_FACTOR) ** 2
    return information, prior


def size_information(holes: int) -> Floats:
    """Return what one hole tells whose size is measured: diag(1, 2), shape (holes, 2, 2). [-]"""
    return np.broadcast_to(np.diag([1.0, 2.0]), (holes, 2, 2))


def se_of_contrast(
    design: ArrayLike,
    contrast: ArrayLike,
    information: ArrayLike,
    prior: ArrayLike = 0.0,
    *,
    ratio: float = 0.0,
) -> float:
    """Return the standard error of a contrast, in standard deviations of a hole.

    The contrast is taken over the standard deviation, which is what a likelihood test judges:
    pins may show that two rows differ where they can't say by how many micrometres.

    Parameters
    ----------
    design : array_like
        Model matrix of the holes, shape (holes, coefficients). [-]
    contrast : array_like
        Weight of each coefficient, shape (coefficients,). [-]
    information : array_like
        What each hole tells about its mean over sd and what else is unknown, shape (holes, q, q).
    prior : array_like
        What is known beforehand of what else is unknown, shape (q, q). [-]
    ratio : float
        The contrast itself over the standard deviation, as far as it is there. [-]

    Returns
    -------
    float
        Standard error; very large where these holes don't tell. [-]
    """
    x, c = np.asarray(design, dtype=float), np.asarray(contrast, dtype=float)
    each = np.asarray(information, dtype=float)
    p, q = x.shape[1], each.shape[1]
    total = np.zeros((p + q - 1, p + q - 1))
    total[:p, :p] = np.einsum("hi,h,hj->ij", x, each[:, 0, 0], x)
    total[:p, p:] = np.einsum("hi,hk->ik", x, each[:, 0, 1:])
    total[p:, :p] = total[:p, p:].T
    total[p:, p:] = each[:, 1:, 1:].sum(0)
    known = np.broadcast_to(np.asarray(prior, dtype=float), (q, q))
    total[p:, p:] += known[1:, 1:]
    scale = np.sqrt(np.maximum(np.diag(total), 1e-300))
    scaled = total / np.outer(scale, scale) + _RIDGE * np.eye(p + q - 1)
    weights = np.zeros(p + q - 1)
    weights[:p] = c
    weights[p] = -ratio
    w = weights / scale
    return math.sqrt(float(w @ np.linalg.solve(scaled, w)))


@dataclass(frozen=True)
class Need:
    """How many holes a row it takes.

    Parameters
    ----------
    difference : float
        Difference between two rows that is to be seen. [mm]
    power, alpha : float
        How often it is seen when it is there, and seen when it isn't. [-]
    a_row : int
        Holes a row with these pins, averaged over where the size may fall. [-]
    at_pin, between : int, optional
        The same if the size falls on a pin, and half-way between two; None: over 200. [-]
    by_size : int
        The same if every hole is measured with a gauge that reads. [-]
    """

    difference: float
    power: float
    alpha: float
    a_row: int
    at_pin: int | None
    between: int | None
    by_size: int


def holes_a_row(
    difference: float,
    sd: float,
    pins: Sequence[float],
    *,
    rows: int,
    mean: float,
    u_mean: float,
    u_pins: Sequence[float] = (),
    order: Order = Order.BLOCKS,
    power: float = 0.8,
    alpha: float = 0.05,
) -> Need:
    """Return the holes a row that it takes to see a difference between two rows.

    Parameters
    ----------
    difference : float
        Difference of mean size between two rows, more than 0. [mm]
    sd : float
        Scatter of one hole, more than 0. [mm]
    pins : sequence of float
        True sizes of the pins, as far as they are known. [mm]
    rows : int
        Rows of the plate, at least 2. [-]
    mean, u_mean : float
        Forecast of the mean size, and its standard uncertainty. [mm]
    u_pins : sequence of float
        Standard uncertainty of each pin; none: exact. [mm]
    order : Order
        Order of cutting; the drift of the tool is told apart.
    power, alpha : float
        How often the difference is to be seen, and how often one that isn't there. [-]

    Returns
    -------
    Need
        Holes a row.

    Raises
    ------
    OutOfRangeError
        If an argument is out of its range.
    NoAnswerError
        If over 200 holes a row would be needed: the pins are too coarse.

    Notes
    -----
    By the expected information at the likely sizes, and a normal test: good from about eight
    holes a row, checked by simulation. With only two pins near the size, spread and mean are
    hardly told apart, and more is needed than a rule of thumb for measured sizes says.
    """
    if not difference > 0:
        raise OutOfRangeError("difference", difference, "more than 0")
    if rows < 2:
        raise OutOfRangeError("rows", rows, "2 or more")
    edges, order_of = np.sort(np.asarray(pins, dtype=float)), np.argsort(pins)
    u = np.asarray(u_pins, dtype=float)[order_of] if len(u_pins) else np.zeros(edges.size)
    ratio = difference / sd
    nodes, weights = np.polynomial.hermite_e.hermegauss(_PLACES)
    weights = weights / weights.sum()

    def by_pins(means: Floats, weight: Floats) -> Callable[[int], float]:
        def of(n: int) -> float:
            design, rows_of = _design(rows, n, order)
            contrast = np.eye(design.shape[1])[1]
            powers = []
            for m in means:
                # Half a difference either side: the row that differs is the second.
                at = m + difference * np.where(rows_of == 1, 0.5, -0.5)
                information, prior = pin_information(at, sd, edges, u)
                se = se_of_contrast(design, contrast, information, prior, ratio=ratio)
                powers.append(power_of_ratio(ratio / se, alpha))
            return float(weight @ np.array(powers))

        return of

    def by_size(n: int) -> float:
        design, _ = _design(rows, n, order)
        contrast = np.eye(design.shape[1])[1]
        se = se_of_contrast(design, contrast, size_information(len(design)))
        freedom = len(design) - design.shape[1]
        return t_power(ratio / se, freedom, alpha) if freedom > 0 else 0.0

    likely = mean + u_mean * nodes
    one = np.ones(1)
    near = float(edges[int(np.argmin(np.abs(edges - mean)))])
    gaps = (edges[1:] + edges[:-1]) / 2
    found = _least(by_pins(likely, weights), power)
    if found is None:
        raise NoAnswerError(
            f"A difference of {1000 * difference:.3g} µm can't be seen with these pins in "
            f"{MOST_A_ROW} holes a row: take pins that stand closer together, or a gauge that "
            "reads."
        )
    halfway = float(gaps[int(np.argmin(np.abs(gaps - mean)))]) if gaps.size else None
    return Need(
        difference,
        power,
        alpha,
        found,
        _least(by_pins(np.array([near]), one), power),
        _least(by_pins(np.array([halfway]), one), power) if halfway is not None else None,
        _least(by_size, power) or MOST_A_ROW,
    )


def _design(rows: int, n: int, order: Order) -> tuple[Floats, NDArray[np.intp]]:
    """Return row means, the second held against the first, and drift, in order of cutting."""
    layout: Layout = lay_out(rows, n, pitch=1.0, order=order)
    row = layout.rows
    cut = np.linspace(-1, 1, row.size)
    columns = [np.ones(row.size), *(np.where(row == i, 1.0, 0.0) for i in range(1, rows)), cut]
    return np.stack(columns, axis=1), row


def _least(function: Callable[[int], float], power: float) -> int | None:
    """Return the least number from 2 to the most from which the power is reached."""
    low, high = 1, 2
    while function(high) < power:
        if high >= MOST_A_ROW:
            return None
        low, high = high, min(2 * high, MOST_A_ROW)
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if function(middle) >= power else (middle, high)
    return high
