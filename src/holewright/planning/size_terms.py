"""The terms of the size over the grid of candidates."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from holewright.cutting.start_values import StartValues
from holewright.planning.grid import Array, on_holders, on_reamers
from holewright.planning.task import Task
from holewright.shop.holder import Holder
from holewright.shop.machine import Machine
from holewright.shop.reamer import Reamer
from holewright.sizing.reamed import (
    GridTerm,
    fluid_term,
    recovery_term,
    runout_term,
    scatter_term,
    settings_term,
    tool_term,
    warmth_term,
    wear_term,
)
from holewright.sizing.stock import stock_range
from holewright.uncertainty import Tag


def _weakest(tags: Sequence[Tag]) -> Tag:
    order = list(Tag)
    return max(tags, key=order.index)


def tool_terms(task: Task, reamers: Sequence[Reamer], holders: Sequence[Holder]) -> list[GridTerm]:
    """Return the terms that hang on tools and material alone.

    Parameters
    ----------
    task : Task
        What it is for.
    reamers : sequence of Reamer
        Reamers, on their axis.
    holders : sequence of Holder
        Holders, on their axis.
    """
    measured = on_reamers([r.DC.is_measured for r in reamers]).astype(bool) & on_holders(
        [x.tir.is_measured for x in holders]
    ).astype(bool)
    wear = [wear_term(r.kind, min(task.holes, r.life_holes.value)) for r in reamers]
    return [
        tool_term(
            on_reamers([r.DC.value for r in reamers]),
            on_reamers([r.DC.u for r in reamers]),
            _weakest([r.DC.tag for r in reamers]),
            "tool room",
        ),
        recovery_term(task.material),
        fluid_term(task.coolant.fluid),
        warmth_term(task.callout.nominal, task.material, task.coolant.fluid, task.part_rise),
        scatter_term(measured),
        GridTerm(
            "wear",
            on_reamers([float(w.mean) for w in wear]),
            on_reamers([float(w.sd) for w in wear]),
            on_reamers([float(w.varies) for w in wear]),
            wear[0].tag,
            wear[0].source,
            wear[0].text,
            wear[0].shape,
        ),
    ]


def runout_of(tir: Array, share: Array, holders: Sequence[Holder], machine: Machine) -> GridTerm:
    """Return what runout adds.

    Parameters
    ----------
    tir : ndarray
        Runout of spindle and holder together. [mm]
    share : ndarray
        Share of it that survives. [-]
    holders : sequence of Holder
        Holders, for how well their runout is known.
    machine : Machine
        Machine, for how well that of the spindle is.
    """
    u_tir = np.hypot(on_holders([x.tir.u for x in holders]), machine.spindle_tir.u)
    return runout_term(tir, u_tir, share, _weakest([x.tir.tag for x in holders]))


def settings_of(
    task: Task,
    starts: Sequence[StartValues],
    reamers: Sequence[Reamer],
    stock: Array,
    v_c: Array,
    f: Array,
) -> GridTerm:
    """Return what leaving the usual speed, feed and stock does.

    Parameters
    ----------
    task : Task
        What it is for.
    starts : sequence of StartValues
        Usual speed and feed of each reamer.
    reamers : sequence of Reamer
        Reamers, on their axis.
    stock : ndarray
        Stock on diameter. [mm]
    v_c : ndarray
        Cutting speed. [m/min]
    f : ndarray
        Feed. [mm/rev]
    """
    light = task.material.iso513 == "N"
    usual_stock = on_reamers([stock_range(r.kind, r.DC.value, light).usual for r in reamers])
    teeth = on_reamers([r.ZEFP for r in reamers])
    return settings_term(
        v_c - on_reamers([s.vc for s in starts]),
        (f - on_reamers([s.f for s in starts])) / teeth,
        stock - usual_stock,
    )
