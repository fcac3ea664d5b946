"""Why a number is what it is: its formula, its inputs with their tags, and its source."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from holewright.errors import InputError
from holewright.planning.candidates import SUBSTRATE, stick_out
from holewright.planning.route import Point
from holewright.uncertainty import Known, Tag


@dataclass(frozen=True)
class Explanation:
    """One number, explained.

    Parameters
    ----------
    name : str
        What it can be asked for by.
    what : str
        What it is, in words.
    formula : str
        In symbols of the standards.
    value : float
        Its value. [`unit`]
    unit : str
        Its unit.
    inputs : tuple of (str, Known)
        Each input with its unit in the name, its tag and its source.
    source : str
        Where the formula comes from, and what it does not say.
    """

    name: str
    what: str
    formula: str
    value: float
    unit: str
    inputs: tuple[tuple[str, Known], ...]
    source: str


def _shop(value: float, source: str = "tool room") -> Known:
    return Known(value, Tag.DEFAULT, source)


def _computed(value: float, source: str) -> Known:
    return Known(value, Tag.COMPUTED, source)


def _setting(point: Point, name: str) -> Known:
    start = point.candidates.starts[point.index[1]]
    return Known(point.at(name), start.tag, start.source)


def _speed(point: Point) -> Explanation:
    return Explanation(
        "speed",
        "spindle speed of the reamer",
        "n = 1000 v_c / (π DC)",
        point.at("n"),
        "1/min",
        (("v_c [m/min]", _setting(point, "v_c")), ("DC [mm]", point.reamer.DC)),
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
            ("n [1/min]", _computed(point.at("n"), "speed")),
            ("f [mm/rev]", _setting(point, "f")),
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
            ("f [mm/rev]", _setting(point, "f")),
            ("ZEFP [-]", _shop(point.reamer.ZEFP)),
            ("KAPR [deg]", _shop(point.reamer.KAPR)),
        ),
        "geometry of the lead, ISO 3002-3",
    )


def _torque(point: Point) -> Explanation:
    material = point.candidates.task.material
    return Explanation(
        "torque",
        "torque of a worn reamer",
        "M = K k_c f (DC² - d0²) / 8, k_c = k_c1.1 h^-m_c, K = 1.3 for wear",
        point.at("torque") / 1000,
        "N·m",
        (
            ("k_c1.1 [N/mm²]", material.kc11),
            ("m_c [-]", material.mc),
            ("h [mm]", _computed(point.at("h"), "chip")),
            ("f [mm/rev]", _setting(point, "f")),
            ("DC [mm]", point.reamer.DC),
            ("d0, the drilled hole [mm]", _drilled(point)),
        ),
        "Kienzle; a reamer's chip is thinner than the 0.05 mm to which the constants are "
        "measured, so take it as good to 40 %; friction of the margins is not in it",
    )


def _power(point: Point) -> Explanation:
    return Explanation(
        "power",
        "power at the spindle while reaming",
        "P = 2 π n M",
        point.at("power"),
        "W",
        (
            ("n [1/min]", _computed(point.at("n"), "speed")),
            ("M [N·m]", _computed(point.at("torque") / 1000, "torque")),
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
            ("d [mm]", _shop(p.opening.diameter) if p.opening else p.drill.DC),
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
            ("k, reamer and holder [N/mm]", _computed(point.at("stiffness"), "stiffness")),
            ("TIR, holder and spindle [mm]", _tir(point)),
            ("f [mm/rev]", _setting(point, "f")),
            ("ZEFP [-]", _shop(point.reamer.ZEFP)),
            ("KAPR [deg]", _shop(point.reamer.KAPR)),
        ),
        "derived here after the quasi-static reaming model of Bayly et al. (2001); three contact "
        "constants are guesses, and no measured data set is known",
    )


def _tir(point: Point) -> Known:
    tir = point.holder.tir
    return Known(point.at("tir"), tir.tag, tir.source, tir.u)


def _stiffness(point: Point) -> Explanation:
    return Explanation(
        "stiffness",
        "stiffness of reamer and holder at the lead",
        "1/k = L³ / (3 E I) + 1/k_holder",
        point.at("stiffness"),
        "N/mm",
        (
            ("L, out of the holder [mm]", _computed(stick_out(point.reamer), "OAL - 3 DMM")),
            ("DMM [mm]", _shop(point.reamer.DMM)),
            ("k_holder [N/mm]", _shop(point.holder.stiffness)),
        ),
        f"beam theory; body of {SUBSTRATE[point.reamer.kind]}",
    )


def _life(point: Point) -> Explanation:
    start = point.candidates.starts[point.index[1]]
    return Explanation(
        "life",
        "holes that the reamer is expected to make at this speed",
        "N = N_usual (v_usual / v_c)^(1/n)",
        point.at("life"),
        "holes",
        (
            ("N_usual [holes]", point.reamer.life_holes),
            ("v_usual [m/min]", Known(start.vc, start.tag, start.source)),
            ("v_c [m/min]", _setting(point, "v_c")),
        ),
        "Taylor; exponents from memory, and a reamer's life ends by size, so replace it by your "
        "own count",
    )


def _time(point: Point) -> Explanation:
    return Explanation(
        "time",
        "time for one hole, all its operations, without tool changes",
        "t = Σ (depth / v_f + move)",
        point.at("time_s"),
        "s",
        (
            ("before the reamer [s]", _computed(point.prepared.time_s, "drill and spot")),
            ("v_f, reamer [mm/min]", _computed(point.at("v_f"), "feed")),
            ("depth, reamer's tip [mm]", _computed(point.at("tip_depth"), "callout")),
        ),
        "kinematics; the reamer is fed in and out; the time to move is assumed",
    )


def _cost(point: Point) -> Explanation:
    return Explanation(
        "cost",
        "cost of a hole that is inside the limits",
        "c = (machine + drill + reamer + changes + gauging + scrap) / (1 - share bad)",
        point.at("cost"),
        "currency",
        tuple((f"{name} [currency]", _computed(v, "plan")) for name, v in point.cost_parts),
        "scrap is the share outside once a test cut has settled what all holes share; value of a "
        "part, gauging time and orders are assumed until the shop says",
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
