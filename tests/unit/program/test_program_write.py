"""The program of a route."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from holewright.errors import InputError
from holewright.planning.plan import Operation, OperationKind, Route
from holewright.program.backplot import read_back
from holewright.program.cautions import CAUTIONS, HOLD
from holewright.program.planes import Planes, usual_planes
from holewright.program.write import write_program
from holewright.shop.coolant import Coolant, Fluid
from holewright.shop.machine import Machine
from holewright.uncertainty import Known, Tag
from holewright.units import Unit

MACHINE = Machine(
    id="VMC 1",
    n_min=50,
    n_max=12000,
    power=15000,
    thrust=5000,
    rapid=20000,
    feed_max=8000,
    tool_change_s=4,
    rate=60,
    spindle_tir=Known(0.003, Tag.DEFAULT),
)
DRILL = Operation(OperationKind.DRILL, "drill 7.8", 7.8, n=3000, f=0.15, tip_depth=26.0)
REAM = Operation(OperationKind.REAM, "reamer 8", 8.0, n=480, f=0.3, tip_depth=24.0, feed_out=1.0)
WASH = Operation(OperationKind.WASH, "", 8.0, by_hand=True, text="Blow the chips out.")
CORNERS = ((0.0, 0.0), (60.0, 0.0), (60.0, 44.0), (0.0, 44.0))


def write(*operations, positions=CORNERS, machine=MACHINE, unit=Unit.MM, **more):
    route = Route("drill and ream", operations or (DRILL, REAM), 1.0, (), 30.0, 0.0)
    given = {"name": "Carriage plate", "callout_text": "8 H7 x 22 through"} | more
    return write_program(route, positions, machine, unit=unit, **given)


def codes(text: str) -> list[str]:
    """Return the blocks without numbers and comments."""
    bare = (re.sub(r"\(.*?\)|^N\d+ ", "", line).strip() for line in text.splitlines())
    return [line for line in bare if line]


def test_drill_and_ream_in_one_hole_read_like_this():
    assert codes(write(positions=((10.0, 5.0),)).text) == [
        "%",
        "G21 G90 G17 G40 G80 G94 G54",
        "T1 M6",
        "S3000 M3",
        "G0 X10.000 Y5.000",
        "G43 H1 Z25.000",
        "M8",
        "G98 G81 X10.000 Y5.000 Z-26.000 R2.000 F450.0",
        "G80",
        "G0 Z100.000",
        "M9",
        "M5",
        "T2 M6",
        "S480 M3",
        "G0 X10.000 Y5.000",
        "G43 H2 Z25.000",
        "M8",
        "G98 G85 X10.000 Y5.000 Z-24.000 R2.000 F144.0",
        "G80",
        "G0 Z100.000",
        "M9",
        "M5",
        "M30",
        "%",
    ]


@pytest.mark.parametrize(
    ("change", "cycle"),
    [
        ({}, "G98 G81"),
        ({"dwell_s": 0.2}, "G98 G82"),
        ({"peck": 8.0}, "G98 G83"),
        ({"feed_out": 1.0}, "G98 G85"),
        ({"feed_out": 1.0, "dwell_s": 0.2}, "G99 G89"),
    ],
)
def test_how_the_hole_is_left_decides_the_cycle(change, cycle):
    assert any(line.startswith(cycle) for line in codes(write(replace(DRILL, **change)).text))


def test_a_reamer_fed_out_faster_is_written_long_hand():
    blocks = codes(write(replace(REAM, feed_out=2.0), positions=((0.0, 0.0),)).text)
    at = blocks.index("G1 Z-24.000 F144.0")
    assert blocks[at - 1 : at + 3] == [
        "G0 Z2.000",
        "G1 Z-24.000 F144.0",
        "G1 Z2.000 F288.0",
        "G0 Z25.000",
    ]


def test_what_is_done_by_hand_is_a_stop_that_says_so():
    text = write(DRILL, WASH, REAM).text
    assert re.search(r"\(- BY HAND: WASH\. BLOW THE CHIPS OUT\.\)\nN\d+ M0\n", text)
    assert [section.tool for section in read_back(text)] == [1, 2]


def test_one_tool_used_twice_keeps_its_pocket():
    chamfer = replace(DRILL, kind=OperationKind.CHAMFER, tool="spot 90", tip_depth=4.3)
    spot = replace(chamfer, kind=OperationKind.SPOT, tip_depth=3.0)
    assert [s.tool for s in read_back(write(spot, DRILL, chamfer, REAM).text)] == [1, 2, 1, 3]


def test_a_tool_that_needs_no_coolant_or_mist_gets_none_or_mist():
    assert "M8" in codes(write().text)
    dry = codes(write(coolant=Coolant(Fluid.DRY)).text)
    assert not {"M7", "M8", "M9"} & set(dry)
    assert "M7" in codes(write(coolant=Coolant(Fluid.MQL)).text)


def test_through_coolant_asks_for_the_machines_own_word():
    text = write(coolant=Coolant(Fluid.SOLUBLE, through=True, pressure=40.0)).text
    assert "COOLANT THROUGH THE TOOL AT 40 BAR" in text


def test_the_header_carries_job_callout_tools_notes_and_every_caution():
    program = write(notes=("Invented example.",), cautions=("Thin wall: clamp lightly.",))
    comments = " ".join(re.findall(r"\(- (.*?)\)", program.text))
    assert "JOB: CARRIAGE PLATE" in comments
    assert "CALLOUT: 8 H7 X 22 THROUGH" in comments
    assert "INVENTED EXAMPLE." in comments
    assert "T2 REAM, REAMER 8, DIA 8.000, N 480, F 0.300/REV, 144.0/MIN, TO Z-24.000" in comments
    assert program.cautions == (*CAUTIONS, "Thin wall: clamp lightly.")
    for caution in program.cautions:
        assert caution.upper() in comments


def test_a_job_on_hold_says_so_and_stops_before_it_moves():
    program = write(hold=True)
    assert program.cautions[0] == HOLD
    assert "ON HOLD" in program.text
    assert codes(program.text)[1:3] == ["G21 G90 G17 G40 G80 G94 G54", "M0"]
    assert codes(program.text).count("M0") == 1 + 2 * (len(CORNERS) - 1)
    assert "M0" not in codes(write().text)


def test_time_is_that_of_the_moves_and_longer_than_lengths_over_speeds():
    program = write(replace(DRILL, dwell_s=0.5), positions=((10.0, 0.0), (40.0, 0.0)))
    (drilling,) = program.times
    # Rapid at 20,000 mm/min, feed at 3000 x 0.15 = 450 mm/min. Where the tool comes from is
    # not known. Two holes: 25 to 2 down, 2 to -26 at feed, 0.5 s, -26 to 25 up; 30 mm across;
    # 25 to 100 at the end.
    rapid = 2 * (23 + 51) + 30 + 75
    naive = 60 * rapid / 20000 + 60 * (2 * 28) / 450 + 2 * 0.5
    assert drilling.naive_s == pytest.approx(naive + 4)
    assert dict(program.seconds)["T1 drill"] == drilling.cutting_s > naive
    assert dict(program.seconds)["tool changes"] == 4


def test_inch_heights_are_round_in_inches():
    text = write(unit=Unit.INCH).text
    assert "R0.1000" in text
    assert "Z1.0000" in text
    assert "Z4.0000" in text


def test_other_heights_are_taken():
    text = write(planes=Planes(3.0, 40.0, 150.0)).text
    assert "R3.000" in text
    assert "G43 H1 Z40.000" in text


@pytest.mark.parametrize("heights", [(0.0, 25.0, 100.0), (2.0, 1.0, 100.0), (2.0, 25.0, 20.0)])
def test_heights_that_would_drag_the_tool_through_the_part_are_refused(heights):
    with pytest.raises(InputError):
        Planes(*heights)


def test_usual_heights():
    assert usual_planes(Unit.MM) == Planes(2.0, 25.0, 100.0)


@pytest.mark.parametrize(
    ("operation", "said"),
    [
        (replace(DRILL, n=12001), "n of drill with drill 7.8 = 12001 1/min: must be from 50 to 12"),
        (replace(DRILL, n=40), "n of drill"),
        (replace(DRILL, n=float("nan")), "n of drill"),
        (replace(DRILL, f=0.0), "f of drill"),
        (replace(DRILL, n=10000, f=0.9), "feed speed of drill"),
        (replace(REAM, feed_out=60.0), "feed speed out of ream"),
        (replace(REAM, feed_out=-1.0), "feed speed out of ream"),
        (replace(DRILL, tip_depth=0.0), "tip depth of drill"),
        (replace(DRILL, tip_depth=-5.0), "tip depth of drill"),
        (replace(DRILL, peck=-5.0), "peck of drill"),
        (replace(DRILL, dwell_s=-1.0), "dwell of drill"),
        (replace(DRILL, peck=5.0, dwell_s=0.5), "dwell of drill"),
        (replace(REAM, peck=5.0), "feed out of ream"),
        (WASH, "route = drill and ream: must have an operation for the machine"),
    ],
)
def test_what_cannot_be_written_or_is_beyond_the_machine_is_refused(operation, said):
    with pytest.raises(InputError, match=re.escape(said)):
        write(operation)


def test_no_hole_and_one_hole_twice_are_refused():
    with pytest.raises(InputError, match="hole positions = none: must be at least one"):
        write(positions=())
    with pytest.raises(InputError, match=r"hole positions 2 and 3 = 3\.900 mm apart: must be 4\."):
        write(positions=((0.0, 0.0), (20.0, 0.0), (23.9, 0.0)))
    assert write(positions=((0.0, 0.0), (20.0, 0.0), (24.1, 0.0))).holes


def test_the_holes_come_in_the_order_they_are_made():
    program = write(positions=((30.0, 0.0), (10.0, 0.0), (20.0, 0.0)))
    assert program.holes == ((10.0, 0.0), (20.0, 0.0), (30.0, 0.0))
    for section in read_back(program.text):
        assert tuple((hole.x, hole.y) for hole in section.holes) == program.holes
