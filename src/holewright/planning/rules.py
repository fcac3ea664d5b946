"""The limits that a way to ream must keep, each with the sentence it says when broken."""

from __future__ import annotations

import numpy as np

from holewright.callout.callout import Callout, HoleKind
from holewright.callout.limits import grade_for
from holewright.cutting.chip import least_feed_per_tooth
from holewright.cutting.power import spindle_torque_available
from holewright.planning.candidates import Candidates
from holewright.planning.chip_rules import chip_limits
from holewright.planning.grid import everywhere, on_holders, on_prepared, on_reamers
from holewright.planning.limits import Limit
from holewright.planning.plan import OperationKind
from holewright.planning.prepare import hole_depth
from holewright.planning.strength_rules import drill_limits, reamer_strength_limits
from holewright.shop.coolant import Coolant
from holewright.shop.holder import HolderKind
from holewright.shop.machine import Machine
from holewright.shop.material import Material
from holewright.shop.reamer import ReamerKind
from holewright.sizing.make_limits import reamer_make_limits
from holewright.sizing.stock import least_to_clean_up

HARDEST_HB = {
    ReamerKind.HSS: 350.0,
    ReamerKind.CARBIDE_TIPPED: 430.0,
    ReamerKind.COATED_CARBIDE: 615.0,
}
"""Hardest material that a reamer cuts. [HB] Common practice, no source."""

HARDEST_DRILLED_HB = {"hss": 400.0, "carbide": 650.0}
"""Hardest material that a drill of high-speed steel or of carbide cuts. [HB] Common practice, no
source."""

FINEST_GRADE = {
    ReamerKind.HSS: 6.0,
    ReamerKind.CARBIDE_TIPPED: 6.0,
    ReamerKind.COATED_CARBIDE: 5.5,
}
"""Finest tolerance grade it holds: IT7 readily, IT6 with care, multi-tooth IT5 at times. [-]

Limits off the ISO 286 series fall between two grades. Trade articles and memory.
"""

ROUGHEST_RA = {
    ReamerKind.HSS: 0.8,
    ReamerKind.CARBIDE_TIPPED: 0.6,
    ReamerKind.COATED_CARBIDE: 0.4,
}
"""Ra that a reamer usually reaches in good order. [µm] Process grades, from memory."""

SECOND_GRADE = 0.5
"""What a second reamer gains in tolerance grade. [-] Own judgement."""

SECOND_RA = 0.6
"""Ra after a second reamer over Ra after one. [-] Own judgement; two steps mend finish (trade)."""

FAST_TIR = 0.008
"""Most runout for a coated multi-tooth reamer at its speed. [mm] Trade: trouble from .0003 in."""

RUNOUT_SHARE = 1 / 3
"""Most runout that may reach the size, as a share of the tolerance. Common practice, no source."""

LEAST_INSIDE = 0.5
"""Least share inside by the forecast alone. A test cut settles what all holes share; a route
that is more likely out than in isn't worth the test."""


def limits_of(candidates: Candidates) -> tuple[Limit, ...]:
    """Return every limit over the grid, the tools' first.

    Parameters
    ----------
    candidates : Candidates
        The grid, with the task it is for.
    """
    task = candidates.task
    return (
        *_preparation_limits(candidates, task.callout, task.machine, task.material),
        *_reamer_limits(candidates, task.callout, task.material),
        *_holder_limits(candidates, task.callout, task.coolant),
        *_setting_limits(candidates, task.machine),
        *drill_limits(candidates),
        *reamer_strength_limits(candidates),
        *chip_limits(candidates),
    )


