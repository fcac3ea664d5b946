"""Runs programs in `rs274`, and says in what the machine would not do what was asked.

`rs274` comes with Debian's package linuxcnc-uspace and grew out of the NIST interpreter:
T. R. Kramer, F. M. Proctor, E. Messina, "The NIST RS274NGC Interpreter, Version 3",
NISTIR 6556, 2000 (from memory). It prints the moves that a machine would make. They are
held against the features that were asked for: routes and places. Neither our reader nor the
steps that the writer made of them are used here.
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import groupby, pairwise
from pathlib import Path

import numpy as np
import pytest
from scipy.spatial import cKDTree

from holewright.planning.plan import Operation, OperationKind
from holewright.program.fixture import OPEN, Fixture
from holewright.program.moves import MoveKind, Section
from holewright.program.planes import Planes, usual_planes
from holewright.program.program import Feature
from holewright.program.settings import (
    USUAL,
    BoreOut,
    DwellUnit,
    FeedMode,
    ProgramSettings,
    Travel,
)
from holewright.shop.coolant import Fluid
from holewright.shop.machine import Machine
from holewright.uncertainty import Known, Tag
from holewright.units import Unit

needs_rs274 = pytest.mark.skipif(
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
TOOLS = 9
LENGTHS_IN = {number: 1.0 + number for number in range(1, TOOLS + 1)}
HALF_PLACE = {Unit.MM: 0.000501, Unit.INCH: 0.0000501 * 25.4}
CANON_LINE = re.compile(r"^\s*\d+\s+N(?:\.{5}|\d+)\s*([A-Z][A-Z_0-9]*)\((.*)\)\s*$")
XY = tuple[float, float]


@dataclass(frozen=True)
class Step:
    """One thing the interpreter would have the machine do, in mm, with the state then."""

    kind: str  # rapid, feed, dwell, change, stop, end
    xyz: tuple[float, float, float]
    feed: float = 0.0
    seconds: float = 0.0
    tool: int = 0
    n: float = 0.0
    offset: float = 0.0
    coolant: str = ""
    work_offset: int = 54
    per_turn: bool = False


def interpret(text: str, folder: Path, *, skip: bool = False) -> list[Step]:
    """Run a program in rs274 and return what the machine would do."""
    table = "".join(f"T{t} P{t} Z{z} D0.3\n" for t, z in LENGTHS_IN.items())
    (folder / "tool.tbl").write_text(table)
    (folder / "p.ngc").write_text(text)
    # A fresh parameter file: offsets of an earlier run must not live on in it.
    variables = folder / "rs274.var"
    variables.unlink(missing_ok=True)
    run = subprocess.run(
        ["rs274", *["-b"][: int(skip)], "-t", "tool.tbl", "-v", str(variables), "-g", "p.ngc"],
        cwd=folder,
        capture_output=True,
        text=True,
        check=False,
        timeout=60,
        # It maps ~/.tool.mmap: two runs with one home would pull it from under each other.
        env={**os.environ, "HOME": str(folder)},
    )
    assert run.returncode == 0, (run.returncode, run.stderr, run.stdout[-400:])
    return canon(run.stdout)


def canon(output: str) -> list[Step]:
    """Return the steps that the interpreter printed."""
    steps: list[Step] = []
    scale, speed, rate = 1.0, 0.0, 0.0
    now = Step("", (0.0, 0.0, 0.0))
    for line in output.splitlines():
        match = CANON_LINE.match(line)
        if match is None:
            continue
        name, inside = match.groups()
        kind, seconds = "", 0.0
        if name == "USE_LENGTH_UNITS":
            scale = {"CANON_UNITS_MM": 1.0, "CANON_UNITS_INCHES": 25.4}[inside]
        elif name == "SET_G5X_OFFSET":
            now = replace(now, work_offset=53 + int(inside.split(",")[0]))
        elif name == "USE_TOOL_LENGTH_OFFSET":
            now = replace(now, offset=float(inside.split(",")[0].split()[2]) * scale)
        elif name == "SET_SPINDLE_SPEED":
            speed = float(inside.split(",")[1])
        elif name == "START_SPINDLE_CLOCKWISE":
            now = replace(now, n=speed)
        elif name == "STOP_SPINDLE_TURNING":
            now = replace(now, n=0.0)
        elif name == "SET_FEED_MODE":
            now = replace(now, per_turn=inside.split(",")[1].strip() == "1")
        elif name == "SET_FEED_RATE":
            rate = float(inside) * scale
        elif name in ("FLOOD_ON", "MIST_ON"):
            now = replace(now, coolant=name)
        elif name in ("FLOOD_OFF", "MIST_OFF"):
            now = replace(now, coolant="")
        elif name == "CHANGE_TOOL":
            now, kind = replace(now, tool=int(inside)), "change"
        elif name in ("STRAIGHT_TRAVERSE", "STRAIGHT_FEED"):
            x, y, z = (float(number) * scale for number in inside.split(",")[:3])
            now = replace(now, xyz=(x, y, z))
            kind = "rapid" if name == "STRAIGHT_TRAVERSE" else "feed"
        elif name == "DWELL":
            kind, seconds = "dwell", float(inside)
        elif name in ("PROGRAM_STOP", "OPTIONAL_PROGRAM_STOP", "PROGRAM_END"):
            kind = "end" if name == "PROGRAM_END" else "stop"
        if kind:
            feed = rate * speed if now.per_turn else rate
            steps.append(replace(now, kind=kind, seconds=seconds, feed=feed))
    return steps


@dataclass(frozen=True)
class Asked:
    """What a program is held against."""

    features: Sequence[Feature]
    unit: Unit
    settings: ProgramSettings = USUAL
    planes: Planes | None = None
    fixture: Fixture = OPEN

    @property
    def heights(self) -> Planes:
        return self.planes or self.settings.planes or usual_planes(self.unit)

    @property
    def between(self) -> float:
        low = self.settings.travel is Travel.RETRACT
        return self.heights.retract if low else self.heights.initial

    @property
    def half_place(self) -> float:
        return HALF_PLACE[self.unit]

    def numbers(self) -> dict[str, int]:
        """T words: tools are numbered as the routes first name them."""
        names = (op.tool for f in self.features for op in f.route.operations if not op.by_hand)
        return {name: i for i, name in enumerate(dict.fromkeys(names), start=1)}


def faults(steps: list[Step], asked: Asked) -> list[str]:
    """Return everything in which the machine would not do what was asked."""
    found = [*_ways(steps, asked)]
    numbers = asked.numbers()
    visits: dict[XY, list[list[Step]]] = {}
    for visit in _visits(steps):
        visits.setdefault(visit[0].xyz[:2], []).append(visit)
    places = [(place, feature) for feature in asked.features for place in feature.positions]
    nearest = cKDTree([place for place, _ in places]).query(list(visits), p=np.inf)
    for (xy, made), away, which in zip(visits.items(), *nearest, strict=True):
        if away > asked.half_place:
            found.append(f"a hole at {xy} that nobody asked for: it is {away} off")
            continue
        feature = places[which][1]
        operations = [op for op in feature.route.operations if not op.by_hand]
        if len(made) != len(operations):
            found.append(f"{len(made)} tools at {xy} for {len(operations)} operations")
            continue
        opened: list[tuple[float, float]] = []
        for operation, visit in zip(operations, made, strict=True):
            number = numbers[operation.tool]
            say = f"T{number} {operation.kind} at {xy}:"
            found += [
                f"{say} {fault}" for fault in _faults_of_visit(visit, operation, asked, opened)
            ]
            if any(step.tool != number for step in visit):
                found.append(f"{say} made by T{visit[0].tool}")
            if any(step.coolant != _coolant_of(feature) for step in visit if step.kind == "feed"):
                found.append(f"{say} cuts with coolant {visit[1].coolant!r}")
            opened.append((operation.tip_depth, operation.diameter))
    if len(visits) != len(places):
        found.append(f"{len(visits)} holes made of {len(places)}")
    return found


def _coolant_of(feature: Feature) -> str:
    if feature.coolant is None:
        return "FLOOD_ON"
    return {Fluid.DRY: "", Fluid.MQL: "MIST_ON"}.get(feature.coolant.fluid, "FLOOD_ON")


def _visits(steps: list[Step]) -> list[list[Step]]:
    """Return each time a tool comes down into a place and cuts, until it is up again.

    Up is above the height from which it first fed in: pecks don't rise above it.
    """
    visits = []
    for _, at in groupby(pairwise(steps), key=lambda pair: pair[1].xyz[:2]):
        visit: list[Step] = []
        entry = -np.inf
        for before, step in at:
            if step.kind == "feed" and entry == -np.inf:
                entry = before.xyz[2]
            if not visit and step.kind == "feed" and step.xyz[2] < 0:
                visit = [before, step]
            elif visit:
                visit.append(step)
            if step.xyz[2] > entry + 1e-6 or step.kind in ("change", "stop"):
                visits += [visit] if visit else []
                visit, entry = [], -np.inf
        if visit:
            visits.append(visit)
    return visits


def _faults_of_visit(
    visit: list[Step], op: Operation, asked: Asked, opened: list[tuple[float, float]]
):
    """Yield what is wrong with one operation in one hole."""
    settings, half_place = asked.settings, asked.half_place
    stopped = op.kind is OperationKind.BORE and settings.bore_out is BoreOut.STOPPED
    slow = settings.entry_feed if op.kind is OperationKind.REAM else 1.0
    entry = min(settings.entry_depth * op.diameter, op.tip_depth / 2) if slow < 1 else 0.0
    # How far a tool of this diameter may go at rapid: what one at least as large has drilled.
    deepest = max((depth for depth, width in opened if width >= op.diameter), default=0.0)
    dwelt = 0.0
    lowest = min(step.xyz[2] for step in visit)
    if abs(lowest + op.tip_depth) > half_place:
        yield f"bottom {lowest}"
    if -visit[0].xyz[2] > deepest + 1e-6:
        yield f"rapid into the material to {visit[0].xyz}"
    for before, step in pairwise(visit):
        down = step.xyz[2] < before.xyz[2]
        if step.kind == "rapid" and down and -step.xyz[2] > deepest + 1e-6:
            yield f"rapid into the material to {step.xyz}"
        if step.kind == "rapid" and not down and before.xyz[2] < 0 and before.xyz[2] == lowest:
            if op.feed_out and not stopped:
                yield "is drawn out at rapid"
            if stopped and step.n:
                yield "is drawn out turning"
        if step.kind == "feed":
            if abs(step.n - op.n) > 0.5:
                yield f"cuts at n {step.n}"
            if abs(step.offset - LENGTHS_IN[step.tool] * 25.4) > 0.001:
                yield f"cuts with length offset {step.offset}"
            share = (slow if -step.xyz[2] <= entry + half_place else 1.0) if down else op.feed_out
            wanted = op.v_f * share
            if abs(step.feed - wanted) > _feed_slack(wanted, op, asked):
                yield f"feeds at {step.feed}, {'in' if down else 'out'}"
            deepest = max(deepest, -step.xyz[2])
        if step.kind == "dwell":
            dwelt += step.seconds / (1000 if settings.dwell_unit is DwellUnit.MILLISECONDS else 1)
    if abs(dwelt - op.dwell_s) > 0.00051:
        yield f"dwells {dwelt} s"


def _feed_slack(wanted: float, op: Operation, asked: Asked) -> float:
    """Four digits that count are written; the interpreter prints four places."""
    slack = 0.00051 * wanted + asked.half_place
    if asked.settings.feed_mode is FeedMode.PER_REVOLUTION:
        printed = 0.0000501 * (25.4 if asked.unit is Unit.INCH else 1.0)
        slack += (op.n + 1) * printed + 0.5 * op.f  # and n is written whole
    return slack


def _ways(steps: list[Step], asked: Asked):
    """Yield what is wrong on the way from hole to hole, and at stops."""
    fits = asked.half_place
    radius = max(op.diameter / 2 for f in asked.features for op in f.route.operations)
    for before, step in pairwise(steps):
        low = min(before.xyz[2], step.xyz[2])
        if step.kind == "change" and step.offset and step.xyz[2] < asked.heights.safe - fits:
            yield f"changes the tool at Z{step.xyz[2]}"
        if step.kind in ("stop", "end"):
            if step.n or step.coolant:
                yield "stops with the spindle turning or coolant on"
            if step.offset and step.kind == "stop" and step.xyz[2] < asked.heights.safe - fits:
                yield f"stops at Z{step.xyz[2]}"
        if step.kind in ("rapid", "feed") and step.work_offset != int(
            asked.settings.work_offset[1:]
        ):
            yield f"moves under G{step.work_offset}"
        if before.xyz[:2] == step.xyz[:2]:
            continue
        if step.kind == "feed":
            yield f"feeds sideways to {step.xyz}"
        if step.kind == "rapid" and step.offset:
            if low < asked.between - fits:
                yield f"rapid across the part at {step.xyz}"
            for box in asked.fixture.keep_outs:
                xs, ys = (sorted(ends) for ends in zip(before.xyz[:2], step.xyz[:2], strict=True))
                beside = (
                    xs[1] + radius <= box.x_min
                    or xs[0] - radius >= box.x_max
                    or ys[1] + radius <= box.y_min
                    or ys[0] - radius >= box.y_max
                )
                if not beside and low < box.top:
                    yield f"rapid through {box.name} at {step.xyz}"


def holes_in_order(steps: list[Step]) -> dict[int, list[XY]]:
    """Return the places in the order in which each tool first cuts them."""
    order: dict[int, list[XY]] = {}
    for visit in _visits(steps):
        order.setdefault(visit[0].tool, []).append(visit[0].xyz[:2])
    return order


def assert_our_reader_agrees(ours: Sequence[Section], theirs: list[Step], asked: Asked) -> None:
    """Our reader makes the moves that the interpreter makes, end by end."""
    milli = 1000 if asked.settings.dwell_unit is DwellUnit.MILLISECONDS else 1
    parts: list[list[Step]] = []
    for step in theirs:
        if step.kind == "change":
            parts.append([])
        if parts and step.kind != "end":
            parts[-1].append(step)
    assert [section.tool for section in ours] == [part[0].tool for part in parts]
    for section, part in zip(ours, parts, strict=True):
        moved = [
            step
            for before, step in pairwise(part)
            if step.kind in ("dwell", "stop") or step.xyz != before.xyz
        ]
        # The interpreter starts at 0 0 0, our reader doesn't know where: drop the first move.
        mine = [move for move in section.moves if not any(a != a for a in move.start)]
        moved = moved[len(moved) - len(mine) :]
        assert [str(move.kind) for move in mine] == [step.kind for step in moved]
        assert section.work_offset == part[-1].work_offset
        for move, step in zip(mine, moved, strict=True):
            assert move.end == pytest.approx(step.xyz, abs=1e-4 * 25.4)
            assert move.n == step.n
            assert move.coolant == bool(step.coolant)
            assert move.seconds == pytest.approx(step.seconds / milli)
            if move.kind is MoveKind.FEED:
                slack = 1e-4 * 25.4 * (step.n if step.per_turn else 1)
                assert move.feed == pytest.approx(step.feed, abs=slack)
