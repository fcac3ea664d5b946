"""How a person in the simulated shop answers each quick test.

Looks are answered from the quantities of the world, trial cuts by cutting again. Nothing here
knows the tables that rank causes; only keys of tests and the order of their answers are shared.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from fault_holes import packing, reading_shift, rubbing, severities, welding
from fault_person import FALSE, MISS, Shop
from fault_world import World

Asked = Callable[[Shop], int]


def _found(there: Callable[[World], bool]) -> Asked:
    return lambda shop: int(shop.sees(there(shop.w)))


def _helps(**values: object) -> Asked:
    return lambda shop: int(shop.better(**values))


def _choice(shop: Shop, candidates: list[tuple[int, float]], usual: int = 0) -> int:
    """Return the most striking find, if a person finds it; else the usual answer."""
    strikes = [(x * float(shop.rng.lognormal(0, 0.2)), i) for i, x in candidates]
    strength, index = max(strikes)
    if strength >= 1:
        return index if shop.rng.random() > MISS else usual
    if shop.rng.random() < FALSE:
        return int(shop.rng.choice([i for i, _ in candidates]))
    return usual


def _mic(shop: Shop) -> int:
    w, margin = shop.w, max(2.0, 0.2 * shop.w.setting.W)
    proud = 0.6 * w.wire + 0.3 * w.nick + 0.4 * welding(w) * 0.5 + 0.1 * w.setting.W * w.coat
    off = w.dc - 2 * w.wear * 0.6 + proud * 0.6 + shop.rng.normal(0, 1.0)
    return 0 if abs(off) <= margin else 1 if off > 0 else 2


def tir_read(shop: Shop) -> float:
    """Return the runout as it is indicated. [µm]"""
    w = shop.w
    one_seat = w.reseat * shop.rng.normal(0, 1)
    return float(
        abs(w.tir + one_seat + 0.5 * w.play * shop.rng.random()) * shop.rng.lognormal(0, 0.1)
    )


def _loupe(shop: Shop) -> int:
    w = shop.w
    worn = (w.wear + 0.3 * w.wear_run) / (0.13 * w.setting.W)
    worn += 0.55 * rubbing(w) + 0.7 * w.abrasive + 0.4 * max(w.v - 1.3, 0) + 0.5 * w.skin
    return _choice(
        shop,
        [
            (1, welding(w) / 2.6),
            (2, worn),
            (3, w.nick / 5),
            (4, w.wire / (0.25 * w.setting.W)),
            (5, w.coat / 0.7),
        ],
    )


def _drilled(shop: Shop) -> int:
    w, s = shop.w, shop.w.setting
    return _choice(
        shop,
        [
            (1, -w.stock / (0.4 * s.stock) + 0.5 * max(w.lips - 0.4, 0)),
            (2, w.stock / (0.4 * s.stock) + w.uneven / 40),
            (3, abs(w.d_taper) / (0.45 * s.W)),
            (4, w.d_lobe / (0.3 * s.W)),
            (
                5,
                (np.hypot(w.walk, w.slide) + 0.5 * s.position * w.lips) / (0.45 * s.position)
                + w.bend / (0.9 * s.W),
            ),
            (6, w.d_rough / 2.2 + 0.3 * w.drill_wear),
        ],
    )


def _pattern(shop: Shop) -> int:
    """A person's reading of the map: what stands out most against the tolerance."""
    w, width, read = shop.w, shop.w.setting.W, 2 * shop.holes.radius.mean(axis=2)
    level = abs(float(read[:, 1].mean()) + reading_shift(w))
    ends = max(abs(read[:, i].mean() - read[:, 1].mean()) for i in (0, 2))
    shape = float(np.ptp(shop.holes.radius[8, 1]))
    runs = read[:, 1]
    fit = np.polyfit(np.arange(1, 16), runs[1:], 1)
    rest = runs[1:] - np.polyval(fit, np.arange(1, 16))
    step = abs(runs[0] - np.polyval(fit, 0))
    found = [
        (0, level / (0.45 * width)),
        (1, ends / (0.35 * width)),
        (2, shape / (0.35 * width)),
        (3, abs(fit[0]) * 15 / (0.4 * width)),
        (4, step / (0.4 * width)),
        (5, float(np.hypot(rest.std(), 0.5 * w.feel)) / (0.24 * width)),
        (6, abs(shop.cooled()) / (0.35 * width)),
    ]
    return _choice(shop, found, usual=7)


