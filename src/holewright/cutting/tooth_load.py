"""How unevenly the teeth of a reamer share the work, and the feed from which each one cuts."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from holewright.cutting.domain import Array, between, lead_angle, not_negative
from holewright.cutting.teeth import radial_error, tooth_angles


def load_by_tooth(h: ArrayLike, mc: ArrayLike) -> Array:
    r"""Return the share of the cutting force that each tooth carries.

    .. math:: F_i / \sum F_i = h_i^{1 - m_c} / \sum h_i^{1 - m_c}

    Parameters
    ----------
    h : array_like
        Chip thickness of each tooth, 0 or more; shape (..., N). [mm]
    mc : array_like
        Exponent m_c of the work material, 0 or more and under 1; shape (...). [-]

    Returns
    -------
    ndarray
        Share of each tooth, in the shape of `h`; all 0 where no tooth cuts. [-]

    Notes
    -----
    All teeth are taken to cut the same width. A thick chip is cut with less force for its
    section than a thin one, so forces differ less than chips do.

    Examples
    --------
    One tooth of four takes twice the chip of the others, in steel:

    >>> load_by_tooth([0.04, 0.02, 0.02, 0.02], 0.25).round(2)
    array([0.36, 0.21, 0.21, 0.21])
    """
    exponent = 1 - between("mc", mc, 0.0, 0.99)[..., None]
    force = not_negative("h", h) ** exponent
    total = force.sum(axis=-1, keepdims=True)
    share: Array = np.divide(force, total, out=np.zeros_like(force), where=total > 0)
    return share


def most_loaded(h: ArrayLike, mc: ArrayLike) -> Array:
    """Return the force on the most loaded tooth over that on an average one.

    Parameters
    ----------
    h : array_like
        Chip thickness of each tooth, 0 or more; shape (..., N). [mm]
    mc : array_like
        Exponent m_c of the work material; shape (...). [-]

    Returns
    -------
    ndarray
        1 where all share alike, N where one tooth does all; 0 where no tooth cuts. [-]
    """
    share = load_by_tooth(h, mc)
    return np.asarray(share.max(axis=-1) * share.shape[-1])


def least_feed_by_tooth(
    KAPR: ArrayLike,
    *,
    tooth_error: ArrayLike,
    eccentricity: ArrayLike = 0.0,
    high_side: ArrayLike = 0.0,
    spacing: ArrayLike | None = None,
    h_least: ArrayLike = 0.0,
) -> Array:
    r"""Return the feed below which each tooth of a rigid reamer no longer cuts.

    .. math:: f_i = \max_{m = 1 \dots N} \frac{2\pi}{g_{im}}
        \Bigl[ (d_{i+m} - d_i) \cot\kappa_r + h_{min} / \sin\kappa_r \Bigr]

    with :math:`g_{im}` the turn from tooth i to the m-th tooth ahead of it.

    Parameters
    ----------
    KAPR : array_like
        Lead angle; shape (...). [deg]
    tooth_error : array_like
        Radial error of each tooth at the lead; shape (..., N). [mm]
    eccentricity : array_like
        Eccentricity at the lead, half the TIR; shape (...). [mm]
    high_side : array_like
        Angle of the eccentricity; shape (...). [rad]
    spacing : array_like, optional
        Angles of the teeth, rising, from 0 to under 2π; evenly spaced if left out. [rad]
    h_least : array_like
        Thinnest chip that counts as cut: 0, or the least chip thickness of the edge, 0 or
        more; shape (...). [mm]

    Returns
    -------
    ndarray
        Least feed per revolution of each tooth; 0 for one that cuts at any. Shape (..., N).
        [mm/rev]

    Notes
    -----
    The largest of the N is the feed from which all teeth cut. The tool doesn't give way here:
    multiply the eccentricity by the share that survives for a slim one.

    References
    ----------
    .. [1] The zero of :func:`holewright.cutting.chip.chip_thickness_by_tooth`, derived here.

    Examples
    --------
    Six even teeth, one of them 10 µm low: it alone asks for feed, 0.06 mm/rev.

    >>> least_feed_by_tooth(45.0, tooth_error=[-0.010, 0, 0, 0, 0, 0]).round(3)
    array([0.06, 0.  , 0.  , 0.  , 0.  , 0.  ])
    """
    error = np.atleast_1d(np.asarray(tooth_error, dtype=np.float64))
    teeth = error.shape[-1]
    psi = tooth_angles(teeth, spacing)
    kappa = lead_angle(KAPR)[..., None]
    d = radial_error(error, psi, eccentricity, high_side)
    floor = not_negative("h_least", h_least)[..., None] / np.sin(kappa)
    least: Array = np.zeros(())
    for m in range(1, teeth + 1):
        turn = (np.roll(psi, -m) - psi) % (2 * np.pi) if m < teeth else 2 * np.pi
        higher = (np.roll(d, -m, axis=-1) - d) / np.tan(kappa)
        least = np.maximum(least, 2 * np.pi / turn * (higher + floor))
    return least
