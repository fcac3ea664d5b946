"""One candidate as a route: its operations in order, each with its numbers and why."""

from __future__ import annotations

import numpy as np

from holewright.callout.callout import Callout, Entry, HoleKind
from holewright.cutting.evacuation import peck_depth
from holewright.cutting.kinematics import time_in_cut
from holewright.planning.economy import Economy
from holewright.planning.plan import Operation, OperationKind, Route
from holewright.planning.point import Point
from holewright.planning.prepare import (
    APPROACH,
    CHAMFER,
    CHAMFER_DWELL,
    CHAMFER_FEED,
    OPENING_FEED,
    SPOT_FEED,
    Opening,
    Prepared,
    hole_depth,
)
from holewright.planning.ream_numbers import FEED_OUT, chip_advice, reaming_numbers
from holewright.shop.coolant import Coolant
from holewright.uncertainty import Known, Tag
from holewright.units import Unit, format_both, format_size

_SPOT_ANGLE = 90.0


def format_stock(mm: float, unit: Unit) -> str:
    """Return stock as a shop says it: hundredths of a millimetre, or tenths of a thou."""
    return format_size(mm, unit, 2 if unit is Unit.MM else 4)


def route_of(point: Point) -> Route:
    """Return a candidate as a route.

    Parameters
    ----------
    point : Point
        The candidate.
    """
    task = point.candidates.task
    callout, coolant, economy = task.callout, task.coolant, task.economy
    prepared = point.prepared
    operations = [*face_of(callout)]
    operations += spot_of(prepared)
    operations.append(drill_of(prepared, coolant, economy, _stock_text(point)))
    if prepared.opening is not None:
        operations.append(_opening(point, prepared.opening, economy))
    operations.append(chamfer_of(prepared, callout))
    if callout.kind is HoleKind.BLIND:
        operations.append(_wash())
    operations.append(_ream(point, callout, economy))
    return Route(
        name=f"{prepared.name}, ream with {point.reamer.id}",
        operations=tuple(operations),
        cost_per_good_hole=point.at("cost"),
        cost_parts=point.cost_parts,
        time_s=point.at("time_s"),
        outside=point.at("outside"),
    )


def face_of(callout: Callout) -> tuple[Operation, ...]:
    """Return the spot-facing that a face other than a flat one wants; none for a flat one."""
    if callout.entry is Entry.FLAT:
        return ()
    return (
        Operation(
            kind=OperationKind.FACE,
            tool="end mill",
            diameter=1.5 * callout.nominal,
            text=f"Spot-face the {callout.entry} face flat before anything starts on it.",
            by_hand=True,
        ),
    )


def spot_of(prepared: Prepared) -> tuple[Operation, ...]:
    """Return the spotting that leads the drill of a preparation; none where it needs none."""
    spot = prepared.spot
    if spot is None:
        return ()
    operation = Operation(
        kind=OperationKind.SPOT,
        tool="spotting drill, 90 degrees",
        diameter=spot.diameter,
        v_c=np.pi * spot.diameter * spot.n / 1000,
        n=spot.n,
        f=SPOT_FEED,
        full_depth=0.0,
        tip_depth=spot.tip_depth,
        time_s=spot.time_s,
        text="Spot, so that the drill starts where it should.",
        numbers=(
            ("point angle [deg]", Known(_SPOT_ANGLE, Tag.DEFAULT, "common practice, no source")),
        ),
    )
    return (operation,)


def _stock_text(point: Point) -> str:
    p, unit = point.prepared, point.candidates.task.callout.unit
    if p.opening is not None:
        return ""
    least = max(point.reamer.DC.value - p.hole.most, 0.0)
    most = point.reamer.DC.value - p.hole.least
    return (
        f" Stock {format_stock(point.at('stock'), unit)} on diameter by the sizes; the drilled "
        f"hole leaves {format_stock(least, unit)} to {format_stock(most, unit)}."
    )


