"""Specific cutting force by group of VDI 3323: a second system, kept apart from the first.

Its values lie lower than the classic ones for steel, since it assumes positive carbide with chip
formers, and no corrections belong to it. It is good for a second opinion on a force. Constants
of one system must never meet corrections of the other: functions here take none, and
:func:`holewright.cutting.correction.hole_correction` refuses this system.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import ArrayLike

from holewright.cutting.domain import Array
from holewright.cutting.force import reaming_torque, specific_cutting_force
from holewright.errors import InputError, NoAnswerError
from holewright.reference.tables import cite, table
from holewright.shop.material import Material

_COLUMNS = ("group", "iso513", "families", "material", "hb", "kc11", "mc", "kc_system")


@dataclass(frozen=True)
class GroupForce:
    """A row of the table.

    Parameters
    ----------
    group : int
        Group of VDI 3323, 1 to 41. [-]
    iso513 : tuple of str
        Main groups of ISO 513.
    families : tuple of str
        Families of our materials that may be looked up in it.
    material : str
        What the group holds, in words.
    hb : float, optional
        Hardness. [HB]
    kc11 : float
        Specific cutting force at 1 mm x 1 mm, in this system. [N/mm²]
    mc : float, optional
        Its exponent; None for the hardened groups, where none is printed. [-]
    source : str
        Where it comes from, in words.
    """

    group: int
    iso513: tuple[str, ...]
    families: tuple[str, ...]
    material: str
    hb: float | None
    kc11: float
    mc: float | None
    source: str


@cache
def list_groups() -> tuple[GroupForce, ...]:
    """Return all rows of ``reference/kienzle_groups.csv``."""
    return tuple(
        GroupForce(
            group=int(row["group"]),
            iso513=tuple(row["iso513"].split("/")),
            families=tuple(row["families"].split()),
            material=row["material"],
            hb=float(row["hb"]) if row["hb"] else None,
            kc11=float(row["kc11"]),
            mc=float(row["mc"]) if row["mc"] else None,
            source=cite(row["source"]),
        )
        for row in table("kienzle_groups", _COLUMNS)
    )


def group_force(group: int) -> GroupForce:
    """Return the row of a group.

    Parameters
    ----------
    group : int
        Group of VDI 3323. [-]

    Returns
    -------
    GroupForce
        Its row.

    Raises
    ------
    InputError
        If the table has no such group.
    """
    for row in list_groups():
        if row.group == group:
            return row
    known = ", ".join(str(row.group) for row in list_groups())
    raise InputError("group", group, f"must be one of {known}")


def nearest_group(material: Material) -> GroupForce | None:
    """Return the group of a material's family that is nearest to it in hardness.

    Parameters
    ----------
    material : Material
        Work material, with the hardness of this job.

    Returns
    -------
    GroupForce or None
        None for a family that no group is meant for, and for a steel hardened to group H.
    """
    rows = [
        row
        for row in list_groups()
        if material.family in row.families and material.iso513 in row.iso513
    ]
    hb = material.hardness_hb.value
    return min(
        rows, key=lambda row: abs(np.log((row.hb or hb) / hb)) + (row.mc is None), default=None
    )


def group_cutting_force(group: int, h: ArrayLike) -> Array:
    r"""Return the specific cutting force of a group at a chip thickness.

    .. math:: k_c = k_{c1.1} h^{-m_c}

    Parameters
    ----------
    group : int
        Group of VDI 3323. [-]
    h : array_like
        Uncut chip thickness, more than 0. [mm]

    Returns
    -------
    ndarray
        Specific cutting force k_c, to be used as it is. [N/mm²]

    Raises
    ------
    InputError
        If the table has no such group.
    NoAnswerError
        If no exponent is printed for it: groups 38 to 41.
    """
    kc11, mc = _constants(group)
    return specific_cutting_force(kc11, mc, h)


def group_reaming_torque(
    group: int, DC: ArrayLike, d0: ArrayLike, f: ArrayLike, ZEFP: ArrayLike, KAPR: ArrayLike
) -> Array:
    """Return the torque of a reamer by the constants of a group, without any correction.

    Parameters
    ----------
    group : int
        Group of VDI 3323. [-]
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

    Returns
    -------
    ndarray
        Torque of a sharp carbide reamer. [N·mm]

    Raises
    ------
    InputError, NoAnswerError
        As :func:`group_cutting_force`.

    Examples
    --------
    Low-alloy steel, quenched and tempered, 10 from 9.8, six teeth, 0.6 mm/rev:

    >>> round(float(group_reaming_torque(8, 10.0, 9.8, 0.6, 6, 45.0)) / 1000, 2)
    0.97
    """
    kc11, mc = _constants(group)
    return reaming_torque(kc11, mc, DC, d0, f, ZEFP, KAPR)


def _constants(group: int) -> tuple[float, float]:
    row = group_force(group)
    if row.mc is None:
        raise NoAnswerError(
            f"VDI 3323 group {group}, {row.material}: no exponent is printed, so its force at a "
            "chip thickness other than 1 mm isn't known"
        )
    return row.kc11, row.mc
