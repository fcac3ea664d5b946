"""What to do instead, where the answer is not to ream."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from holewright.callout.callout import Callout
from holewright.planning.economy import Economy
from holewright.planning.prepare import hole_depth
from holewright.planning.rules import HARDEST_HB
from holewright.shop.machine import Machine
from holewright.shop.material import Material
from holewright.shop.reamer import ReamerKind
from holewright.units import Unit, format_both, format_size

HONING_STOCK = (0.02, 0.05)
"""Stock on diameter for honing, from least to most. [mm] Common practice, no source."""

BORE_FEED = 60.0
"""Feed speed of a boring pass. [mm/min] A cautious default."""

ROUGH_PASS = 4.0
"""What a roughing pass of a boring head opens at most, on diameter. [mm] Own judgement."""

_LEAST_BORED = 5.0
_DEEPEST_BORED = 6.0
"""Least diameter [mm], and depth over diameter [-], that a boring bar on a mill takes. Common
practice, no source."""


@dataclass(frozen=True)
class Boring:
    """What it takes to bore the hole to size instead.

    Parameters
    ----------
    setup_s : float
        Once, to set the head on a trial hole. [s]
    hole_s : float
        Each hole: all passes, measured before the last. [s]
    passes : int
        Roughing, semi-finishing and finishing. [-]
    """

    setup_s: float
    hole_s: float
    passes: int

    def cost(self, holes: int, rate: float) -> float:
        """Return what boring costs a hole, at `rate` an hour. [currency]"""
        return (self.setup_s / holes + self.hole_s) * rate / 3600


def can_be_bored(callout: Callout) -> bool:
    """Return whether a boring bar on a mill reaches into the hole and stands the cut."""
    deep = hole_depth(callout) / callout.nominal
    return callout.nominal >= _LEAST_BORED and deep <= _DEEPEST_BORED


def boring(callout: Callout, economy: Economy, opened: float | None = None) -> Boring:
    """Return what it takes to bore the hole to size.

    Parameters
    ----------
    callout : Callout
        What the drawing asks.
    economy : Economy
        Times beside the cut.
    opened : float, optional
        Diameter of the hole before boring; just under size where it isn't given. [mm]
    """
    stock = 0.0 if opened is None else callout.limits.middle - opened
    passes = 2 + max(1, math.ceil(stock / ROUGH_PASS))
    one_pass = hole_depth(callout) / BORE_FEED * 60 + economy.move_s
    return Boring(economy.bore_setup_s, passes * one_pass + economy.bore_check_s, passes)


def break_even(bore: Boring, ream_first: float, ream_hole: float, machine: Machine) -> float:
    """Return the number of holes from which a reamer bought for the job is cheaper.

    Parameters
    ----------
    bore : Boring
        What boring takes.
    ream_first : float
        Spent once to ream: the reamer and its order. [currency]
    ream_hole : float
        Spent on each reamed hole. [currency]
    machine : Machine
        For its rate.

    Returns
    -------
    float
        Holes; infinite where boring stays cheaper for ever.
    """
    per_second = machine.rate / 3600
    saved = bore.hole_s * per_second - ream_hole
    once = ream_first - bore.setup_s * per_second
    if saved <= 0:
        return float("inf")
    return max(0.0, once / saved)


def hone_instead(callout: Callout, material: Material) -> tuple[str, ...]:
    """Return how to prepare the hole and finish it by honing or grinding."""
    tool = "Ream or bore"
    if material.hardness_hb.value > HARDEST_HB[ReamerKind.HSS]:
        tool = "Bore (or ream with carbide)"
    return (
        _to_hone(tool, callout),
        "Or grind it, where the hole is short and the shop has the machine.",
        "Read the drawing for cross-hatch and finish before you choose between them.",
    )


def deep_instead(callout: Callout) -> tuple[str, ...]:
    """Return what to do with a hole that is too deep for a plain drill and reamer."""
    return (
        _to_hone("Gun-drill", callout),
        "Or gun-drill it under size and ream it with a piloted tool made for that depth.",
    )


def _to_hone(tool: str, callout: Callout) -> str:
    unit, (least, most) = callout.unit, HONING_STOCK
    low = format_both(callout.limits.lower - most, unit)
    high = format_both(callout.limits.lower - least, unit)
    places = 2 if unit is Unit.MM else 4
    stock = f"{format_size(least, unit, places)} to {format_size(most, unit, places)}"
    return (
        f"{tool} to {low} up to {high}, then hone to size: {stock} of stock on diameter (common "
        "practice, no source; ask who hones it)."
    )


def bore_instead(callout: Callout, machine: Machine) -> tuple[str, ...]:
    """Return how to bore the hole to size, or what else is left where no bar reaches."""
    if not can_be_bored(callout):
        return (
            "It is too small or too deep for a boring bar on a mill. What is left is a reamer led "
            "in a bush, honing or lapping, or wire erosion: ask who does that.",
        )
    target = format_both(callout.limits.middle, callout.unit)
    where = f"on {machine.id}" if machine.can_bore else "on a machine that takes a boring head"
    return (
        f"Bore it {where}: rough, semi-finish, measure, finish to {target}, the middle of the "
        "zone. Single-point boring also puts the axis where it belongs.",
    )


def mend_first(codes: Iterable[str]) -> tuple[str, ...]:
    """Return what would lift the limits that stand in the way.

    Parameters
    ----------
    codes : iterable of str
        Codes of the limits that the nearest way breaks.
    """
    kin = {_KIN.get(code, code) for code in codes}
    return tuple(line for code, line in _MENDS.items() if code in kin)


_KIN = {
    "runout-over-tolerance": "runout",
    "runout-over-third": "runout",
    "fast-reamer-runout": "runout",
    "drill-thrust": "drill",
    "drill-power": "drill",
    "drill-torsion": "drill",
    "drill-hardness": "hardness",
}
"""Limits that one remedy lifts."""

_MENDS = {
    "runout": "Lead the reamer in a bush or by a pilot in a floating holder, so that the "
    "spindle's runout does not reach the hole. By hand reamer only as a test on scrap of the same "
    "material.",
    "drill": "Drill in two steps: a pilot a little thicker than the web first, which takes most "
    "of the thrust; or drill on a stronger machine.",
    "hardness": "Make the hole while the part is soft, leave stock for what hardening does, and "
    "grind or hone it afterwards; or bore it hard.",
    "finish": "For the finish hone or burnish the hole after reaming, or ask whether it is needed.",
    "forecast-size": "Indicate the runout at the reamer's lead, mike the reamer, enter both, and "
    "plan again: what is measured narrows the forecast.",
    "reamer-reach": "Get a longer reamer, and enter its usable length (LU).",
    "drill-reach": "Get a longer drill, and enter its usable length (LU).",
    "stock-least": "Get a drill that leaves more to ream, or one that starts truer.",
    "stock-most": "Get a drill nearer to the size.",
    "blind-depth": "Ask for a deeper floor, or use a drill with a flatter point and a reamer with "
    "a shorter lead.",
}
"""What would lift a limit, by its code or that of its kin."""
