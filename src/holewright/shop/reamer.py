"""Reamers."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from holewright.uncertainty import Known


class ReamerKind(StrEnum):
    """Reamers by tool material and build; the three speed regimes are a factor 10 apart."""

    HSS = "HSS"
    CARBIDE_TIPPED = "carbide tipped"
    COATED_CARBIDE = "coated carbide, multi-tooth"


class Helix(StrEnum):
    """Which way the flutes push the chips of a right-hand cutting reamer."""

    STRAIGHT = "straight"
    LEFT = "left"
    """Chips go forward, out of the far side: for through holes."""
    RIGHT = "right"
    """Chips come back: for blind holes."""


class CoolantExit(StrEnum):
    """Where coolant leaves the reamer."""

    NONE = "none"
    SIDE = "side"
    """At the flutes, washing chips forward: for through holes."""
    FRONT = "front"
    """At the face, washing chips back: for blind holes."""


@dataclass(frozen=True)
class Reamer:
    """A reamer, in symbols of ISO 13399. Label and measured size are different fields.

    Parameters
    ----------
    id : str
        Name in the tool room.
    label : str
        What is etched on it, e.g. ``8 H7`` or ``.3130``. Never taken as a measurement.
    kind : ReamerKind
        Tool material and build.
    DC : Known
        Cutting diameter behind the lead: measured, or what its label and its make
        tolerance allow, with their uncertainty. [mm]
    ZEFP : int
        Effective cutting edges. [-]
    KAPR : float
        Lead angle to the axis. [deg]
    lead : float
        Length of the lead along the axis. [mm]
    LU : float
        Usable length. [mm]
    OAL : float
        Overall length. [mm]
    DMM : float
        Shank or neck diameter where it bends most. [mm]
    helix : Helix
        Flute hand.
    coolant_exit : CoolantExit
        Where coolant leaves it.
    core : float
        Core diameter as a share of DC. [-]
    edge_radius : float
        Cutting edge radius. [mm]
    price : float
        Price of one tool, in the shop's currency.
    life_holes : Known
        Holes that one reamer is expected to make. [-]
    owned : bool
        Whether it lies in the drawer; otherwise it would have to be bought.
    """

    id: str
    label: str
    kind: ReamerKind
    DC: Known
    ZEFP: int
    KAPR: float
    lead: float
    LU: float
    OAL: float
    DMM: float
    helix: Helix
    coolant_exit: CoolantExit
    core: float
    edge_radius: float
    price: float
    life_holes: Known
    owned: bool = True
