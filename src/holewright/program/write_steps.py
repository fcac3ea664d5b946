"""Writes a program from steps whose order somebody has fixed: a test plate's, for one."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from holewright.errors import InputError
from holewright.planning.plan import Operation, Route
from holewright.program.assemble import assemble
from holewright.program.checks import check_feature
from holewright.program.collision import ToolShape
from holewright.program.cycles import Writing
from holewright.program.fixture import OPEN
from holewright.program.header import all_cautions
from holewright.program.planes import usual_planes
from holewright.program.program import Feature, Place, Program, Step
from holewright.program.settings import USUAL, ProgramSettings
from holewright.shop.coolant import Coolant
from holewright.shop.machine import Machine
from holewright.units import Unit


def write_steps(
    work: Sequence[tuple[Operation, Sequence[Place]]],
    machine: Machine,
    *,
    unit: Unit,
    name: str,
    route: str,
    callout_text: str,
    coolant: Coolant | None = None,
    cautions: tuple[str, ...] = (),
    notes: tuple[str, ...] = (),
    hold: bool = False,
    settings: ProgramSettings = USUAL,
    shapes: Mapping[str, ToolShape] | None = None,
) -> Program:
    """Return the program that does these operations at these holes, one after the other.

    Parameters
    ----------
    work : sequence of (Operation, holes)
        What is done where, in order; the holes of each in the order in which they are made.
        By-hand steps have no holes and become a stop. [mm]
    machine : Machine
        The machine; speeds and feeds beyond it are refused.
    unit : Unit
        Unit of the program's words.
    name, route, callout_text : str
        Job, what is done in words, and callout, for the header.
    coolant : Coolant, optional
        Decides M8 (flood), M7 (mist) or none; M8 where it isn't given.
    cautions : tuple of str
        Cautions of this job, after those that every program carries.
    notes : tuple of str
        Further lines of the header.
    hold : bool
        Whether to stop after each drilled, bored or reamed hole, to gauge it.
    settings : ProgramSettings
        How it is written; its order of holes isn't heeded.
    shapes : mapping of str to ToolShape, optional
        Tools in their holders by name; without them only the tips are checked.

    Returns
    -------
    Program
        Text, steps and time. A tool that comes several times running is fetched once.

    Raises
    ------
    InputError
        If there is nothing to do, holes lie too close, or an operation asks for what can't be
        written or for what the machine doesn't have.
    NoAnswerError
        If tool or holder would hit the part.
    """
    tools = dict.fromkeys(op.tool for op, _ in work if not op.by_hand)
    numbers = {tool: i for i, tool in enumerate(tools, start=1)}
    steps = [Step(0 if op.by_hand else numbers[op.tool], op, tuple(holes)) for op, holes in work]
    if not tools:
        raise InputError("steps", len(work), "must hold one for the machine")
    places = tuple(dict.fromkeys(hole for step in steps for hole in step.holes))
    operations = tuple(dict.fromkeys(step.operation for step in steps))
    made = Route(route, operations, 0.0, (), 0.0, 0.0)
    feature = Feature(made, places, callout_text, coolant)
    check_feature(feature, machine)
    known = shapes or {}
    return assemble(
        [feature],
        steps,
        Writing(machine, unit, settings.planes or usual_planes(unit), settings),
        name=name,
        notes=notes,
        cautions=all_cautions(cautions, hold=hold, despite=""),
        hold=hold,
        fixture=OPEN,
        radius=0.0,
        shapes={number: known[tool] for tool, number in numbers.items() if tool in known},
        way=0.0,
    )