def _preparation_limits(
    c: Candidates, callout: Callout, machine: Machine, material: Material
) -> tuple[Limit, ...]:
    floor = callout.floor if callout.kind is HoleKind.BLIND and callout.floor else np.inf
    floor_of_rz = least_to_clean_up(
        on_prepared([p.hole.rz for p in c.prepared]),
        on_prepared([p.hole.roundness for p in c.prepared]),
        on_reamers([r.edge_radius for r in c.reamers]),
    )
    return (
        Limit(
            "stock-least",
            np.maximum(c.stock_side, 0.0),
            floor_of_rz,
            at_most=False,
            unit="mm",
            sentence="at worst {value} a side is left to ream, {limit} is needed to clean up",
            places=3,
        ),
        Limit(
            "stock-most",
            c.stock,
            on_reamers([s.most for s in c.stock_ranges]),
            at_most=True,
            unit="mm",
            sentence="{value} of stock on diameter, more than the {limit} that practice allows",
            places=2,
        ),
        Limit(
            "drill-reach",
            on_prepared([p.tip_depth for p in c.prepared]),
            on_prepared([p.drill.LU for p in c.prepared]),
            at_most=True,
            unit="mm",
            sentence="must reach {value} deep, its usable length is {limit}",
            places=1,
        ),
        Limit(
            "blind-depth",
            on_prepared([p.tip_depth for p in c.prepared]),
            everywhere(floor),
            at_most=True,
            unit="mm",
            sentence="its point would stand {value} deep, the floor allows {limit}",
            places=2,
        ),
        Limit(
            "drill-hardness",
            everywhere(material.hardness_hb.value),
            on_prepared(
                [HARDEST_DRILLED_HB["hss" if p.spotted else "carbide"] for p in c.prepared]
            ),
            at_most=True,
            unit="HB",
            sentence="the material has {value}, this kind of drill stops at about {limit}",
        ),
        Limit(
            "drill-power",
            on_prepared([p.power for p in c.prepared]),
            everywhere(machine.power),
            at_most=True,
            unit="W",
            sentence="drilling takes {value}, the spindle has {limit}",
        ),
        Limit(
            "drill-thrust",
            on_prepared([p.thrust for p in c.prepared]),
            everywhere(machine.thrust),
            at_most=True,
            unit="N",
            sentence="drilling pushes with {value}, the machine with {limit} at most",
        ),
    )


def _reamer_limits(c: Candidates, callout: Callout, material: Material) -> tuple[Limit, ...]:
    band = reamer_make_limits(callout.limits, unit=callout.unit)
    twice = on_prepared(
        [float(p.opening is not None and p.opening.kind is OperationKind.REAM) for p in c.prepared]
    )
    sizes = on_reamers([r.DC.value for r in c.reamers])
    return (
        Limit(
            "reamer-large",
            sizes,
            everywhere(band.upper),
            at_most=True,
            unit="mm",
            sentence="{value} leaves no room above it: the hole's limit less 15 % is {limit}",
            places=4,
        ),
        Limit(
            "reamer-small",
            sizes,
            everywhere(callout.limits.lower),
            at_most=False,
            unit="mm",
            sentence="{value} is below the smallest hole of {limit}",
            places=4,
        ),
        Limit(
            "hardness",
            everywhere(material.hardness_hb.value),
            on_reamers([HARDEST_HB[r.kind] for r in c.reamers]),
            at_most=True,
            unit="HB",
            sentence="the material has {value}, this kind of reamer stops at about {limit}",
        ),
        Limit(
            "tolerance-grade",
            everywhere(grade_for(callout.limits.width, callout.nominal)),
            on_reamers([FINEST_GRADE[r.kind] for r in c.reamers]) - SECOND_GRADE * twice,
            at_most=False,
            unit="",
            sentence="the tolerance is of grade IT {value}, finer than this kind of reamer holds",
            places=1,
        ),
        Limit(
            "finish",
            on_reamers([ROUGHEST_RA[r.kind] for r in c.reamers]) * SECOND_RA**twice,
            everywhere(callout.ra if callout.ra is not None else np.inf),
            at_most=True,
            unit="µm",
            sentence="usually leaves Ra {value}, the drawing asks for Ra {limit}",
            places=2,
        ),
        Limit(
            "reamer-reach",
            on_reamers([hole_depth(callout) + r.lead for r in c.reamers]),
            on_reamers([r.LU for r in c.reamers]),
            at_most=True,
            unit="mm",
            sentence="must reach {value} deep, its usable length is {limit}",
            places=1,
        ),
    )


