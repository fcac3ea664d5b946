"""Cutting forces by Kienzle's law, for drills and reamers.

The work material gives k_c1.1 and m_c; the tool gives chip thickness and section; named factors
correct for speed, tool material, wear and the way the chip is squeezed. A second way to the same
drill forces stands in :mod:`holewright.cutting.handbook_drilling`; the two are held to each other
by test.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from holewright.cutting.chip import chip_thickness
from holewright.cutting.domain import (
    Array,
    half_point_angle,
    lead_angle,
    not_negative,
    positive,
    pre_drilled,
)

DRILL_THRUST_SHARE = 0.7
"""Thrust of a solid drill over k_c f D/2, chisel edge included. Trade texts give 0.7; half the
sine of half the point angle (0.43 at 118 degrees), also met, leaves the chisel edge out."""

NORMAL_SHARE = 0.5
"""Force normal to a reamer's edge over the tangential one, sharp tool. From memory."""

EDGE_FORCE = 6.0
"""Ploughing force for each mm of edge; 4 to 10 in steel, from memory. [N/mm]"""


def specific_cutting_force(kc11: ArrayLike, mc: ArrayLike, h: ArrayLike) -> Array:
    r"""Return the specific cutting force at a chip thickness.

    .. math:: k_c = k_{c1.1} h^{-m_c}

    Parameters
    ----------
    kc11 : array_like
        Specific cutting force at h = b = 1 mm, more than 0. [N/mm²]
    mc : array_like
        Its exponent, 0 or more. [-]
    h : array_like
        Uncut chip thickness, more than 0. [mm]

    Returns
    -------
    ndarray
        Specific cutting force k_c. [N/mm²]

    Notes
    -----
    Fitted over h from about 0.05 to 2.5 mm. Reamers run at 0.02 to 0.12 mm: below 0.05 this is
    an extrapolation, good to some 40 %, and :func:`reaming_edge_torque` should be added.

    References
    ----------
    .. [1] O. Kienzle, "Die Bestimmung von Kräften und Leistungen an spanenden Werkzeugen und
       Werkzeugmaschinen", VDI-Z 94 (1952) 299-305. From memory.

    Examples
    --------
    >>> round(float(specific_cutting_force(2500.0, 0.26, 0.0707)), -1)
    4980.0
    """
    return positive("kc11", kc11) * positive("h", h) ** -not_negative("mc", mc)


def drilling_torque(
    kc11: ArrayLike,
    mc: ArrayLike,
    DC: ArrayLike,
    f: ArrayLike,
    SIG: ArrayLike = 118.0,
    *,
    correction: ArrayLike = 1.0,
    d0: ArrayLike = 0.0,
) -> Array:
    r"""Return the torque of a two-edged drill.

    .. math:: M = k_c f (D^2 - d_0^2) / 8, \quad h = (f / 2) \sin(\sigma / 2)

    Parameters
    ----------
    kc11, mc : array_like
        Constants of the work material. [N/mm², -]
    DC : array_like
        Cutting diameter, more than 0. [mm]
    f : array_like
        Feed per revolution, more than 0. [mm/rev]
    SIG : array_like
        Point angle. [deg]
    correction : array_like
        Product of the corrections, see :mod:`holewright.cutting.correction`. [-]
    d0 : array_like
        Diameter of a pre-drilled hole, 0 for solid metal. [mm]

    Returns
    -------
    ndarray
        Torque. [N·mm]

    Notes
    -----
    The uncorrected torque is some 30 % low for an HSS drill in steel. The friction of chips in
    deep flutes is not in it.

    Examples
    --------
    C45, drill 10, 0.2 mm/rev, uncorrected:

    >>> round(float(drilling_torque(2220.0, 0.14, 10.0, 0.2)) / 1000, 2)
    7.83
    """
    outer, inner = pre_drilled(DC, d0)
    feed = positive("f", f)
    h = feed / 2 * np.sin(half_point_angle(SIG))
    k_c = specific_cutting_force(kc11, mc, h)
    return positive("correction", correction) * k_c * feed * (outer**2 - inner**2) / 8


def drilling_thrust(
    kc11: ArrayLike,
    mc: ArrayLike,
    DC: ArrayLike,
    f: ArrayLike,
    SIG: ArrayLike = 118.0,
    *,
    correction: ArrayLike = 1.0,
    share: ArrayLike = DRILL_THRUST_SHARE,
) -> Array:
    r"""Return the thrust of a two-edged drill in solid metal.

    .. math:: F_f = c k_c f D / 2

    Parameters
    ----------
    kc11, mc : array_like
        Constants of the work material. [N/mm², -]
    DC : array_like
        Cutting diameter, more than 0. [mm]
    f : array_like
        Feed per revolution, more than 0. [mm/rev]
    SIG : array_like
        Point angle. [deg]
    correction : array_like
        Product of the corrections. [-]
    share : array_like
        The factor c: 0.7 for a common point, less for a thinned web. [-]

    Returns
    -------
    ndarray
        Thrust. [N]

    Notes
    -----
    Thrust is the weaker half of the method: the chisel edge makes half of it and follows no
    chip law. Expect 30 % either way.
    """
    feed = positive("f", f)
    h = feed / 2 * np.sin(half_point_angle(SIG))
    k_c = specific_cutting_force(kc11, mc, h)
    section = feed * positive("DC", DC) / 2
    return positive("share", share) * positive("correction", correction) * k_c * section


