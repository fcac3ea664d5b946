"""The hole before the reamer: drilled, or drilled and bored true, with its time and cost."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from holewright.callout.callout import Callout, Entry, HoleKind
from holewright.cutting.correction import Substrate, hole_correction
from holewright.cutting.force import DRILL_THRUST_SHARE, drilling_thrust, drilling_torque
from holewright.cutting.kinematics import spindle_speed, time_in_cut
from holewright.cutting.power import cutting_power
from holewright.cutting.start_values import StartValues, deep_hole_factors, drill_start
from holewright.cutting.strength import drill_torque_allowed
from holewright.errors import NoAnswerError
from holewright.planning.economy import Economy
from holewright.planning.plan import OperationKind
from holewright.planning.task import Task
from holewright.shop.drill import HSS_DRILLS, Drill, DrillKind
from holewright.shop.machine import Machine
from holewright.shop.material import Material
from holewright.sizing.drilled import DrilledHole, drilled_hole
from holewright.uncertainty import Tag

BREAK_THROUGH = 1.0
"""How far drill and reamer run out of a through hole, beyond point or lead. [mm]"""

APPROACH = 2.0
"""How far above the face the feed begins. [mm] As the program writes it in metric."""

CHAMFER = 0.3
"""Width of the chamfer a side, beyond the reamed diameter. [mm] Common practice, no source."""

CHAMFER_V_C = 30.0
CHAMFER_FEED = 0.1
CHAMFER_DWELL = 0.3
"""Of a high-speed-steel chamfering tool. [m/min], [mm/rev], [s] From memory, cautious; in a
material that a drill of high-speed steel cuts slower, the chamfer goes no faster than that."""

SPOT_SHARE = 0.25
"""Depth of the spot as a share of the drill's diameter. [-] Common practice, no source."""

SPOT_V_C = 20.0
SPOT_FEED = 0.05
"""Of a high-speed-steel spotting drill. [m/min], [mm/rev] From memory, cautious; no faster than
the drill that follows."""

OPENING_FEED = 60.0
"""Feed speed of a boring pass or of a first reamer. [mm/min] A cautious default."""

BORED_SOURCE = "single-point boring: axis 0.003 to 0.010 mm, process grades from memory"
REAMED_SOURCE = "reaming: IT7 to IT8, follows the drilled hole, process grades from memory"

_DRILL_LIFE_M = {"hss": 10.0, "carbide": 40.0}
"""Drilled length that a drill is expected to last. [m] From memory."""

_LEAST_FEED = 0.01
"""Feed as a share of the diameter down to which a slim drill is spared. [-] Common practice."""

_CORED_SHARE = 0.7
"""Cast hole that a core drill opens, as a share of its diameter. [-] Common practice, no source."""

_POWER_USED = 0.9
"""Share of the spindle's power that drilling may take. [-] Own judgement."""


@dataclass(frozen=True)
class Opening:
    """What opens the drilled hole before the reamer that sizes it.

    Parameters
    ----------
    kind : OperationKind
        Bore, which puts the axis right; or ream, the first of two reamers.
    diameter : float
        Diameter to which it opens the hole. [mm]
    """

    kind: OperationKind
    diameter: float

    def hole(self) -> DrilledHole:
        """Return what it leaves."""
        if self.kind is OperationKind.BORE:
            return DrilledHole(
                self.diameter, 0.008, 0.006, 0.006, 0.003, 0.010, Tag.DEFAULT, BORED_SOURCE
            )
        return DrilledHole(
            self.diameter, 0.005, 0.004, 0.005, 0.01, 0.03, Tag.DEFAULT, REAMED_SOURCE
        )


@dataclass(frozen=True)
class Chamfering:
    """The chamfer of a hole, by a 90 degree tool.

    Parameters
    ----------
    diameter : float
        Diameter at the face. [mm]
    tip_depth : float
        Depth of its tip. [mm]
    n : float
        Spindle speed. [1/min]
    time_s : float
        Time for one hole, with dwell and move. [s]
    """

    diameter: float
    tip_depth: float
    n: float
    time_s: float


def chamfering(
    nominal: float, material: Material, machine: Machine, economy: Economy
) -> Chamfering:
    """Return the chamfer of a hole.

    Parameters
    ----------
    nominal : float
        Nominal diameter of the hole. [mm]
    material : Material
        Work material: a tough one is chamfered no faster than it is drilled.
    machine : Machine
        Machine, for its spindle speeds.
    economy : Economy
        Time to move.
    """
    diameter = nominal + 2 * CHAMFER
    tip = diameter / 2
    n = _turned(min(CHAMFER_V_C, _tool_steel_speed(material, diameter)), diameter, machine)
    cut = float(time_in_cut(tip + APPROACH, n * CHAMFER_FEED))
    return Chamfering(diameter, tip, n, cut + CHAMFER_DWELL + economy.move_s)


