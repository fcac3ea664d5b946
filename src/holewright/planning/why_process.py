"""Why the process would behave as it is said to: whirl, chips, coolant and teeth."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from holewright.cutting.chip_form import BREAKING_STRAIN, bulk_of
from holewright.cutting.evacuation import CHIP_COMPRESSION_RATIO, CURL_RADIUS, curl_strain
from holewright.cutting.process_stiffness import USUAL_CONTACT
from holewright.planning.chip_path import (
    CHANNEL_SHARE,
    free_area,
    kind_at,
    return_velocity,
    room_at,
    through_flow,
)
from holewright.planning.explanation import Explanation, computed, from_shop, setting
from holewright.planning.point import Point
from holewright.planning.ream_numbers import (
    cutting_coefficient,
    depth_of_cut,
    surviving_eccentricity,
    whirl_at,
)
from holewright.uncertainty import Known, Tag

_GUESS = "a guess; the least known inputs of the model"


def _whirl(point: Point) -> Explanation:
    whirl = whirl_at(point)
    growth = float(np.nan_to_num(whirl.growth_per_revolution, nan=0.0))
    contact = {name: float(np.asarray(v)) for name, v in vars(USUAL_CONTACT).items()}
    return Explanation(
        "whirl",
        "growth of whirl in one turn; over 1 it builds up and leaves lobes",
        "growth = exp(2 π Re s), k + Z(s) = 0",
        growth,
        "-",
        (
            ("k, reamer and holder [N/mm]", computed(point.at("stiffness"), "stiffness")),
            ("K_t = k_c [N/mm²]", computed(cutting_coefficient(point), "torque")),
            ("f [mm/rev]", setting(point, "f")),
            ("a_p, stock per side [mm]", computed(depth_of_cut(point), "stock")),
            ("ZEFP, taken as even [-]", from_shop(point.reamer.ZEFP)),
            ("KAPR [deg]", from_shop(point.reamer.KAPR)),
            ("k_m, a margin [N/mm]", _guess(contact["margin_stiffness"])),
            ("Δ, its width [rad]", _guess(contact["margin_angle"])),
            ("µ, its friction [-]", _guess(contact["friction"])),
        ),
        "quasi-static reaming model after Bayly et al. (2001), derived here; good for comparing "
        "set-ups, and it promises no lobe height",
    )


def _guess(value: float) -> Known:
    return Known(value, Tag.ASSUMED, _GUESS)


def _chips(point: Point) -> Explanation:
    kind, material = kind_at(point), point.candidates.task.material
    h = point.at("h")
    return Explanation(
        "chips",
        f"strain of the chip over that at which it breaks: {kind}, by a heuristic",
        "ε / ε_b, ε = ζ h / (2 R_0)",
        float(curl_strain(h)) / BREAKING_STRAIN[material.chips],
        "-",
        (
            ("h [mm]", computed(h, "chip")),
            ("ζ [-]", Known(CHIP_COMPRESSION_RATIO, Tag.ASSUMED, "from memory")),
            ("R_0 [mm]", Known(CURL_RADIUS, Tag.ASSUMED, "from memory")),
            (
                f"ε_b, {material.chips} chips [-]",
                Known(BREAKING_STRAIN[material.chips], Tag.ASSUMED, "steel 0.05 from memory"),
            ),
            (
                "flutes' room over the chips' bulk [-]",
                computed(room_at(point), f"bulk {bulk_of(kind).hi:.0f}: {bulk_of(kind).source}"),
            ),
        ),
        "from 1 chips break, from 4 they are heavier than they need to be; below 1 a flat one "
        "nests. Judgement until the shop has logged its own chips",
    )


def _flow(point: Point) -> Explanation:
    c = point.candidates
    of_reamer = point.index[1]
    return Explanation(
        "coolant",
        "velocity of the coolant along the flutes",
        "v = q / A, q from p = (K + λ L/d) ρ w²/2 in the channel",
        float(return_velocity(c.reamers, c.task.coolant).ravel()[of_reamer]),
        "m/s",
        (
            ("p, at the spindle [bar]", from_shop(c.task.coolant.pressure, "machine")),
            (
                "d, channel [mm]",
                Known(
                    CHANNEL_SHARE * point.reamer.DC.value, Tag.ASSUMED, "a fifth of DC, judgement"
                ),
            ),
            ("L [mm]", from_shop(point.reamer.OAL)),
            (
                "q [L/min]",
                computed(
                    float(through_flow(c.reamers, c.task.coolant).ravel()[of_reamer]),
                    "channel flow; the pump may give less",
                ),
            ),
            (
                "A, free section of the flutes [mm²]",
                computed(float(free_area(c.reamers).ravel()[of_reamer]), "half the ring"),
            ),
        ),
        "friction after Swamee and Jain; 0 where no coolant comes through the tool",
    )


def _teeth(point: Point) -> Explanation:
    reamer = point.reamer
    return Explanation(
        "teeth",
        "eccentricity that is left when the cut has centred the reamer",
        "e = g TIR / 2",
        surviving_eccentricity(point),
        "mm",
        (
            ("g [-]", computed(point.at("share"), "runout")),
            ("TIR, holder and spindle [mm]", computed(point.at("tir"), "tool room")),
            ("ZEFP [-]", from_shop(reamer.ZEFP)),
        ),
        "edges are taken as equally high: indicate each one, and ask with --teeth",
    )


PROCESS: dict[str, Callable[[Point], Explanation]] = {
    "whirl": _whirl,
    "chips": _chips,
    "coolant": _flow,
    "teeth": _teeth,
}
"""What can be asked of the process, by name."""