def reaming_torque(
    kc11: ArrayLike,
    mc: ArrayLike,
    DC: ArrayLike,
    d0: ArrayLike,
    f: ArrayLike,
    ZEFP: ArrayLike,
    KAPR: ArrayLike,
    *,
    correction: ArrayLike = 1.0,
) -> Array:
    r"""Return the torque of the chips on a reamer's lead.

    .. math:: M = k_c f (D^2 - d_0^2) / 8, \quad h = (f / N) \sin\kappa_r

    Parameters
    ----------
    kc11, mc : array_like
        Constants of the work material. [N/mm², -]
    DC : array_like
        Cutting diameter, more than 0. [mm]
    d0 : array_like
        Diameter of the drilled hole, less than DC. [mm]
    f : array_like
        Feed per revolution, more than 0. [mm/rev]
    ZEFP : array_like
        Teeth. [-]
    KAPR : array_like
        Lead angle. [deg]
    correction : array_like
        Product of the corrections. [-]

    Returns
    -------
    ndarray
        Torque. [N·mm]

    Notes
    -----
    The friction of the lands in the hole is not in it, and can be as large.

    Examples
    --------
    42CrMo4, 10 from 9.8, six teeth, 0.1 mm/tooth, 45 degrees:

    >>> round(float(reaming_torque(2500.0, 0.26, 10.0, 9.8, 0.6, 6, 45.0)) / 1000, 3)
    1.479
    """
    outer, inner = pre_drilled(DC, d0)
    feed = positive("f", f)
    h = chip_thickness(feed / positive("ZEFP", ZEFP), KAPR)
    k_c = specific_cutting_force(kc11, mc, h)
    return positive("correction", correction) * k_c * feed * (outer**2 - inner**2) / 8


def reaming_thrust(
    kc11: ArrayLike,
    mc: ArrayLike,
    DC: ArrayLike,
    d0: ArrayLike,
    f: ArrayLike,
    ZEFP: ArrayLike,
    KAPR: ArrayLike,
    *,
    correction: ArrayLike = 1.0,
    share: ArrayLike = NORMAL_SHARE,
) -> Array:
    r"""Return the thrust of a reamer.

    .. math:: F_f = c \sin\kappa_r \, k_c f (D - d_0) / 2

    Parameters
    ----------
    kc11, mc : array_like
        Constants of the work material. [N/mm², -]
    DC : array_like
        Cutting diameter, more than 0. [mm]
    d0 : array_like
        Diameter of the drilled hole, less than DC. [mm]
    f : array_like
        Feed per revolution, more than 0. [mm/rev]
    ZEFP : array_like
        Teeth. [-]
    KAPR : array_like
        Lead angle. [deg]
    correction : array_like
        Product of the corrections. [-]
    share : array_like
        Force normal to the edge over the tangential force. [-]

    Returns
    -------
    ndarray
        Thrust. [N]
    """
    outer, inner = pre_drilled(DC, d0)
    feed = positive("f", f)
    kappa = lead_angle(KAPR)
    h = feed / positive("ZEFP", ZEFP) * np.sin(kappa)
    tangential = specific_cutting_force(kc11, mc, h) * feed * (outer - inner) / 2
    return (
        positive("share", share) * np.sin(kappa) * positive("correction", correction) * tangential
    )


def reaming_edge_torque(
    DC: ArrayLike,
    d0: ArrayLike,
    ZEFP: ArrayLike,
    KAPR: ArrayLike,
    *,
    edge_force: ArrayLike = EDGE_FORCE,
) -> Array:
    r"""Return the torque of ploughing under a reamer's edges, which no feed makes smaller.

    .. math:: M_e = N K_e b (D + d_0) / 4, \quad b = (D - d_0) / (2 \sin\kappa_r)

    Parameters
    ----------
    DC : array_like
        Cutting diameter, more than 0. [mm]
    d0 : array_like
        Diameter of the drilled hole, less than DC. [mm]
    ZEFP : array_like
        Teeth. [-]
    KAPR : array_like
        Lead angle. [deg]
    edge_force : array_like
        Ploughing force K_e for each mm of edge. [N/mm]

    Returns
    -------
    ndarray
        Torque to add to :func:`reaming_torque`. [N·mm]

    Notes
    -----
    About 4 % of the torque at h = 0.07 mm, a tenth at 0.02 mm.
    """
    outer, inner = pre_drilled(DC, d0)
    b = (outer - inner) / 2 / np.sin(lead_angle(KAPR))
    force = not_negative("edge_force", edge_force) * b
    return positive("ZEFP", ZEFP) * force * (outer + inner) / 4