def _holder_limits(c: Candidates, callout: Callout, coolant: Coolant) -> tuple[Limit, ...]:
    shanks = on_reamers([r.DMM for r in c.reamers])
    fast = on_reamers([r.kind is ReamerKind.COATED_CARBIDE for r in c.reamers]).astype(bool)
    floating = on_holders([x.kind is HolderKind.FLOATING for x in c.holders]).astype(bool)
    width = callout.limits.width
    return (
        Limit(
            "shank-large",
            shanks,
            on_holders([x.DMM_max for x in c.holders]),
            at_most=True,
            unit="mm",
            sentence="the shank of {value} is too thick, it takes {limit}",
            places=1,
        ),
        Limit(
            "shank-small",
            shanks,
            on_holders([x.DMM_min for x in c.holders]),
            at_most=False,
            unit="mm",
            sentence="the shank of {value} is too thin, it takes {limit} and more",
            places=1,
        ),
        Limit(
            "runout-over-tolerance",
            np.where(floating, 0.0, c.tir),
            everywhere(width),
            at_most=True,
            unit="mm",
            sentence="runout of {value} is more than the whole tolerance of {limit}",
            places=3,
        ),
        Limit(
            "runout-over-third",
            c.share * c.tir,
            everywhere(RUNOUT_SHARE * width),
            at_most=True,
            unit="mm",
            sentence="{value} of the runout reaches the size, a third of the tolerance is {limit}",
            places=4,
        ),
        Limit(
            "fast-reamer-runout",
            np.where(fast, c.tir, 0.0),
            everywhere(FAST_TIR),
            at_most=True,
            unit="mm",
            sentence="runout of {value}, and a coated multi-tooth reamer wants {limit} or less",
            places=3,
        ),
        Limit(
            "fast-reamer-coolant",
            np.where(fast, 1.0, 0.0),
            everywhere(1.0 if coolant.through else 0.0),
            at_most=True,
            unit="",
            sentence="a coated multi-tooth reamer wants coolant through the tool",
        ),
        Limit(
            "float-follows",
            np.where(floating, on_prepared([p.hole.axis_hi for p in c.prepared]), 0.0),
            everywhere(callout.position.diameter / 2 if callout.position else np.inf),
            at_most=True,
            unit="mm",
            sentence="follows the drilled hole, which may lie {value} off; position allows {limit}",
            places=3,
        ),
    )


def _setting_limits(c: Candidates, machine: Machine) -> tuple[Limit, ...]:
    teeth = on_reamers([r.ZEFP for r in c.reamers])
    least_feed = least_feed_per_tooth(
        on_reamers([r.edge_radius for r in c.reamers]),
        on_reamers([r.KAPR for r in c.reamers]),
        c.share * c.tir,
        teeth,
    )
    available = spindle_torque_available(machine.power, machine.torque, c.n)
    return (
        Limit(
            "speed-high",
            c.n,
            everywhere(machine.n_max),
            at_most=True,
            unit="1/min",
            sentence="needs {value}, the spindle turns {limit} at most",
        ),
        Limit(
            "speed-low",
            c.n,
            everywhere(machine.n_min),
            at_most=False,
            unit="1/min",
            sentence="needs {value}, the spindle turns {limit} at least",
        ),
        Limit(
            "feed-speed",
            c.v_f,
            everywhere(machine.feed_max),
            at_most=True,
            unit="mm/min",
            sentence="needs {value}, the machine feeds {limit} at most",
        ),
        Limit(
            "rubbing",
            c.f / teeth,
            least_feed,
            at_most=False,
            unit="mm",
            sentence="{value} a tooth rubs: with this edge and runout it takes {limit}",
            places=4,
        ),
        Limit(
            "torque",
            c.torque / 1000,
            available / 1000,
            at_most=True,
            unit="N·m",
            sentence="reaming takes {value}, the spindle has {limit} at that speed",
            places=2,
        ),
        Limit(
            "thrust",
            c.thrust,
            everywhere(machine.thrust),
            at_most=True,
            unit="N",
            sentence="pushes with {value}, the machine with {limit} at most",
        ),
        Limit(
            "forecast-size",
            100 * (1 - c.outside),
            everywhere(100 * LEAST_INSIDE),
            at_most=False,
            unit="%",
            sentence="the forecast puts {value} inside the limits, a test cut is worth it from "
            "{limit}",
            places=0,
        ),
    )
