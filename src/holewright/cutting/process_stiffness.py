"""How stiffly the cut itself holds the reamer, and what runout survives it.

A slim reamer is centred by its own cut; a stiff one makes the hole larger by all of its
runout. Both follow from one balance of tool stiffness against the stiffness of the process.
"""

from __future__ import annotations

from dataclasses import dataclass

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


@dataclass(frozen=True)
class Contact:
    """How edge and margin meet the metal; each a number or an array.

    Parameters
    ----------
    normal_share : array_like
        Normal over tangential cutting coefficient K_n / K_t. [-]
    friction : array_like
        Friction µ at the margins. [-]
    margin_stiffness : array_like
        Contact stiffness k_m of one margin. [N/mm]
    margin_angle : array_like
        Width Δ of a margin as an angle. [rad]
    edge_tangential, edge_normal : array_like
        Ploughing forces K_te and K_ne for each mm of edge; they damp whirl. [N/mm]
    """

    normal_share: ArrayLike = NORMAL_SHARE
    friction: ArrayLike = MARGIN_FRICTION
    margin_stiffness: ArrayLike = MARGIN_STIFFNESS
    margin_angle: ArrayLike = MARGIN_ANGLE
    edge_tangential: ArrayLike = 0.0
    edge_normal: ArrayLike = 0.0


USUAL_CONTACT = Contact()
"""The guesses above, and no ploughing."""


def process_stiffness(
    s: complex | ArrayLike,
    *,
    K_t: ArrayLike,
    f: ArrayLike,
    a_p: ArrayLike,
    ZEFP: ArrayLike,
    KAPR: ArrayLike,
    contact: Contact = USUAL_CONTACT,
) -> NDArray[np.complex128]:
    r"""Return the stiffness that cut and margins set against a shift of an even-toothed reamer.

    .. math::
        Z(s) = \frac{N}{2}\Big\{(K_r + iK_t)\Big[\frac fN + a_p\cot\kappa\,
        (1 - e^{-2\pi s/N})\Big] + \frac{K_{re} + iK_{te}}{\sin\kappa}
        + (1 + i\mu)k_m\overline{e^{ix}(1 - e^{-sx})}\Big\}

    with the mean over the margin width 0 < x < Δ, K_r = K_n cos κ and K_re = K_ne cos κ.

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
    contact : Contact
        Constants of edge and margin.

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
    K_r = np.asarray(contact.normal_share) * K_t * np.cos(kappa)
    regeneration = f / n_teeth + a_p / np.tan(kappa) * (1 - np.exp(-2 * np.pi * s / n_teeth))
    ploughing = np.asarray(contact.edge_normal) / np.tan(kappa) + 1j * (
        np.asarray(contact.edge_tangential) / np.sin(kappa)
    )
    # The margin trails its edge by x, and rubs on what that edge left there a moment ago.
    angle = np.asarray(contact.margin_angle)
    rub = mean_decay(-1j * angle) - mean_decay((s - 1j) * angle)
    margin = (1 + 1j * np.asarray(contact.friction)) * np.asarray(contact.margin_stiffness) * rub
    z: NDArray[np.complex128] = n_teeth / 2 * ((K_r + 1j * K_t) * regeneration + ploughing + margin)
    return z


def mean_decay(turn: ArrayLike) -> NDArray[np.complex128]:
    r"""Return the mean of :math:`e^{-sx}` over 0 < x < Δ.

    Parameters
    ----------
    turn : array_like of complex
        The product s Δ. [-]

    Returns
    -------
    ndarray of complex
        :math:`(1 - e^{-s\Delta}) / (s\Delta)`, 1 at 0. [-]
    """
    turn = np.asarray(turn, dtype=np.complex128)
    still = turn == 0
    mean: NDArray[np.complex128] = np.where(
        still, 1.0, -np.expm1(-turn) / np.where(still, 1.0, turn)
    )
    return mean


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
