"""Writes the program of a part, reads it back, and refuses it where it would hit something."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from holewright.errors import NoAnswerError
from holewright.planning.plan import Route
from holewright.program.backplot import read_back
from holewright.program.blocks import TAPE, joined, safe_start
from holewright.program.checks import check_feature
from holewright.program.collision import ToolShape, clashes
from holewright.program.cycles import Blocks, Place, Writing
from holewright.program.fixture import OPEN, Fixture, check_reach
from holewright.program.header import all_cautions, coolant_word, header
from holewright.program.motion_time import section_time
from holewright.program.moves import Section
from holewright.program.operation import operation_blocks
from holewright.program.order import as_positions
from holewright.program.planes import Planes, usual_planes
from holewright.program.program import Feature, Program, Step
from holewright.program.settings import USUAL, ProgramSettings
from holewright.program.stages import Way, stages
from holewright.program.subprograms import with_subprograms
from holewright.shop.coolant import Coolant
from holewright.shop.machine import Machine
from holewright.units import Unit

_MOST_CLASHES = 5
"""So many are named when a program is refused; the rest are counted."""


def write_program(
    route: Route,
    positions: Sequence[tuple[float, float]],
    machine: Machine,
    *,
    unit: Unit,
    name: str,
    callout_text: str,
    coolant: Coolant | None = None,
    cautions: tuple[str, ...] = (),
    notes: tuple[str, ...] = (),
    hold: bool = False,
    planes: Planes | None = None,
    settings: ProgramSettings = USUAL,
) -> Program:
    """Return the program that makes every hole of one feature by a route.

    Parameters
    ----------
    route : Route
        The operations. Those by hand become a stop, M0.
    positions : sequence of (float, float)
        Hole centres from the part zero, in any order. [mm]
    machine : Machine
        The machine; speeds and feeds beyond it are refused.
    unit : Unit
        Unit of the program's words.
    name, callout_text : str
        Job and callout, for the header.
    coolant : Coolant, optional
        Decides M8 (flood), M7 (mist) or none; M8 where it isn't given.
    cautions : tuple of str
        Cautions of this job, after those that every program carries.
    notes : tuple of str
        Further lines of the header, e.g. that the example is invented.
    hold : bool
        Whether the job is not released: the header says so, and the program stops at its
        start and between drilled, bored or reamed holes, so that each can be gauged.
    planes : Planes, optional
        Heights; by default those of the settings.
    settings : ProgramSettings
        How it is written.

    Returns
    -------
    Program
        As :func:`write_part` gives it.

    Raises
    ------
    InputError
        As :func:`write_part` does.
    """
    places = tuple((float(x), float(y)) for x, y in as_positions(positions))
    return write_part(
        [Feature(route, places, callout_text, coolant)],
        machine,
        unit=unit,
        name=name,
        cautions=cautions,
        notes=notes,
        hold=hold,
        planes=planes,
        settings=settings,
    )


def write_part(
    features: Sequence[Feature],
    machine: Machine,
    *,
    unit: Unit,
    name: str,
    cautions: tuple[str, ...] = (),
    notes: tuple[str, ...] = (),
    hold: bool = False,
    despite: str = "",
    planes: Planes | None = None,
    settings: ProgramSettings = USUAL,
    fixture: Fixture = OPEN,
    shapes: Mapping[str, ToolShape] | None = None,
) -> Program:
    """Return the program that makes every hole of all features of one part.

    All holes are made by one tool before the next comes, and tools that several features need
    come as seldom as their routes allow. The finished text is read back and each of its moves
    is checked.

    Parameters
    ----------
    features : sequence of Feature
        What is to be made; all with their entry face at Z0.
    machine : Machine
        The machine; speeds and feeds beyond it are refused.
    unit : Unit
        Unit of the program's words.
    name : str
        Job, for the header.
    cautions : tuple of str
        Cautions of this job, after those that every program carries.
    notes : tuple of str
        Further lines of the header, e.g. that the example is invented.
    hold : bool
        Whether the job is not released: the header says so, and the program stops at its
        start and between drilled, bored or reamed holes, so that each can be gauged.
    despite : str
        Why the job is on hold, where the program is written nevertheless; empty otherwise.
    planes : Planes, optional
        Heights; by default those of the settings, or the usual ones.
    settings : ProgramSettings
        How it is written.
    fixture : Fixture
        Clamps, no-go boxes and what lies under the part.
    shapes : mapping of str to ToolShape, optional
        Tools in their holders by name; without them only the tips are checked.

    Returns
    -------
    Program
        Text, steps, order of the holes and time.

    Raises
    ------
    InputError
        If there is no hole, two holes of a feature lie closer than half a diameter, a route
        has nothing for the machine to do, or an operation asks for what can't be written or
        for what the machine doesn't have.
    NoAnswerError
        If tool or holder would hit part, clamp or floor.
    """
    shapes = shapes or {}
    planes = planes or settings.planes or usual_planes(unit)
    check_reach(fixture, planes.safe)
    for feature in features:
        check_feature(feature, machine)
    numbers = {tool: i for i, tool in enumerate(dict.fromkeys(_tools(features)), start=1)}
    by_number = {number: shapes[tool] for tool, number in numbers.items() if tool in shapes}
    tips = [op.diameter / 2 for feature in features for op in feature.route.operations]
    radius = max([*tips, *(shape.radius for shape in by_number.values())])
    writing = Writing(machine, unit, planes, settings)
    way = Way(settings.order, fixture, radius, writing.between)
    steps, length = stages(features, numbers, way)
    said = all_cautions(cautions, hold=hold, despite=despite)
    blocks: Blocks = [
        *header(
            features, steps, unit=unit, name=name, notes=notes, cautions=said, settings=settings
        ),
        safe_start(unit, settings),
        *(["M0"] if hold else []),
        *_steps_blocks(features, steps, writing, hold=hold, fixture=fixture, radius=radius),
    ]
    text = joined(
        [*with_subprograms(blocks, settings), *([TAPE] if settings.tape_sign else [])], settings
    )
    sections = read_back(text, dwell_unit=settings.dwell_unit)
    _refuse_clashes(sections, by_number, fixture)
    if settings.block_skip:
        skipped = read_back(text, dwell_unit=settings.dwell_unit, skip=True)
        _refuse_clashes(skipped, by_number, fixture)
    times = tuple(section_time(section, machine) for section in sections)
    named = zip(_section_names(steps), (time.cutting_s for time in times), strict=True)
    return Program(
        text,
        unit,
        _last_holes(steps),
        (*named, ("tool changes", sum(time.change_s for time in times))),
        said,
        steps,
        times,
        length,
        settings,
        tuple(by_number.items()),
        tuple(features),
    )


def _tools(features: Sequence[Feature]) -> Iterator[str]:
    for feature in features:
        yield from (op.tool for op in feature.route.operations if not op.by_hand)


def _steps_blocks(
    features: Sequence[Feature],
    steps: Sequence[Step],
    writing: Writing,
    *,
    hold: bool,
    fixture: Fixture,
    radius: float,
) -> Blocks:
    blocks: Blocks = []
    in_spindle = 0
    for step in steps:
        coolant = coolant_word(_coolant_of(features, step))
        blocks += operation_blocks(
            step.operation,
            step.tool,
            step.holes,
            replace(writing, coolant_word=coolant),
            change=step.tool != in_spindle,
            hold=hold,
            fixture=fixture,
            radius=radius,
        )
        in_spindle = step.tool or in_spindle
    return blocks


def _coolant_of(features: Sequence[Feature], step: Step) -> Coolant | None:
    """Return the coolant of the first feature that the step serves."""
    return next(
        (f.coolant for f in features if set(step.holes) & set(f.positions)), features[0].coolant
    )


def _refuse_clashes(
    sections: Sequence[Section], shapes: Mapping[int, ToolShape], fixture: Fixture
) -> None:
    found = clashes(sections, shapes, fixture)
    if not found:
        return
    said = " ".join(f"Line {clash.line}: {clash.text}" for clash in found[:_MOST_CLASHES])
    more = f" And {len(found) - _MOST_CLASHES} more." if len(found) > _MOST_CLASHES else ""
    raise NoAnswerError(f"no program is written: it would hit something. {said}{more}")


def _section_names(steps: Sequence[Step]) -> list[str]:
    """Return what each tool does from its change to the next."""
    names: list[str] = []
    in_spindle = 0
    for step in steps:
        if step.tool == 0:
            continue
        if step.tool != in_spindle:
            names.append(f"T{step.tool} {step.operation.kind}")
            in_spindle = step.tool
        elif not names[-1].endswith(f" {step.operation.kind}"):
            names[-1] += f" and {step.operation.kind}"
    return names


def _last_holes(steps: Sequence[Step]) -> tuple[Place, ...]:
    """Return the holes in the order in which they get their last tool."""
    last: dict[Place, None] = {}
    for step in steps:
        for hole in step.holes:
            last.pop(hole, None)
            last[hole] = None
    return tuple(last)
