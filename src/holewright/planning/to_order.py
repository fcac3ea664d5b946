"""Reamers that the drawer lacks: what to order for this hole."""

from __future__ import annotations

import math

from holewright.callout.callout import Callout, HoleKind
from holewright.planning.prepare import hole_depth
from holewright.shop.coolant import Coolant
from holewright.shop.reamer import CoolantExit, Helix, Reamer, ReamerKind
from holewright.sizing.make_limits import reamer_make_limits
from holewright.uncertainty import Known, Tag
from holewright.units import format_size

_PRICE = {ReamerKind.HSS: (25.0, 2.0), ReamerKind.COATED_CARBIDE: (130.0, 6.0)}
"""Price class: a fixed part and one per mm of diameter. [currency] Own assumption."""

_LIFE = {ReamerKind.HSS: 300.0, ReamerKind.COATED_CARBIDE: 3000.0}
"""Holes that one makes. [-] Own assumption; the record book replaces it."""


def reamers_to_order(callout: Callout, coolant: Coolant) -> tuple[Reamer, ...]:
    """Return the reamers that this hole would want, made to ISO 522 limits.

    Parameters
    ----------
    callout : Callout
        What the drawing asks.
    coolant : Coolant
        Whether it comes through the tool.

    Returns
    -------
    tuple of Reamer
        One of high-speed steel and one of coated carbide, not owned, with flutes and coolant
        that give the chips a way out.
    """
    return tuple(
        _reamer(callout, coolant, kind) for kind in (ReamerKind.HSS, ReamerKind.COATED_CARBIDE)
    )


def _reamer(callout: Callout, coolant: Coolant, kind: ReamerKind) -> Reamer:
    band = reamer_make_limits(callout.limits, unit=callout.unit)
    diameter = (band.lower + band.upper) / 2
    blind = callout.kind is HoleKind.BLIND
    fast = kind is ReamerKind.COATED_CARBIDE
    exit_ = CoolantExit.NONE
    if fast and coolant.through:
        exit_ = CoolantExit.FRONT if blind else CoolantExit.SIDE
    reach = 1.25 * hole_depth(callout) + 10.0
    low, high = (format_size(x, callout.unit) for x in (band.lower, band.upper))
    sizes = f"{low.removesuffix(f' {callout.unit}')} to {high}"
    fixed, by_mm = _PRICE[kind]
    return Reamer(
        id=f"{'coated carbide' if fast else 'HSS'} reamer to order, {sizes}",
        label=sizes,
        kind=kind,
        DC=Known(
            diameter,
            Tag.STANDARD,
            "make limits of ISO 522 / DIN 1420",
            u=(band.upper - band.lower) / math.sqrt(12),
        ),
        ZEFP=6 if diameter >= 5 else 4,
        KAPR=45.0,
        lead=1.0 if diameter < 10 else 1.5,
        LU=reach,
        OAL=reach + 4 * diameter + (20.0 if fast else 60.0),
        DMM=diameter * (1.0 if fast else 0.9),
        helix=Helix.RIGHT if blind else Helix.LEFT,
        coolant_exit=exit_,
        core=0.6,
        edge_radius=0.008,
        price=fixed + by_mm * diameter,
        life_holes=Known(_LIFE[kind], Tag.ASSUMED, "own assumption"),
        owned=False,
    )
