"""How the chips of each candidate come, and what carries them out."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from holewright.cutting.chip_form import KINDS, ChipKind, bulk_of, chip_kind
from holewright.cutting.coolant_flow import (
    AIR_DENSITY,
    EMULSION_DENSITY,
    channel_flow,
    chip_slip,
    flow_velocity,
    mist_air_flow,
)
from holewright.cutting.evacuation import (
    CHIP_COMPRESSION_RATIO,
    ChipForm,
    bulk_ratio,
    chips_fit,
    flute_area,
)
from holewright.planning.candidates import Candidates
from holewright.planning.grid import Array, on_prepared, on_reamers
from holewright.planning.point import Point
from holewright.shop.coolant import Coolant, Fluid
from holewright.shop.reamer import CoolantExit, Reamer

CHANNEL_SHARE = 0.2
"""Diameter of a reamer's coolant channel as a share of DC. [-] Own judgement: 2 mm in 10 mm."""

LEAST_TRANSPORT = 3.0
"""Return velocity over that at which a chip would hang still. [-] Own judgement."""

LEAST_MIST_BAR = 0.9
"""Pressure from which air leaves at the speed of sound. [bar]"""


def carried(reamers: Sequence[Reamer], coolant: Coolant) -> NDArray[np.bool_]:
    """Return which reamers get coolant through them, on their axis."""
    return on_reamers(
        [float(coolant.through and r.coolant_exit is not CoolantExit.NONE) for r in reamers]
    ).astype(bool)


def through_flow(reamers: Sequence[Reamer], coolant: Coolant) -> Array:
    """Return the flow through each reamer; of free air for a mist. [L/min]

    Notes
    -----
    Through one channel of a fifth of DC along the whole tool, at the pressure of the spindle.
    The pump may give less: its curve isn't known.
    """
    through = carried(reamers, coolant)
    channel = on_reamers([CHANNEL_SHARE * r.DC.value for r in reamers])
    if coolant.fluid is Fluid.DRY:
        return np.zeros_like(channel)
    if coolant.fluid is Fluid.MQL:
        flow = mist_air_flow(max(coolant.pressure, LEAST_MIST_BAR), channel)
        return np.where(through & (coolant.pressure >= LEAST_MIST_BAR), flow, 0.0)
    flow = channel_flow(coolant.pressure, channel, on_reamers([r.OAL for r in reamers]))
    return np.where(through, flow, 0.0)


def free_area(reamers: Sequence[Reamer]) -> Array:
    """Return the free section of each reamer's flutes. [mm²]"""
    return flute_area(
        on_reamers([r.DC.value for r in reamers]), on_reamers([r.core for r in reamers])
    )


def return_velocity(reamers: Sequence[Reamer], coolant: Coolant) -> Array:
    """Return how fast coolant runs along the flutes; 0 where none comes through. [m/s]"""
    return flow_velocity(through_flow(reamers, coolant), free_area(reamers))


def transport(c: Candidates) -> Array:
    """Return the velocity in the flutes over that at which a chip would hang still. [-]"""
    coolant = c.task.coolant
    density = AIR_DENSITY if coolant.fluid is Fluid.MQL else EMULSION_DENSITY
    slip = chip_slip(CHIP_COMPRESSION_RATIO * c.h, 1.0, density=density)
    return return_velocity(c.reamers, coolant) / slip


def room(c: Candidates, bulk: float) -> Array:
    """Return how many times over the chips of one hole fit into the flutes, at a bulk. [-]"""
    DC = on_reamers([r.DC.value for r in c.reamers])
    before = np.minimum(on_prepared([p.hole.mean for p in c.prepared]), DC - 1e-4)
    return chips_fit(free_area(c.reamers), DC, before, bulk)


def least_room(c: Candidates) -> Array:
    """Return the same for chips of the least bulk there is: broken to crumbs. [-]"""
    return room(c, bulk_ratio(ChipForm.BROKEN).lo)


def kind_at(point: Point) -> ChipKind:
    """Return how the chips of a candidate are likely to come."""
    reamer = point.reamer
    cut = max(reamer.DC.value - point.prepared.hole.mean, 1e-4)
    width = cut / 2 / np.sin(np.radians(reamer.KAPR))
    material = point.candidates.task.material
    return KINDS[int(chip_kind(point.at("h"), width, material.chips))]


def room_at(point: Point) -> float:
    """Return how many times over the chips of a candidate fit into its flutes. [-]"""
    fit = room(point.candidates, bulk_of(kind_at(point)).hi)
    return float(np.broadcast_to(fit, point.candidates.shape)[point.index])
