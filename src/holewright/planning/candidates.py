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
from holewright.cutting.force import reaming_thrust, reaming_torque, specific_cutting_force
from holewright.cutting.kinematics import feed_speed, spindle_speed, time_in_cut
from holewright.cutting.power import cutting_power
from holewright.cutting.process_stiffness import follow_share, process_stiffness, runout_share
from holewright.cutting.start_values import StartValues, ream_start
from holewright.cutting.strength import tool_material, tool_stiffness
from holewright.planning.economy import Economy
from holewright.planning.prepare import BREAK_THROUGH, Prepared, hole_depth
from holewright.shop.coolant import Coolant
from holewright.shop.holder import Holder, HolderKind
from holewright.shop.machine import Machine
from holewright.shop.material import Material
from holewright.shop.reamer import Reamer, ReamerKind
from holewright.sizing.reamed import (
    GridSize,
    GridTerm,
    add_up,
    edge_term,
    fluid_term,
    recovery_term,
    runout_term,
    scatter_term,
    settings_term,
    tool_term,
    warmth_term,
    wear_term,
)
from holewright.sizing.runout import combined_tir
from holewright.sizing.stock import StockRange, stock_range
from holewright.uncertainty import Tag

Array = NDArray[np.float64]

SPEEDS = 32
FEEDS = 32

SUBSTRATE = {
    ReamerKind.HSS: "HSS",
    ReamerKind.CARBIDE_TIPPED: "tipped",
    ReamerKind.COATED_CARBIDE: "carbide",
}
"""What the body of a reamer is made of, as ``reference/tool_materials.csv`` names it."""

_TAYLOR_N = {
    ReamerKind.HSS: 0.125,
    ReamerKind.CARBIDE_TIPPED: 0.25,
    ReamerKind.COATED_CARBIDE: 0.25,
}
"""Taylor exponent by tool material. [-] Groover, from memory."""

_FLOATING_SHARE = 0.1
_FLOATING_FOLLOW = 0.95
"""A floating holder: g from 0.05 to 0.2, λ about 0.95. Own judgement from the whirl model."""

_WORN_FACTOR = 1.3
"""A worn edge needs 30 % more force. [-] Tschaetsch, from memory."""


@dataclass(frozen=True)
class Candidates:
    """All candidates. Arrays broadcast to `shape`: preparation, reamer, holder, speed, feed.

    Parameters
    ----------
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
    torque, thrust, power : ndarray
        Reaming, with a worn edge. [N·mm], [N], [W]
    size : GridSize
        Forecast size. [mm]
    outside : ndarray
        Share of holes outside the limits by the forecast. [-]
    scrap : ndarray
        Share outside once a test cut has settled what all holes share. [-]
    time_s : ndarray
        Time per hole. [s]
    life : ndarray
        Holes that a reamer lasts at that speed. [-]
    cost : ndarray
        Cost of a good hole. [currency]
    cost_parts : dict of str to ndarray
        What that is made of, before it is divided by the share of good holes.
    tip_depth : ndarray
        Depth of the reamer's tip. [mm]
    """

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


def on_prepared(values: Sequence[float]) -> Array:
    """Return one value a preparation, on its axis of the grid."""
    return np.array(values, dtype=float).reshape(-1, 1, 1, 1, 1)


def on_reamers(values: Sequence[float]) -> Array:
    """Return one value a reamer, on its axis of the grid."""
    return np.array(values, dtype=float).reshape(1, -1, 1, 1, 1)


def on_holders(values: Sequence[float]) -> Array:
    """Return one value a holder, on its axis of the grid."""
    return np.array(values, dtype=float).reshape(1, 1, -1, 1, 1)


def everywhere(value: float) -> Array:
    """Return one value for the whole grid."""
    return np.full((1,) * 5, value)