def _first_last(shop: Shop) -> int:
    w, width = shop.w, shop.w.setting.W
    runs = 2 * shop.holes.radius[:, 1].mean(axis=1)[[0, 3, 7, 11, 15]]
    runs = runs + shop.rng.normal(0, np.hypot(0.6, 0.7 * w.feel), 5)
    first = abs(runs[0] - runs[1:].mean())
    drift = abs(np.polyfit(range(4), runs[1:], 1)[0]) * 3
    jump = abs(np.diff(runs[1:])).max()
    if first > max(0.35 * width, 1.5 * np.ptp(runs[1:])):
        return 2
    if drift > 0.3 * width:
        return 0
    if jump > 0.45 * width:
        return 1
    return 4 if runs.std() > 0.2 * width else 3


def _lobes(shop: Shop) -> int:
    r = shop.holes.radius[8, 1]
    spectrum = 2 * np.abs(np.fft.rfft(r)) / r.size
    spectrum[:2] = 0
    if np.ptp(r) * shop.rng.lognormal(0, 0.1) < 0.3 * shop.w.setting.W:
        return 0
    n = int(np.argmax(spectrum[:20]))
    if abs(n - shop.w.setting.teeth) == 1:
        return 1
    return {2: 3, 3: 2}.get(n, 4)


def _chips(shop: Shop) -> int:
    w, s = shop.w, shop.w.setting
    hot = 1.1 * max(w.v - 1.25, 0) + 1.5 * max(w.wear / s.W - 0.15, 0) + welding(w) / 8
    return _choice(
        shop,
        [
            (1, rubbing(w) / 0.6),
            (2, s.long_chip * (0.75 + w.helix_lift + max(0.6 - w.feed, 0)) + 0.5 * w.drill_long),
            (3, packing(w) / 0.7),
            (4, hot / 0.7),
        ],
    )


def _marks(shop: Shop) -> int:
    w, s = shop.w, shop.w.setting
    bad = severities(w)
    torn = welding(w) / 4.5 + 1.8 * max(w.wear / s.W - 0.08, 0) + 0.7 * max(1 - w.conc, 0)
    left = np.clip(w.d_rough - 1.6, 0, 1) + np.clip(-w.stock / s.stock - 0.4, 0, 1)
    torn += 0.35 * max(w.stock / s.stock, 0)
    helix = (1.4 if w.retract == "rapid" else 0.0) + w.feed_out - 0.3 + 0.3 * w.recut + w.tir / 60
    return _choice(
        shop,
        [
            (1, torn),
            (2, 1.6 * left),
            (3, helix),
            (4, 1.5 if w.retract == "stopped" else 0.0),
            (5, bad["T09"]),
            (6, bad["T06"]),
        ],
    )


def _break(shop: Shop) -> int:
    w = shop.w
    tip = (1.3 if w.room < -0.3 else 0) + (1.2 if w.length > 1 else 0) + 0.3 * packing(w)
    neck = w.offset / 60
    torque = packing(w) + 1.6 * max(w.wear / w.setting.W - 0.1, 0) + 0.4 * w.stock / w.setting.stock
    found = np.array([tip, neck, torque, w.creep]) * shop.rng.lognormal(0, 0.25, 4)
    return int(found.argmax())


