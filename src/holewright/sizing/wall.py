"""What a clamp does to a thin wall: lobes that appear when the part is let go."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

HARMONICS = 40
"""Terms of the series; the 40th adds less than 1e-9 of the first."""


def _series(jaws: NDArray[np.float64], at_jaw: bool) -> NDArray[np.float64]:
    """Return the sum over harmonics at a jaw (cos = 1) or midway between two (cos = ±1)."""
    m = np.arange(1, HARMONICS + 1, dtype=float)
    n = jaws[..., np.newaxis] * m
    sign = 1.0 if at_jaw else (-1.0) ** m
    total: NDArray[np.float64] = (sign / (n**2 - 1) ** 2).sum(axis=-1)
    return total


def clamp_deflection(
    force: ArrayLike,
    jaws: ArrayLike,
    bore: ArrayLike,
    wall: ArrayLike,
    length: ArrayLike,
    e_modulus: ArrayLike,
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    r"""Return how far a ring moves in at the jaws and out between them.

    .. math::
        w(\varphi) = \frac{J F R^3}{\pi E I} \sum_{m \ge 1} \frac{\cos(J m \varphi)}
        {((J m)^2 - 1)^2}, \quad I = L t^3 / 12

    Parameters
    ----------
    force : array_like
        Radial force of one jaw. [N]
    jaws : array_like
        Number of jaws J, evenly spaced, 2 or more. [-]
    bore : array_like
        Bore diameter. [mm]
    wall : array_like
        Wall t, thin against the bore. [mm]
    length : array_like
        Length L of the ring that the jaws hold. [mm]
    e_modulus : array_like
        Young's modulus E. [MPa]

    Returns
    -------
    inward, outward : ndarray
        Radial movement at a jaw, and midway between two. [mm]

    Notes
    -----
    A hole reamed round in the clamped part springs back to just this shape: as many lobes as
    jaws, the radius short by `outward` where it had bulged. A pin then feels twice that less.
    Thin ring, bending without stretch: good for a wall up to a tenth of the mean radius; a
    thicker wall moves less than this says.

    References
    ----------
    .. [1] Timoshenko, ring under equal radial loads, as a Fourier series; derived here. For
       three loads the first factor is 0.0159, against 0.016 in handbooks (from memory).
    """
    jaws = np.asarray(jaws, dtype=float)
    radius = (np.asarray(bore) + np.asarray(wall)) / 2
    inertia = np.asarray(length) * np.asarray(wall) ** 3 / 12
    scale = jaws * np.asarray(force) * radius**3 / (np.pi * np.asarray(e_modulus) * inertia)
    return scale * _series(jaws, at_jaw=True), -scale * _series(jaws, at_jaw=False)


def clamp_force_allowed(
    lobe: ArrayLike,
    jaws: ArrayLike,
    bore: ArrayLike,
    wall: ArrayLike,
    length: ArrayLike,
    e_modulus: ArrayLike,
) -> NDArray[np.float64]:
    """Return the force of one jaw that costs a pin no more than `lobe` on diameter.

    Parameters
    ----------
    lobe : array_like
        What a pin may lose on diameter. [mm]
    jaws, bore, wall, length, e_modulus
        As in :func:`clamp_deflection`.

    Returns
    -------
    ndarray
        Force of one jaw. [N]
    """
    _, outward = clamp_deflection(1.0, jaws, bore, wall, length, e_modulus)
    force: NDArray[np.float64] = np.asarray(lobe) / (2 * outward)
    return force
