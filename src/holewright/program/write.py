"""Writes the program of a part: tools and holes in order, then the text."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from holewright.planning.plan import Route
from holewright.program.assemble import assemble
from holewright.program.checks import check_feature
from holewright.program.collision import ToolShape
from holewright.program.cycles import Writing
from holewright.program.fixture import OPEN, Fixture, check_reach
from holewright.program.header import all_cautions
from holewright.program.order import as_positions
from holewright.program.planes import Planes, usual_planes
from holewright.program.program import Feature, Program
from holewright.program.settings import USUAL, ProgramSettings
from holewright.program.stages import Way, stages
from holewright.shop.coolant import Coolant
from holewright.shop.machine import Machine
from holewright.units import Unit


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
    return assemble(
        features,
        steps,
        writing,
        name=name,
        notes=notes,
        cautions=all_cautions(cautions, hold=hold, despite=despite),
        hold=hold,
        fixture=fixture,
        radius=radius,
        shapes=by_number,
        way=length,
    )


def _tools(features: Sequence[Feature]) -> Iterator[str]:
    for feature in features:
        yield from (op.tool for op in feature.route.operations if not op.by_hand)
