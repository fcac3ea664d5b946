"""Probability of a hole falling between two bounds, and its derivatives, digits kept."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.special import log_ndtr, ndtr

LOG_ROOT_2PI = 0.9189385332046727418

Floats = NDArray[np.float64]


class CellTerms(NamedTuple):
    """Log probability of cells and its derivatives with respect to their standard bounds."""

    log_p: Floats
    d_x: Floats
    d_y: Floats
    d_xx: Floats
    d_xy: Floats
    d_yy: Floats


def log_cell_probability(x: Floats, y: Floats) -> Floats:
    r"""Return :math:`\ln[\Phi(y) - \Phi(x)]` for x < y.

    Parameters
    ----------
    x, y : ndarray
        Standardised lower and upper bounds; ``-inf`` and ``inf`` where open. [-]

    Returns
    -------
    ndarray
        Natural log of the probability, in the broadcast shape. [-]

    Notes
    -----
    Three ways, each where it keeps its digits. The difference of two probabilities loses
    them on the right (so cells there are mirrored to the left), far out (there the logs are
    subtracted), and for thin cells (there a series about the middle is used; its first
    term left out is below 1e-15).
    """
    x, y = np.broadcast_arrays(np.asarray(x, float), np.asarray(y, float))
    with np.errstate(invalid="ignore", divide="ignore", over="ignore", under="ignore"):
        mirror = x + y > 0  # nan, and so False, for a cell open at both ends
        low, high = np.where(mirror, -y, x), np.where(mirror, -x, y)
        p = ndtr(high) - ndtr(low)
        log_p: Floats = np.array(np.log(p))
        far = p < 1e-280
        if far.any():
            top = log_ndtr(high[far])
            log_p[far] = top + np.log1p(-np.exp(log_ndtr(low[far]) - top))
        width = high - low
        thin = width * np.maximum(1.0, -low) < 0.02
        if thin.any():
            w2 = width[thin] ** 2
            m2 = ((low[thin] + high[thin]) / 2) ** 2
            series = (m2 - 1) * w2 / 24 + (m2**2 - 6 * m2 + 3) * w2**2 / 1920
            log_p[thin] = np.log(width[thin]) - m2 / 2 - LOG_ROOT_2PI + np.log1p(series)
    return log_p


def cell_terms(x: Floats, y: Floats) -> CellTerms:
    r"""Return the log probability of cells with first and second derivatives.

    Parameters
    ----------
    x, y : ndarray
        Standardised bounds, x < y; ``-inf`` and ``inf`` where open. [-]

    Returns
    -------
    CellTerms
        :math:`\ell = \ln[\Phi(y) - \Phi(x)]` and its derivatives: with
        :math:`g_x = -\varphi(x)/P` and :math:`g_y = \varphi(y)/P` they are
        :math:`\ell_{xx} = -x g_x - g_x^2`, :math:`\ell_{yy} = -y g_y - g_y^2` and
        :math:`\ell_{xy} = -g_x g_y`. [-]

    Notes
    -----
    The function is concave in (x, y) together, since the normal density is log-concave
    (A. Prékopa, Acta Sci. Math. 34 (1973) 335-343). All fits here rest on that.
    """
    log_p = log_cell_probability(x, y)
    finite_x, finite_y = np.isfinite(x), np.isfinite(y)
    x0, y0 = np.where(finite_x, x, 0.0), np.where(finite_y, y, 0.0)
    # An open bound stands at 0 here and may overflow, before it is put out.
    with np.errstate(under="ignore", over="ignore"):
        d_x = np.where(finite_x, -np.exp(-x0 * x0 / 2 - LOG_ROOT_2PI - log_p), 0.0)
        d_y = np.where(finite_y, np.exp(-y0 * y0 / 2 - LOG_ROOT_2PI - log_p), 0.0)
        return CellTerms(
            log_p,
            d_x,
            d_y,
            d_xx=-x0 * d_x - d_x * d_x,
            d_xy=-d_x * d_y,
            d_yy=-y0 * d_y - d_y * d_y,
        )