def drill_of(p: Prepared, coolant: Coolant, economy: Economy, more: str = "") -> Operation:
    """Return the drilling of a preparation.

    Parameters
    ----------
    p : Prepared
        The preparation.
    coolant : Coolant
        Coolant, for the pecks.
    economy : Economy
        Times beside the cut.
    more : str
        What to say after the name of the drill.
    """
    drill = p.drill
    return Operation(
        kind=OperationKind.DRILL,
        tool=drill.id,
        diameter=drill.DC.value,
        v_c=np.pi * drill.DC.value * p.n / 1000,
        n=p.n,
        f=p.f,
        full_depth=p.full_depth,
        tip_depth=p.tip_depth,
        time_s=float(time_in_cut(p.tip_depth + APPROACH, p.n * p.f)) + economy.move_s,
        peck=float(
            peck_depth(
                p.tip_depth,
                drill.DC.value,
                drill.kind,
                coolant_through=drill.coolant_through and coolant.through,
            )
        ),
        text=f"Drill with {drill.id}.{more}",
        numbers=(
            ("drill diameter [mm]", drill.DC),
            ("cutting speed [m/min]", Known(p.start.vc, p.start.tag, p.start.source)),
            ("feed [mm/rev]", Known(p.f, p.start.tag, p.start.source)),
            ("drilled size [mm]", Known(p.hole.mean, p.hole.tag, p.hole.source, p.hole.sd)),
            ("torque [N·m]", _computed(p.torque / 1000, "Kienzle")),
            ("power [W]", _computed(p.power, "torque times speed")),
        ),
    )


def _opening(point: Point, opening: Opening, economy: Economy) -> Operation:
    callout = point.candidates.task.callout
    unit, depth = callout.unit, hole_depth(callout)
    left = format_stock(point.reamer.DC.value - opening.diameter, unit)
    size = format_both(opening.diameter, unit)
    if opening.kind is OperationKind.BORE:
        tool = "boring head, or circular milling"
        text = (
            f"Bore or circular-mill true to {size}, which leaves {left} on diameter. This is what "
            "puts the axis right: the reamer only follows."
        )
    else:
        tool = f"first reamer, {size}"
        text = f"Ream first to {size}, which leaves {left} on diameter for the last reamer."
    return Operation(
        kind=opening.kind,
        tool=tool,
        diameter=opening.diameter,
        full_depth=point.prepared.full_depth,
        tip_depth=point.prepared.full_depth,
        time_s=float(time_in_cut(depth, OPENING_FEED)) + economy.move_s,
        text=text,
        by_hand=True,
    )


def chamfer_of(prepared: Prepared, callout: Callout) -> Operation:
    """Return the chamfer, before the reamer, so that every hole starts it alike."""
    chamfer = prepared.chamfer
    return Operation(
        kind=OperationKind.CHAMFER,
        tool="chamfering tool, 90 degrees",
        diameter=chamfer.diameter,
        v_c=np.pi * chamfer.diameter * chamfer.n / 1000,
        n=chamfer.n,
        f=CHAMFER_FEED,
        full_depth=CHAMFER,
        tip_depth=chamfer.tip_depth,
        time_s=chamfer.time_s,
        dwell_s=CHAMFER_DWELL,
        text="Chamfer, so that every hole starts the next tool, and its mate, alike.",
    )


def _wash() -> Operation:
    return Operation(
        kind=OperationKind.WASH,
        tool="coolant or air, guarded",
        diameter=0.0,
        text="Wash the drill's chips out of the blind hole before the reamer goes in.",
        by_hand=True,
    )


def _ream(point: Point, callout: Callout, economy: Economy) -> Operation:
    reamer = point.reamer
    tip = point.at("tip_depth")
    v_f = point.at("v_f")
    measure = ""
    if not reamer.owned:
        measure = " Measure it when it comes, and plan again with that."
    elif not reamer.DC.is_measured:
        measure = " Its size comes from its label: measure it first."
    return Operation(
        kind=OperationKind.REAM,
        tool=reamer.id,
        holder=point.holder.id,
        diameter=reamer.DC.value,
        v_c=point.at("v_c"),
        n=point.at("n"),
        f=point.at("f"),
        full_depth=tip - reamer.lead,
        tip_depth=tip,
        time_s=2 * float(time_in_cut(tip + APPROACH, v_f)) + economy.move_s,
        feed_out=FEED_OUT,
        text=(
            f"Ream with {reamer.id}, {format_both(reamer.DC.value, callout.unit)}; feed in and "
            f"feed out with the spindle turning forward, never reverse.{measure}"
            f"{chip_advice(point)}"
        ),
        numbers=reaming_numbers(point),
    )


def _computed(value: float, source: str) -> Known:
    return Known(value, Tag.COMPUTED, source)