def _teeth(shop: Shop) -> int:
    w = shop.w
    return _choice(
        shop,
        [
            (1, w.abrasive + w.wear / (0.3 * w.setting.W) * 0.8),
            (2, max(w.tir - 8, 0) / 10),
            (3, max(w.v - 1.15, 0) / 0.35),
            (4, 1.3 * rubbing(w) + 0.6 * w.dwell + 1.1 * max(0.7 - w.conc, 0)),
            (5, w.skin / 0.6),
        ],
    )


def _nest(shop: Shop) -> int:
    w = shop.w
    own = w.setting.long_chip * (0.25 + w.helix_lift + 0.8 * max(0.6 - w.feed, 0))
    own += 0.6 * max(1 - w.aim, 0)
    found = np.array([w.drill_long + 0.3 * max(1 - w.aim, 0), own, w.nest_left])
    return int((found * shop.rng.lognormal(0, 0.3, 3)).argmax())


def _hand(shop: Shop) -> int:
    w = shop.w
    if w.helix_push > 0.5:
        return 1
    if w.helix_lift > 0.5 or w.creep > 0.5:
        return 2
    if w.setting.helix == "straight":
        return 0
    pushes = w.setting.helix == "left"
    return 0 if pushes != w.setting.blind else 1 if pushes else 2


def _coolant(shop: Shop) -> int:
    w = shop.w
    return _choice(
        shop, [(1, (0.75 - w.flow) / 0.25), (2, (1 - w.aim) / 0.6), (3, w.dry_start / 0.7)]
    )


def _repeat(shop: Shop) -> int:
    w, width = shop.w, shop.w.setting.W
    if np.hypot(w.feel, 2 * max(w.dirt - 0.5, 0)) * shop.rng.lognormal(0, 0.2) > 0.2 * width:
        return 1
    apart = w.people + abs(w.other_size) * 0.3
    return 2 if apart * shop.rng.lognormal(0, 0.2) > 0.3 * width else 0


def _sticks(shop: Shop) -> int:
    w = shop.w
    found = [
        0.8 * w.dirt + 0.3,
        max(w.part_warm, 0) / 15,
        w.tilt * w.setting.blind,
        w.gall * w.setting.gummy**0.3,
        w.tight,
    ]
    return int((np.array(found) * shop.rng.lognormal(0, 0.25, 5)).argmax())


def _direction(shop: Shop) -> int:
    w = shop.w
    alike = np.hypot(w.slide, w.fixture) + 0.4 * w.setting.position * 0.5 * w.lips
    apart = w.walk + 0.6 * w.setting.position * w.lips + 0.3 * w.wander
    return int(alike * shop.rng.lognormal(0, 0.3) < apart)


def _short_pin(shop: Shop) -> int:
    w = shop.w
    least = -w.setting.W / 2
    ends = [shop.holes.pin(8, end) + shop.rng.normal(0, w.feel) > least for end in (0, 2)]
    if not all(ends):
        return 1
    return 2 if shop.holes.pin(8) + shop.rng.normal(0, w.feel) > least else 0


def _burr_look(shop: Shop) -> int:
    w = shop.w
    thin = w.soft + 0.5 * w.chamfer
    crossing = (1.2 if w.cross_late else 0.0) + 0.5 * w.cross_burr * w.setting.crossed
    found = np.array([thin, w.drill_wear, crossing]) * shop.rng.lognormal(0, 0.25, 3)
    return int(found.argmax())


def _witness(shop: Shop) -> int:
    w = shop.w
    slim = 1 - w.setting.g
    side = (max(w.offset - 10, 0) + 0.25 * w.slide + 0.15 * w.walk + 0.12 * w.fixture) / 25
    ring = max(w.stick - 1.2, 0) * (1 + slim) + max(w.entry - 0.6, 0) * 1.4
    ring += w.play / 12 + max(w.tir - 12, 0) / 35 + 0.5 * max(w.chamfer - 0.4, 0)
    side += 0.5 * max(w.chamfer - 0.4, 0)
    return _choice(shop, [(1, side), (2, ring)])


