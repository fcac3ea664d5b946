"""The numbers behind the reaming step of a route, each with its tag and its source."""

from __future__ import annotations

import numpy as np

from holewright.cutting.chip import chip_thickness_by_tooth
from holewright.cutting.chip_form import ChipKind, breaking_feed, bulk_of
from holewright.cutting.force import specific_cutting_force
from holewright.cutting.roughness import retract_lead
from holewright.cutting.tooth_load import least_feed_by_tooth, most_loaded
from holewright.cutting.wear import rubbing_path
from holewright.cutting.whirl import Whirl, even_whirl
from holewright.planning.chip_path import (
    kind_at,
    return_velocity,
    room_at,
    through_flow,
    transport,
)
from holewright.planning.grid import Array
from holewright.planning.point import Point
from holewright.planning.whirl_grid import LEAST_TEETH
from holewright.shop.coolant import Fluid
from holewright.sizing.lobing import QUIET
from holewright.sizing.reamed import wear_rate
from holewright.uncertainty import Known, Tag
from holewright.units import format_feed

FEED_OUT = 1.0
"""Feed speed of the return over that of the way in. [-] Common practice: feed out as in."""

Numbers = tuple[tuple[str, Known], ...]


def whirl_at(point: Point) -> Whirl:
    """Return the leading whirl of a candidate: growth, turns and lobes.

    Parameters
    ----------
    point : Point
        The candidate; its reamer is taken as evenly spaced.
    """
    reamer = point.reamer
    return even_whirl(
        point.at("stiffness"),
        K_t=cutting_coefficient(point),
        f=point.at("f"),
        a_p=depth_of_cut(point),
        ZEFP=max(reamer.ZEFP, LEAST_TEETH),
        KAPR=reamer.KAPR,
    )


def cutting_coefficient(point: Point) -> float:
    """Return k_c of a sharp tool at the chip thickness of a candidate. [N/mm²]"""
    material = point.candidates.task.material
    return float(specific_cutting_force(material.kc11.value, material.mc.value, point.at("h")))


def depth_of_cut(point: Point) -> float:
    """Return the stock per side that a candidate meets on the mean. [mm]"""
    return max(point.reamer.DC.value - point.prepared.hole.mean, 1e-4) / 2


def surviving_eccentricity(point: Point) -> float:
    """Return what is left of the eccentricity when the cut has centred the tool. [mm]"""
    return point.at("share") * point.at("tir") / 2


def reaming_numbers(point: Point) -> Numbers:
    """Return the numbers of the reaming step.

    Parameters
    ----------
    point : Point
        The candidate.

    Returns
    -------
    tuple of (str, Known)
        Name with its unit, and value with tag and source.
    """
    reamer = point.reamer
    start = point.candidates.starts[point.index[1]]
    n, v_f = point.at("n"), point.at("v_f")
    return (
        ("reamer diameter DC [mm]", reamer.DC),
        ("cutting speed [m/min]", Known(point.at("v_c"), start.tag, start.source)),
        ("feed [mm/rev]", Known(point.at("f"), start.tag, start.source)),
        ("chip thickness [mm]", _computed(point.at("h"), "f_z sin KAPR")),
        ("runout [mm]", known_tir(point)),
        ("runout that reaches the size [-]", _computed(point.at("share"), "own derivation")),
        *_tooth_numbers(point),
        ("torque, worn [N·m]", _computed(point.at("torque") / 1000, "Kienzle and ploughing")),
        ("power [W]", _computed(point.at("power"), "torque times speed")),
        *_whirl_numbers(point),
        *_chip_numbers(point),
        (
            "lead of a retract mark [mm]",
            _computed(float(retract_lead(FEED_OUT * v_f, n)), "speed out over spindle speed"),
        ),
        ("wear of the lands a hole, per side [µm]", _wear(point)),
        ("life [holes]", reamer.life_holes),
    )


