"""Every way to ream the hole as one grid: preparation x reamer x holder x speed x feed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr

from holewright.callout.callout import Callout, HoleKind
from holewright.cutting.chip import chip_thickness
from holewright.cutting.correction import Correction, Substrate, hole_correction
from holewright.cutting.force import (
    reaming_edge_torque,
    reaming_thrust,
    reaming_torque,
    specific_cutting_force,
)
from holewright.cutting.kinematics import feed_speed, spindle_speed, time_in_cut
from holewright.cutting.power import cutting_power
from holewright.cutting.process_stiffness import follow_share, process_stiffness, runout_share
from holewright.cutting.start_values import StartValues, ream_start
from holewright.cutting.strength import tool_material, tool_stiffness
from holewright.planning.grid import FEED, SPEED, Array, on_holders, on_prepared, on_reamers, series
from holewright.planning.prepare import APPROACH, BREAK_THROUGH, Prepared, hole_depth
from holewright.planning.size_terms import runout_of, settings_of, tool_terms
from holewright.planning.task import Task
from holewright.planning.whirl_grid import growth_over
from holewright.shop.holder import Holder, HolderKind
from holewright.shop.material import Material
from holewright.shop.reamer import Reamer, ReamerKind
from holewright.sizing.lobing import lobing_term
from holewright.sizing.reamed import GridSize, add_up, edge_term
from holewright.sizing.runout import combined_tir
from holewright.sizing.stock import StockRange, stock_range

SPEEDS = 32
FEEDS = 32

SUBSTRATE = {
    ReamerKind.HSS: "HSS",
    ReamerKind.CARBIDE_TIPPED: "tipped",
    ReamerKind.COATED_CARBIDE: "carbide",
}
"""What the body of a reamer is made of, as ``reference/tool_materials.csv`` names it."""

EDGE = {
    ReamerKind.HSS: Substrate.HSS,
    ReamerKind.CARBIDE_TIPPED: Substrate.CARBIDE,
    ReamerKind.COATED_CARBIDE: Substrate.CARBIDE,
}
"""What its edges are made of, for the corrections of force."""

TAYLOR_N = {
    ReamerKind.HSS: 0.125,
    ReamerKind.CARBIDE_TIPPED: 0.25,
    ReamerKind.COATED_CARBIDE: 0.25,
}
"""Taylor exponent by tool material. [-] Groover, from memory."""

FEED_EXPONENT = {
    ReamerKind.HSS: 3.0,
    ReamerKind.CARBIDE_TIPPED: 1.0,
    ReamerKind.COATED_CARBIDE: 1.0,
}
"""Power of the feed by which a reamer makes fewer holes. [-] From the extended tool-life law
v T^n f^n1 = C, in holes and not in minutes; n1 about 0.5 and 0.5, from memory."""

_FLOATING_SHARE = 0.1
_FLOATING_FOLLOW = 0.95
"""A floating holder: g from 0.05 to 0.2, λ about 0.95. Own judgement from the whirl model."""


@dataclass(frozen=True)
class Candidates:
    """All candidates. Arrays broadcast to `shape`: preparation, reamer, holder, speed, feed.

    Parameters
    ----------
    task : Task
        What they are for.
    prepared, reamers, holders : tuple
        The axes that are tools.
    starts : tuple of StartValues
        Speed and feed range of each reamer, with its source.
    stock_ranges : tuple of StockRange
        Published stock for each reamer.
    v_c, n, f, v_f : ndarray
        Speeds and feeds. [m/min], [1/min], [mm/rev], [mm/min]
    h : ndarray
        Chip thickness. [mm]
    stock, stock_side : ndarray
        Stock on diameter, reamer less drill; and at worst per side in the hole. [mm]
    stiffness, share, follow, tir : ndarray
        Tool stiffness [N/mm], share of runout that survives [-], how far the reamer follows
        the hole [-], and runout of spindle and holder together [mm].
    growth : ndarray
        Growth of whirl in a revolution. [-]
    torque, thrust, power : ndarray
        Reaming, with a worn edge. [N·mm], [N], [W]
    size : GridSize
        Forecast size. [mm]
    outside : ndarray
        Share of holes outside the limits by the forecast. [-]
    scrap : ndarray
        Share outside once a test cut has settled what all holes share, without the shift of
        size by speed, feed and stock, which nobody should trim a hole with. [-]
    time_s : ndarray
        Time per hole. [s]
    life : ndarray
        Holes that a reamer lasts at that speed and feed. [-]
    cost : ndarray
        Cost of a good hole. [currency]
    cost_parts : dict of str to ndarray
        What that is made of, before it is divided by the share of good holes.
    tip_depth : ndarray
        Depth of the reamer's tip. [mm]
    """

    task: Task
    prepared: tuple[Prepared, ...]
    reamers: tuple[Reamer, ...]
    holders: tuple[Holder, ...]
    starts: tuple[StartValues, ...]
    stock_ranges: tuple[StockRange, ...]
    v_c: Array
    n: Array
    f: Array
    v_f: Array
    h: Array
    stock: Array
    stock_side: Array
    stiffness: Array
    share: Array
    follow: Array
    tir: Array
    growth: Array
    torque: Array
    thrust: Array
    power: Array
    size: GridSize
    outside: Array
    scrap: Array
    time_s: Array
    life: Array
    cost: Array
    cost_parts: dict[str, Array]
    tip_depth: Array

    @property
    def shape(self) -> tuple[int, ...]:
        """Shape of the whole grid."""
        return (
            len(self.prepared),
            len(self.reamers),
            len(self.holders),
            self.v_c.shape[3],
            self.f.shape[4],
        )

    @property
    def count(self) -> int:
        """Number of candidates."""
        return int(np.prod(self.shape))


def evaluate(
    task: Task,
    prepared: Sequence[Prepared],
    reamers: Sequence[Reamer],
    holders: Sequence[Holder],
    *,
    speeds: int = SPEEDS,
    feeds: int = FEEDS,
    stretch: float = 1.0,
    at: tuple[float, float] | None = None,
) -> Candidates:
    """Compute all candidates in one pass.

    Parameters
    ----------
    task : Task
        What to make, of what, on what, with what, and how many.
    prepared, reamers, holders : sequence
        At least one of each.
    speeds, feeds : int
        Points of the speed and the feed axis, geometric from the lower to the upper end of the
        published range of each reamer. [-]
    stretch : float
        Factor by which both ranges are widened at both ends, 1 or more. [-]
    at : tuple of float, optional
        Instead of ranges one cutting speed [m/min] and one feed [mm/rev] for all.

    Returns
    -------
    Candidates
        Nothing is rejected here: see :mod:`holewright.planning.rules`.
    """
    callout, material, machine, economy = task.callout, task.material, task.machine, task.economy
    prepared, reamers, holders = tuple(prepared), tuple(reamers), tuple(holders)
    starts = tuple(ream_start(material, r.kind, r.DC.value, r.ZEFP) for r in reamers)
    DC = on_reamers([r.DC.value for r in reamers])
    teeth = on_reamers([r.ZEFP for r in reamers])
    lead_angle = on_reamers([r.KAPR for r in reamers])
    if at is not None:
        v_c, f = on_reamers([at[0]] * len(reamers)), on_reamers([at[1]] * len(reamers))
    else:
        v_c = series(
            [s.vc_lo / stretch for s in starts], [s.vc_hi * stretch for s in starts], speeds, SPEED
        )
        least, most = [s.f_lo / stretch for s in starts], [s.f_hi * stretch for s in starts]
        f = series(least, most, feeds, FEED)
    n = spindle_speed(v_c, DC)
    v_f = feed_speed(n, f)
    h = chip_thickness(f / teeth, lead_angle)

    before = on_prepared([p.hole.mean for p in prepared])
    widest = on_prepared([p.hole.most for p in prepared])
    cut = np.maximum(DC - before, 1e-4)
    label = on_prepared([p.opening.diameter if p.opening else p.drill.DC.value for p in prepared])
    stock = DC - label

    K_t = specific_cutting_force(material.kc11.value, material.mc.value, h)
    stiffness, floating = _stiffness(reamers, holders)
    held = partial(process_stiffness, K_t=K_t, f=f, a_p=cut / 2, ZEFP=teeth, KAPR=lead_angle)
    share = np.where(floating, _FLOATING_SHARE, runout_share(held(1j), stiffness))
    growth = growth_over(
        stiffness, floating, K_t=K_t, f=f, a_p=cut / 2, ZEFP=teeth, KAPR=lead_angle
    )
    follow = np.where(floating, _FLOATING_FOLLOW, follow_share(held(0j), stiffness))
    axis = on_prepared([p.hole.axis_hi for p in prepared])
    side = (DC - widest) / 2 - axis * (1 - follow)

    bounded = np.minimum(before, DC - 1e-4)
    force = (material.kc11.value, material.mc.value, DC, bounded, f, teeth, lead_angle)
    factor = on_reamers([float(force_correction(material, r.kind).value) for r in reamers])
    torque = reaming_torque(*force, correction=factor)
    torque = torque + reaming_edge_torque(DC, bounded, teeth, lead_angle)
    thrust = reaming_thrust(*force, correction=factor)
    power = cutting_power(torque, n)

    tir = combined_tir(on_holders([x.tir.value for x in holders]), machine.spindle_tir.value)
    settings = settings_of(task, starts, reamers, stock, v_c, f)
    size = add_up(
        [
            *tool_terms(task, reamers, holders),
            runout_of(tir, share, holders, machine),
            edge_term(v_c, material, task.coolant.fluid),
            settings,
            lobing_term(growth),
        ]
    )
    low, high = callout.limits.lower, callout.limits.upper
    outside = ndtr((low - size.mean) / size.sd) + ndtr((size.mean - high) / size.sd)
    # Sources disagree on which way speed and feed move the size. Leaving the usual costs
    # certainty; no setting is chosen for the side to which it may move the hole.
    mean = size.mean - settings.mean
    scrap = ndtr((low - mean) / size.between) + ndtr((mean - high) / size.between)

    tip = _tip_depth(callout, reamers)
    ream_s = 2 * time_in_cut(tip + APPROACH, v_f) + economy.move_s
    time_s = on_prepared([p.time_s for p in prepared]) + ream_s
    by_speed = (on_reamers([s.vc for s in starts]) / v_c) ** on_reamers(
        [1 / TAYLOR_N[r.kind] for r in reamers]
    )
    by_feed = (on_reamers([s.f for s in starts]) / f) ** on_reamers(
        [FEED_EXPONENT[r.kind] for r in reamers]
    )
    life = on_reamers([r.life_holes.value for r in reamers]) * np.clip(
        by_speed * by_feed, 0.01, 2.0
    )
    cost, parts = _cost(task, prepared, reamers, holders, time_s, life, scrap)
    return Candidates(
        task=task,
        prepared=prepared,
        reamers=reamers,
        holders=holders,
        starts=starts,
        stock_ranges=tuple(
            stock_range(r.kind, r.DC.value, material.iso513 == "N") for r in reamers
        ),
        v_c=v_c,
        n=n,
        f=f,
        v_f=v_f,
        h=h,
        stock=stock,
        stock_side=side,
        stiffness=stiffness,
        share=share,
        follow=follow,
        tir=tir,
        growth=growth,
        torque=torque,
        thrust=thrust,
        power=power,
        size=size,
        outside=outside,
        scrap=scrap,
        time_s=time_s,
        life=life,
        cost=cost,
        cost_parts=parts,
        tip_depth=tip,
    )


def force_correction(material: Material, kind: ReamerKind) -> Correction:
    """Return the corrections of a reamer's cutting force: chip compression, edge, and wear."""
    return hole_correction(EDGE[kind], worn=True, system=material.kc_system)