def evaluate(
    callout: Callout,
    material: Material,
    machine: Machine,
    coolant: Coolant,
    prepared: Sequence[Prepared],
    reamers: Sequence[Reamer],
    holders: Sequence[Holder],
    *,
    holes: int,
    part_rise: float,
    economy: Economy,
    speeds: int = SPEEDS,
    feeds: int = FEEDS,
) -> Candidates:
    """Compute all candidates in one pass.

    Parameters
    ----------
    callout, material, machine, coolant
        What to make, of what, on what, with what.
    prepared, reamers, holders : sequence
        At least one of each.
    holes : int
        Number of holes to make.
    part_rise : float
        Part above 20 °C when it is cut. [K]
    economy : Economy
        Costs.
    speeds, feeds : int
        Points of the speed and the feed axis, geometric from the lower to the upper end of the
        published range of each reamer.

    Returns
    -------
    Candidates
        Nothing is rejected here: see :mod:`holewright.planning.rules`.
    """
    prepared, reamers, holders = tuple(prepared), tuple(reamers), tuple(holders)
    starts = tuple(ream_start(material, r.kind, r.DC.value, r.ZEFP) for r in reamers)
    DC = on_reamers([r.DC.value for r in reamers])
    teeth = on_reamers([r.ZEFP for r in reamers])
    lead_angle = on_reamers([r.KAPR for r in reamers])
    v_c = _geometric(starts, speeds, axis=3)
    f = _geometric(starts, feeds, axis=4)
    n = spindle_speed(v_c, DC)
    v_f = feed_speed(n, f)
    h = chip_thickness(f / teeth, lead_angle)

    before = on_prepared([p.hole.mean for p in prepared])
    widest = on_prepared([p.hole.most for p in prepared])
    cut = np.maximum(DC - before, 1e-4)
    label = on_prepared([p.bore or p.drill.DC.value for p in prepared])
    stock = DC - label

    K_t = specific_cutting_force(material.kc11.value, material.mc.value, h)
    stiffness, floating = _stiffness(reamers, holders)
    held = partial(process_stiffness, K_t=K_t, f=f, a_p=cut / 2, ZEFP=teeth, KAPR=lead_angle)
    share = np.where(floating, _FLOATING_SHARE, runout_share(held(1j), stiffness))
    follow = np.where(floating, _FLOATING_FOLLOW, follow_share(held(0j), stiffness))
    axis = on_prepared([p.hole.axis_hi for p in prepared])
    side = (DC - widest) / 2 - axis * (1 - follow)

    bounded = np.minimum(before, DC - 1e-4)
    force = (material.kc11.value, material.mc.value, DC, bounded, f, teeth, lead_angle)
    torque = reaming_torque(*force, correction=_WORN_FACTOR)
    thrust = reaming_thrust(*force, correction=_WORN_FACTOR)
    power = cutting_power(torque, n)

    tir = combined_tir(on_holders([x.tir.value for x in holders]), machine.spindle_tir.value)
    size = add_up(
        _terms(callout, material, coolant, reamers, holders, starts, part_rise, holes)
        + _moving_terms(material, coolant, starts, reamers, stock, v_c, f, teeth)
        + [
            runout_term(
                tir,
                np.hypot(on_holders([x.tir.u for x in holders]), machine.spindle_tir.u),
                share,
                _weakest([x.tir.tag for x in holders]),
            )
        ]
    )
    low, high = callout.limits.lower, callout.limits.upper
    outside = ndtr((low - size.mean) / size.sd) + ndtr((size.mean - high) / size.sd)
    scrap = ndtr((low - size.mean) / size.between) + ndtr((size.mean - high) / size.between)

    tip = _tip_depth(callout, reamers)
    ream_s = 2 * time_in_cut(tip + 2.0, v_f) + economy.move_s
    time_s = on_prepared([p.time_s for p in prepared]) + ream_s + _chamfer_s(economy)
    usual = on_reamers([s.vc for s in starts])
    exponent = on_reamers([1 / _TAYLOR_N[r.kind] for r in reamers])
    life = on_reamers([r.life_holes.value for r in reamers]) * np.clip(
        (usual / v_c) ** exponent, 0.01, 2.0
    )
    cost, parts = _cost(machine, prepared, reamers, holders, economy, holes, time_s, life, scrap)
    return Candidates(
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


def _geometric(starts: Sequence[StartValues], points: int, axis: int) -> Array:
    """Return a geometric series for each reamer, on the speed or the feed axis."""
    low = [s.vc_lo if axis == 3 else s.f_lo for s in starts]
    high = [s.vc_hi if axis == 3 else s.f_hi for s in starts]
    series = np.geomspace(low, high, points)
    shape = (1, len(starts), 1, points, 1) if axis == 3 else (1, len(starts), 1, 1, points)
    return series.T.reshape(shape)


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


def _weakest(tags: Sequence[Tag]) -> Tag:
    order = list(Tag)
    return max(tags, key=order.index)


def _terms(
    callout: Callout,
    material: Material,
    coolant: Coolant,
    reamers: Sequence[Reamer],
    holders: Sequence[Holder],
    starts: Sequence[StartValues],
    part_rise: float,
    holes: int,
) -> list[GridTerm]:
    """Return the terms that hang on tools alone."""
    measured = on_reamers([r.DC.is_measured for r in reamers]).astype(bool) & on_holders(
        [x.tir.is_measured for x in holders]
    ).astype(bool)
    wear = [wear_term(r.kind, min(holes, r.life_holes.value)) for r in reamers]
    return [
        tool_term(
            on_reamers([r.DC.value for r in reamers]),
            on_reamers([r.DC.u for r in reamers]),
            _weakest([r.DC.tag for r in reamers]),
            "tool room",
        ),
        recovery_term(material),
        fluid_term(coolant.fluid),
        warmth_term(callout.nominal, material, coolant.fluid, part_rise),
        scatter_term(measured),
        GridTerm(
            "wear",
            on_reamers([float(w.mean) for w in wear]),
            on_reamers([float(w.sd) for w in wear]),
            on_reamers([float(w.varies) for w in wear]),
            wear[0].tag,
            wear[0].source,
            wear[0].text,
            wear[0].shape,
        ),
    ]


def _moving_terms(
    material: Material,
    coolant: Coolant,
    starts: Sequence[StartValues],
    reamers: Sequence[Reamer],
    stock: Array,
    v_c: Array,
    f: Array,
    teeth: Array,
) -> list[GridTerm]:
    """Return the terms that move with speed, feed and stock."""
    usual_v = on_reamers([s.vc for s in starts])
    usual_f = on_reamers([s.f for s in starts])
    usual_stock = on_reamers(
        [stock_range(r.kind, r.DC.value, material.iso513 == "N").usual for r in reamers]
    )
    return [
        edge_term(v_c, material, coolant.fluid),
        settings_term(v_c - usual_v, (f - usual_f) / teeth, stock - usual_stock),
    ]


def _tip_depth(callout: Callout, reamers: Sequence[Reamer]) -> Array:
    over = 0.0 if callout.kind is HoleKind.BLIND else BREAK_THROUGH
    return on_reamers([hole_depth(callout) + r.lead + over for r in reamers])


def _chamfer_s(economy: Economy) -> float:
    return 1.0 + economy.move_s


def _cost(
    machine: Machine,
    prepared: Sequence[Prepared],
    reamers: Sequence[Reamer],
    holders: Sequence[Holder],
    economy: Economy,
    holes: int,
    time_s: Array,
    life: Array,
    scrap: Array,
) -> tuple[Array, dict[str, Array]]:
    per_second = machine.rate / 3600
    price = on_reamers([r.price for r in reamers])
    owned = on_reamers([r.owned for r in reamers]).astype(bool)
    bought = (price * np.maximum(1.0, np.ceil(holes / life)) + economy.purchase) / holes
    parts = {
        "machine": per_second * time_s,
        "drill": on_prepared([p.cost for p in prepared]),
        "reamer": np.where(owned, price / life, bought),
        "tool changes": per_second * on_holders([x.change_s for x in holders]) / life,
        "gauging": np.array(per_second * economy.gauge_s * economy.gauged_share),
        "scrap": economy.part_value * scrap,
    }
    total: Array = np.zeros((1,) * 5)
    for part in sorted(parts.values(), key=lambda array: np.asarray(array).size):
        total = total + part
    return total / np.maximum(1 - scrap, 1e-3), parts
