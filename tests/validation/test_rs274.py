"""Programs run by an interpreter of ISO 6983 words that nobody here wrote.

`rs274` comes with Debian's package linuxcnc-uspace and grew out of the NIST interpreter:
T. R. Kramer, F. M. Proctor, E. Messina, "The NIST RS274NGC Interpreter, Version 3",
NISTIR 6556, 2000 (from memory). It prints the moves that a machine would make. They are
held against the route that was asked for, not against our own reader; our reader is then
held against them.
"""

from __future__ import annotations

import re
import shutil
import subprocess
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from holewright.planning.plan import Operation, OperationKind, Route
from holewright.program.backplot import MoveKind, read_back
from holewright.program.cycles import Planes, usual_planes
from holewright.program.write import write_program
from holewright.shop.coolant import Coolant, Fluid
from holewright.shop.machine import Machine
from holewright.uncertainty import Known, Tag
from holewright.units import Unit

pytestmark = pytest.mark.skipif(
    shutil.which("rs274") is None,
    reason="the interpreter rs274 (Debian package linuxcnc-uspace) is not installed",
)

MACHINE = Machine(
    id="invented VMC",
    n_min=50,
    n_max=12000,
    power=15000,
    thrust=5000,
    rapid=20000,
    feed_max=10000,
    tool_change_s=4,
    rate=60,
    spindle_tir=Known(0.003, Tag.DEFAULT),
)
TOOLS = 5
LENGTHS_IN = {number: 1.0 + number for number in range(1, TOOLS + 1)}
CANON_LINE = re.compile(r"^\s*\d+\s+N(?:\.{5}|\d+)\s*([A-Z][A-Z_0-9]*)\((.*)\)\s*$")


@dataclass(frozen=True)
class Step:
    """One thing the interpreter would have the machine do, in mm, with the state then."""

    kind: str  # rapid, feed, dwell, change, stop, end
    xyz: tuple[float, float, float]
    feed: float
    seconds: float
    tool: int
    n: float
    offset: float
    coolant: str


def interpret(text: str, folder) -> list[Step]:
    """Run a program in rs274 and return what the machine would do."""
    table = "".join(f"T{t} P{t} Z{z} D0.3\n" for t, z in LENGTHS_IN.items())
    (folder / "tool.tbl").write_text(table)
    (folder / "p.ngc").write_text(text)
    # A fresh parameter file: offsets of an earlier run must not live on in it.
    variables = folder / "rs274.var"
    variables.unlink(missing_ok=True)
    run = subprocess.run(
        ["rs274", "-t", "tool.tbl", "-v", str(variables), "-g", "p.ngc"],
        cwd=folder,
        capture_output=True,
        text=True,
        check=False,
        timeout=60,
    )
    assert run.returncode == 0, run.stderr
    return canon(run.stdout)


def canon(output: str) -> list[Step]:
    steps = []
    scale, tool, n, speed, feed, offset = 1.0, 0, 0.0, 0.0, 0.0, 0.0
    coolant = ""
    xyz = (0.0, 0.0, 0.0)
    for line in output.splitlines():
        match = CANON_LINE.match(line)
        if match is None:
            continue
        name, inside = match.groups()
        kind, seconds = "", 0.0
        if name == "USE_LENGTH_UNITS":
            scale = {"CANON_UNITS_MM": 1.0, "CANON_UNITS_INCHES": 25.4}[inside]
        elif name == "USE_TOOL_LENGTH_OFFSET":
            offset = float(inside.split(",")[0].split()[2]) * scale
        elif name == "SET_SPINDLE_SPEED":
            speed = float(inside.split(",")[1])
        elif name == "START_SPINDLE_CLOCKWISE":
            n = speed
        elif name == "STOP_SPINDLE_TURNING":
            n = 0.0
        elif name == "SET_FEED_RATE":
            feed = float(inside) * scale
        elif name in ("FLOOD_ON", "MIST_ON"):
            coolant = name
        elif name in ("FLOOD_OFF", "MIST_OFF"):
            coolant = ""
        elif name == "CHANGE_TOOL":
            tool, kind = int(inside), "change"
        elif name in ("STRAIGHT_TRAVERSE", "STRAIGHT_FEED"):
            x, y, z = (float(number) * scale for number in inside.split(",")[:3])
            xyz, kind = (x, y, z), "rapid" if name == "STRAIGHT_TRAVERSE" else "feed"
        elif name == "DWELL":
            kind, seconds = "dwell", float(inside)
        elif name in ("PROGRAM_STOP", "PROGRAM_END"):
            kind = "stop" if name == "PROGRAM_STOP" else "end"
        if kind:
            steps.append(Step(kind, xyz, feed, seconds, tool, n, offset, coolant))
    return steps


def sections(steps: list[Step]) -> list[list[Step]]:
    """Split at tool changes; what comes before the first is dropped."""
    parts: list[list[Step]] = []
    for step in steps:
        if step.kind == "change":
            parts.append([])
        if parts:
            parts[-1].append(step)
    return parts


