"""Where the teeth of a reamer stand: their angles, and how far each reaches out."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from holewright.cutting.domain import Array, not_negative
from holewright.errors import OutOfRangeError


def tooth_angles(teeth: int, spacing: ArrayLike | None = None) -> Array:
    """Return the angles of the teeth.

    Parameters
    ----------
    teeth : int
        Number of teeth N. [-]
    spacing : array_like, optional
        Their angles, rising, from 0 to under 2π, shape (N,); evenly spaced if left out. [rad]

    Returns
    -------
    ndarray
        Angles, shape (N,). [rad]

    Raises
    ------
    OutOfRangeError
        If the angles don't rise from 0 to under 2π, or aren't one a tooth.
    """
    even = 2 * np.pi * np.arange(teeth) / teeth
    psi = even if spacing is None else np.asarray(spacing, dtype=np.float64)
    if (
        psi.shape != (teeth,)
        or not (np.diff(psi) > 0).all()
        or not (psi[0] >= 0 and psi[-1] < 2 * np.pi)
    ):
        raise OutOfRangeError("spacing", psi, f"{teeth} angles rising from 0 to under 2π")
    return psi


def radial_error(
    tooth_error: ArrayLike, psi: Array, eccentricity: ArrayLike, high_side: ArrayLike
) -> Array:
    r"""Return how far each tooth reaches out beyond the mean.

    .. math:: d_i = \delta_i + e \cos(\psi_i - \psi_e)

    Parameters
    ----------
    tooth_error : array_like
        Radial error δ of each tooth; shape (..., N). [mm]
    psi : ndarray
        Angles of the teeth, shape (N,). [rad]
    eccentricity : array_like
        Eccentricity e at the lead, half the TIR, 0 or more; shape (...). [mm]
    high_side : array_like
        Angle of the eccentricity; shape (...). [rad]

    Returns
    -------
    ndarray
        d, shape (..., N). [mm]
    """
    e = not_negative("eccentricity", eccentricity)[..., None]
    side = np.asarray(high_side, dtype=np.float64)[..., None]
    reach: Array = np.asarray(tooth_error, dtype=np.float64) + e * np.cos(psi - side)
    return reach
