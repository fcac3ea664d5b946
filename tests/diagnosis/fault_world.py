"""A simulated shop in which one thing is wrong: what it is made of.

Nothing here knows the tables that rank causes. A world is a set of physical quantities (runout,
wear, stock, play, warmth, burrs, …); a fault moves one of them out of its sound range; sizes,
marks and chips follow from the quantities (``fault_holes.py``), and what a person sees follows
from those, with a person's errors (``fault_answers.py``). Sizes come from the sizing and cutting
models where they have a formula: growth by runout, follow of the drilled hole, whirl, expansion,
spring-back, stock. Lengths are in µm unless said otherwise. The magnitudes of faults are
judgement; they were set before the first run.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace

import numpy as np


@dataclass(frozen=True)
class Setting:
    """What a job fixes: geometry, material, machine, and what the models say of them."""

    name: str
    D: float  # mm
    L: float  # mm
    W: float  # µm
    blind: bool
    group: str
    gummy: float
    long_chip: float
    fluid: str
    g: float
    follow: float
    stiffness: float
    k_c: float
    f: float
    a_p: float
    teeth: int
    alpha: float
    helix: str
    crossed: bool
    thin: bool
    bad_face: bool
    position: float
    listed_tir: float
    edge_radius: float
    h_weakest: float
    stock: float
    spring_sd: float
    fluid_sd: float
    three_jaws: bool


@dataclass(frozen=True)
class World:
    """The state of tool, hole, clamp, fluid, warmth and gauge. Sound unless a fault moves it."""

    setting: Setting
    seed: int
    # tool
    dc: float = 0.0  # reamer over what is planned
    tir: float = 4.0
    reseat: float = 1.0  # runout differs so much from seat to seat
    wear: float = 0.5  # per side, now
    wear_run: float = 0.2  # per side, over the run
    age: float = 0.4  # share of its usual life
    weld: float = 0.0  # height of welded metal beyond what speed and fluid make
    fresh: float = 0.0  # what sharp edges cut more, at first
    wire: float = 0.0  # wire edge, first holes
    nick: float = 0.0
    relief: float = 0.0
    coat: float = 0.0
    stick: float = 1.0  # stick-out over the planned
    play: float = 0.0
    creep: float = 0.0  # pulled in by the helix
    # drilled hole
    stock: float = 0.0  # stock over the planned
    uneven: float = 0.0
    d_taper: float = 0.0
    d_lobes: int = 3
    d_lobe: float = 1.0
    d_rough: float = 1.0
    wander: float = 3.0  # of the drilled size and place, hole to hole
    walk: float = 10.0  # of the drilled axis, another way in each hole
    slide: float = 0.0  # of the drilled axis, the same way in each hole, from the face
    lips: float = 0.0
    drill_wear: float = 0.2
    bend: float = 2.0
    room: float = 1.5  # depth beyond what the reamer needs, mm
    lead_over: float = 0.0  # mm of lead too long
    drill_chips: float = 0.0
    burr: float = 0.0  # loose burr or dirt in the bore
    exit_burr: float = 0.2
    cross_burr: float = 0.0
    cross_late: bool = False
    chamfer: float = 0.1  # how bad the chamfer is
    # set-up
    offset: float = 8.0  # of spindle and hole axis
    fixture: float = 5.0
    clamp: float = 0.5
    clamp_varies: float = 0.3
    seats: float = 0.0
    wall: float = 0.3
    # fluid
    conc: float = 1.0
    flow: float = 1.0
    aim: float = 1.0
    dry_start: float = 0.0
    fluid_off: float = 0.0
    # warmth, K
    part_warm: float = 0.0  # part over gauge when gauged
    cut_hot: float = 0.0  # part over the planned when cut
    machine: float = 0.0  # growth that is still to come, µm
    relax: float = 0.0
    # gauge
    bias: float = 0.0
    feel: float = 0.7
    people: float = 0.3
    dirt: float = 0.0
    other_size: float = 0.0
    few: float = 0.0
    tight: float = 0.0
    tilt: float = 0.0
    gall: float = 0.0
    # program
    v: float = 1.0
    feed: float = 1.0
    entry: float = 0.3
    retract: str = "feed"
    feed_out: float = 0.2
    dwell: float = 0.0
    over: float = 0.0  # over-travel beyond lead and a millimetre, in leads
    length: float = 0.0  # mm too deep
    # material
    spring: float = 0.0
    skin: float = 0.0
    abrasive: float = 0.0
    soft: float = 0.0
    drill_long: float = 0.0
    nest_left: float = 0.0
    helix_lift: float = 0.0
    helix_push: float = 0.0
    ring: float = 0.0
    whirls: float = 0.0  # margin contact beyond the usual guess
    broken_wall: float = 0.0
    pack: float = 0.0
    recut: float = 0.0
    shape: float = 0.0
    treated: float = 0.0
    mate: float = 0.0
    peaks: float = 0.0
    looked: bool = True
    drift_sign: float = field(default=1.0)


def sound(setting: Setting, rng: np.random.Generator) -> World:
    """Return a world in which nothing is wrong beyond what is usual."""
    return World(
        setting=setting,
        seed=int(rng.integers(1 << 31)),
        dc=rng.normal(0, 1.2),
        tir=setting.listed_tir * rng.lognormal(0, 0.35),
        reseat=abs(rng.normal(0, 1.2)),
        wear=0.06 * setting.W * rng.uniform(0, 1) ** 2,
        wear_run=0.02 * setting.W * rng.lognormal(0, 0.5),
        age=rng.uniform(0.05, 0.9),
        weld=abs(rng.normal(0, 0.7)),
        relief=abs(rng.normal(0, 0.1)),
        coat=abs(rng.normal(0, 0.1)),
        stick=rng.lognormal(0, 0.08),
        play=abs(rng.normal(0, 0.6)),
        stock=rng.normal(0, 12),
        uneven=abs(rng.normal(0, 6)),
        d_taper=rng.normal(0, 2.5),
        d_lobes=int(rng.choice([3, 5])),
        d_lobe=abs(rng.normal(0, 1.5)),
        d_rough=rng.lognormal(0, 0.25),
        wander=abs(rng.normal(3, 1)),
        walk=abs(rng.normal(0, 0.12 * setting.position)),
        slide=abs(rng.normal(0, 0.05 * setting.position)),
        lips=abs(rng.normal(0, 0.12)),
        drill_wear=rng.uniform(0, 0.5),
        bend=abs(rng.normal(0, 0.12 * setting.W)),
        room=abs(rng.normal(1.5, 0.4)),
        drill_chips=abs(rng.normal(0, 0.12)),
        exit_burr=abs(rng.normal(0.2, 0.1)),
        chamfer=abs(rng.normal(0, 0.15)),
        offset=abs(rng.normal(0, 6)),
        fixture=abs(rng.normal(0, 0.1 * setting.position)),
        clamp=abs(rng.normal(0, 0.5)),
        clamp_varies=abs(rng.normal(0, 0.4)),
        wall=abs(rng.normal(0, 0.5)),
        conc=rng.lognormal(0, 0.1),
        flow=rng.lognormal(0, 0.12),
        part_warm=rng.normal(0, 0.8),
        cut_hot=rng.normal(0, 1.5),
        machine=rng.normal(0, 0.05 * setting.W),
        relax=rng.normal(0, 0.03 * setting.W),
        bias=rng.normal(0, 0.6),
        feel=abs(rng.normal(0.7, 0.2)),
        people=abs(rng.normal(0, 0.4)),
        dirt=abs(rng.normal(0, 0.15)),
        v=rng.lognormal(0, 0.06),
        feed=rng.lognormal(0, 0.06),
        entry=rng.uniform(0.1, 0.5),
        spring=rng.normal(0, 0.6),
        soft=0.3 * setting.gummy + abs(rng.normal(0, 0.1)),
        pack=abs(rng.normal(0, 0.12)),
        recut=abs(rng.normal(0, 0.12)),
        peaks=abs(rng.normal(0, 0.15)),
        fluid_off=rng.normal(0, 0.5),
        shape=rng.uniform(0, np.pi),
        drift_sign=float(rng.choice([-1.0, 1.0])),
    )


def _heavier(rng: np.random.Generator, low: float, high: float) -> float:
    return float(rng.uniform(low, high))


Fault = Callable[[World, np.random.Generator], World]


def _faults() -> dict[str, Fault]:
    """Return for each cause what it does to a sound world."""

    def put(**ranges: tuple[float, float]) -> Fault:
        def fault(w: World, rng: np.random.Generator) -> World:
            return replace(w, **{name: _heavier(rng, *r) for name, r in ranges.items()})

        return fault

    def widths(**ranges: tuple[float, float]) -> Fault:
        """As shares of the tolerance."""

        def fault(w: World, rng: np.random.Generator) -> World:
            width = w.setting.W
            return replace(w, **{n: width * _heavier(rng, *r) for n, r in ranges.items()})

        return fault

    def either(**ranges: tuple[float, float]) -> Fault:
        """As shares of the tolerance, with either sign."""

        def fault(w: World, rng: np.random.Generator) -> World:
            width, sign = w.setting.W, float(rng.choice([-1.0, 1.0]))
            return replace(w, **{n: sign * width * _heavier(rng, *r) for n, r in ranges.items()})

        return fault

    def also(first: Fault, **values: object) -> Fault:
        return lambda w, rng: replace(first(w, rng), **values)

    def runout(w: World, rng: np.random.Generator) -> World:
        # A slim reamer shows it by wear, chatter and marks rather than by size.
        return replace(w, tir=_heavier(rng, 14, 45))

    def welding_fluid(w: World, rng: np.random.Generator) -> World:
        return replace(w, conc=_heavier(rng, 0.15, 0.5))

    def fluid(sign: int) -> Fault:
        def fault(w: World, rng: np.random.Generator) -> World:
            sd = w.setting.fluid_sd
            return replace(w, fluid_off=sign * sd * _heavier(rng, 1.0, 3.0), dc=sign * 1.5)

        return fault

    def hot(w: World, rng: np.random.Generator) -> World:
        return replace(w, cut_hot=_heavier(rng, 12, 45))

    def warm(w: World, rng: np.random.Generator) -> World:
        return replace(w, part_warm=_heavier(rng, 8, 35))

    def springs(w: World, rng: np.random.Generator) -> World:
        return replace(w, spring=-w.setting.spring_sd * _heavier(rng, 1.5, 3.5))

    def drill_lobed(w: World, rng: np.random.Generator) -> World:
        n = w.setting.teeth
        passes = [n - 1, n + 1] if rng.random() < 0.7 else [3]
        return replace(
            w, d_lobes=int(rng.choice(passes)), d_lobe=w.setting.W * _heavier(rng, 0.4, 1.2)
        )

    def little(w: World, rng: np.random.Generator) -> World:
        return replace(w, stock=-w.setting.stock * _heavier(rng, 0.6, 0.95))

    def much(w: World, rng: np.random.Generator) -> World:
        return replace(
            w, stock=w.setting.stock * _heavier(rng, 0.8, 2.5), uneven=_heavier(rng, 20, 90)
        )

    def late(w: World, rng: np.random.Generator) -> World:
        return replace(w, cross_late=True, cross_burr=_heavier(rng, 0.8, 1.5))

    return {
        "runout": runout,
        "reamer-large": widths(dc=(0.4, 1.3)),
        "misaligned": put(offset=(30, 150)),
        "built-up-edge": also(put(weld=(3, 9)), looked=False),
        "stock-much": much,
        "fluid-enlarges": fluid(1),
        "edge-new": lambda w, rng: replace(
            w, fresh=w.setting.W * _heavier(rng, 0.4, 1.0), age=0.0, wear=0.0
        ),
        "gauged-warm": warm,
        "gauge-wrong": either(bias=(0.4, 1.2)),
        "worn": lambda w, rng: replace(
            w,
            wear=w.setting.W * _heavier(rng, 0.15, 0.5),
            wear_run=w.setting.W * _heavier(rng, 0.1, 0.45),
            age=_heavier(rng, 0.8, 1.6),
        ),
        "recovery": springs,
        "stock-little": little,
        "fluid-closes": fluid(-1),
        "cut-hot": hot,
        "reamer-small": lambda w, rng: replace(w, dc=-w.setting.W * _heavier(rng, 0.4, 1.3)),
        "burr-or-dirt": put(burr=(0.8, 1.6)),
        "drill-taper": either(d_taper=(0.8, 2.0)),
        "chips-pack": also(put(pack=(0.7, 1.5)), looked=False),
        "clamp": lambda w, rng: replace(
            w,
            clamp=w.setting.W * _heavier(rng, 0.2, 0.9),
            clamp_varies=w.setting.W * _heavier(rng, 0.05, 0.4),
        ),
        "wall": either(wall=(0.5, 1.3)),
        "whip": put(stick=(1.5, 2.4)),
        "no-chamfer": put(chamfer=(0.7, 1.4)),
        "entry-fast": put(entry=(0.9, 1.6)),
        "exit-whip": put(over=(0.8, 2.5)),
        "whirl": put(whirls=(0.8, 2.0)),
        "drill-lobed": drill_lobed,
        "interrupted": put(broken_wall=(0.7, 1.4)),
        "resonance": put(ring=(0.7, 1.4)),
        "speed-high": put(v=(1.5, 2.3)),
        "feed-light": put(feed=(0.15, 0.35)),
        "spindle-loose": put(play=(7, 25)),
        "relief-much": put(relief=(0.7, 1.3)),
        "drill-marks": lambda w, rng: replace(
            w, d_rough=_heavier(rng, 2.2, 4.0), walk=w.walk + _heavier(rng, 5, 30)
        ),
        "coolant-lean": welding_fluid,
        "feed-heavy": put(feed=(1.8, 3.0)),
        "chips-recut": put(recut=(0.6, 1.4)),
        "rapid-out": lambda w, rng: replace(w, retract="rapid"),
        "stopped-out": lambda w, rng: replace(w, retract="stopped"),
        "feed-out": put(feed_out=(0.8, 1.4)),
        "nick": put(nick=(4, 14)),
        "cross-burr": put(cross_burr=(0.8, 1.5)),
        "gauge-dirty": put(dirt=(0.7, 1.4)),
        "drill-short": put(room=(-2.5, -0.4)),
        "pulled-in": put(creep=(0.8, 1.5)),
        "length-offset": put(length=(1.5, 6)),
        "hard-skin": put(skin=(0.6, 1.4)),
        "abrasive": put(abrasive=(0.7, 1.5)),
        "dwell": put(dwell=(0.8, 1.6)),
        "speed-zone": lambda w, rng: replace(w, v=_heavier(rng, 0.45, 0.7), weld=w.weld + 1.5),
        "coating-rough": put(coat=(0.8, 1.5)),
        "helix-back": put(helix_lift=(0.8, 1.4)),
        "drill-nest": put(drill_long=(0.8, 1.4)),
        "coolant-direction": put(aim=(-0.2, 0.3)),
        "nest-left": put(nest_left=(0.8, 1.4)),
        "no-room": put(room=(-0.25, 0.15)),
        "helix-down": put(helix_push=(0.8, 1.4)),
        "coolant-weak": put(flow=(0.1, 0.45)),
        "drill-chips": put(drill_chips=(0.8, 1.4)),
        "lead-long": put(lead_over=(1.0, 2.5)),
        "drill-wander": lambda w, rng: replace(
            w,
            wander=_heavier(rng, 35, 110),
            walk=w.walk + w.setting.position * _heavier(rng, 0.0, 0.25),
            drill_wear=_heavier(rng, 0.4, 0.8),
        ),
        "reseat": put(reseat=(10, 35)),
        "thermal": lambda w, rng: replace(
            w,
            machine=w.setting.W * _heavier(rng, 0.4, 1.1) * float(rng.choice([-1.0, 1.0])),
            fixture=w.fixture + w.setting.position * _heavier(rng, 0.0, 0.5),
        ),
        "feel": put(feel=(3, 8), people=(0.5, 6)),
        "dry-first": put(dry_start=(0.7, 1.4)),
        "tool-burr": lambda w, rng: replace(
            w, wire=w.setting.W * _heavier(rng, 0.4, 1.0), age=0.0, wear=0.0
        ),
        "clamp-seats": either(seats=(0.4, 1.0)),
        "start-face": lambda w, rng: replace(
            w, slide=w.setting.position * _heavier(rng, 0.5, 1.2), offset=w.offset + 10
        ),
        "no-spot": lambda w, rng: replace(w, walk=w.setting.position * _heavier(rng, 0.5, 1.3)),
        "point-unequal": put(lips=(0.7, 1.4)),
        "fixture-off": lambda w, rng: replace(
            w, fixture=w.setting.position * _heavier(rng, 0.6, 1.5)
        ),
        "stress": either(relax=(0.35, 0.9)),
        "treated-later": lambda w, rng: replace(w, treated=w.setting.W * _heavier(rng, 0.4, 1.2)),
        "bent-axis": widths(bend=(0.7, 2.0)),
        "line-to-line": put(tight=(0.8, 1.4)),
        "tilt-vacuum": put(tilt=(0.8, 1.4)),
        "galling": put(gall=(0.8, 1.4)),
        "size-definition": either(other_size=(0.4, 0.9)),
        "few-points": either(few=(0.4, 0.9)),
        "drill-worn": put(drill_wear=(0.9, 1.6)),
        "cross-after": late,
        "ductile": put(soft=(0.9, 1.5)),
        "mate-off": either(mate=(0.4, 1.2)),
        "peaks-crush": put(peaks=(0.8, 1.5)),
    }


FAULTS = _faults()
"""Cause -> what it does to a sound world."""