def faults(
    steps: list[Step], route: Route, holes, unit: Unit, planes: Planes | None = None
) -> list[str]:
    """Return everything in which the machine would not do what the route asks."""
    planes = planes or usual_planes(unit)
    half_place = 0.000501 if unit is Unit.MM else 0.0000501 * 25.4
    cuts = [op for op in route.operations if not op.by_hand]
    found = []
    parts = sections(steps)
    if len(parts) != len(cuts):
        return [f"{len(parts)} tool changes for {len(cuts)} operations"]
    for op, part in zip(cuts, parts, strict=True):
        say = f"{op.kind} {op.tool}:"
        found += [f"{say} {fault}" for fault in _faults_of_moves(part, op, planes, half_place)]
        visited = [step.xyz for step in part if _cuts(step)]
        bottoms: dict[tuple[float, float], float] = {}
        for x, y, z in visited:
            bottoms[x, y] = min(z, bottoms.get((x, y), 0.0))
        if len(bottoms) != len(holes):
            found.append(f"{say} {len(bottoms)} holes made of {len(holes)}")
            continue
        runs = sum(a[:2] != b[:2] for a, b in pairwise(visited)) + 1
        if runs != len(holes):
            found.append(f"{say} a hole is visited more than once")
        made = np.array(list(bottoms))
        away = np.abs(made[:, None, :] - np.asarray(holes)[None, :, :]).max(axis=2).min(axis=0)
        found += [f"{say} hole {i} is {d} off" for i, d in enumerate(away) if d > half_place]
        found += [
            f"{say} bottom {z} at {xy}"
            for xy, z in bottoms.items()
            if abs(z + op.tip_depth) > half_place
        ]
    return found


def _cuts(step: Step) -> bool:
    return step.kind == "feed" and step.xyz[2] < 0


def _faults_of_moves(part: list[Step], op: Operation, planes: Planes, half_place: float):
    """Yield what is wrong between one tool change and the next."""
    here = part[0].xyz
    deepest = 0.0  # how far this tool has opened the hole it stands in
    dwelt: dict[tuple[float, float], float] = {}
    for step in part[1:]:
        sideways = step.xyz[:2] != here[:2]
        if sideways:
            deepest = 0.0
        if step.kind == "rapid":
            if step.xyz[2] < 0 and step.xyz[2] < deepest:
                yield f"rapid into the material to {step.xyz}"
            lowest = min(step.xyz[2], here[2])
            if sideways and step.offset and lowest < planes.initial - half_place:
                yield f"rapid across the part at {step.xyz}"
        if step.kind == "feed":
            if sideways:
                yield f"feeds sideways to {step.xyz}"
            if abs(step.n - op.n) > 0.5:
                yield f"cuts at n {step.n}"
            if abs(step.offset - LENGTHS_IN[step.tool] * 25.4) > 0.001:
                yield f"cuts with length offset {step.offset}"
            if not step.coolant:
                yield "cuts without coolant"
            down = step.xyz[2] < here[2]
            wanted = op.v_f if down else op.v_f * op.feed_out
            # Four digits that count are written; the interpreter prints four places.
            if abs(step.feed - wanted) > 0.00051 * wanted + half_place:
                yield f"feeds at {step.feed}, {'in' if down else 'out'}"
            deepest = min(deepest, step.xyz[2])
        if step.kind == "dwell":
            dwelt[step.xyz[:2]] = dwelt.get(step.xyz[:2], 0.0) + step.seconds
        if step.kind in ("stop", "end") and (step.n or step.coolant):
            yield "stops with the spindle turning or coolant on"
        if op.feed_out and step.kind == "rapid" and here[2] < 0:
            yield "is drawn out at rapid"
        here = step.xyz
    if here[2] < planes.safe - half_place:
        yield f"ends at Z{here[2]}"
    if op.dwell_s >= 0.001 and any(abs(s - op.dwell_s) > 0.000501 for s in dwelt.values()):
        yield f"dwells {dwelt}"
    if op.dwell_s < 0.001 and dwelt:
        yield f"dwells {dwelt}"


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
    program = write_program(
        wanted, holes, MACHINE, unit=unit, name="job", callout_text="hole", hold=hold
    )
    assert faults(interpret(program.text, tmp_path), wanted, holes, unit) == []


def test_a_wash_by_hand_stops_the_program_with_the_tool_up_and_the_spindle_still(tmp_path):
    text = write_program(
        INCH_BLIND, INCH_HOLES, MACHINE, unit=Unit.INCH, name="job", callout_text="hole"
    ).text
    stops = [step for step in interpret(text, tmp_path) if step.kind == "stop"]
    assert len(stops) == 1
    assert (stops[0].n, stops[0].coolant) == (0.0, "")
    assert stops[0].xyz[2] == pytest.approx(101.6)


def test_a_program_on_hold_stops_at_its_start_and_between_the_holes_worth_gauging(tmp_path):
    text = write_program(
        METRIC_THROUGH,
        METRIC_HOLES,
        MACHINE,
        unit=Unit.MM,
        name="job",
        callout_text="hole",
        hold=True,
    ).text
    stops = [step.tool for step in interpret(text, tmp_path) if step.kind == "stop"]
    assert stops == [0, 2, 2, 2, 3, 3, 3]  # drill is tool 2, reamer 3; spotting needs no stop


