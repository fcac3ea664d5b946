"""Sentences that go with every plan: cautions, and how to check the holes."""

from __future__ import annotations

from holewright.callout.callout import Callout, DrawingStandard, HoleKind
from holewright.gauging.limit_pins import PinChoice
from holewright.planning.plan import Route
from holewright.planning.prepare import hole_depth
from holewright.shop.machine import Machine
from holewright.units import Unit, format_both, format_size

_ALWAYS = (
    "This is advice: it replaces neither the machine maker's manual, nor local rules, nor "
    "qualified people.",
    "Prove the program out dry, then single block above the part; guards closed.",
    "Stop the spindle before you gauge, deburr or clear chips; no gloves near a turning tool.",
    "Make a test hole in scrap of the same material and measure it before the first part.",
)


def cautions_of(callout: Callout, machine: Machine) -> tuple[str, ...]:
    """Return the safety lines of a plan.

    Parameters
    ----------
    callout : Callout
        What the drawing asks.
    machine : Machine
        Machine: a hand-fed or weak one gets a line on grabbing.
    """
    lines = list(_ALWAYS)
    if machine.power < 1500:
        lines.append("Clamp the part against grabbing, above all at break-through; hands out.")
    if callout.kind is HoleKind.BLIND:
        lines.append("Check the drilled depth before the reamer goes in: a bottomed reamer breaks.")
    return tuple(lines)


def depth_cautions(callout: Callout, route: Route) -> tuple[str, ...]:
    """Return what a route's depths ask somebody to look at before it runs.

    Parameters
    ----------
    callout : Callout
        What the drawing asks: its depth, if it says one.
    route : Route
        The route.
    """
    depth = hole_depth(callout)
    places = 2 if callout.unit is Unit.MM else 3
    lines = []
    if callout.depth is None:
        lines.append(
            f"The callout gives no depth: {format_size(depth, callout.unit, places)} is planned, "
            "twice the diameter. Set it right before anything is cut."
        )
    below = max(operation.tip_depth for operation in route.operations) - depth
    if callout.kind is HoleKind.THROUGH and below > 0:
        lines.append(
            f"Tools come out as far as {format_size(below, callout.unit, places)} below the part: "
            "keep table, parallels and fixture clear of them."
        )
    return tuple(lines)


def check_plan_of(callout: Callout, pins: PinChoice) -> tuple[str, ...]:
    """Return how to check the holes with the pins at hand.

    Parameters
    ----------
    callout : Callout
        Limits, unit and drawing standard.
    pins : PinChoice
        GO and NO-GO from the tool room, and what would be right.
    """
    unit = callout.unit
    go = f"GO: pin {pins.go.id}" if pins.go else "GO: no pin at hand can be it"
    no_go = f"NO-GO: pin {pins.no_go.id}" if pins.no_go else "NO-GO: no pin at hand can be it"
    lines = [
        f"{go}; {no_go}.",
        f"By the 10 % rule: GO {format_both(pins.ideal_go, unit)} plus and NO-GO "
        f"{format_both(pins.ideal_no_go, unit)} minus, class {pins.grade}."
        if pins.grade
        else "No pin class is fine enough for this tolerance by the 10 % rule: measure it with a "
        "bore gauge and a master.",
        *(reason.text for reason in pins.reasons),
        "Check at three depths; let part and pin lie together until both have one temperature.",
    ]
    if callout.standard is DrawingStandard.NOT_STATED:
        lines.append(
            "The drawing standard is not stated: under ASME Y14.5 the limits include the envelope, "
            "under ISO 8015 they are two-point sizes. A pin feels the envelope. Ask."
        )
    return tuple(lines)
