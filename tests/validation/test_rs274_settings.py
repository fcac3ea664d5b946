"""Every way of writing a program, run by `rs274` (see ``rs274_machine.py``), and random jobs."""

from __future__ import annotations

import re

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from rs274_machine import (
    MACHINE,
    TOOLS,
    Asked,
    assert_our_reader_agrees,
    faults,
    interpret,
    needs_rs274,
)

from holewright.planning.plan import Operation, OperationKind, Route
from holewright.program.backplot import read_back
from holewright.program.fixture import Fixture, KeepOut
from holewright.program.planes import Planes, usual_planes
from holewright.program.program import Feature, Program
from holewright.program.settings import (
    CYCLES,
    WORK_OFFSETS,
    BoreOut,
    CommentForm,
    CycleRetract,
    DwellUnit,
    EndWord,
    FeedMode,
    HoleOrder,
    LineNumbers,
    Numbers,
    PeckCycle,
    ProgramSettings,
    StopWord,
    Travel,
)
from holewright.program.write import write_part
from holewright.shop.coolant import Coolant, Fluid
from holewright.units import Unit

pytestmark = needs_rs274

SPOT, DRILL, CHAMFER = OperationKind.SPOT, OperationKind.DRILL, OperationKind.CHAMFER
REAM, WASH, BORE = OperationKind.REAM, OperationKind.WASH, OperationKind.BORE
EVERYTHING = Route(
    "one of each",
    (
        Operation(SPOT, "spot 90", 6.0, n=2500, f=0.08, tip_depth=2.5, dwell_s=0.1),
        Operation(DRILL, "drill 7", 7.0, n=3000, f=0.12, tip_depth=30.0, peck=9.0),
        Operation(BORE, "bore 7.7", 7.7, n=1800, f=0.06, tip_depth=27.0, dwell_s=0.1),
        Operation(CHAMFER, "spot 90", 8.6, n=2000, f=0.08, tip_depth=4.3),
        Operation(WASH, "", 8.0, text="Blow the chips out.", by_hand=True),
        Operation(REAM, "reamer 8", 8.0, n=480, f=0.3, tip_depth=25.0, feed_out=1.0),
    ),
    0.0,
    (),
    0.0,
    0.0,
)
HOLES = tuple((20.0 * i, 15.0 * j) for i in range(4) for j in range(2))


def task_of(unit: Unit = Unit.MM, **how) -> Asked:
    return Asked([Feature(EVERYTHING, HOLES, "8 H7")], unit, settings=ProgramSettings(**how))


def written(task: Asked, *, hold: bool = False) -> Program:
    return write_part(
        task.features,
        MACHINE,
        unit=task.unit,
        name="job",
        hold=hold,
        settings=task.settings,
        planes=task.planes,
        fixture=task.fixture,
    )


def prove(task: Asked, folder, *, hold: bool = False) -> str:
    """Hold a program against what was asked, by the interpreter and by our own reader."""
    text = written(task, hold=hold).text
    for skip in (False, True) if task.settings.block_skip else (False,):
        steps = interpret(text, folder, skip=skip)
        assert faults(steps, task) == []
        ours = read_back(text, dwell_unit=task.settings.dwell_unit, skip=skip)
        assert_our_reader_agrees(ours, steps, task)
    return text


