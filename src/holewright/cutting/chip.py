"""The chip that each tooth takes: its thickness, its width, and when it is none.

A reamer cuts on its lead. The stock, always given on diameter, sets the width of the chip; the
feed per tooth and the lead angle set its thickness. Below a share of the edge radius metal is
pushed aside instead of cut: the tooth rubs.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from holewright.cutting.domain import Array, lead_angle, not_negative, positive
from holewright.cutting.teeth import radial_error, tooth_angles


def chip_thickness(f_z: ArrayLike, KAPR: ArrayLike) -> Array:
    r"""Return the uncut chip thickness on a straight edge.

    .. math:: h = f_z \sin \kappa_r

    Parameters
    ----------
    f_z : array_like
        Feed per tooth, 0 or more; for a drill half the feed per revolution. [mm/tooth]
    KAPR : array_like
        Angle of the edge to the axis: the lead angle of a reamer, half the point angle
        of a drill. [deg]

    Returns
    -------
    ndarray
        Uncut chip thickness h. [mm]

    References
    ----------
    .. [1] ISO 3002-3, geometric and kinematic quantities in cutting.

    Examples
    --------
    >>> round(float(chip_thickness(0.1, 45.0)), 4)
    0.0707
    """
    return not_negative("f_z", f_z) * np.sin(lead_angle(KAPR))


def chip_width(stock: ArrayLike, KAPR: ArrayLike) -> Array:
    r"""Return the width of the chip on a reamer's lead.

    .. math:: b = a_p / \sin \kappa_r, \quad a_p = \text{stock} / 2

    Parameters
    ----------
    stock : array_like
        Stock on diameter, 0 or more. [mm]
    KAPR : array_like
        Lead angle to the axis. [deg]

    Returns
    -------
    ndarray
        Width of cut b. [mm]
    """
    return not_negative("stock", stock) / 2 / np.sin(lead_angle(KAPR))


def chip_thickness_by_tooth(
    f: ArrayLike,
    KAPR: ArrayLike,
    *,
    tooth_error: ArrayLike,
    eccentricity: ArrayLike = 0.0,
    high_side: ArrayLike = 0.0,
    spacing: ArrayLike | None = None,
) -> Array:
    r"""Return what each tooth of a rigid tool cuts, with runout and unequal teeth.

    With :math:`d_i = \delta_i + e \cos(\psi_i - \psi_e)` the radial error of tooth i, and
    :math:`g_{im}` the turn from tooth i to the m-th tooth ahead of it,

    .. math:: h_i = \max\Bigl(0, \min_{m = 1 \dots N}
        \bigl[ f g_{im} / 2\pi \, \sin\kappa_r + (d_i - d_{i+m}) \cos\kappa_r \bigr]\Bigr)

    Parameters
    ----------
    f : array_like
        Feed per revolution, more than 0; shape (...). [mm/rev]
    KAPR : array_like
        Lead angle; shape (...). [deg]
    tooth_error : array_like
        Radial error of each tooth at the lead; shape (..., N), zeros for a true tool. [mm]
    eccentricity : array_like
        Eccentricity e at the lead, half the TIR; shape (...). [mm]
    high_side : array_like
        Angle of the eccentricity; shape (...). [rad]
    spacing : array_like, optional
        Angles of the teeth, rising, from 0 to under 2π, shape (N,); evenly spaced if left
        out. [rad]

    Returns
    -------
    ndarray
        Uncut chip thickness of each tooth; 0 where a tooth finds nothing. Shape (..., N). [mm]

    Raises
    ------
    OutOfRangeError
        If the angles don't rise from 0 to under 2π.

    Notes
    -----
    Over a turn the thicknesses add up to f sin κ_r, whatever the errors: what one tooth leaves
    the next must take. The tool doesn't give way here; a slim tool centres itself and the
    thicknesses come nearer to each other.

    References
    ----------
    .. [1] Derived here; multiple regeneration as in time-domain models of milling.
    """
    error = np.atleast_1d(np.asarray(tooth_error, dtype=np.float64))
    teeth = error.shape[-1]
    psi = tooth_angles(teeth, spacing)
    kappa = lead_angle(KAPR)[..., None]
    d = radial_error(error, psi, eccentricity, high_side)
    feed = positive("f", f)[..., None] / (2 * np.pi)
    thickness: Array = np.asarray(np.inf)
    for m in range(1, teeth + 1):
        turn = (np.roll(psi, -m) - psi) % (2 * np.pi) if m < teeth else 2 * np.pi
        lower = (d - np.roll(d, -m, axis=-1)) * np.cos(kappa)
        thickness = np.minimum(thickness, feed * turn * np.sin(kappa) + lower)
    return np.maximum(thickness, 0.0)


def greatest_runout(f_z: ArrayLike, KAPR: ArrayLike, ZEFP: ArrayLike) -> Array:
    r"""Return the runout (TIR) above which a tooth of a rigid reamer no longer cuts.

    .. math:: \text{TIR} = f_z \tan\kappa_r / \sin(\pi / N)

    Parameters
    ----------
    f_z : array_like
        Feed per tooth, 0 or more. [mm/tooth]
    KAPR : array_like
        Lead angle, less than 90. [deg]
    ZEFP : array_like
        Teeth, 2 or more. [-]

    Returns
    -------
    ndarray
        Total indicator runout at the lead. [mm]

    Notes
    -----
    Evenly spaced teeth without errors of their own. Derived here from
    :func:`chip_thickness_by_tooth`.

    Examples
    --------
    A long lead forgives little:

    >>> greatest_runout(0.02, [45.0, 15.0], 6).round(4)
    array([0.04  , 0.0107])
    """
    return (
        not_negative("f_z", f_z)
        * np.tan(lead_angle(KAPR))
        / np.sin(np.pi / np.maximum(positive("ZEFP", ZEFP), 2))
    )


def least_chip_thickness(edge_radius: ArrayLike, ratio: ArrayLike = 0.3) -> Array:
    r"""Return the chip thickness below which an edge rubs.

    .. math:: h_{min} = \lambda_e r_n

    Parameters
    ----------
    edge_radius : array_like
        Cutting edge radius r_n, 0 or more. Fresh carbide 0.003 to 0.008, coated 0.008 to
        0.015, HSS 0.005 to 0.015, worn 0.020 to 0.040. [mm]
    ratio : array_like
        λ_e, more than 0; 0.2 to 0.4 as a rule, published from 0.05 to 0.45. [-]

    Returns
    -------
    ndarray
        Least chip thickness. [mm]

    References
    ----------
    .. [1] Range of λ_e from memory; reviewed in Wojciechowski, Materials 15 (2022) 59.
    """
    return positive("ratio", ratio) * not_negative("edge_radius", edge_radius)


def least_feed_per_tooth(
    edge_radius: ArrayLike,
    KAPR: ArrayLike,
    runout: ArrayLike,
    ZEFP: ArrayLike,
    *,
    ratio: ArrayLike = 0.3,
    margin: ArrayLike = 2.0,
) -> Array:
    r"""Return the least feed per tooth at which every tooth of a reamer still cuts.

    .. math:: f_z = \frac{m \lambda_e r_n + 2 e \sin(\pi / N) \cos\kappa_r}{\sin\kappa_r},
        \quad e = \text{TIR} / 2

    Parameters
    ----------
    edge_radius : array_like
        Cutting edge radius, 0 or more. [mm]
    KAPR : array_like
        Lead angle. [deg]
    runout : array_like
        Total indicator runout at the lead, 0 or more. [mm]
    ZEFP : array_like
        Teeth. [-]
    ratio : array_like
        Least chip thickness as a share of the edge radius. [-]
    margin : array_like
        Factor m on the least chip thickness. [-]

    Returns
    -------
    ndarray
        Least feed per tooth. [mm/tooth]

    Notes
    -----
    The tool is taken as rigid: a slim tool centres itself and would allow less feed. The
    factor of 2 on the least thickness is our judgement.

    References
    ----------
    .. [1] Derived here from the chip thickness with runout.

    Examples
    --------
    >>> least_feed_per_tooth(0.010, [45.0, 15.0], 0.0, 6, margin=1.0).round(4)
    array([0.0042, 0.0116])
    """
    kappa = lead_angle(KAPR)
    teeth = np.maximum(positive("ZEFP", ZEFP), 2)
    uneven = not_negative("runout", runout) * np.sin(np.pi / teeth) * np.cos(kappa)
    floor = positive("margin", margin) * least_chip_thickness(edge_radius, ratio)
    return (floor + uneven) / np.sin(kappa)
