"""Tool holders."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from holewright.uncertainty import Known


class HolderKind(StrEnum):
    """Holders by how they grip."""

    DRILL_CHUCK = "drill chuck"
    SIDE_LOCK = "side lock"
    COLLET = "collet"
    MILLING_CHUCK = "milling chuck"
    HYDRAULIC = "hydraulic"
    SHRINK = "shrink-fit"
    FLOATING = "floating"


@dataclass(frozen=True)
class Holder:
    """A holder.

    Parameters
    ----------
    id : str
        Name in the tool room.
    kind : HolderKind
        How it grips.
    tir : Known
        Total indicator runout at the reamer's lead: measured, or typical of the kind. [mm]
    stiffness : float
        Radial stiffness of holder and spindle at the tool's clamping face. [N/mm]
    DMM_min, DMM_max : float
        Shanks that it takes. [mm]
    change_s : float
        Time to change a tool in it and set its length. [s]
    BD : float
        Diameter of its nose, for collisions; 40 mm where nobody says (common practice, no
        source). [mm]
    """

    id: str
    kind: HolderKind
    tir: Known
    stiffness: float = 20000.0
    DMM_min: float = 1.0
    DMM_max: float = 32.0
    change_s: float = 300.0
    BD: float = 40.0
