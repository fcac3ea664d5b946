"""Drilling thrust and torque by the handbook's method: a second way, measured with HSS drills.

Sibling of :mod:`holewright.cutting.force`. It knows the chisel edge and needs no corrections for
HSS; it knows far fewer materials.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from holewright.cutting.domain import Array, between, positive
from holewright.errors import NoAnswerError
from holewright.reference.tables import cite, table

STANDARD_CHISEL = 0.18
"""Length of the chisel edge over DC, common point. [-]"""

SPLIT_POINT_CHISEL = 0.03
"""The same for a split point. [-]"""

WORN = 1.3
"""The handbook's allowance for wear in production drilling; 1 for a sharp drill. From memory."""


@dataclass(frozen=True)
class WorkConstant:
    """How a work material resists the drill.

    Parameters
    ----------
    torque, thrust : float
        The constant K_d for torque and for thrust: the same number in SI and in inches. [-]
    source : str
        Where it comes from, in words.
    """

    torque: float
    thrust: float
    source: str


def work_constant(family: str, hb: float) -> WorkConstant:
    """Return the handbook's work material constant.

    Parameters
    ----------
    family : str
        Family of the work material, as in :class:`holewright.shop.material.Material`.
    hb : float
        Brinell hardness; between two rows of a family the constant is interpolated, beyond
        them that of the last row is taken. [HB]

    Returns
    -------
    WorkConstant
        Constants for torque and thrust.

    Raises
    ------
    NoAnswerError
        If the table has no row of the family.
    """
    columns = ("material", "families", "hb", "kd_torque", "kd_thrust")
    rows = [
        row
        for row in table("drilling_work_constants", columns)
        if family in row["families"].split()
    ]
    if not rows:
        raise NoAnswerError(f"{family}: the handbook's method of drilling has no constant for it")
    at = [float(row["hb"] or 0.0) for row in rows]
    torque = float(np.interp(hb, at, [float(row["kd_torque"]) for row in rows]))
    thrust = float(np.interp(hb, at, [float(row["kd_thrust"]) for row in rows]))
    source = f"{cite('handbook-drilling-method')}; constant {cite(rows[0]['source'])}"
    return WorkConstant(torque, thrust, source)


def handbook_torque(
    work: ArrayLike,
    DC: ArrayLike,
    f: ArrayLike,
    *,
    chisel: ArrayLike = STANDARD_CHISEL,
    wear: ArrayLike = 1.0,
) -> Array:
    r"""Return the torque of a two-edged HSS drill in solid metal.

    .. math:: M = K_d f^{0.8} D^{1.8} A W / 40

    Parameters
    ----------
    work : array_like
        Work material constant K_d for torque. [-]
    DC : array_like
        Cutting diameter, more than 0. [mm]
    f : array_like
        Feed per revolution, more than 0. [mm/rev]
    chisel : array_like
        Length of the chisel edge over DC, 0.03 to 0.40. [-]
    wear : array_like
        Wear factor W: 1 sharp, 1.3 in production. [-]

    Returns
    -------
    ndarray
        Torque. [N·mm]

    Notes
    -----
    The book tabulates f^0.8, D^0.8 and D^1.8; the powers reproduce all 44 feed and 32 metric
    diameter rows but one, a misprint.

    References
    ----------
    .. [1] Machinery's Handbook, 31st edition, pp. 1152-1153. Constants K_d from memory.
    """
    factor = _chisel_factor("a_torque", chisel)
    cut = positive("f", f) ** 0.8 * positive("DC", DC) ** 1.8
    return positive("work", work) * cut * factor * positive("wear", wear) / 40


def handbook_thrust(
    work: ArrayLike,
    DC: ArrayLike,
    f: ArrayLike,
    *,
    chisel: ArrayLike = STANDARD_CHISEL,
    wear: ArrayLike = 1.0,
) -> Array:
    r"""Return the thrust of a two-edged HSS drill in solid metal.

    .. math:: T = K_d W (0.05\, f^{0.8} D^{0.8} B + 0.007\, D^2 J)

    Parameters
    ----------
    work : array_like
        Work material constant K_d for thrust. [-]
    DC : array_like
        Cutting diameter, more than 0. [mm]
    f : array_like
        Feed per revolution, more than 0. [mm/rev]
    chisel : array_like
        Length of the chisel edge over DC, 0.03 to 0.40. [-]
    wear : array_like
        Wear factor W: 1 sharp, 1.3 in production. [-]

    Returns
    -------
    ndarray
        Thrust. [N]

    References
    ----------
    .. [1] Machinery's Handbook, 31st edition, pp. 1152-1153. Constants K_d from memory.
    """
    diameter = positive("DC", DC)
    edges = 0.05 * positive("f", f) ** 0.8 * diameter**0.8 * _chisel_factor("b_thrust", chisel)
    point = 0.007 * diameter**2 * _chisel_factor("j_thrust", chisel)
    return positive("work", work) * positive("wear", wear) * (edges + point)


def _chisel_factor(name: str, chisel: ArrayLike) -> Array:
    columns = ("c_over_d", "a_torque", "b_thrust", "j_thrust")
    rows: Sequence[dict[str, float]] = [
        {key: float(row[key]) for key in columns} for row in table("drilling_factors", columns)
    ]
    at = [row["c_over_d"] for row in rows]
    ratio = between("chisel", chisel, at[0], at[-1])
    return np.asarray(np.interp(ratio, at, [row[name] for row in rows]))
