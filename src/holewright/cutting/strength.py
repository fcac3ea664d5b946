"""Whether the tool stands the cut: torsion, buckling and side stiffness."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from holewright.cutting.domain import Array, between, positive
from holewright.errors import InputError
from holewright.reference.tables import cite, table

BREAKING_SAFETY = 1.5
"""Safety of a drill against the stress at which weak ones broke. [-] Own judgement: 2 would
refuse small HSS drills that shops run every day."""

EULER_SAFETY = 3.0
"""Safety against buckling. [-] Common practice, no source."""

DRILL_TORSION_CORE = 0.6
"""Diameter of the plain bar that twists off at the same torque as a two-fluted drill, as a
share of DC. Our judgement: it puts an HSS drill of 10 mm at some 34 N·m for 800 MPa."""

FLUTED_BEND_CORE = 0.75
"""Diameter of the plain bar that bends like a fluted tool, as a share of DC. From memory."""


@dataclass(frozen=True)
class ToolMaterial:
    """What a tool's body stands.

    Parameters
    ----------
    substrate : str
        ``HSS``, ``carbide`` or ``tipped``.
    e_modulus : float
        Young's modulus. [MPa]
    shear_allowable : float
        Shear stress allowed in steady cutting. [MPa]
    shear_lo : float
        Shear stress at which weak ones have been known to break. [MPa]
    source : str
        Where the figures come from, in words.
    """

    substrate: str
    e_modulus: float
    shear_allowable: float
    shear_lo: float
    source: str


def tool_material(substrate: str) -> ToolMaterial:
    """Return modulus and allowable stress of a tool material.

    Parameters
    ----------
    substrate : str
        ``HSS``, ``carbide``, or ``tipped`` for carbide tips on a steel body.

    Returns
    -------
    ToolMaterial
        Its figures, common practice without a source.

    Raises
    ------
    InputError
        If there is no such row.
    """
    rows = table("tool_materials", ("substrate", "e_modulus", "shear_lo", "shear_allowable"))
    for row in rows:
        if row["substrate"] == substrate:
            return ToolMaterial(
                substrate,
                float(row["e_modulus"]),
                float(row["shear_allowable"]),
                float(row["shear_lo"]),
                cite(row["source"]),
            )
    known = ", ".join(row["substrate"] for row in rows)
    raise InputError("substrate", substrate, f"must be one of {known}")


def torsion_stress(torque: ArrayLike, DC: ArrayLike, core: ArrayLike = DRILL_TORSION_CORE) -> Array:
    r"""Return the shear stress of a fluted tool in torsion.

    .. math:: \tau = 16 M / (\pi (c D)^3)

    Parameters
    ----------
    torque : array_like
        Torque. [N·mm]
    DC : array_like
        Cutting diameter, more than 0. [mm]
    core : array_like
        Diameter of the plain bar that stands for the tool, as a share c of DC; for a reamer
        its core. [-]

    Returns
    -------
    ndarray
        Shear stress. [MPa]

    Notes
    -----
    A plain bar stands for the fluted one: for a reamer the teeth are left out, which is safe;
    for a drill the share is a judgement. Notches of flutes and coolant channels are not in it.
    """
    diameter = between("core", core, 0.05, 1.0) * positive("DC", DC)
    return 16 * np.asarray(torque, dtype=np.float64) / (np.pi * diameter**3)


def drill_torque_allowed(DC: ArrayLike, substrate: str) -> Array:
    r"""Return the torque that a drill stands, the inverse of :func:`torsion_stress`.

    .. math:: M = \tau \pi (c D)^3 / 16

    Parameters
    ----------
    DC : array_like
        Cutting diameter, more than 0. [mm]
    substrate : str
        ``HSS`` or ``carbide``.

    Returns
    -------
    ndarray
        Torque at two thirds of the stress at which weak ones have been known to break. [N·mm]

    Raises
    ------
    InputError
        If there is no such tool material.
    """
    stress = tool_material(substrate).shear_lo / BREAKING_SAFETY
    return stress * np.pi * (DRILL_TORSION_CORE * positive("DC", DC)) ** 3 / 16


def tool_stiffness(
    DMM: ArrayLike,
    length: ArrayLike,
    e_modulus: ArrayLike,
    holder_stiffness: ArrayLike = np.inf,
) -> Array:
    r"""Return the side stiffness at the tip of a tool: cantilever and holder in series.

    .. math:: k = 1 / \bigl( L^3 / (3 E I) + 1 / k_h \bigr), \quad I = \pi d^4 / 64

    Parameters
    ----------
    DMM : array_like
        Diameter where the tool bends: shank or neck; 0.75 DC for a tool fluted to its shank.
        [mm]
    length : array_like
        Stick-out. [mm]
    e_modulus : array_like
        Young's modulus of the body. [MPa]
    holder_stiffness : array_like
        Radial stiffness of holder and spindle at the clamping face; infinite if left out.
        [N/mm]

    Returns
    -------
    ndarray
        Stiffness at the tip. [N/mm]

    Notes
    -----
    The holder's tilt and shear of short tools are left out: below a stick-out of three
    diameters the figure is too high.

    Examples
    --------
    Carbide, fluted 10 mm, 50 mm out, in a rigid holder:

    >>> round(float(tool_stiffness(7.5, 50.0, 600e3)), -1)
    2240.0
    """
    inertia = np.pi * positive("DMM", DMM) ** 4 / 64
    beam = 3 * positive("e_modulus", e_modulus) * inertia / positive("length", length) ** 3
    return 1 / (1 / beam + 1 / positive("holder_stiffness", holder_stiffness))


def buckling_load(
    DC: ArrayLike,
    length: ArrayLike,
    e_modulus: ArrayLike,
    *,
    guided: bool = False,
    core: ArrayLike = FLUTED_BEND_CORE,
) -> Array:
    r"""Return the thrust at which a slim drill buckles (Euler).

    .. math:: F = \pi^2 E I / (K L)^2, \quad I = \pi (c D)^4 / 64

    Parameters
    ----------
    DC : array_like
        Cutting diameter, more than 0. [mm]
    length : array_like
        Length from the holder to the tip. [mm]
    e_modulus : array_like
        Young's modulus. [MPa]
    guided : bool
        Whether the tip is held in a bush or a started hole: K = 0.699; else free, K = 2.
    core : array_like
        Diameter of the plain bar that bends like the drill, as a share c of DC. [-]

    Returns
    -------
    ndarray
        Critical thrust; work at a third of it or less. [N]

    Notes
    -----
    Euler's column, so right for lengths over some 20 diameters and too high below; torque,
    which lowers it, is not in it.

    References
    ----------
    .. [1] S. Timoshenko and J. Gere, "Theory of Elastic Stability", ch. 2. From memory.
    """
    inertia = np.pi * (between("core", core, 0.05, 1.0) * positive("DC", DC)) ** 4 / 64
    free_length = (0.699 if guided else 2.0) * positive("length", length)
    return np.pi**2 * positive("e_modulus", e_modulus) * inertia / free_length**2


def bending_stress(force: ArrayLike, length: ArrayLike, DMM: ArrayLike) -> Array:
    r"""Return the bending stress where a tool leaves its holder.

    .. math:: \sigma = 32 F L / (\pi d^3)

    Parameters
    ----------
    force : array_like
        Side force at the tip. [N]
    length : array_like
        Stick-out, more than 0. [mm]
    DMM : array_like
        Diameter where the tool bends, more than 0. [mm]

    Returns
    -------
    ndarray
        Stress, changing sign with every turn: a matter of fatigue. [MPa]

    Examples
    --------
    20 N on the tip of a reamer with a shank of 8 mm, 60 mm out:

    >>> round(float(bending_stress(20.0, 60.0, 8.0)), 1)
    23.9
    """
    moment = np.asarray(force, dtype=np.float64) * positive("length", length)
    return 32 * moment / (np.pi * positive("DMM", DMM) ** 3)