def _chamfer(shop: Shop) -> int:
    w = shop.w
    bad = w.chamfer / 0.5 + 0.4 * w.burr + 0.25 * w.soft
    return _choice(shop, [(1 if shop.w.shape < 1.6 else 2, bad)])


def _stickout(shop: Shop) -> int:
    w = shop.w
    springs = 0.45 * (1 - w.setting.g) * w.stick**3 + 0.5 * w.ring
    return _choice(shop, [(1, springs), (2, w.play / 6)])


def _reverse(shop: Shop) -> int:
    w, width = shop.w, shop.w.setting.W
    part = abs(w.wall) * width * 0.7 + 0.3 * w.clamp + 0.3 * w.slide * 0.1
    part += 6 * max(w.broken_wall - 0.3, 0) * w.setting.crossed
    machine = 0.25 * max(w.offset - 8, 0) + 0.45 * abs(w.d_taper) + 0.7 * width * packing(w)
    machine += 0.3 * w.wear
    if max(part, machine) < 0.25 * width:
        return 2
    return int(part * shop.rng.lognormal(0, 0.3) > machine)


def _rpm(shop: Shop) -> int:
    w = shop.w
    ratio = shop.after(
        v=0.5 * w.v, ring=0.15 * w.ring, cut_hot=0.55 * w.cut_hot, entry=0.6 * w.entry
    )
    return 1 if ratio < 0.75 else 2 if ratio > 1.35 else 0


def _feed(shop: Shop) -> int:
    # A light feed is raised until it is a usual one.
    ratio = shop.after(feed=max(1.4 * shop.w.feed, min(1.0, 2.5 * shop.w.feed)))
    return 1 if ratio < 0.75 else 2 if ratio > 1.15 else 0


def _wall_gone(shop: Shop) -> int:
    w = shop.w
    return int(
        shop.better(
            wall=0.0,
            clamp=0.3,
            clamp_varies=0.2,
            relax=0.0,
            broken_wall=0.0,
            cross_burr=0.0,
            skin=0.3 * w.skin,
            slide=0.1 * w.slide,
            fixture=0.3 * w.fixture,
            seats=0.2 * w.seats,
        )
    )


def _new_reamer(shop: Shop) -> int:
    w = shop.w
    return int(
        shop.better(
            wear=0.0,
            wear_run=0.05 * w.setting.W,
            nick=0.0,
            relief=0.0,
            coat=0.0,
            dc=0.0,
            wire=0.0,
            weld=0.2 * w.weld,
            tir=w.tir * float(shop.rng.uniform(0.4, 1.1)),
        )
    )


def _fluid(shop: Shop) -> int:
    w = shop.w
    ratio = shop.after(conc=1.3, fluid_off=0.0, weld=0.5 * w.weld, gall=0.5 * w.gall)
    return 1 if ratio < 0.75 else 2 if ratio > 1.3 else 0


