"""What the drawing alone decides, before any tool is looked at."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from holewright.callout.callout import Callout, Entry, HoleKind, Modifier
from holewright.callout.limits import grade_for
from holewright.planning.instead import deep_instead
from holewright.planning.prepare import chip_room, hole_depth
from holewright.planning.rules import HARDEST_HB
from holewright.reasons import Reason
from holewright.shop.drill import Drill, DrillKind
from holewright.shop.material import Material
from holewright.shop.reamer import ReamerKind
from holewright.sizing.drilled import drilled_hole
from holewright.sizing.treatment import limits_before
from holewright.sizing.wall import clamp_force_allowed
from holewright.uncertainty import Known, Tag
from holewright.units import Unit, format_both, format_size, format_small

USUAL_REAMED_FORM = 0.005
"""Cylindricity that reaming usually reaches. [mm] Own judgement."""

THIN_WALL_SHARE = 0.15
"""Wall over diameter below which clamping shows in the hole. [-] Common practice, no source."""

HONED_GRADE = 6.0
"""Grade finer than which no reamed hole is promised. [-] Trade: IT7 readily, IT5 in some cases."""

_DEEP = 8.0
"""Depth over diameter above which a reamer wanders. [-] Common practice, no source."""


@dataclass(frozen=True)
class Feasibility:
    """What the drawing decides.

    Parameters
    ----------
    refused : tuple of Reason
        Why the hole can't be reamed to its final size at all; empty if it can.
    noted : tuple of Reason
        What rules out a shorter route, e.g. drilling and reaming without boring true.
    conditions : tuple of Reason
        What must be so while it is reamed.
    true_first : bool
        Whether the hole must be bored true before it is reamed.
    cautions : tuple of str
        Safety lines and lines for the record that come with it.
    instead : tuple of str
        What to do instead, where it is not to hone or grind.
    """

    refused: tuple[Reason, ...]
    noted: tuple[Reason, ...]
    conditions: tuple[Reason, ...]
    true_first: bool
    cautions: tuple[str, ...]
    instead: tuple[str, ...] = ()


def judge_drawing(
    callout: Callout, material: Material, drills: Sequence[Drill], lead: float
) -> Feasibility:
    """Return what the drawing decides.

    Parameters
    ----------
    callout : Callout
        What the drawing asks.
    material : Material
        Work material.
    drills : sequence of Drill
        Drills at hand: how true they start decides whether the drill may lead.
    lead : float
        Length of the reamer's lead, for the depth of a blind hole. [mm]
    """
    refused = [*_growth(callout), *_form(callout), *_grade(callout), *_depth(callout)]
    if refused and material.hardness_hb.value > HARDEST_HB[ReamerKind.HSS]:
        refused.append(_hardness(material))
    position = _position(callout, drills)
    conditions, cautions = _care(callout, material, lead)
    masked = (
        f"Mask or plug the hole for the {callout.after}, or finish it after that.",
        "Or have the finisher state the growth closer, and plan again.",
    )
    deep = deep_instead(callout) if _depth(callout) else ()
    return Feasibility(
        instead=masked if _growth(callout) else deep,
        refused=tuple(refused),
        noted=tuple(position),
        conditions=tuple(conditions),
        true_first=bool(position),
        cautions=tuple(cautions),
    )


def _form(callout: Callout) -> list[Reason]:
    asked = callout.cylindricity
    if asked is None or asked >= USUAL_REAMED_FORM:
        return []
    return [
        Reason(
            "form",
            f"Cylindricity {format_small(asked, callout.unit)} is asked for; a reamed hole is "
            f"usually good for {format_small(USUAL_REAMED_FORM, callout.unit)}.",
            asked,
            USUAL_REAMED_FORM,
        )
    ]


def _grade(callout: Callout) -> list[Reason]:
    grade = grade_for(callout.limits.width, callout.nominal)
    if grade >= HONED_GRADE - 0.5:
        return []
    return [
        Reason(
            "tolerance-grade",
            f"The tolerance of {format_small(callout.limits.width, callout.unit)} is of grade "
            f"IT {grade:.1f}; reaming is not promised finer than IT {HONED_GRADE:.0f}.",
            grade,
            HONED_GRADE,
            unit="",
        )
    ]


def _depth(callout: Callout) -> list[Reason]:
    ratio = hole_depth(callout) / callout.nominal
    if ratio <= _DEEP:
        return []
    return [
        Reason(
            "depth-over-diameter",
            f"The hole is {ratio:.1f} diameters deep; a plain drill and reamer wander beyond "
            f"{_DEEP:.0f}. Gun-drill it, or ream with a piloted tool.",
            ratio,
            _DEEP,
            unit="",
        )
    ]


def _hardness(material: Material) -> Reason:
    hb, limit = material.hardness_hb.value, HARDEST_HB[ReamerKind.HSS]
    return Reason(
        "hardness",
        f"{material.name} has about {hb:.0f} HB; high-speed-steel reamers stop at about "
        f"{limit:.0f} HB, so only carbide would cut it.",
        hb,
        limit,
        unit="HB",
    )


def _position(callout: Callout, drills: Sequence[Drill]) -> list[Reason]:
    if callout.position is None:
        return []
    allowed = callout.position.diameter / 2
    # Without a drill near the size, the truest usual kind stands for what could be bought.
    usual = Drill("usual", DrillKind.CARBIDE, Known(callout.nominal, Tag.ASSUMED), 0.0, 0.0)
    best = min(
        drilled_hole(d, spotted=True, entry=callout.entry).axis_hi for d in drills or (usual,)
    )
    if best <= allowed:
        return []
    bonus = ""
    if callout.position.modifier is Modifier.MMC:
        most = format_small(callout.limits.width, callout.unit)
        bonus = (
            f" At maximum material the zone may grow by as much as the hole is over its "
            f"smallest size, {most} at most."
        )
    face = "" if callout.entry is Entry.FLAT else f" into a {callout.entry} face"
    return [
        Reason(
            "position-needs-true-hole",
            f"Do not drill and ream alone: a drill{face} may start "
            f"{format_small(best, callout.unit)} off, position allows "
            f"{format_small(allowed, callout.unit)}, and a reamer only follows the hole.{bonus}",
            best,
            allowed,
        )
    ]


def _care(callout: Callout, material: Material, lead: float) -> tuple[list[Reason], list[str]]:
    conditions: list[Reason] = []
    cautions: list[str] = []
    if callout.kind is HoleKind.BLIND:
        conditions.append(_blind(callout, lead))
    if callout.wall is not None and callout.wall < THIN_WALL_SHARE * callout.nominal:
        conditions.append(_thin_wall(callout, material))
        cautions.append("Thin wall: verify the clamping, so that the part can't be flung.")
    for bore in callout.cross_bores:
        conditions.append(
            Reason(
                "cross-bore",
                f"A {format_size(bore.diameter, callout.unit)} bore crosses at "
                f"{format_size(bore.depth, callout.unit)}: deburr it before reaming, use a "
                "reamer with three or more edges always in the wall, and gauge on both sides of "
                "it.",
                bore.diameter,
                None,
            )
        )
    if callout.after:
        conditions.append(_treated(callout))
        cautions.append(f"Write 'before {callout.after}' or 'after' on every record of size.")
    if material.iso513 in ("M", "S"):
        conditions.append(
            Reason(
                "work-hardening",
                f"{material.name} hardens where it is rubbed: never stop the feed in the cut, no "
                "dwell, no second pass with a few micrometres.",
            )
        )
        cautions.append("Work-hardening material: never stop or dwell with the edge in the cut.")
    if material.family in ("titanium", "magnesium"):
        cautions.append(
            f"Swarf of {material.family} burns, fine swarf above all: keep tools sharp and clear "
            "it often; dry sand or a class D extinguisher at hand, never water on a fire."
        )
    if callout.entry in (Entry.ROUGH, Entry.CORED):
        cautions.append(
            "Sand, scale and sharp edges on the cast face: eye protection, no bare hand."
        )
    return conditions, cautions


def _thin_wall(callout: Callout, material: Material) -> Reason:
    wall = callout.wall or 0.0
    lobe = callout.limits.width / 10
    force = float(
        clamp_force_allowed(
            lobe, 3, callout.nominal, wall, hole_depth(callout), material.e_modulus.value
        )
    )
    return Reason(
        "thin-wall",
        f"The wall is {wall / callout.nominal:.2f} of the diameter: clamp it full-grip and light. "
        f"In three jaws {force:.0f} N each already cost a pin a tenth of the tolerance, in three "
        "lobes that show when it is let go. Measure it free, two-point and three-point. If it is "
        "pressed into a housing, ream it after that. Boring in full-grip jaws is the safer way.",
        wall / callout.nominal,
        THIN_WALL_SHARE,
        unit="",
    )


def _treated(callout: Callout) -> Reason:
    if callout.growth is None or _growth(callout):
        return Reason(
            "after-treatment",
            f"The limits hold after {callout.after}: ask the finisher for the growth a side and "
            "its range. The hole closes by twice that; until then no size before it is known.",
        )
    before = limits_before(callout.limits, callout.growth)
    return Reason(
        "after-treatment",
        f"The limits hold after {callout.after}. Before it the hole must have "
        f"{format_both(before.lower, callout.unit)} to {format_both(before.upper, callout.unit)}; "
        "that is what is planned, gauged and forecast here. Have the finisher confirm the growth, "
        "or mask the hole.",
        callout.growth.per_side,
    )


def _growth(callout: Callout) -> list[Reason]:
    if callout.growth is None or 4 * callout.growth.doubt < callout.limits.width:
        return []
    doubt = 4 * callout.growth.doubt
    return [
        Reason(
            "growth-uncertain",
            f"{callout.after.capitalize()} may differ by {format_small(doubt, callout.unit)} on "
            f"diameter, the tolerance is {format_small(callout.limits.width, callout.unit)}: mask "
            "or plug the hole, or finish it after the treatment.",
            doubt,
            callout.limits.width,
        )
    ]


def _deep(mm: float, unit: Unit) -> str:
    """Return a depth: hundredths of a millimetre or thou are fine enough."""
    return format_size(mm, unit, 2 if unit is Unit.MM else 3)


def _blind(callout: Callout, lead: float) -> Reason:
    room = chip_room(callout.nominal)
    depth = hole_depth(callout)
    needed = depth + lead + room
    unit = callout.unit
    floor = ""
    if callout.floor is not None:
        left = callout.floor - depth
        floor = (
            f" The floor at {_deep(callout.floor, unit)} leaves "
            f"{_deep(left, unit)} for lead, chip room and drill point together."
        )
    return Reason(
        "blind-depth",
        f"Drill the full diameter at least {_deep(needed, unit)} deep: "
        f"{_deep(depth, unit)} reamed, {_deep(lead, unit)} lead, "
        f"{_deep(room, unit)} chip room.{floor} Wash before reaming, do not bottom.",
        needed,
        callout.floor,
    )
