"""Programs run by an interpreter of ISO 6983 words that nobody here wrote.

What it is, and what is held against what, stands in ``rs274_machine.py``.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from rs274_machine import (
    MACHINE,
    Asked,
    assert_our_reader_agrees,
    faults,
    holes_in_order,
    interpret,
    needs_rs274,
)

from holewright.errors import NoAnswerError
from holewright.planning.plan import Operation, OperationKind, Route
from holewright.program.backplot import read_back
from holewright.program.fixture import Fixture, KeepOut
from holewright.program.planes import Planes
from holewright.program.program import Feature
from holewright.program.settings import ProgramSettings, Travel
from holewright.program.write import write_part
from holewright.shop.coolant import Coolant, Fluid
from holewright.units import Unit

pytestmark = needs_rs274

SPOT, DRILL, CHAMFER = OperationKind.SPOT, OperationKind.DRILL, OperationKind.CHAMFER
REAM, WASH, BORE = OperationKind.REAM, OperationKind.WASH, OperationKind.BORE


def route(*operations: Operation) -> Route:
    return Route("as in the test", operations, 0.0, (), 0.0, 0.0)


def operation(
    kind: OperationKind, tool: str, diameter: float, n: float, f: float, tip: float, **kw
):
    v_c = np.pi * diameter * n / 1000
    return Operation(kind, tool, diameter, v_c=v_c, n=n, f=f, full_depth=tip, tip_depth=tip, **kw)


METRIC_THROUGH = route(
    operation(SPOT, "spot 90", 10.0, 2387.3, 0.08, 3.2),
    operation(DRILL, "drill 7.8", 7.8, 3264.6, 0.152, 26.3),
    operation(CHAMFER, "spot 90", 8.6, 2122.0, 0.08, 4.3),
    operation(REAM, "reamer 8 H7", 8.0, 477.5, 0.31, 25.5, feed_out=1.0),
)
METRIC_HOLES = ((0.0, 0.0), (60.0, 0.0), (60.0, 44.0), (0.0, 44.0))
INCH_BLIND = route(
    operation(SPOT, "spot 90", 8.5, 5000, 0.1, 2.5, dwell_s=0.1),
    operation(DRILL, "drill N", 7.671, 8000, 0.15, 22.35, peck=7.7),
    operation(CHAMFER, "chamfer 90", 8.4, 3000, 0.1, 4.2, dwell_s=0.05),
    Operation(WASH, "", 7.9375, text="Wash the chips out (spindle still).", by_hand=True),
    operation(REAM, "reamer .3127", 7.94, 1200, 0.2, 18.4, feed_out=1.0, dwell_s=0.05),
)
INCH_HOLES = tuple((25.4 * x, 25.4 * y) for x in (0.5, 1.0, 1.5) for y in (0.5, 1.25))


def asked(wanted: Route, holes, unit: Unit = Unit.MM, coolant=None, **how) -> Asked:
    return Asked([Feature(wanted, tuple(holes), "hole", coolant)], unit, **how)


def program_of(task: Asked, *, hold: bool = False):
    return write_part(
        task.features,
        MACHINE,
        unit=task.unit,
        name="job",
        hold=hold,
        planes=task.planes,
        settings=task.settings,
        fixture=task.fixture,
    )


@pytest.mark.parametrize(
    ("wanted", "holes", "unit"),
    [
        pytest.param(METRIC_THROUGH, METRIC_HOLES, Unit.MM, id="metric, through, G81 and G85"),
        pytest.param(INCH_BLIND, INCH_HOLES, Unit.INCH, id="inch, blind, G82, G83 and G89"),
        pytest.param(METRIC_THROUGH, METRIC_HOLES, Unit.INCH, id="metric job, inch program"),
        pytest.param(
            route(operation(REAM, "reamer 8", 8.0, 480, 0.3, 25, feed_out=2.0, dwell_s=0.2)),
            METRIC_HOLES,
            Unit.MM,
            id="fed out twice as fast, long-hand",
        ),
        pytest.param(
            route(operation(DRILL, "drill 4", 4.0, 50, 0.02, 60, peck=4)),
            ((-12.3456, 7.0),),
            Unit.MM,
            id="one deep hole at a slow feed",
        ),
    ],
)
@pytest.mark.parametrize("hold", [False, True], ids=["released", "on hold"])
def test_the_interpreter_makes_every_hole_once_to_depth_at_the_planned_feed(
    wanted, holes, unit, hold, tmp_path
):
    task = asked(wanted, holes, unit)
    steps = interpret(program_of(task, hold=hold).text, tmp_path)
    assert faults(steps, task) == []


def test_a_wash_by_hand_stops_the_program_with_the_tool_up_and_the_spindle_still(tmp_path):
    text = program_of(asked(INCH_BLIND, INCH_HOLES, Unit.INCH)).text
    stops = [step for step in interpret(text, tmp_path) if step.kind == "stop"]
    assert len(stops) == 1
    assert (stops[0].n, stops[0].coolant) == (0.0, "")
    assert stops[0].xyz[2] == pytest.approx(101.6)


def test_a_program_on_hold_stops_at_its_start_and_between_the_holes_worth_gauging(tmp_path):
    text = program_of(asked(METRIC_THROUGH, METRIC_HOLES), hold=True).text
    stops = [step.tool for step in interpret(text, tmp_path) if step.kind == "stop"]
    assert stops == [0, 2, 2, 2, 3, 3, 3]  # drill is tool 2, reamer 3; spotting needs no stop


@pytest.mark.parametrize("fluid", [Fluid.SOLUBLE, Fluid.MQL, Fluid.DRY])
def test_the_coolant_of_the_job_is_on_while_the_tool_cuts(fluid, tmp_path):
    task = asked(METRIC_THROUGH, METRIC_HOLES, coolant=Coolant(fluid))
    assert faults(interpret(program_of(task).text, tmp_path), task) == []


@pytest.mark.parametrize(
    ("was", "instead", "fault"),
    [
        pytest.param("Z-26.300", "Z-26.302", "bottom", id="2 µm too deep"),
        pytest.param("F496.2", "F496.8", "feeds at", id="feed off by 1 in 800"),
        pytest.param("G43 H2", "G43 H3", "length offset", id="length of another tool"),
        pytest.param("S2387 M3", "S2387", "cuts at n 0.0", id="spindle not started"),
        pytest.param("X60.000 Y44.000\n", "X60.000 Y43.998\n", "off", id="hole off by 2 µm"),
        pytest.param("G85", "G81", "drawn out at rapid", id="reamer drawn out at rapid"),
        pytest.param("R2.000", "R-1.000", "rapid into the material", id="R plane below the face"),
        pytest.param("G98", "G99", "rapid across the part", id="too low between holes"),
        pytest.param("X0.000 Y44.000\n", "X0.000 Y0.000\n", "holes made", id="one hole twice"),
        pytest.param("T3 M6", "T2 M6", "made by T2", id="the drill again instead of the reamer"),
        pytest.param("M8\n", "", "coolant", id="coolant left off"),
        pytest.param("G54", "G55", "moves under G55", id="another work offset"),
        pytest.param("G0 Z100.000\n", "", "changes the tool at", id="tool changed low"),
    ],
)
def test_the_check_finds_what_was_spoiled_in_a_good_program(was, instead, fault, tmp_path):
    task = asked(METRIC_THROUGH, METRIC_HOLES)
    text = program_of(task).text
    lines = [line for line in text.splitlines(keepends=True) if not line.startswith("(")]
    bare = "".join(lines)
    assert was in bare
    if instead == "":
        bare = "".join(line for line in lines if not line.endswith(was))
    steps = interpret(bare.replace(was, instead), tmp_path)
    assert any(fault in each for each in faults(steps, task))


@pytest.mark.parametrize(
    ("wanted", "holes", "unit"),
    [(METRIC_THROUGH, METRIC_HOLES, Unit.MM), (INCH_BLIND, INCH_HOLES, Unit.INCH)],
    ids=["metric", "inch"],
)
def test_our_reader_sees_the_moves_that_the_interpreter_makes(wanted, holes, unit, tmp_path):
    task = asked(wanted, holes, unit)
    text = program_of(task).text
    assert_our_reader_agrees(read_back(text), interpret(text, tmp_path), task)


def test_five_thousand_holes_are_all_made_once(tmp_path):
    wanted = route(
        operation(DRILL, "drill 5.8", 5.8, 4000, 0.1, 12.0),
        operation(REAM, "reamer 6", 6.0, 600, 0.25, 11.0, feed_out=1.0),
    )
    holes = [(12.0 * i, 12.0 * j) for i in range(50) for j in range(100)]
    task = asked(wanted, holes)
    assert faults(interpret(program_of(task).text, tmp_path), task) == []


CLAMPS = Fixture(
    (KeepOut("strap clamp", 20, 40, -10, 54, 18.0), KeepOut("tall stop", -30, -10, 10, 60, 60.0))
)


@pytest.mark.parametrize("travel", list(Travel))
def test_the_tool_flies_over_clamps_and_stays_low_elsewhere(travel, tmp_path):
    holes = [*METRIC_HOLES, (-50.0, 44.0), (-50.0, 30.0)]
    task = asked(METRIC_THROUGH, holes, settings=ProgramSettings(travel=travel), fixture=CLAMPS)
    program = program_of(task)
    steps = interpret(program.text, tmp_path)
    assert faults(steps, task) == []
    highest = max(step.xyz[2] for step in steps if step.offset and step.xyz[2] < 99)
    assert highest == 62.0  # the tall stop and 2 mm
    across = [b for a, b in pairwise(steps) if a.xyz[:2] != b.xyz[:2]]
    lowest = min(step.xyz[2] for step in across if step.offset)
    assert lowest == {Travel.INITIAL: 25.0, Travel.RETRACT: 2.0}[travel]


def test_the_check_finds_a_way_through_a_clamp(tmp_path):
    holes = [*METRIC_HOLES, (-50.0, 44.0)]
    low = replace(asked(METRIC_THROUGH, holes), planes=Planes(2.0, 5.0, 100.0))
    steps = interpret(program_of(low).text, tmp_path)
    assert faults(steps, low) == []
    assert any("through strap clamp" in f for f in faults(steps, replace(low, fixture=CLAMPS)))


def test_a_hole_under_a_clamp_gets_no_program():
    # No tool shape is given, so what is known is the tip alone: the way to the hole must fly
    # above the clamp and then go down through it.
    from holewright.program.collision import ToolShape

    shapes = {"drill 4": ToolShape("drill 4", 4.0, 30.0, 4.0, 60.0, 40.0)}
    feature = Feature(
        route(operation(DRILL, "drill 4", 4.0, 800, 0.05, 10.0)), ((30.0, 20.0),), "hole"
    )
    with pytest.raises(NoAnswerError, match="too near strap clamp"):
        write_part([feature], MACHINE, unit=Unit.MM, name="job", fixture=CLAMPS, shapes=shapes)


TWO_SIZES = [
    Feature(METRIC_THROUGH, METRIC_HOLES, "8 H7"),
    Feature(
        route(
            operation(SPOT, "spot 90", 10.0, 2387.3, 0.08, 2.1),
            operation(DRILL, "drill 4.8", 4.8, 5000, 0.1, 26.3),
            operation(REAM, "reamer 5 H7", 5.0, 800, 0.2, 25.5, feed_out=1.0),
        ),
        ((30.0, 22.0), (30.0, 11.0)),
        "5 H7",
    ),
]


def test_two_features_share_the_tools_that_both_need(tmp_path):
    task = Asked(TWO_SIZES, Unit.MM)
    steps = interpret(program_of(task).text, tmp_path)
    assert faults(steps, task) == []
    # Apart they need 4 and 3 tools; the spot drill comes once before, once for the chamfer.
    changes = [step.tool for step in steps if step.kind == "change"]
    assert len(changes) == 6
    assert changes.count(1) == 2


def test_the_order_is_the_same_by_each_tool_or_there_and_back(tmp_path):
    from holewright.program.settings import HoleOrder

    for order in HoleOrder:
        task = asked(METRIC_THROUGH, METRIC_HOLES, settings=ProgramSettings(order=order))
        program = program_of(task)
        by_tool = holes_in_order(interpret(program.text, tmp_path))
        drilled, reamed = by_tool[2], by_tool[3]
        np.testing.assert_allclose(reamed, program.holes)
        if order is HoleOrder.THERE_AND_BACK:
            # spot there, drill back, chamfer there, ream back
            assert drilled == reamed
            assert by_tool[1] == [*drilled[::-1], *drilled[::-1]]
        else:
            assert drilled == reamed
        if order is HoleOrder.AS_GIVEN:
            assert drilled == list(METRIC_HOLES)