def _tool_steel_speed(material: Material, DC: float) -> float:
    """Return the speed at which a plain tool drills the material. [m/min]

    High-speed steel; where that doesn't cut it, carbide at the lower end of its range.
    """
    try:
        return drill_start(material, DrillKind.JOBBER_HSS, DC).vc
    except NoAnswerError:
        return drill_start(material, DrillKind.CARBIDE, DC).vc_lo


def _turned(v_c: float, DC: float, machine: Machine) -> float:
    """Return the spindle speed for a cutting speed, as far as the machine goes. [1/min]"""
    return float(np.clip(spindle_speed(v_c, DC), machine.n_min, machine.n_max))


@dataclass(frozen=True)
class Spotting:
    """The spot that leads a drill, by a 90 degree tool.

    Parameters
    ----------
    diameter : float
        Diameter at the face. [mm]
    n : float
        Spindle speed. [1/min]
    time_s : float
        Time for one hole, with move. [s]
    """

    diameter: float
    n: float
    time_s: float

    @property
    def tip_depth(self) -> float:
        """Depth of its tip. [mm]"""
        return self.diameter / 2


def _spotting(drill: Drill, v_c: float, machine: Machine, economy: Economy) -> Spotting:
    diameter = 2 * SPOT_SHARE * drill.DC.value
    n = _turned(min(SPOT_V_C, v_c), diameter, machine)
    cut = float(time_in_cut(diameter / 2 + APPROACH, n * SPOT_FEED))
    return Spotting(diameter, n, cut + economy.move_s)


@dataclass(frozen=True)
class Prepared:
    """One way to prepare the hole for the reamer.

    Parameters
    ----------
    drill : Drill
        The drill.
    spot : Spotting, optional
        The spot that leads it; None where it needs none.
    opening : Opening, optional
        What opens the hole after drilling.
    hole : DrilledHole
        What the reamer meets.
    start : StartValues
        Speed and feed of the drill with their source.
    n, f : float
        Spindle speed [1/min] and feed [mm/rev] of the drill, within the machine's limits.
    torque : float
        Drilling torque. [N·mm]
    thrust : float
        Drilling thrust. [N]
    power : float
        Drilling power. [W]
    tip_depth : float
        Depth of the drill's tip. [mm]
    full_depth : float
        Depth of the full diameter. [mm]
    chamfer : Chamfering
        The chamfer before the reamer.
    time_s : float
        Time to spot, drill, open and chamfer one hole. [s]
    cost : float
        Tool cost of that for one hole. [currency]
    """

    drill: Drill
    spot: Spotting | None
    opening: Opening | None
    hole: DrilledHole
    start: StartValues
    n: float
    f: float
    torque: float
    thrust: float
    power: float
    tip_depth: float
    full_depth: float
    chamfer: Chamfering
    time_s: float
    cost: float

    @property
    def tools(self) -> int:
        """Tools that are changed to before the reamer. [-]"""
        return 2 + (self.spot is not None) + (self.opening is not None)

    @property
    def spotted(self) -> bool:
        """Whether a spot leads the drill."""
        return self.spot is not None

    @property
    def name(self) -> str:
        """The preparation in words."""
        if self.opening is None:
            return f"drill {self.drill.id}"
        how = "bore true" if self.opening.kind is OperationKind.BORE else "ream first"
        return f"drill {self.drill.id}, {how} to {self.opening.diameter:.3f} mm"


def chip_room(diameter: float) -> float:
    """Return the room left for chips below the reamer in a blind hole. [mm]

    A tenth of the diameter, at least 1 mm: common practice, no source.
    """
    return max(1.0, 0.1 * diameter)


def hole_depth(callout: Callout) -> float:
    """Return the depth over which the limits hold; twice the diameter where none is given."""
    return callout.depth if callout.depth is not None else 2 * callout.nominal


def prepared_holes(
    task: Task, drills: Sequence[Drill], *, lead: float, opening: Opening | None = None
) -> tuple[Prepared, ...]:
    """Return each drill as a way to prepare the hole.

    Parameters
    ----------
    task : Task
        What it is for.
    drills : sequence of Drill
        Drills to consider.
    lead : float
        Longest lead of the reamers to follow; a blind hole is drilled deeper by it. [mm]
    opening : Opening, optional
        What opens the hole between drill and reamer.
    """
    return tuple(_prepare(task, drill, lead, opening) for drill in drills)


