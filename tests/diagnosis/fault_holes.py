"""The holes that a simulated shop makes, and how bad each symptom is.

Every hole is a wall of radii over depth and angle. What two points, three points and a pin feel
follows from the wall. Nothing here knows the tables that rank causes.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np
from fault_world import World
from numpy.typing import NDArray

from holewright.cutting.process_stiffness import Contact
from holewright.cutting.whirl import even_whirl
from holewright.gauging.form import sizes_seen
from holewright.sizing.temperature import cut_warm

Floats = NDArray[np.float64]

HOLES = 16
"""Holes along the run that somebody looks at; between them others are cut."""
DEPTHS = np.array([0.12, 0.5, 0.88])
ANGLES = np.linspace(0, 2 * np.pi, 180, endpoint=False)


def rubbing(w: World) -> float:
    """Return how much the edges rub: 0 where they cut, 1 where they slide."""
    s = w.setting
    chip = s.h_weakest * w.feed / (s.edge_radius * (1 + 2 * w.wear / s.W))
    thin = np.clip((2.2 - chip) / 2.0, 0, 1) if w.feed < 0.8 else 0.0
    a_side = (s.stock + w.stock - w.uneven) / 2
    shallow = np.clip(1.2 - a_side / (0.18 * s.stock), 0, 1)
    light = np.clip((0.5 - w.feed) / 0.35, 0, 1)
    return float(np.clip(max(thin, shallow, light) + 0.3 * w.dwell, 0, 1.5))


def welding(w: World) -> float:
    """Return the height of welded metal on the edges."""
    s = w.setting
    in_range = np.exp(-(((w.v - 0.55) / 0.2) ** 2))
    lean = max(0.0, 1 - w.conc)
    grows = (0.35 + 0.65 * s.gummy) * (2.2 * in_range + 4.0 * lean + 2.5 * w.coat)
    thin = 2.0 * (0.35 + 0.65 * s.gummy) * max(0.0, 0.6 - w.feed)
    return w.weld + grows + thin


@lru_cache(maxsize=4096)
def _whirl_amplitude(
    stiffness: float, k_c: float, f: float, a_p: float, teeth: int, contact: float
) -> float:
    growth = even_whirl(
        stiffness,
        K_t=k_c,
        f=f,
        a_p=max(a_p, 1e-4),
        ZEFP=teeth,
        KAPR=45.0,
        contact=Contact(
            margin_stiffness=1800 * (1 + 3 * contact), friction=0.2 / (1 + 4 * contact)
        ),
    ).growth_per_revolution
    growth = float(np.nan_to_num(growth, nan=0.0)) + 0.8 * contact
    return float(np.clip((growth - 0.8) / 0.3, 0, 1) * 10)


def whirl_amplitude(w: World) -> float:
    """Return the amplitude of the lobes that whirl leaves."""
    s = w.setting
    return _whirl_amplitude(
        round(s.stiffness / w.stick**3, 1),
        s.k_c,
        round(s.f * w.feed, 4),
        round((s.stock + w.stock) / 2000, 4),
        s.teeth,
        round(w.whirls, 3),
    )


@dataclass(frozen=True)
class Holes:
    """The holes of a run: radii over hole, depth and angle. [µm, over what is planned]"""

    radius: Floats
    world: World

    def two_point(self, hole: int, depth: int, angle: float) -> float:
        """Return the distance of two opposite points, over the planned size."""
        r = self.radius[hole, depth]
        i = round(angle / 2) % 180
        return float(r[i] + r[(i + 90) % 180])

    def three_point(self, hole: int, depth: int, angle: float) -> float:
        """Return twice the mean of three radii."""
        r = self.radius[hole, depth]
        i = round(angle / 2)
        return float(2 / 3 * (r[i % 180] + r[(i + 60) % 180] + r[(i + 120) % 180]))

    def pin(self, hole: int, end: int | None = None, *, free: bool = False) -> float:
        """Return about the largest pin that goes in, all through or at an end; or burr-free."""
        r = self.radius[hole] if end is None else self.radius[hole, end : end + 1]
        size = float(2 * r.min())
        w = self.world
        if free:
            return size
        if end is None:
            size -= max(w.bend - 0.25 * w.setting.W, 0)
        return size - (self.blocked if end in (None, 2) else 0.0)

    def gauged(self, hole: int) -> float:
        """Return the largest pin that a person gets through, by the form model of gauging."""
        s, w = self.world.setting, self.world
        wall = self.radius[hole].copy()
        wall[1] += max(w.bend - 0.25 * s.W, 0) * np.cos(ANGLES)
        seen = sizes_seen(s.D / 2 + wall / 1000, DEPTHS * s.L)
        return 1000 * (seen.pin - s.D) - self.blocked

    @property
    def blocked(self) -> float:
        """What burrs and dirt take from a pin."""
        w = self.world
        stuck = max(w.burr - 0.4, 0) + max(w.cross_burr - 0.5, 0) * w.setting.crossed
        return 0.8 * w.setting.W * stuck

    @property
    def middle(self) -> Floats:
        """Mean size at mid-depth, hole by hole."""
        return np.asarray(2 * self.radius[:, 1].mean(axis=1))


def make(w: World) -> Holes:
    """Cut the holes of a run."""
    s = w.setting
    rng = np.random.default_rng(w.seed)
    t = np.linspace(0, 1, HOLES)
    order = np.arange(HOLES)
    rub, weld = rubbing(w), welding(w)
    seat = np.repeat(rng.normal(0, 1, HOLES // 2), 2) * w.reseat
    tir = np.abs(w.tir + seat)
    g = s.g / max(1.0, w.stick**1.5)
    size = np.full(HOLES, w.dc + w.fluid_off + w.spring)
    size += 0.85 * g * (tir - s.listed_tir)
    size += -2 * w.wear * 0.6 - 2 * w.wear_run * t - 2 * 0.12 * s.W * w.abrasive * t
    size += 1000 * float(cut_warm(s.D, s.alpha, w.cut_hot))
    size += w.machine * np.exp(-3 * t)
    size += w.fresh * np.exp(-order / 1.3) + w.wire * (order < 2) * np.where(order == 0, 1, 0.4)
    size += w.dry_start * 0.7 * s.W * (order == 0)
    size += w.seats * (order == 0)
    size += 0.7 * 2 * w.nick * 0.5 * max(g, 0.3)
    size += 0.03 * max(w.stock, 0) + 0.05 * w.uneven * (1 - s.follow) * s.g
    size -= 0.55 * s.W * max(rub - 0.35, 0)
    size += 0.12 * s.W * w.coat + 1.3 * max(w.feed_out - 0.3, 0) * s.spring_sd
    size += 3.0 * w.drift_sign * (w.feed - 1) * s.f / s.teeth / 0.1
    lean = max(0.0, 1 - w.conc)
    size += w.drift_sign * 0.5 * s.W * max(lean - 0.3, 0) * t
    # Welded metal grows and breaks off.
    height = np.zeros(HOLES)
    now = weld * rng.uniform(0, 1.5)
    for i in order:
        now = 0.0 if rng.random() < 0.25 else min(now + 0.5 * weld, 1.6 * weld)
        height[i] = now
    size += 1.2 * (height - 0.6)
    random = np.hypot(1.3, 0.09 * max(w.wander - 5, 0) * (1 - 0.5 * s.follow))
    random = np.hypot(random, 0.5 * w.clamp_varies + 0.14 * s.W * w.recut)
    random = np.hypot(random, 0.16 * w.play + 0.1 * s.W * w.nest_left)
    size += rng.normal(0, random, HOLES)

    z = DEPTHS * s.L
    entry = np.exp(-z / s.D) / np.exp(-z[0] / s.D)
    exit = np.exp(-(s.L - z) / s.D) / np.exp(-(s.L - z[2]) / s.D)
    slim = 1 - s.g
    swing = max(w.stick - 1.25, 0) * (6 + 8 * slim)
    fast = max(w.entry - 0.6, 0) * (5 + 9 * slim)
    ragged = max(w.chamfer - 0.35, 0) * 12
    one_sided = 0.25 * max(w.offset + 0.3 * w.uneven - 8, 0) * (1 - 0.5 * s.follow)
    past = 0.0 if s.blind else max(w.over - 0.3, 0) * 6
    packed = max(packing(w) - 0.45, 0) * 0.7 * s.W
    tilt = w.d_taper * 0.45 + w.wall * s.W * 0.7 * (1 if s.thin else 0.6)
    tilt += w.clamp * 0.5 * (0 if s.three_jaws else 1) * w.drift_sign
    tilt += -0.25 * s.W * max(w.wear / s.W - 0.2, 0)
    along = (swing + fast + ragged + 0.25 * w.play) * entry + one_sided * entry + past * exit
    along = along - packed * DEPTHS**3 + tilt * (0.5 - DEPTHS)

    a = ANGLES
    wall = np.zeros((HOLES, 3, a.size))
    wall += size[:, None, None] / 2 + along[None, :, None] / 2
    oval = 0.5 * one_sided * entry + 0.9 * max(w.broken_wall - 0.3, 0) * 4 * s.crossed
    wall += (oval[None, :, None] / 2) * np.cos(2 * (a - w.shape))
    n = s.teeth + (1 if w.drift_sign > 0 else -1)
    wall += whirl_amplitude(w) * np.cos(n * (a + w.shape))
    passes = 1.0 if w.d_lobes in (s.teeth - 1, s.teeth + 1) else 0.25
    wall += 0.5 * passes * w.d_lobe * np.cos(w.d_lobes * a)
    if s.three_jaws:
        wall += 0.5 * w.clamp * np.cos(3 * a + w.shape)
    else:
        wall += 0.25 * w.clamp * np.cos(2 * a + w.shape)
    wall += 8.0 * max(w.ring - 0.4, 0) * np.cos(5 * a)
    wall += 2.0 * max(w.broken_wall - 0.3, 0) * s.crossed * np.cos(4 * a)
    return Holes(wall, w)


def packing(w: World) -> float:
    """Return how packed the chips are at the far end; 1 is full."""
    s = w.setting
    flow = max(0.6 - w.flow, 0)
    if not s.blind:
        return w.pack + 0.5 * flow
    room = max(0.6 - w.room, 0) * 1.5
    lead = 0.5 * w.lead_over
    return w.pack + room + lead + w.drill_chips + 1.0 * w.helix_push + 1.6 * flow


def reading_shift(w: World) -> float:
    """Return what gauge and warmth add to any reading."""
    return w.bias + 1000 * w.setting.D * w.setting.alpha * w.part_warm


def severities(w: World) -> dict[str, float]:
    """Return how bad each symptom is; from 1 on somebody complains."""
    s, holes = w.setting, make(w)
    read = 2 * holes.radius.mean(axis=2) + reading_shift(w)
    entry, middle, far = read.mean(axis=0)
    half = s.W / 2
    rub, weld = rubbing(w), welding(w)
    slim = 1 - s.g
    ends = entry - far
    straight = abs(middle - (entry + far) / 2) < 0.12 * abs(ends)
    runs = read[:, 1]
    fit = np.polyfit(np.arange(1, HOLES), runs[1:], 1)
    rest = runs[1:] - np.polyval(fit, np.arange(1, HOLES))
    two = np.array([[holes.two_point(8, 1, 2 * i) for i in range(90)]])
    round_off = float(np.ptp(holes.radius[8, 1]))
    pin_now = holes.pin(8)
    far_pin, near_pin = holes.pin(8, 2), holes.pin(8, 0)
    packed, lean = packing(w), max(0.0, 1 - w.conc)
    recut = w.recut + 0.5 * max(packed - 0.6, 0) + 0.3 * w.nest_left
    marks_left = np.clip(w.d_rough - 1.6, 0, 1) + np.clip(0.5 - (s.stock + w.stock) / s.stock, 0, 1)
    chatter = (
        0.25
        + 0.2 * slim * w.stick**2
        + 0.45 * max(w.v**2 - 1.2, 0)
        + 0.7 * min(rub, 1)
        + w.play / 12
        + w.relief
        + 0.025 * max(w.tir - 10, 0)
        + 0.45 * w.ring
        + whirl_amplitude(w) / 20
    )
    finish = (
        0.35
        + 0.12 * max(weld - 0.8, 0)
        + 1.6 * max(w.wear / s.W - 0.08, 0)
        + 0.5 * rub
        + 0.6 * max(w.stock / s.stock, 0) * 0.6
        + 0.8 * marks_left
        + 0.55 * lean
        + 0.4 * max(w.v - 1.2, 0)
        + 0.45 * max(w.feed - 1.2, 0)
        + 0.5 * recut
    )
    retract = (
        {"feed": 0.1, "rapid": 1.4, "stopped": 1.4}[w.retract]
        + 0.55 * recut
        + w.tir / 40
        + 0.8 * max(w.feed_out - 0.3, 0)
    )
    score = 0.1 + 0.8 * recut + w.nick / 8 + weld / 9 + w.dirt + 0.5 * w.gall
    score += 0.9 * w.cross_burr * s.crossed
    breaks = (
        0.1
        + (1.1 if w.room < -0.3 else 0.0)
        + 0.75 * packed
        + w.offset / 130
        + 1.4 * max(w.wear / s.W - 0.15, 0)
        + w.creep
        + (1.0 if w.length > 1 else 0.0)
        + 0.35 * max(w.stock / s.stock, 0)
    )
    life = (
        0.25
        * (1 + 2.2 * rub)
        * (1 + 3.0 * w.skin)
        * max(w.v, 0.5) ** 2.5
        * (1 + 0.09 * max(w.tir - 6, 0))
        * (1 + 2.5 * lean)
        * (1 + 2.5 * w.abrasive)
        * (1 + 1.5 * w.dwell)
    )
    nest = (
        0.1
        + s.long_chip * (0.25 + w.helix_lift + 0.8 * max(0.6 - w.feed, 0))
        + w.drill_long
        + 0.9 * max(1 - w.aim, 0)
        + w.nest_left
    )
    place = (
        np.hypot(w.walk, np.hypot(w.slide, w.fixture)) + 0.9 * s.position * max(w.lips - 0.3, 0)
    ) / (0.55 * s.position)
    cools = 1000 * s.D * s.alpha * (abs(w.part_warm) + max(w.cut_hot, 0) * 0.35) + abs(w.relax)
    cools += 0.6 * w.treated
    sticks = w.tight + w.tilt * s.blind + w.gall * s.gummy**0.3 + 0.8 * w.dirt
    sticks += max(w.part_warm, 0) / 35
    # A pin that stops at a burr, or where turning the gauge shows it, is no dispute.
    apart = abs(holes.pin(8, free=True) - two.mean() - w.bias)
    apart *= 0.6 if np.ptp(two) > 0.3 * s.W else 1.0
    apart += abs(w.other_size) + abs(w.few)
    apart += 600 * s.D * s.alpha * abs(w.part_warm)
    burrs = 0.15 + w.drill_wear * 0.75 + w.soft * 0.75 + (0.9 if w.cross_late else 0)
    burrs += 0.6 * max(w.chamfer - 0.3, 0) + 0.4 * w.cross_burr * s.crossed
    fits = (abs(w.mate) + 0.7 * w.treated + 0.35 * max(round_off - 2, 0)) / (0.4 * s.W)
    fits += w.peaks + (0.8 * abs(w.wall) if s.thin else 0)
    over = (middle - half) / (0.25 * s.W) + 1
    under = (-half - middle) / (0.25 * s.W) + 1
    one_end = 0.0
    if max(near_pin, far_pin) > -half and max(near_pin, far_pin) - pin_now > 0.25 * s.W:
        one_end = (-half - min(near_pin, far_pin, pin_now)) / (0.25 * s.W) + 1
    return {
        "T01": over if min(entry, far) > half - 0.3 * s.W else 0.0,
        "T02": under if max(entry, far) < -half + 0.3 * s.W else 0.0,
        "T03": abs(ends) / (0.45 * s.W) if straight else 0.0,
        "T04": 0.0 if straight else max(entry - middle, far - middle) / (0.45 * s.W),
        "T05": round_off / (0.4 * s.W),
        "T06": chatter,
        "T07": finish,
        "T08": retract,
        "T09": score,
        "T10": breaks,
        "T11": life,
        "T12": weld / 3.2 if w.looked else 0.0,
        "T13": nest,
        "T14": 1.3 * packed if s.blind and w.looked else 0.0,
        "T15": float(np.hypot(rest.std(), w.feel)) / (0.24 * s.W),
        "T16": abs(fit[0]) * (HOLES - 1) / (0.4 * s.W),
        "T17": abs(runs[0] - np.polyval(fit, 0)) / (0.4 * s.W),
        "T18": float(place),
        "T19": cools / (0.3 * s.W),
        "T20": one_end,
        "T21": sticks,
        "T22": apart / (0.4 * s.W),
        "T23": burrs,
        "T24": float(fits),
    }


def changed(w: World, **values: object) -> World:
    """Return the same world with one thing changed."""
    return replace(w, **values)