@pytest.mark.parametrize("unit", list(Unit))
@pytest.mark.parametrize(
    ("how", "shows"),
    [
        pytest.param({}, r"G98 G83 .* Q", id="as usual"),
        pytest.param({"work_offset": "G57"}, r"G94 G57", id="work offset"),
        pytest.param({"feed_mode": FeedMode.PER_REVOLUTION}, r"G95 G54", id="G95"),
        pytest.param({"numbers": Numbers.SHORT}, r"R(2\.|\.1|0\.1) ", id="short numbers"),
        pytest.param({"comments": CommentForm.SEMICOLON}, r"\n; - CAUTION", id="semicolons"),
        pytest.param({"cycles": ()}, r"G1 Z-", id="no cycles at all"),
        pytest.param({"cycles": ("G81", "G82", "G83")}, r"G1 Z-", id="drilling cycles only"),
        pytest.param({"cycle_retract": CycleRetract.RETRACT}, r"G99 G81", id="G99"),
        pytest.param({"peck_cycle": PeckCycle.BREAK}, r"G73 .*Q", id="chip break"),
        pytest.param(
            {"peck_cycle": PeckCycle.BREAK, "cycles": ()}, r"G1 Z-", id="chip break, long-hand"
        ),
        pytest.param({"bore_out": BoreOut.STOPPED}, r"G86 ", id="bored, drawn out stopped"),
        pytest.param(
            {"bore_out": BoreOut.STOPPED, "cycles": ()},
            r"M5\n.*G0 Z.*\n.* M3",
            id="the same by hand",
        ),
        pytest.param({"dwell_unit": DwellUnit.MILLISECONDS}, r"P100 F", id="dwell in ms"),
        pytest.param({"end": EndWord.END}, r"M2\n%", id="M2"),
        pytest.param({"program_number": 1042}, r"%\nO1042\n", id="program number"),
        pytest.param({"tape_sign": False}, r"^\(- JOB", id="no tape sign"),
        pytest.param({"line_numbers": LineNumbers.ONES}, r"\nN1 G2", id="numbered in ones"),
        pytest.param({"line_numbers": LineNumbers.NONE}, r"\nG2", id="no numbers"),
        pytest.param({"chip_stop_every": 3}, r"CLEAR THE CHIPS", id="chip stops"),
        pytest.param(
            {"gauge_every": 4, "stop": StopWord.OPTIONAL}, r"GAUGE THIS HOLE", id="gauge stops"
        ),
        pytest.param({"break_check": True}, r"IS IT WHOLE", id="break check"),
        pytest.param(
            {"chip_stop_every": 2, "gauge_every": 2, "break_check": True, "block_skip": True},
            r"\n/N\d+ M5\n/N\d+ M0",
            id="stops that can be skipped",
        ),
        pytest.param({"subprograms": True}, r"M98 P8001\n[^%]*\nO8001\n", id="subprogram"),
        pytest.param({"entry_feed": 0.5, "entry_depth": 1.0}, r"G1 Z-(8\.000|0\.3150)", id="entry"),
        pytest.param({"order": HoleOrder.THERE_AND_BACK}, r"G85", id="there and back"),
        pytest.param({"travel": Travel.RETRACT}, r"G99 G83", id="low between holes"),
        pytest.param(
            {"travel": Travel.RETRACT, "cycles": (), "gauge_every": 2}, r"G1 Z", id="low, long-hand"
        ),
    ],
)
def test_each_setting_gives_the_same_holes(unit, how, shows, tmp_path):
    task = task_of(unit, **how)
    text = prove(task, tmp_path)
    assert re.search(shows, text), text


def test_a_subprogram_serves_every_tool_and_is_written_once(tmp_path):
    short = prove(task_of(subprograms=True), tmp_path)
    assert short.count("M98 P8001") == 5
    assert short.count("O8001") == 1
    assert len(short) < len(prove(task_of(), tmp_path))


def test_skipped_stops_leave_out_the_stops_and_nothing_else(tmp_path):
    text = written(task_of(gauge_every=2, block_skip=True)).text
    stops = [
        [step.kind for step in interpret(text, tmp_path, skip=skip)].count("stop")
        for skip in (False, True)
    ]
    # Stops after the 1st, 2nd, 4th and 6th of 8 reamed holes; the wash by hand always stays.
    assert stops == [5, 1]


CUTS = st.sampled_from([SPOT, DRILL, BORE, CHAMFER, REAM])
WAYS_OUT = st.sampled_from(
    [
        {},
        {"dwell_s": 0.25},
        {"peck": 3.0},
        {"peck": 50.0},
        {"feed_out": 1.0},
        {"feed_out": 1.0, "dwell_s": 0.1},
        {"feed_out": 1.7},
        {"feed_out": 0.5, "dwell_s": 0.004},
    ]
)