def _prepare(task: Task, drill: Drill, lead: float, opening: Opening | None) -> Prepared:
    callout, material, machine, economy = task.callout, task.material, task.machine, task.economy
    hss = drill.kind in HSS_DRILLS
    entry = Entry.FLAT if callout.entry in (Entry.ROUGH, Entry.CORED) else callout.entry
    depth = hole_depth(callout)
    if callout.kind is HoleKind.BLIND:
        full = depth + lead + chip_room(callout.nominal)
    else:
        full = depth + BREAK_THROUGH
    tip = full + drill.point_length
    start = _start_at_depth(task, drill, tip)
    n, f, torque, thrust = _drill_setting(drill, start, material, machine, hss)
    time_s = float(time_in_cut(tip + APPROACH, n * f)) + economy.move_s
    spot = _spotting(drill, start.vc, machine, economy) if hss else None
    time_s += spot.time_s if spot else 0.0
    chamfer = chamfering(callout.nominal, material, machine, economy)
    life = 1000 * _DRILL_LIFE_M["hss" if hss else "carbide"] / tip
    hole = drilled_hole(drill, spotted=hss, entry=entry)
    if opening is not None:
        hole = opening.hole()
        time_s += float(time_in_cut(depth, OPENING_FEED)) + economy.move_s
    return Prepared(
        drill=drill,
        spot=spot,
        opening=opening,
        hole=hole,
        start=start,
        n=n,
        f=f,
        torque=torque,
        thrust=thrust,
        power=float(cutting_power(torque, n)),
        tip_depth=tip,
        full_depth=full,
        chamfer=chamfer,
        time_s=time_s + chamfer.time_s,
        cost=tool_cost(drill.price, life, task.holes, drill.owned, economy),
    )


def _start_at_depth(task: Task, drill: Drill, depth: float) -> StartValues:
    """Return speed and feed of a drill, less in a deep hole that no coolant washes out."""
    start = drill_start(task.material, drill.kind, drill.DC.value)
    if drill.coolant_through and task.coolant.through:
        return start
    on_v_c, on_f = (float(x) for x in deep_hole_factors(depth, drill.DC.value))
    if on_v_c == 1.0:
        return start
    return replace(
        start,
        vc_lo=start.vc_lo * on_v_c,
        vc=start.vc * on_v_c,
        vc_hi=start.vc_hi * on_v_c,
        f_lo=start.f_lo * on_f,
        f=start.f * on_f,
        f_hi=start.f_hi * on_f,
        source=f"{start.source}; {depth / drill.DC.value:.1f} diameters deep without coolant "
        f"through the drill: speed {on_v_c:.0%}, feed {on_f:.0%}",
    )


def _drill_setting(
    drill: Drill, start: StartValues, material: Material, machine: Machine, hss: bool
) -> tuple[float, float, float, float]:
    """Return speed, feed, torque and thrust: the usual ones, or less where something is weak.

    A slim drill is fed as it stands the torque, if need be down to a hundredth of its diameter.
    For a weak machine first the feed goes down to the lower end of its range, then the speed as
    far as the power asks. What still can't be driven is left to be refused by name.
    """
    edge = Substrate.HSS if hss else Substrate.CARBIDE
    factor = hole_correction(edge, system=material.kc_system).value
    # A core drill has no chisel edge, which makes half of the thrust of one with a point.
    cast = _CORED_SHARE if drill.kind is DrillKind.CORE else 0.0
    d0 = cast * drill.DC.value
    share = DRILL_THRUST_SHARE * ((1 - cast) / 2 if cast else 1.0)
    n = float(np.clip(spindle_speed(start.vc, drill.DC.value), machine.n_min, machine.n_max))
    cut = (material.kc11.value, material.mc.value, drill.DC.value)
    torque = float(drilling_torque(*cut, start.f, drill.SIG, correction=factor, d0=d0))
    safe = float(drill_torque_allowed(drill.DC.value, "HSS" if hss else "carbide"))
    stands = start.f * (safe / torque) ** (1 / (1 - material.mc.value))
    stands = max(stands, _LEAST_FEED * drill.DC.value)
    f, thrust = start.f, 0.0
    for f in (min(start.f, stands), min(start.f_lo, stands)):
        torque = float(drilling_torque(*cut, f, drill.SIG, correction=factor, d0=d0))
        thrust = float(drilling_thrust(*cut, f, drill.SIG, correction=factor, share=share))
        if float(cutting_power(torque, n)) <= _POWER_USED * machine.power:
            return n, f, torque, thrust
    slow = _POWER_USED * machine.power / float(cutting_power(torque, 1.0))
    return max(slow, machine.n_min), f, torque, thrust


def tool_cost(price: float, life: float, holes: int, owned: bool, economy: Economy) -> float:
    """Return what a tool costs for one hole.

    A tool from the drawer is paid by its wear; one that must be bought is paid off on this
    job, whole tools and the order with it.
    """
    if owned:
        return price / life
    tools = max(1.0, np.ceil(holes / life))
    return float((price * tools + economy.purchase) / holes)