ANSWERS: dict[str, Asked] = {
    "gauge-truth": lambda s: int(abs(s.w.bias + s.rng.normal(0, 0.7)) > 0.25 * s.w.setting.W),
    "temps": lambda s: (
        0
        if abs(t := s.w.part_warm + 0.25 * max(s.w.cut_hot - 8, 0) + s.rng.normal(0, 0.5)) <= 2
        else 1
        if t > 0
        else 2
    ),
    "pattern": _pattern,
    "mic-reamer": _mic,
    "loupe": _loupe,
    "drilled": _drilled,
    "age": lambda s: 0 if s.w.age < 0.03 else 2 if s.much(s.w.age, 0.2) > 0.85 else 1,
    "regauge": _helps(burr=0.0, cross_burr=0.0, dirt=0.1, drill_chips=0.0, recut=0.0),
    "soak": lambda s: int(abs(s.cooled()) > 0.25 * s.w.setting.W),
    "first-last": _first_last,
    "thick-block": _wall_gone,
    "chips": _chips,
    "align": lambda s: int(
        s.sees(
            s.w.offset > 20
            or np.hypot(s.w.walk, np.hypot(s.w.slide, s.w.fixture)) > 0.45 * s.w.setting.position
        )
    ),
    "float": lambda s: int(
        s.better(
            offset=0.1 * s.w.offset, tir=0.3 * s.w.tir, reseat=0.3 * s.w.reseat, play=0.4 * s.w.play
        )
    ),
    "unclamp": lambda s: int(
        s.sees(
            s.w.clamp + s.w.clamp_varies + 0.5 * abs(s.w.relax) > 0.22 * s.w.setting.W
            or (s.w.setting.thin and abs(s.w.wall) > 0.8)
        )
    ),
    "reverse": _reverse,
    "witness": _witness,
    "chamfer": _chamfer,
    "stickout": _stickout,
    "rpm": _rpm,
    "feed": _feed,
    "lobes": _lobes,
    "marks": _marks,
    "feed-out": _helps(retract="feed"),
    "retract": lambda s: {"feed": 0, "rapid": 1, "stopped": 2}[s.w.retract],
    "dwell": _found(lambda w: w.dwell > 0.5),
    "before-gauge": _found(lambda w: w.dirt > 0.55 or w.gall > 0.6),
    "break-look": _break,
    "drill-depth": _found(lambda w: w.room < 0.4),
    "length": _found(lambda w: w.length > 0.8 or w.creep > 1.1),
    "flutes": lambda s: int(s.sees(packing(s.w) + 0.45 * s.w.recut + 0.4 * s.w.helix_lift > 0.6)),
    "poke": lambda s: int(s.sees(s.w.setting.blind and packing(s.w) > 0.55)),
    "wear-teeth": _teeth,
    "hardness": _found(lambda w: w.skin > 0.5),
    "conc": lambda s: 1 if s.much(s.w.conc, 0.06) < 0.7 else 2 if s.w.conc > 1.35 else 0,
    "coolant-look": _coolant,
    "hand": _hand,
    "nest-watch": _nest,
    "repeat": _repeat,
    "tir-5": lambda s: int(s.sees(np.hypot(s.w.reseat, 0.4 * s.w.play) > 4)),
    "pause": lambda s: int(s.sees(abs(s.w.machine) > 0.3 * s.w.setting.W or s.w.dry_start > 0.9)),
    "new-reamer": _new_reamer,
    "fluid": _fluid,
    "wet-first": _helps(dry_start=0.0),
    "direction": _direction,
    "point": lambda s: _choice(s, [(1, s.w.lips / 0.5), (2, s.w.drill_wear / 0.6)]),
    "short-pin": _short_pin,
    "mate": lambda s: int(s.sees(abs(s.w.mate) > 0.3 * s.w.setting.W)),
    "press": _found(lambda w: w.peaks > 0.55),
    "definition": lambda s: int(s.sees(abs(s.w.other_size) > 0.3 * s.w.setting.W)),
    "more-points": _helps(few=0.0),
    "sticks": _sticks,
    "treated": lambda s: int(s.w.treated > 0),
    "cross-order": lambda s: int(s.sees(s.w.cross_late or s.w.cross_burr > 0.7)),
    "entry-slow": _helps(entry=0.2),
    "overtravel": _helps(over=0.0),
    "stock": lambda s: int(s.better(stock=0.0, uneven=3.0, d_rough=min(s.w.d_rough, 1.8))),
    "relief": _found(lambda w: w.relief > 0.55),
    "pull": _found(lambda w: w.creep > 0.6 or w.play > 9),
    "reclamp": lambda s: int(s.sees(abs(s.w.seats) + s.w.clamp_varies > 0.25 * s.w.setting.W)),
    "lead": _found(lambda w: w.lead_over > 0.8),
    "face-look": lambda s: int(s.sees(s.w.slide > 0.35 * s.w.setting.position)),
    "burr-look": _burr_look,
}
"""Test -> how a person in the shop answers it. ``tir`` is a number: see :func:`tir_read`."""
