"""How stiffly the cut itself holds the reamer, and what runout survives it.

A slim reamer is centred by its own cut; a stiff one makes the hole larger by all of its
runout. Both follow from one balance of tool stiffness against the stiffness of the process.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

MARGIN_FRICTION = 0.2
"""Friction at the margins. [-] The least known inputs of the model; from memory."""
MARGIN_STIFFNESS = 1800.0
"""Contact stiffness of one margin. [N/mm] A guess that reproduces the sign of published work."""
MARGIN_ANGLE = 0.1
"""Width of a margin as an angle. [rad]"""
NORMAL_SHARE = 0.5
"""Normal over tangential cutting coefficient, sharp edge. [-] From memory."""


def process_stiffness(
    s: complex | ArrayLike,
    *,
    K_t: ArrayLike,
    f: ArrayLike,
    a_p: ArrayLike,
    ZEFP: ArrayLike,
    KAPR: ArrayLike,
) -> NDArray[np.complex128]:
    r"""Return the stiffness that cut and margins set against a shift of an even-toothed reamer.

    .. math::
        Z(s) = \frac{N}{2}\Big\{(K_r + iK_t)\Big[\frac fN + a_p\cot\kappa\,
        (1 - e^{-2\pi s/N})\Big] + (1 + i\mu)k_m\big[1 - \overline{e^{-sx}}\big]\Big\}

    with the mean over the margin width 0 < x < Δ, and K_r = K_n cos κ.

    Parameters
    ----------
    s : complex or array_like
        Exponent of the motion q = Q exp(s φ), φ the rotation angle: ``1j`` for runout turning
        with the tool, 0 for an offset of the drilled hole that stands still. [-]
    K_t : array_like
        Tangential cutting coefficient: k_c at the chip thickness of the cut. [N/mm²]
    f : array_like
        Feed per revolution. [mm/rev]
    a_p : array_like
        Stock per side. [mm]
    ZEFP : array_like
        Effective cutting edges N, evenly spaced, 3 or more. [-]
    KAPR : array_like
        Lead angle to the axis κ. [deg]

    Returns
    -------
    ndarray of complex
        Z in the broadcast shape of the inputs. [N/mm]

    Notes
    -----
    Quasi-static: mass and damping of the tool are neglected, as in the published model of low
    frequency reamer whirl. Three constants of the margin contact are guesses; they matter
    little for runout (8 % of Z at 45° lead) and much for whirl.

    References
    ----------
    .. [1] Bayly, Young, Calvert, Halley, J. Manuf. Sci. Eng. 123 (2001) 387, for the kind of
       model; the equation is derived here.
    """
    s = np.asarray(s, dtype=np.complex128)
    K_t, f, a_p = np.asarray(K_t), np.asarray(f), np.asarray(a_p)
    n_teeth = np.asarray(ZEFP)
    kappa = np.radians(KAPR)
    K_r = NORMAL_SHARE * K_t * np.cos(kappa)
    regeneration = f / n_teeth + a_p / np.tan(kappa) * (1 - np.exp(-2 * np.pi * s / n_teeth))
    turn = s * MARGIN_ANGLE
    lag = np.where(turn == 0, 1.0, -np.expm1(-turn) / np.where(turn == 0, 1.0, turn))
    margin = (1 + 1j * MARGIN_FRICTION) * MARGIN_STIFFNESS * (1 - lag)
    z: NDArray[np.complex128] = n_teeth / 2 * ((K_r + 1j * K_t) * regeneration + margin)
    return z


def runout_share(z: ArrayLike, stiffness: ArrayLike) -> NDArray[np.float64]:
    r"""Return the share of its runout by which a reamer cuts oversize on diameter.

    .. math:: g = 1 / |1 + Z(i)/k|

    Parameters
    ----------
    z : array_like of complex
        :func:`process_stiffness` at ``s = 1j``. [N/mm]
    stiffness : array_like
        Radial stiffness k of reamer and holder at the lead. [N/mm]

    Returns
    -------
    ndarray
        g: about 1 for a rigid tool, 0.05 to 0.2 for a slim one that centres itself. [-]

    Notes
    -----
    A rigid tool cuts oversize by one times its TIR on diameter, not two: the wall is the
    envelope of the farthest edge. Simulation agrees within +4 to -20 % for k from 100 to
    12000 N/mm, and fails below 100, where a floor near 1 µm remains.
    """
    share: NDArray[np.float64] = 1 / np.abs(1 + np.asarray(z) / np.asarray(stiffness))
    return np.minimum(share, 1.0)


def follow_share(z: ArrayLike, stiffness: ArrayLike) -> NDArray[np.float64]:
    r"""Return how far a reamer follows the drilled hole instead of the spindle.

    .. math:: \lambda = |Z(0) / (k + Z(0))|

    Parameters
    ----------
    z : array_like of complex
        :func:`process_stiffness` at ``s = 0``. [N/mm]
    stiffness : array_like
        Radial stiffness k of reamer and holder at the lead. [N/mm]

    Returns
    -------
    ndarray
        λ: 0 keeps to the spindle, 1 goes all the way with the drilled hole. [-]
    """
    z = np.asarray(z)
    share: NDArray[np.float64] = np.abs(z / (np.asarray(stiffness) + z))
    return share
