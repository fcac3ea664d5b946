"""Runout of the reamer, as far as it reaches the size of the hole."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

G_MODEL_MEAN = 0.85
G_MODEL_SD = 0.2
"""Simulation over closed form: mean and relative spread. Own simulation, a prior. [-]"""


def runout_growth(
    tir: ArrayLike, u_tir: ArrayLike, share: ArrayLike
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return by how much runout makes the hole larger, mean and standard uncertainty.

    Parameters
    ----------
    tir : array_like
        Total indicator runout at the lead, spindle and holder together. [mm]
    u_tir : array_like
        Its standard uncertainty. [mm]
    share : array_like
        Share of it that the cut doesn't centre away, from
        :func:`holewright.cutting.process_stiffness.runout_share`. [-]

    Returns
    -------
    mean, sd : ndarray
        Growth on diameter. [mm]

    Notes
    -----
    A rigid reamer grows the hole by one TIR on diameter. The factor of 0.85 and its spread of
    20 % are what the time-domain model gives against the closed form; no published data set of
    TIR against reamed size is known.
    """
    tir, u_tir, share = np.broadcast_arrays(tir, u_tir, share)
    mean = G_MODEL_MEAN * share * tir
    sd = np.hypot(G_MODEL_SD * mean, G_MODEL_MEAN * share * u_tir)
    return mean, sd


def combined_tir(holder: ArrayLike, spindle: ArrayLike) -> NDArray[np.float64]:
    """Return the runout of holder and spindle together, where it was not measured together.

    The two eccentricities stand at an unknown angle; their mean square adds. [mm]
    """
    return np.hypot(holder, spindle)
