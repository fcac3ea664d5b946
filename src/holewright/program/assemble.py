"""Puts a program together from its steps, reads it back, and refuses one that would hit."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from holewright.errors import NoAnswerError
from holewright.program.backplot import read_back
from holewright.program.blocks import TAPE, joined, safe_start
from holewright.program.collision import ToolShape, clashes
from holewright.program.cycles import Blocks, Place, Writing
from holewright.program.fixture import Fixture
from holewright.program.header import coolant_word, header
from holewright.program.motion_time import section_time
from holewright.program.moves import Section
from holewright.program.operation import operation_blocks
from holewright.program.program import Feature, Program, Step
from holewright.program.subprograms import with_subprograms
from holewright.shop.coolant import Coolant

_MOST_CLASHES = 5
"""So many are named when a program is refused; the rest are counted."""


def assemble(
    features: Sequence[Feature],
    steps: Sequence[Step],
    writing: Writing,
    *,
    name: str,
    notes: Sequence[str],
    cautions: tuple[str, ...],
    hold: bool,
    fixture: Fixture,
    radius: float,
    shapes: Mapping[int, ToolShape],
    way: float,
) -> Program:
    """Return the program of steps whose order is fixed; its text is read back and checked.

    Parameters
    ----------
    features : sequence of Feature
        What is made, for the header and the coolant.
    steps : sequence of Step
        What is done where, in order. A tool that comes several times running is fetched once.
    writing : Writing
        How it is written.
    name : str
        Job, for the header.
    notes : sequence of str
        Further lines of the header.
    cautions : tuple of str
        Cautions, in order.
    hold : bool
        Whether to stop at the start and between holes that are worth gauging.
    fixture : Fixture
        Clamps, no-go boxes and what lies under the part.
    radius : float
        Radius of the widest tool or holder. [mm]
    shapes : mapping of int to ToolShape
        Tools in their holders by T word; of others only the tip is checked.
    way : float
        Way from hole to hole of all steps. [mm]

    Raises
    ------
    NoAnswerError
        If tool or holder would hit part, clamp or floor.
    """
    settings, unit, machine = writing.settings, writing.unit, writing.machine
    tape = [TAPE] if settings.tape_sign else []
    blocks: Blocks = [
        *header(
            features, steps, unit=unit, name=name, notes=notes, cautions=cautions, settings=settings
        ),
        safe_start(unit, settings),
        *(["M0"] if hold else []),
        *_steps_blocks(features, steps, writing, hold=hold, fixture=fixture, radius=radius),
    ]
    text = joined([*with_subprograms(blocks, settings), *tape], settings)
    sections = read_back(text, dwell_unit=settings.dwell_unit)
    _refuse_clashes(sections, shapes, fixture)
    if settings.block_skip:
        skipped = read_back(text, dwell_unit=settings.dwell_unit, skip=True)
        _refuse_clashes(skipped, shapes, fixture)
    times = tuple(section_time(section, machine) for section in sections)
    named = zip(_section_names(steps), (time.cutting_s for time in times), strict=True)
    return Program(
        text,
        unit,
        _last_holes(steps),
        (*named, ("tool changes", sum(time.change_s for time in times))),
        cautions,
        tuple(steps),
        times,
        way,
        settings,
        tuple(shapes.items()),
        tuple(features),
    )


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
