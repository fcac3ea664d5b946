"""The steps that cut a test plate: the preparation of all holes, then the reaming in its order."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import groupby

from holewright.cutting.kinematics import time_in_cut
from holewright.errors import InputError, NoAnswerError
from holewright.jobs.job import Job
from holewright.jobs.machine_rows import read_coolant
from holewright.planning.make_plan import Study
from holewright.planning.plan import Operation, OperationKind, PlanVerdict
from holewright.plate.factors import FactorKind, Level, Setting, setting_words
from holewright.plate.plate import Plate
from holewright.program.order import hole_order
from holewright.program.program import Place, Program
from holewright.program.tool_shape import tool_shapes
from holewright.program.write_steps import write_steps
from holewright.shop.drill import Drill
from holewright.sizing.forecast import Forecast
from holewright.units import Unit, format_size

_STOCK_OFF = 0.03
"""How far the stock that a drill leaves may be off a level that was asked for. [mm]"""
_LEAST_STOCK = 0.05
"""Less stock on diameter than this isn't reamed, a drilled hole being what it is. [mm]"""


@dataclass(frozen=True)
class CutPlate:
    """A plate laid out for a job.

    Parameters
    ----------
    job : Job
        The job.
    study : Study
        Its plan, with the candidate behind it.
    plate : Plate
        The plate.
    """

    job: Job
    study: Study
    plate: Plate

    @property
    def ream(self) -> Operation:
        """The reaming that the plate varies."""
        return ream_of(self.study)

    @property
    def forecast(self) -> Forecast:
        """Size that the plan forecasts."""
        return forecast_of(self.study)


def ream_of(study: Study) -> Operation:
    """Return the reaming of a plan.

    Raises
    ------
    NoAnswerError
        If there is none.
    """
    plan = study.plan
    operations = plan.route.operations if plan.route else ()
    ream = next((op for op in reversed(operations) if op.kind is OperationKind.REAM), None)
    if plan.verdict is PlanVerdict.DO_NOT_REAM or ream is None:
        raise NoAnswerError(f"There is no reaming to test. {plan.sentence}")
    return ream


def forecast_of(study: Study) -> Forecast:
    """Return the forecast of a plan.

    Raises
    ------
    NoAnswerError
        If there is none.
    """
    if study.plan.forecast is None:
        raise NoAnswerError(f"No size can be forecast. {study.plan.sentence}")
    return study.plan.forecast


def plate_program(cut: CutPlate, *, hold: bool = False) -> Program:
    """Return the program that cuts a plate in its order.

    Parameters
    ----------
    cut : CutPlate
        The plate.
    hold : bool
        Whether to stop after each hole, to look at the chips and to gauge.

    Raises
    ------
    InputError
        If a setting asks for what the machine doesn't have.
    """
    job, plate = cut.job, cut.plate
    rows = "; ".join(plate.row_words(i, job.unit) for i in range(len(plate.settings)))
    notes = ["Test plate: speeds and feeds go beyond what is proven.", f"Rows: {rows}"]
    if job.invented:
        notes.append("Invented example: no real company, part or tool.")
    work = list(steps_of(cut))
    return write_steps(
        work,
        job.machine,
        unit=job.program_unit,
        name=f"{job.part or job.name}, test plate",
        route=f"test plate, {cut.study.plan.route.name if cut.study.plan.route else ''}",
        callout_text=f"{job.callout.text} in {job.material.name}",
        coolant=job.coolant,
        cautions=(*cut.study.plan.cautions, *plate.cautions),
        notes=tuple(notes),
        # A job on hold may be tested, hole by hole.
        hold=hold or bool(job.on_hold),
        settings=job.program,
        shapes=tool_shapes([operation for operation, _ in work], job.shop),
    )


def steps_of(cut: CutPlate) -> Iterator[tuple[Operation, Sequence[Place]]]:
    """Yield what is done where: the preparation of all holes, then the reaming in its order.

    Parameters
    ----------
    cut : CutPlate
        The plate.
    """
    plate, route = cut.plate, cut.study.plan.route
    assert route is not None
    reamed = len(route.operations) - 1
    while route.operations[reamed].kind is not OperationKind.REAM:
        reamed -= 1
    for operation in route.operations[:reamed]:
        if operation.by_hand:
            yield operation, ()
            continue
        for changed, holes in _by_operation(cut, operation):
            order = hole_order(holes).tolist()
            yield changed, [holes[i] for i in order]
    coolant: Level | None = None
    kinds = [factor.kind for factor in plate.factors]
    for setting, run in groupby(plate.holes, key=plate.setting_of):
        if FactorKind.COOLANT in kinds:
            wanted = setting[kinds.index(FactorKind.COOLANT)]
            if wanted != coolant:
                yield _change_coolant(str(wanted)), ()
                coolant = wanted
        operation = reamed_at(cut, setting)
        yield operation, [(hole.x, hole.y) for hole in run]
    for operation in route.operations[reamed + 1 :]:
        yield operation, () if operation.by_hand else [(h.x, h.y) for h in plate.holes]