def stick_out(reamer: Reamer) -> float:
    """Return how far a reamer stands out of its holder: clamped on three shank diameters. [mm]"""
    return max(reamer.OAL - 3 * reamer.DMM, reamer.LU)


def _stiffness(
    reamers: Sequence[Reamer], holders: Sequence[Holder]
) -> tuple[Array, NDArray[np.bool_]]:
    stiffness = tool_stiffness(
        on_reamers([r.DMM for r in reamers]),
        on_reamers([stick_out(r) for r in reamers]),
        on_reamers([tool_material(SUBSTRATE[r.kind]).e_modulus for r in reamers]),
        on_holders([x.stiffness for x in holders]),
    )
    floating = on_holders([x.kind is HolderKind.FLOATING for x in holders]).astype(bool)
    return stiffness, floating


def _tip_depth(callout: Callout, reamers: Sequence[Reamer]) -> Array:
    over = 0.0 if callout.kind is HoleKind.BLIND else BREAK_THROUGH
    return on_reamers([hole_depth(callout) + r.lead + over for r in reamers])


def _cost(
    task: Task,
    prepared: Sequence[Prepared],
    reamers: Sequence[Reamer],
    holders: Sequence[Holder],
    time_s: Array,
    life: Array,
    scrap: Array,
) -> tuple[Array, dict[str, Array]]:
    economy, holes = task.economy, task.holes
    per_second = task.machine.rate / 3600
    price = on_reamers([r.price for r in reamers])
    owned = on_reamers([r.owned for r in reamers]).astype(bool)
    bought = (price * np.maximum(1.0, np.ceil(holes / life)) + economy.purchase) / holes
    parts = {
        "machine": per_second * time_s,
        "drill": on_prepared([p.cost for p in prepared]),
        "reamer": np.where(owned, price / life, bought),
        "tool changes": on_prepared([(p.tools + 1) * task.change_cost for p in prepared]),
        "new reamers": per_second * on_holders([x.change_s for x in holders]) / life,
        "gauging": np.array(per_second * economy.gauge_s * economy.gauged_share),
        "scrap": economy.part_value * scrap,
    }
    total: Array = np.zeros((1,) * 5)
    for part in sorted(parts.values(), key=lambda array: np.asarray(array).size):
        total = total + part
    return total / np.maximum(1 - scrap, 1e-3), parts