@pytest.mark.parametrize(
    ("fluid", "word"), [(Fluid.SOLUBLE, "FLOOD_ON"), (Fluid.MQL, "MIST_ON"), (Fluid.DRY, "")]
)
def test_the_coolant_of_the_job_is_on_while_the_tool_cuts(fluid, word, tmp_path):
    text = write_program(
        METRIC_THROUGH,
        METRIC_HOLES,
        MACHINE,
        unit=Unit.MM,
        name="job",
        callout_text="hole",
        coolant=Coolant(fluid),
    ).text
    assert {step.coolant for step in interpret(text, tmp_path) if step.kind == "feed"} == {word}


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
    ],
)
def test_the_check_finds_what_was_spoiled_in_a_good_program(was, instead, fault, tmp_path):
    text = write_program(
        METRIC_THROUGH, METRIC_HOLES, MACHINE, unit=Unit.MM, name="job", callout_text="hole"
    ).text
    assert was in text
    steps = interpret(text.replace(was, instead), tmp_path)
    assert any(fault in each for each in faults(steps, METRIC_THROUGH, METRIC_HOLES, Unit.MM))


@pytest.mark.parametrize(
    ("wanted", "holes", "unit"),
    [(METRIC_THROUGH, METRIC_HOLES, Unit.MM), (INCH_BLIND, INCH_HOLES, Unit.INCH)],
    ids=["metric", "inch"],
)
def test_our_reader_sees_the_moves_that_the_interpreter_makes(wanted, holes, unit, tmp_path):
    text = write_program(wanted, holes, MACHINE, unit=unit, name="job", callout_text="hole").text
    assert_same_moves(text, tmp_path)


def assert_same_moves(text: str, folder) -> None:
    ours, theirs = read_back(text), sections(interpret(text, folder))
    assert [section.tool for section in ours] == [part[0].tool for part in theirs]
    for section, part in zip(ours, theirs, strict=True):
        moved = [
            step
            for before, step in pairwise(part)
            if step.kind == "dwell" or (step.kind in ("rapid", "feed") and step.xyz != before.xyz)
        ]
        # The interpreter starts at 0 0 0, our reader doesn't know where: drop the first move.
        mine = [move for move in section.moves if not np.isnan(move.start).any()]
        moved = moved[-len(mine) :]
        assert [move.kind for move in mine] == [MoveKind(step.kind) for step in moved]
        np.testing.assert_allclose([m.end for m in mine], [s.xyz for s in moved], atol=1e-4 * 25.4)
        for move, step in zip(mine, moved, strict=True):
            assert move.n == step.n
            assert move.seconds == pytest.approx(step.seconds)
            if move.kind is MoveKind.FEED:
                assert move.feed == pytest.approx(step.feed, abs=1e-4 * 25.4)


def test_five_thousand_holes_are_all_made_once(tmp_path):
    wanted = route(
        operation(DRILL, "drill 5.8", 5.8, 4000, 0.1, 12.0),
        operation(REAM, "reamer 6", 6.0, 600, 0.25, 11.0, feed_out=1.0),
    )
    holes = [(12.0 * i, 12.0 * j) for i in range(50) for j in range(100)]
    text = write_program(
        wanted, holes, MACHINE, unit=Unit.MM, name="plate", callout_text="6 H7"
    ).text
    assert faults(interpret(text, tmp_path), wanted, holes, Unit.MM) == []


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
    kind = draw(st.sampled_from([SPOT, DRILL, BORE, CHAMFER, REAM]))
    return operation(
        kind,
        draw(st.sampled_from(["a", "b", "c", "d", "e"])),
        draw(st.floats(1.0, 14.0)),
        draw(st.floats(60, 12000)),
        draw(st.floats(0.005, 0.4)),
        draw(st.floats(0.3, 80.0)),
        **draw(WAYS_OUT),
    )


@st.composite
def plates(draw) -> list[tuple[float, float]]:
    cells = st.tuples(st.integers(-10, 10), st.integers(-10, 10))
    chosen = draw(st.lists(cells, min_size=1, max_size=15, unique=True))
    shift = st.floats(-6, 6)
    return [(25 * i + draw(shift), 25 * j + draw(shift)) for i, j in chosen]


@settings(
    max_examples=60,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(
    cuts=st.lists(operations(), min_size=1, max_size=5),
    holes=plates(),
    unit=st.sampled_from(Unit),
    hold=st.booleans(),
)
def test_any_job_in_range_is_made_as_asked(cuts, holes, unit, hold, tmp_path):
    wanted = route(*cuts)
    text = write_program(
        wanted, holes, MACHINE, unit=unit, name="any", callout_text="hole", hold=hold
    ).text
    assert faults(interpret(text, tmp_path), wanted, holes, unit) == []
    assert_same_moves(text, tmp_path)
