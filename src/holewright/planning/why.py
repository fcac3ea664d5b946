"""Why a number is what it is: its formula, its inputs with their tags, and its source."""

from __future__ import annotations

from collections.abc import Callable

from holewright.cutting.force import EDGE_FORCE
from holewright.cutting.kienzle_groups import group_reaming_torque, nearest_group
from holewright.errors import InputError
from holewright.planning.candidates import (
    FEED_EXPONENT,
    SUBSTRATE,
    TAYLOR_N,
    force_correction,
    stick_out,
)
from holewright.planning.explanation import Explanation, computed, from_shop, setting
from holewright.planning.point import Point
from holewright.planning.ream_numbers import known_tir
from holewright.planning.why_process import PROCESS
from holewright.uncertainty import Known, Tag


def _speed(point: Point) -> Explanation:
    return Explanation(
        "speed",
        "spindle speed of the reamer",
        "n = 1000 v_c / (π DC)",
        point.at("n"),
        "1/min",
        (("v_c [m/min]", setting(point, "v_c")), ("DC [mm]", point.reamer.DC)),
        "ISO 3002-1, definition of cutting speed",
    )


def _feed(point: Point) -> Explanation:
    return Explanation(
        "feed",
        "feed speed of the reamer",
        "v_f = n f",
        point.at("v_f"),
        "mm/min",
        (
            ("n [1/min]", computed(point.at("n"), "speed")),
            ("f [mm/rev]", setting(point, "f")),
        ),
        "ISO 3002-1, definition of feed speed",
    )


def _chip(point: Point) -> Explanation:
    return Explanation(
        "chip",
        "chip thickness of each tooth at the lead, without runout",
        "h = (f / ZEFP) sin KAPR",
        point.at("h"),
        "mm",
        (
            ("f [mm/rev]", setting(point, "f")),
            ("ZEFP [-]", from_shop(point.reamer.ZEFP)),
            ("KAPR [deg]", from_shop(point.reamer.KAPR)),
        ),
        "geometry of the lead, ISO 3002-3",
    )


def _torque(point: Point) -> Explanation:
    material = point.candidates.task.material
    factors = force_correction(material, point.reamer.kind)
    product = " x ".join(f"{float(value):.1f} for {name}" for name, value in factors.factors)
    return Explanation(
        "torque",
        "torque of a worn reamer",
        "M = K k_c f (DC² - d0²) / 8 + N K_e b (DC + d0) / 4, k_c = k_c1.1 h^-m_c, "
        "b = (DC - d0) / (2 sin KAPR)",
        point.at("torque") / 1000,
        "N·m",
        (
            ("K [-]", computed(float(factors.value), product)),
            ("k_c1.1 [N/mm²]", material.kc11),
            ("m_c [-]", material.mc),
            ("h [mm]", computed(point.at("h"), "chip")),
            ("f [mm/rev]", setting(point, "f")),
            ("DC [mm]", point.reamer.DC),
            ("d0, the drilled hole [mm]", _drilled(point)),
            ("N, teeth [-]", from_shop(point.reamer.ZEFP)),
            ("KAPR [deg]", from_shop(point.reamer.KAPR)),
            ("K_e, ploughing [N/mm]", Known(EDGE_FORCE, Tag.ASSUMED, "4 to 10, from memory")),
        ),
        "Kienzle; corrections of Tschätsch from memory; a reamer's chip is thinner than the "
        "0.05 mm to which the constants are measured, so take it as good to 40 %; friction of "
        "the margins is not in it" + _second_opinion(point),
    )


def _second_opinion(point: Point) -> str:
    """Return what the table by group of VDI 3323 makes of the same cut, a sharp tool."""
    row = nearest_group(point.candidates.task.material)
    if row is None or row.mc is None:
        return ""
    reamer, hole = point.reamer, point.prepared.hole
    other = group_reaming_torque(
        row.group,
        reamer.DC.value,
        min(hole.mean, reamer.DC.value - 1e-4),
        point.at("f"),
        reamer.ZEFP,
        reamer.KAPR,
    )
    return (
        f". A second system of tables, VDI 3323 group {row.group} ({row.material}), gives "
        f"{float(other) / 1000:.2f} N·m for sharp carbide, without ploughing"
    )


def _power(point: Point) -> Explanation:
    return Explanation(
        "power",
        "power at the spindle while reaming",
        "P = 2 π n M",
        point.at("power"),
        "W",
        (
            ("n [1/min]", computed(point.at("n"), "speed")),
            ("M [N·m]", computed(point.at("torque") / 1000, "torque")),
        ),
        "mechanics; losses of the spindle are not in it",
    )


def _drilled(point: Point) -> Known:
    hole = point.prepared.hole
    return Known(hole.mean, hole.tag, hole.source, hole.sd)


