"""Limits of chips and edges: room, transport, and the speeds at which an edge builds up."""

from __future__ import annotations

import numpy as np

from holewright.callout.callout import HoleKind
from holewright.planning.candidates import Candidates
from holewright.planning.chip_path import LEAST_TRANSPORT, carried, least_room, transport
from holewright.planning.grid import everywhere, on_reamers
from holewright.planning.limits import Limit
from holewright.shop.coolant import Fluid
from holewright.shop.reamer import ReamerKind


def chip_limits(c: Candidates) -> tuple[Limit, ...]:
    """Return the limits of chips and of built-up edge.

    Notes
    -----
    Room binds in blind holes alone, and only where not even crumbs would fit: chips are washed
    out while they are made, and how many stay is known to nobody. What the chips are likely to
    take is said with the route.
    """
    blind = c.task.callout.kind is HoleKind.BLIND
    wet = carried(c.reamers, c.task.coolant) & (c.task.coolant.fluid is not Fluid.DRY)
    window = c.task.material.edge_window
    above = window[1] if window is not None and window[0] > 0 else 0.0
    return (
        Limit(
            "chip-room",
            least_room(c) if blind else everywhere(np.inf),
            everywhere(1.0),
            at_most=False,
            unit="",
            sentence="the flutes have room for {value} of a blind hole's chips even if they "
            "break to crumbs, and must take all",
            places=2,
        ),
        Limit(
            "chip-transport",
            np.where(wet, transport(c), np.inf),
            everywhere(LEAST_TRANSPORT),
            at_most=False,
            unit="times",
            sentence="coolant comes back {value} as fast as a chip sinks in it, it takes {limit}",
            places=1,
        ),
        Limit(
            "built-up-edge",
            c.v_c,
            on_reamers([above if r.kind is ReamerKind.COATED_CARBIDE else 0.0 for r in c.reamers]),
            at_most=False,
            unit="m/min",
            sentence="{value} lies where this metal builds up an edge; a coated reamer wants "
            "{limit} and more",
        ),
    )
