"""What must hold of every program, whatever a person types and however the holes lie."""

from __future__ import annotations

import re
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from holewright.planning.plan import Operation, OperationKind, Route
from holewright.program.backplot import read_back
from holewright.program.blocks import comment
from holewright.program.moves import MoveKind
from holewright.program.order import hole_order, path_length
from holewright.program.write import write_program
from holewright.shop.machine import Machine
from holewright.uncertainty import Known, Tag
from holewright.units import Unit

MACHINE = Machine("m", 50, 12000, 15000, 5000, 20000, 10000, 4, 60, Known(0.003, Tag.DEFAULT))
CUT = Operation(OperationKind.DRILL, "d", 5.0, n=1000, f=0.1, tip_depth=10.0)
CLEAN = Operation(OperationKind.WASH, "", 5.0, by_hand=True, text="clean")
PLACES = st.lists(
    st.tuples(st.integers(-50, 50), st.integers(-50, 50)), min_size=1, max_size=40, unique=True
)
TYPED = st.text(max_size=200) | st.text(alphabet="()%;\n\rMG0139,- /#", max_size=60)


@given(PLACES, st.tuples(st.integers(-60, 60), st.integers(-60, 60)))
def test_each_hole_is_visited_once_and_the_way_is_no_longer_than_going_to_the_nearest(xy, start):
    order = hole_order(xy, start)
    assert sorted(order) == list(range(len(xy)))
    assert path_length(xy, order, start) <= nearest_first(xy, start) + 1e-6


def nearest_first(xy, start) -> float:
    left, here, way = [np.array(p, float) for p in xy], np.array(start, float), 0.0
    while left:
        steps = [float(np.hypot(*(p - here))) for p in left]
        i = int(np.argmin(steps))
        way += steps[i]
        here = left.pop(i)
    return way


@given(TYPED)
def test_nothing_typed_gets_out_of_a_comment(typed):
    for line in comment(typed):
        assert re.fullmatch(r"\(- [A-Z0-9 .,:+\-/=*']+\)", line)
        assert len(line) <= 80


@settings(max_examples=60)
@given(TYPED, TYPED, TYPED)
def test_what_a_person_types_never_changes_a_block(name, note, tool):
    cut, clean = replace(CUT, tool=tool), replace(CLEAN, text=note)
    plain = write((CUT, CLEAN), "job", "note")
    typed = write((cut, clean), name, note)
    assert typed.isascii()
    assert "\r" not in typed
    assert blocks(typed) == blocks(plain)


def write(operations, name: str, note: str) -> str:
    route = Route(name, operations, 0.0, (), 0.0, 0.0)
    return write_program(
        route,
        [(0.0, 0.0), (20.0, 0.0)],
        MACHINE,
        unit=Unit.MM,
        name=name,
        callout_text=note,
        notes=(note,),
        cautions=(name,),
    ).text


def blocks(text: str) -> list[str]:
    return [line for line in text.splitlines() if not line.startswith("(- ")]


@settings(max_examples=60)
@given(
    xy=PLACES,
    unit=st.sampled_from(Unit),
    depth=st.floats(0.3, 60),
    n=st.floats(60, 12000),
    f=st.floats(0.005, 0.5),
    way=st.sampled_from(
        [{}, {"peck": 4.0}, {"feed_out": 1.0}, {"feed_out": 1.5}, {"dwell_s": 0.3}]
    ),
)
def test_the_text_alone_tells_the_plan_again(xy, unit, depth, n, f, way):
    cut = replace(CUT, n=n, f=f, tip_depth=depth, **way)
    holes = [(10.0 * x, 10.0 * y) for x, y in xy]
    route = Route("r", (cut,), 0.0, (), 0.0, 0.0)
    program = write_program(route, holes, MACHINE, unit=unit, name="j", callout_text="c")
    (section,) = read_back(program.text)
    half_place = 0.000501 if unit is Unit.MM else 0.0000501 * 25.4

    assert len(section.holes) == len(holes)
    made = np.array([(hole.x, hole.y) for hole in section.holes])
    np.testing.assert_allclose(made, program.holes, atol=half_place)
    for hole in section.holes:
        assert hole.bottom == pytest.approx(-depth, abs=half_place)
        assert hole.feed_in == pytest.approx(cut.v_f, rel=0.00051)
        assert hole.feed_out == pytest.approx(cut.v_f * cut.feed_out, rel=0.00051)
        assert hole.n == pytest.approx(n, abs=0.5)
        assert hole.dwell_s == pytest.approx(cut.dwell_s, abs=0.0005)
    for move in section.moves:
        if move.kind is MoveKind.FEED:
            assert move.start[:2] == move.end[:2]
            assert move.length_offset == section.tool