def _stock(point: Point) -> Explanation:
    p = point.prepared
    return Explanation(
        "stock",
        "stock on diameter, reamer less drill",
        "stock = DC - d, d the drill, or what opens the hole after it",
        point.at("stock"),
        "mm",
        (
            ("DC [mm]", point.reamer.DC),
            ("d [mm]", from_shop(p.opening.diameter) if p.opening else p.drill.DC),
        ),
        "definition; what practice gives: "
        + "; ".join(point.candidates.stock_ranges[point.index[1]].sources),
    )


def _runout(point: Point) -> Explanation:
    return Explanation(
        "runout",
        "share of the runout that reaches the size",
        "g = 1 / |1 + Z(i) / k|",
        point.at("share"),
        "-",
        (
            ("k, reamer and holder [N/mm]", computed(point.at("stiffness"), "stiffness")),
            ("TIR, holder and spindle [mm]", known_tir(point)),
            ("f [mm/rev]", setting(point, "f")),
            ("ZEFP [-]", from_shop(point.reamer.ZEFP)),
            ("KAPR [deg]", from_shop(point.reamer.KAPR)),
        ),
        "derived here after the quasi-static reaming model of Bayly et al. (2001); three contact "
        "constants are guesses, and no measured data set is known",
    )


def _stiffness(point: Point) -> Explanation:
    return Explanation(
        "stiffness",
        "stiffness of reamer and holder at the lead",
        "1/k = L³ / (3 E I) + 1/k_holder",
        point.at("stiffness"),
        "N/mm",
        (
            ("L, out of the holder [mm]", computed(stick_out(point.reamer), "OAL - 3 DMM")),
            ("DMM [mm]", from_shop(point.reamer.DMM)),
            ("k_holder [N/mm]", from_shop(point.holder.stiffness)),
        ),
        f"beam theory; body of {SUBSTRATE[point.reamer.kind]}",
    )


def _life(point: Point) -> Explanation:
    start = point.candidates.starts[point.index[1]]
    kind = point.reamer.kind
    return Explanation(
        "life",
        "holes that the reamer is expected to make at this speed and feed",
        "N = N_usual (v_usual / v_c)^(1/n) (f_usual / f)^m, at most 2 N_usual",
        point.at("life"),
        "holes",
        (
            ("N_usual [holes]", point.reamer.life_holes),
            ("v_usual [m/min]", Known(start.vc, start.tag, start.source)),
            ("v_c [m/min]", setting(point, "v_c")),
            ("n [-]", Known(TAYLOR_N[kind], Tag.DEFAULT, "from memory")),
            ("f_usual [mm/rev]", Known(start.f, start.tag, start.source)),
            ("f [mm/rev]", setting(point, "f")),
            ("m [-]", Known(FEED_EXPONENT[kind], Tag.DEFAULT, "from memory")),
        ),
        "Taylor, extended by the feed; exponents from memory, and a reamer's life ends by size, "
        "so replace it by your own count",
    )


def _time(point: Point) -> Explanation:
    return Explanation(
        "time",
        "time for one hole, all its operations, without tool changes",
        "t = Σ (depth / v_f + move)",
        point.at("time_s"),
        "s",
        (
            ("before the reamer [s]", computed(point.prepared.time_s, "drill and spot")),
            ("v_f, reamer [mm/min]", computed(point.at("v_f"), "feed")),
            ("depth, reamer's tip [mm]", computed(point.at("tip_depth"), "callout")),
        ),
        "kinematics; the reamer is fed in and out; the time to move is assumed",
    )


def _cost(point: Point) -> Explanation:
    return Explanation(
        "cost",
        "cost of a hole that is inside the limits",
        "c = (machine + drill + reamer + tool changes + new reamers + gauging + scrap) / (1 - "
        "share bad)",
        point.at("cost"),
        "currency",
        tuple((f"{name} [currency]", computed(v, "plan")) for name, v in point.cost_parts),
        "scrap is the share outside once a test cut has settled what all holes share; value of a "
        "part, gauging time and orders are assumed until [costs] of the job file says",
    )


_EXPLAIN: dict[str, Callable[[Point], Explanation]] = {
    "speed": _speed,
    "feed": _feed,
    "chip": _chip,
    "torque": _torque,
    "power": _power,
    "stock": _stock,
    "runout": _runout,
    "stiffness": _stiffness,
    "life": _life,
    "time": _time,
    "cost": _cost,
}

_EXPLAIN |= PROCESS

NAMES = tuple(_EXPLAIN)
"""What can be asked for."""


def explain(point: Point, name: str) -> Explanation:
    """Return why a number of the chosen route is what it is.

    Parameters
    ----------
    point : Point
        The candidate.
    name : str
        One of :data:`NAMES`.

    Returns
    -------
    Explanation
        Formula, inputs with tag and source, and what it does not say.

    Raises
    ------
    InputError
        If there is no such number.
    """
    if name not in _EXPLAIN:
        raise InputError("why", name, f"must be one of {', '.join(NAMES)}")
    return _EXPLAIN[name](point)


def explain_all(point: Point) -> tuple[Explanation, ...]:
    """Return every number of the chosen route, explained."""
    return tuple(build(point) for build in _EXPLAIN.values())