def _tooth_numbers(point: Point) -> Numbers:
    reamer = point.reamer
    true = np.zeros(reamer.ZEFP)
    e = surviving_eccentricity(point)
    h = chip_thickness_by_tooth(point.at("f"), reamer.KAPR, tooth_error=true, eccentricity=e)
    load = most_loaded(h, point.candidates.task.material.mc.value)
    least = least_feed_by_tooth(reamer.KAPR, tooth_error=true, eccentricity=e)
    source = "runout that the cut leaves; edges of equal height"
    return (
        ("load on the most loaded tooth over the mean [-]", _computed(float(load), source)),
        ("feed below which a tooth idles [mm/rev]", _computed(float(least.max()), source)),
    )


def _whirl_numbers(point: Point) -> Numbers:
    whirl = whirl_at(point)
    source = "quasi-static model, even teeth; margin constants are guesses"
    growth = float(np.nan_to_num(whirl.growth_per_revolution, nan=0.0))
    numbers = (("growth of whirl in a turn [-]", _computed(growth, source)),)
    if growth < QUIET:
        return numbers
    return (*numbers, ("lobes it would leave [-]", _computed(float(whirl.lobes), source)))


def _chip_numbers(point: Point) -> Numbers:
    c, kind = point.candidates, kind_at(point)
    coolant = c.task.coolant
    room = (
        f"chips likely to come {kind}, a heuristic; bulk {bulk_of(kind).hi:.0f}: "
        f"{bulk_of(kind).source}"
    )
    numbers: Numbers = (("flutes' room over bulk of the chips [-]", _judged(room_at(point), room)),)
    flow = _of_reamer(point, through_flow(c.reamers, coolant))
    if flow == 0:
        return numbers
    back = _of_reamer(point, return_velocity(c.reamers, coolant))
    carries = float(np.broadcast_to(transport(c), c.shape)[point.index])
    fluid = "free air" if coolant.fluid is Fluid.MQL else "coolant"
    source = f"{coolant.pressure:g} bar through a channel of DC/5, own judgement; pump not known"
    return (
        *numbers,
        (f"flow of {fluid} [L/min]", _judged(flow, source)),
        ("velocity along the flutes [m/s]", _judged(back, source)),
        ("that over the sinking of a chip [-]", _judged(carries, source)),
    )


def _of_reamer(point: Point, values: Array) -> float:
    return float(values.ravel()[point.index[1]])


def _wear(point: Point) -> Known:
    path = float(rubbing_path(point.reamer.DC.value, point.at("tip_depth"), point.at("f")))
    rate = wear_rate(point.reamer.kind) * 1000
    source = f"own judgement, times or over 3, before the shop's own; path {path:.2f} m a hole"
    return Known(rate, Tag.ASSUMED, source, 0.8 * rate)


def chip_advice(point: Point) -> str:
    """Return what to say of chips that won't break; empty where they should.

    Parameters
    ----------
    point : Point
        The candidate.
    """
    kind, reamer = kind_at(point), point.reamer
    unit = point.candidates.task.callout.unit
    material = point.candidates.task.material
    if kind in (ChipKind.NEST, ChipKind.LONG):
        breaks = reamer.ZEFP * float(breaking_feed(reamer.KAPR, material.chips))
        comes = "in a nest" if kind is ChipKind.NEST else "long"
        return (
            f" By a heuristic the chips come {comes}, and break from about "
            f"{format_feed(breaks, unit)}: watch them on the test hole, and raise the feed first."
        )
    if kind is ChipKind.HEAVY:
        return " By a heuristic the chips come heavier than they need to: less feed would do."
    return ""


def known_tir(point: Point) -> Known:
    """Return the runout of holder and spindle together. [mm]"""
    tir = point.holder.tir
    return Known(point.at("tir"), tir.tag, tir.source, tir.u)


def _computed(value: float, source: str) -> Known:
    return Known(value, Tag.COMPUTED, source)


def _judged(value: float, source: str) -> Known:
    return Known(value, Tag.ASSUMED, source)
