"""Where the chips go: their bulk, the room for them, the way out, and when to peck."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import ArrayLike

from holewright.callout.callout import HoleKind
from holewright.cutting.chip import chip_thickness, chip_width
from holewright.cutting.domain import Array, between, not_negative, positive, pre_drilled
from holewright.reasons import Reason
from holewright.reference.tables import cite, table
from holewright.shop.drill import DrillKind
from holewright.shop.reamer import CoolantExit, Helix

CHIP_COMPRESSION_RATIO = 3.0
"""Thickness of a chip over that of the cut ζ. [-] From memory."""

CURL_RADIUS = 1.0
"""Radius at which a chip leaves the edge. [mm] From memory."""


class ChipForm(StrEnum):
    """Forms of chips, the most awkward first."""

    RIBBON = "ribbon"
    SNARLED = "snarled"
    LONG_HELICAL = "long helical"
    SHORT_HELICAL = "short helical"
    SPIRAL = "spiral"
    BROKEN = "broken"


@dataclass(frozen=True)
class BulkRatio:
    """How many times its own volume a heap of chips takes.

    Parameters
    ----------
    lo, hi : float
        Range of the ratio R. [-]
    source : str
        Where it comes from, in words.
    """

    lo: float
    hi: float
    source: str


def bulk_ratio(form: ChipForm) -> BulkRatio:
    """Return the ratio of bulk to solid volume of chips of a form.

    Parameters
    ----------
    form : ChipForm
        Form of the chips.

    Returns
    -------
    BulkRatio
        The range, from memory of the usual chart of chip forms.
    """
    rows = table("chip_forms", ("form", "bulk_lo", "bulk_hi"))
    row = next(row for row in rows if row["form"] == form)
    return BulkRatio(float(row["bulk_lo"]), float(row["bulk_hi"]), cite(row["source"]))


def chip_volume(DC: ArrayLike, d0: ArrayLike, depth: ArrayLike) -> Array:
    r"""Return the solid metal that a tool takes out of one hole.

    .. math:: V = (\pi / 4) (D^2 - d_0^2) L

    Parameters
    ----------
    DC : array_like
        Cutting diameter, more than 0. [mm]
    d0 : array_like
        Diameter of the drilled hole, 0 for solid metal. [mm]
    depth : array_like
        Depth, 0 or more. [mm]

    Returns
    -------
    ndarray
        Solid volume. [mm³]
    """
    outer, inner = pre_drilled(DC, d0)
    return np.pi / 4 * (outer**2 - inner**2) * not_negative("depth", depth)


def flute_area(DC: ArrayLike, core: ArrayLike, open_share: ArrayLike = 0.5) -> Array:
    r"""Return the free section of all flutes together.

    .. math:: A = s (\pi / 4) D^2 (1 - c^2)

    Parameters
    ----------
    DC : array_like
        Cutting diameter, more than 0. [mm]
    core : array_like
        Core diameter as a share c of DC. [-]
    open_share : array_like
        Share s of the ring around the core that the teeth leave open; one half is our
        judgement. [-]

    Returns
    -------
    ndarray
        Area. [mm²]
    """
    ring = 1 - between("core", core, 0.0, 1.0) ** 2
    return between("open_share", open_share, 0.0, 1.0) * np.pi / 4 * positive("DC", DC) ** 2 * ring


def chips_fit(area: ArrayLike, DC: ArrayLike, d0: ArrayLike, bulk: ArrayLike) -> Array:
    r"""Return how many times over a hole's chips fit into the flutes, with no coolant to help.

    .. math:: r = A / \bigl( R (\pi / 4) (D^2 - d_0^2) \bigr)

    Parameters
    ----------
    area : array_like
        Free section of all flutes, 0 or more. [mm²]
    DC : array_like
        Cutting diameter, more than 0. [mm]
    d0 : array_like
        Diameter of the drilled hole. [mm]
    bulk : array_like
        Ratio R of bulk to solid volume, 1 or more. [-]

    Returns
    -------
    ndarray
        Room over bulk: 1 or more fits, at any depth, since both grow with it. [-]

    Notes
    -----
    Below 1 the chips must be washed out while they are made, or the tool lifted.

    Examples
    --------
    Reamer 10 with 18 mm² of flutes, 0.2 stock on diameter: chips of bulk 5.8 just fit.

    >>> round(float(chips_fit(18.0, 10.0, 9.8, 5.79)), 2)
    1.0
    """
    solid = chip_volume(DC, d0, 1.0)
    return not_negative("area", area) / (between("bulk", bulk, 1.0, 1000.0) * solid)


def required_flute_area(removal_rate: ArrayLike, bulk: ArrayLike, chip_speed: ArrayLike) -> Array:
    """Return the free section through which chips of a bulk leave at a speed.

    Parameters
    ----------
    removal_rate : array_like
        Solid metal removed, 0 or more. [mm³/min]
    bulk : array_like
        Ratio of bulk to solid volume, 1 or more. [-]
    chip_speed : array_like
        Speed at which the chips travel along the flutes. [m/s]

    Returns
    -------
    ndarray
        Area. [mm²]
    """
    rate = not_negative("removal_rate", removal_rate) * between("bulk", bulk, 1.0, 1000.0)
    return rate / (60000 * positive("chip_speed", chip_speed))


def curl_strain(
    h: ArrayLike,
    *,
    compression: ArrayLike = CHIP_COMPRESSION_RATIO,
    curl_radius: ArrayLike = CURL_RADIUS,
) -> Array:
    r"""Return the strain of a chip that is bent straight from its own curl.

    .. math:: \varepsilon = \zeta h / (2 R_0)

    Parameters
    ----------
    h : array_like
        Uncut chip thickness, 0 or more. [mm]
    compression : array_like
        Chip thickness over uncut thickness ζ. [-]
    curl_radius : array_like
        Radius at which the chip leaves the edge. [mm]

    Returns
    -------
    ndarray
        Strain; steel chips break at some 0.05. [-]

    Notes
    -----
    A guide to direction, from memory: thicker chips break sooner, so more feed shortens them.
    """
    thickness = positive("compression", compression) * not_negative("h", h)
    return thickness / (2 * positive("curl_radius", curl_radius))


def slenderness(stock: ArrayLike, f_z: ArrayLike, KAPR: ArrayLike) -> Array:
    """Return width over thickness of a reamer's chip; flat ribbons are hard to break.

    Parameters
    ----------
    stock : array_like
        Stock on diameter. [mm]
    f_z : array_like
        Feed per tooth, more than 0. [mm/tooth]
    KAPR : array_like
        Lead angle. [deg]

    Returns
    -------
    ndarray
        b / h: 2 is stout, over 10 a ribbon. [-]
    """
    return chip_width(stock, KAPR) / chip_thickness(positive("f_z", f_z), KAPR)


def peck_depth(
    depth: ArrayLike, DC: ArrayLike, kind: DrillKind, *, coolant_through: bool = False
) -> Array:
    """Return the depth of one peck in drilling.

    Parameters
    ----------
    depth : array_like
        Depth of the hole, 0 or more. [mm]
    DC : array_like
        Cutting diameter, more than 0. [mm]
    kind : DrillKind
        The drill.
    coolant_through : bool
        Whether coolant comes through it.

    Returns
    -------
    ndarray
        Depth of a peck; 0 where the hole is drilled in one go. [mm]

    Notes
    -----
    In one go: HSS to 3 diameters, solid carbide to 3 without and 8 with coolant through the
    tool, a core drill to 5. Beyond that pecks of one diameter, and of half a diameter where
    the hole is twice as deep again. Chips that nest want pecks sooner. Common practice, no
    source.
    """
    in_one_go = 3.0
    if kind is DrillKind.CORE:
        in_one_go = 5.0
    elif coolant_through and kind in (DrillKind.CARBIDE, DrillKind.CARBIDE_FOUR_MARGIN):
        in_one_go = 8.0
    diameter = positive("DC", DC)
    ratio = not_negative("depth", depth) / diameter
    peck = np.where(ratio > 2 * in_one_go, 0.5 * diameter, diameter)
    return np.where(ratio <= in_one_go, 0.0, peck)


def chip_way_out(kind: HoleKind, helix: Helix, coolant_exit: CoolantExit) -> Reason | None:
    """Return why a reamer's chips wouldn't find their way out, or None if they would.

    Parameters
    ----------
    kind : HoleKind
        Through or blind.
    helix : Helix
        Flute hand of a right-hand cutting reamer.
    coolant_exit : CoolantExit
        Where coolant leaves the reamer.

    Returns
    -------
    Reason or None
        The first thing that is wrong, or None. In a blind hole it is a fault; in a through
        hole the chips do come out, but across the finished wall.

    Notes
    -----
    Left-hand flutes push forward, right-hand ones pull back; outlets at the flutes wash
    forward, an outlet in the face washes back. Common practice, no source.
    """
    if kind is HoleKind.BLIND:
        if helix is Helix.LEFT:
            return Reason(
                "left-helix-in-blind-hole",
                "Left-hand flutes push the chips onto the floor of a blind hole, where they "
                "pack; use straight or right-hand flutes.",
                unit="",
            )
        if coolant_exit is CoolantExit.SIDE:
            return Reason(
                "side-coolant-in-blind-hole",
                "Coolant from the side of the reamer washes the chips onto the floor of a "
                "blind hole; use a reamer with its outlet in the face.",
                unit="",
            )
        return None
    if helix is Helix.RIGHT:
        return Reason(
            "right-helix-in-through-hole",
            "Right-hand flutes pull the chips back along the finished wall of a through hole "
            "and can score it; use left-hand or straight flutes.",
            unit="",
        )
    if coolant_exit is CoolantExit.FRONT:
        return Reason(
            "front-coolant-in-through-hole",
            "Coolant from the face of the reamer leaves a through hole ahead of the flutes and "
            "doesn't wash them; use a reamer with outlets at its side.",
            unit="",
        )
    return None