def _by_operation(cut: CutPlate, operation: Operation) -> Iterator[tuple[Operation, list[Place]]]:
    """Yield an operation before the reamer as each setting wants it, with its holes."""
    found: dict[Operation, list[Place]] = {}
    for hole in cut.plate.holes:
        changed = _prepared_at(cut, operation, cut.plate.setting_of(hole))
        found.setdefault(changed, []).append((hole.x, hole.y))
    yield from found.items()


def _levels(cut: CutPlate, setting: Setting) -> dict[FactorKind, Level]:
    return dict(zip((f.kind for f in cut.plate.factors), setting, strict=True))


def _prepared_at(cut: CutPlate, operation: Operation, setting: Setting) -> Operation:
    level = _levels(cut, setting)
    if operation.kind is not OperationKind.DRILL:
        return operation
    stock, depth = level.get(FactorKind.STOCK), level.get(FactorKind.DEPTH)
    if isinstance(stock, float):
        drill = _drill_for(cut, stock)
        factor = operation.diameter / drill.DC.value
        operation = replace(
            operation,
            tool=drill.id,
            diameter=drill.DC.value,
            n=min(operation.n * factor, cut.job.machine.n_max),
            text=f"Drill with {drill.id}.",
            numbers=(),
        )
    if isinstance(depth, float):
        deeper = depth - cut.ream.full_depth
        operation = replace(
            operation,
            full_depth=operation.full_depth + deeper,
            tip_depth=operation.tip_depth + deeper,
        )
    return operation


def _drill_for(cut: CutPlate, stock: float) -> Drill:
    """Return the drill that leaves a stock on diameter."""
    wanted = cut.ream.diameter - stock
    under = [d for d in cut.job.shop.drills if d.DC.value <= cut.ream.diameter - _LEAST_STOCK]
    drill = min(under, key=lambda d: abs(d.DC.value - wanted), default=None)
    if drill is None or abs(drill.DC.value - wanted) > _STOCK_OFF:
        unit = cut.job.unit
        left = {round(cut.ream.diameter - d.DC.value, 3) for d in under}
        near = sorted(sorted(left, key=lambda s: abs(s - stock))[:4])
        known = ", ".join(format_size(s, unit, 2 if unit is Unit.MM else 4) for s in near)
        raise InputError(
            "stock",
            format_size(stock, unit),
            f"must be what a drill of the tool room leaves; near are {known or 'none'}",
        )
    return drill


def _change_coolant(words: str) -> Operation:
    read_coolant(words)  # refuses what isn't a coolant
    return Operation(
        kind=OperationKind.WASH,
        tool="coolant",
        diameter=0.0,
        text=f"Change the coolant to {words}, and let it run through.",
        by_hand=True,
    )


def reamed_at(cut: CutPlate, setting: Setting) -> Operation:
    """Return the reaming at a setting.

    Parameters
    ----------
    cut : CutPlate
        The plate.
    setting : tuple
        One level of each factor.
    """
    ream, level = cut.ream, _levels(cut, setting)
    feed, speed = level.get(FactorKind.FEED, 1.0), level.get(FactorKind.SPEED, 1.0)
    assert isinstance(feed, float)
    assert isinstance(speed, float)
    changed = replace(
        ream,
        f=ream.f * feed,
        n=ream.n * speed,
        v_c=ream.v_c * speed,
        time_s=ream.time_s,
        text=f"Ream, {setting_words(cut.plate.factors, setting, cut.job.unit)}.",
        numbers=(),
    )
    changed = replace(
        changed,
        time_s=ream.time_s
        + 2
        * float(time_in_cut(ream.tip_depth, changed.v_f) - time_in_cut(ream.tip_depth, ream.v_f)),
    )
    depth = level.get(FactorKind.DEPTH)
    if isinstance(depth, float):
        deeper = depth - ream.full_depth
        changed = replace(changed, full_depth=depth, tip_depth=ream.tip_depth + deeper)
    reamer = level.get(FactorKind.REAMER)
    if reamer is not None:
        tool = next(r for r in cut.job.shop.reamers if r.id == reamer)
        changed = replace(changed, tool=tool.id, diameter=tool.DC.value)
    holder = level.get(FactorKind.HOLDER)
    if holder is not None:
        changed = replace(changed, holder=str(holder), tool=f"{changed.tool} in {holder}")
    return changed
