"""What to do instead, where the answer is not to ream."""

from __future__ import annotations

from dataclasses import dataclass

from holewright.callout.callout import Callout
from holewright.planning.economy import Economy
from holewright.planning.prepare import hole_depth
from holewright.planning.rules import HARDEST_HB
from holewright.shop.machine import Machine
from holewright.shop.material import Material
from holewright.shop.reamer import ReamerKind
from holewright.units import format_both

HONING_STOCK = (0.02, 0.05)
"""Stock on diameter for honing, from least to most. [mm] Common practice, no source."""

BORE_FEED = 60.0
"""Feed speed of a boring pass. [mm/min] A cautious default."""

BORE_PASSES = 3
"""Rough, semi-finish and finish."""


@dataclass(frozen=True)
class Boring:
    """What it takes to bore the hole to size instead.

    Parameters
    ----------
    setup_s : float
        Once, to set the head on a trial hole. [s]
    hole_s : float
        Each hole: three passes, measured before the last. [s]
    """

    setup_s: float
    hole_s: float

    def cost(self, holes: int, rate: float) -> float:
        """Return what boring costs a hole, at `rate` an hour. [currency]"""
        return (self.setup_s / holes + self.hole_s) * rate / 3600


def boring(callout: Callout, economy: Economy) -> Boring:
    """Return what it takes to bore the hole to size."""
    one_pass = hole_depth(callout) / BORE_FEED * 60 + economy.move_s
    return Boring(economy.bore_setup_s, BORE_PASSES * one_pass + economy.bore_check_s)


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
    least, most = HONING_STOCK
    low = callout.limits.lower - most
    high = callout.limits.lower - least
    tool = "Ream or bore"
    if material.hardness_hb.value > HARDEST_HB[ReamerKind.HSS]:
        tool = "Bore (or ream with carbide)"
    return (
        f"{tool} to {format_both(low, callout.unit)} up to {format_both(high, callout.unit)}, "
        f"then hone to size: {least:.2f} to {most:.2f} mm of stock on diameter "
        "(common practice, no source; ask who hones it).",
        "Or grind it, where the hole is short and the shop has the machine.",
        "Read the drawing for cross-hatch and finish before you choose between them.",
    )


def bore_instead(callout: Callout, machine: Machine) -> tuple[str, ...]:
    """Return how to bore the hole to size, where the machine can."""
    target = format_both(callout.limits.middle, callout.unit)
    where = f"on {machine.id}" if machine.can_bore else "on a machine that takes a boring head"
    return (
        f"Bore it {where}: rough, semi-finish, measure, finish to {target}, the middle of the "
        "zone. Single-point boring also puts the axis where it belongs.",
    )


def weak_machine_instead(callout: Callout, machine: Machine) -> tuple[str, ...]:
    """Return what is left where spindle or power is not good enough."""
    return (
        "Lead the reamer in a bush or by a pilot in a floating holder, so that the spindle's "
        "runout does not reach the hole.",
        *bore_instead(callout, machine),
        "Finish by hand reamer only as a test on scrap of the same material.",
    )