@st.composite
def operations(draw) -> Operation:
    n = draw(st.floats(60, 12000))
    return Operation(
        draw(CUTS),
        draw(st.sampled_from("abcde")),
        draw(st.floats(1.0, 8.0)),
        n=n,
        f=draw(st.floats(0.005, 0.4)),
        tip_depth=draw(st.floats(0.3, 80.0)),
        **draw(WAYS_OUT),
    )


CELLS = st.lists(
    st.tuples(st.integers(-6, 6), st.integers(-6, 6)), min_size=2, max_size=16, unique=True
)
SHIFT = st.floats(-2, 2)


@st.composite
def parts(draw) -> list[Feature]:
    """One or two features whose holes lie in cells of 25 mm."""
    cells = draw(CELLS)
    places = [(25 * i + draw(SHIFT), 25 * j + draw(SHIFT)) for i, j in cells]
    split = draw(st.integers(1, len(places)))
    routes = [
        Route(name, tuple(draw(st.lists(operations(), min_size=1, max_size=4))), 0.0, (), 0.0, 0.0)
        for name in ("first", "second")
    ]
    coolant = draw(st.sampled_from([None, Coolant(Fluid.DRY), Coolant(Fluid.MQL)]))
    shares = [(routes[0], places[:split]), (routes[1], places[split:])]
    return [Feature(r, tuple(at), "hole", coolant) for r, at in shares if at]


@st.composite
def fixtures(draw) -> Fixture:
    """Clamps between the cells, so that no hole lies under one."""
    boxes = []
    for i, j in draw(st.lists(st.tuples(st.integers(-6, 6), st.integers(-6, 6)), max_size=4)):
        x, y, half = 25 * i + 12.5, 25 * j + 12.5, draw(st.floats(0.5, 2.0))
        top = draw(st.floats(1.0, 90.0))
        boxes.append(KeepOut("clamp", x - half, x + half, y - half, y + half, top))
    return Fixture(tuple(boxes))


HOW = st.builds(
    ProgramSettings,
    work_offset=st.sampled_from(WORK_OFFSETS),
    feed_mode=st.sampled_from(FeedMode),
    numbers=st.sampled_from(Numbers),
    comments=st.sampled_from(CommentForm),
    cycles=st.lists(st.sampled_from(CYCLES), unique=True).map(tuple) | st.just(CYCLES),
    cycle_retract=st.sampled_from(CycleRetract),
    peck_cycle=st.sampled_from(PeckCycle),
    bore_out=st.sampled_from(BoreOut),
    dwell_unit=st.sampled_from(DwellUnit),
    end=st.sampled_from(EndWord),
    program_number=st.none() | st.integers(1, 7999),
    line_numbers=st.sampled_from(LineNumbers),
    stop=st.sampled_from(StopWord),
    block_skip=st.booleans(),
    chip_stop_every=st.integers(0, 4),
    gauge_every=st.integers(0, 4),
    break_check=st.booleans(),
    subprograms=st.booleans(),
    entry_feed=st.floats(0.1, 1.0),
    entry_depth=st.floats(0.1, 3.0),
    order=st.sampled_from(HoleOrder),
    travel=st.sampled_from(Travel),
)
PLANES = st.none() | st.builds(
    lambda low, mid, high: Planes(low, low + mid, max(low + mid + high, 95.0)),
    st.floats(0.5, 5),
    st.floats(1, 30),
    st.floats(0, 100),
)


@settings(
    max_examples=200,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(
    features=parts(),
    unit=st.sampled_from(Unit),
    how=HOW,
    planes=PLANES,
    fixture=fixtures(),
    hold=st.booleans(),
)
def test_any_job_in_range_is_made_as_asked(features, unit, how, planes, fixture, hold, tmp_path):
    task = Asked(features, unit, how, planes or usual_planes(unit), fixture)
    assume(len(task.numbers()) <= TOOLS)
    prove(task, tmp_path, hold=hold)
