"""What a job file says of its program and of how the part is held."""

from __future__ import annotations

import dataclasses

import pytest

from holewright.errors import InputError
from holewright.jobs.jobfile import read_job
from holewright.jobs.program_rows import PROGRAM_KEYS
from holewright.program.fixture import Fixture, KeepOut
from holewright.program.planes import Planes
from holewright.program.settings import (
    CYCLES,
    USUAL,
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

LEAST = '[hole]\ncallout = "{}"\n\n[material]\nname = "C45"\n'
METRIC, INCH = LEAST.format("8 H7 x 22 through"), LEAST.format(".3125 +.0005/-0 x .7 through")


def job(tmp_path, text: str, *, inch: bool = False):
    path = tmp_path / "plate.toml"
    path.write_text((INCH if inch else METRIC) + text, "utf-8")
    return read_job(path)


EVERYTHING = """
[program]
work_offset = "g57"
feed_mode = "per revolution"
numbers = "short"
comments = "semicolon"
cycles = "G81 G82 G83"
cycle_retract = "G99"
peck_cycle = "G73"
bore_out = "stopped"
dwell_unit = "ms"
end = "M2"
program_number = 1042
tape_sign = false
line_numbers = "none"
stop = "M1"
block_skip = true
chip_stop_every = 20
gauge_every = 5
break_check = true
subprograms = true
entry_feed = 0.5
entry_depth = 0.75
order = "there and back"
travel = "retract"
retract = 3
initial = 40
safe = "150 mm"
"""


def test_every_setting_can_be_said(tmp_path):
    assert job(tmp_path, EVERYTHING).program == ProgramSettings(
        work_offset="G57",
        feed_mode=FeedMode.PER_REVOLUTION,
        numbers=Numbers.SHORT,
        comments=CommentForm.SEMICOLON,
        cycles=("G81", "G82", "G83"),
        cycle_retract=CycleRetract.RETRACT,
        peck_cycle=PeckCycle.BREAK,
        bore_out=BoreOut.STOPPED,
        dwell_unit=DwellUnit.MILLISECONDS,
        end=EndWord.END,
        program_number=1042,
        tape_sign=False,
        line_numbers=LineNumbers.NONE,
        stop=StopWord.OPTIONAL,
        block_skip=True,
        chip_stop_every=20,
        gauge_every=5,
        break_check=True,
        subprograms=True,
        entry_feed=0.5,
        entry_depth=0.75,
        order=HoleOrder.THERE_AND_BACK,
        travel=Travel.RETRACT,
        planes=Planes(3.0, 40.0, 150.0),
    )


def test_no_setting_is_forgotten():
    names = {field.name for field in dataclasses.fields(ProgramSettings)} - {"planes"}
    assert set(PROGRAM_KEYS) == names | {"retract", "initial", "safe"}


def test_without_the_table_everything_is_as_usual(tmp_path):
    found = job(tmp_path, "")
    assert found.program == USUAL
    assert found.fixture == Fixture()
    assert found.on_hold == ""
    assert USUAL.cycles == CYCLES


def test_a_height_left_out_is_the_usual_one_in_the_unit_of_the_program(tmp_path):
    assert job(tmp_path, "[program]\nretract = 1\n").program.planes == Planes(1.0, 25.0, 100.0)
    planes = job(tmp_path, "[program]\nretract = 0.05\n", inch=True).program.planes
    assert planes == Planes(1.27, 25.4, 101.6)
    # One that was raised takes the higher ones along.
    assert job(tmp_path, "[program]\ninitial = 120\n").program.planes == Planes(2, 120, 120)


def test_clamps_and_floor_in_the_unit_of_the_print(tmp_path):
    text = """
[fixture]
floor = "1.25"

[[fixture.keep_out]]
name = "strap clamp"
x = [-1, -0.5]
y = [0, 2]
top = ".75"

[[fixture.keep_out]]
x = [3, 4]
y = ["0 mm", "50.8 mm"]
top = -0.5
"""
    assert job(tmp_path, text, inch=True).fixture == Fixture(
        (
            KeepOut("strap clamp", -25.4, -12.7, 0.0, 50.8, 19.05),
            KeepOut("keep-out 2", 76.2, 101.6, 0.0, 50.8, -12.7),
        ),
        31.75,
    )


@pytest.mark.parametrize(
    ("text", "field", "said", "line"),
    [
        ('[program]\nwork_offset = "G53"', "work_offset", "G54 to G59", 7),
        ('[program]\nfeed_mode = "G93"', "feed_mode", "must be one of: G94, G95", 7),
        ('[program]\ncycles = ["G84"]', "cycles", "must be among G73", 7),
        ("[program]\nspindle = 3", "key", "is not known in [program]", 7),
        ("[program]\ngauge_every = 2.5", "gauge_every", "whole number, 0 or more", 7),
        ("[program]\nprogram_number = 12345", "program_number", "from 1 to 9999", 7),
        ("[program]\nentry_feed = 2", "entry_feed", "from 0.1 to 1", 7),
        ("[program]\ninitial = 1", "initial", "retract (2.0 mm) or more", 7),
        ("[fixture]\nclamps = 3", "key", "is not known in [fixture]", 7),
        ("[fixture]\nkeep_out = 3", "keep_out", "[[fixture.keep_out]]", 7),
        ("[fixture]\nfloor = 0", "floor", "more than 0", 7),
        ("[[fixture.keep_out]]\nx = [0, 5]\ny = [0, 5]", "top", 'such as top = "18 mm"', 6),
        ("[[fixture.keep_out]]\nx = [5, 0]\ny = [0, 5]\ntop = 3", "keep-out", "first side", 7),
        ("[[fixture.keep_out]]\nx = 5\ny = [0, 5]\ntop = 3", "x", "two sides", 7),
        ('[[fixture.keep_out]]\nx = [0, 5]\ny = [0, "wide"]\ntop = 3', "y", "number", 8),
    ],
)
def test_a_mistake_is_named_with_its_line(tmp_path, text, field, said, line):
    with pytest.raises(InputError) as caught:
        job(tmp_path, text + "\n")
    assert caught.value.field == field
    assert said in str(caught.value)
    assert caught.value.where.line == line


def test_a_hold_says_why(tmp_path):
    path = tmp_path / "held.toml"
    path.write_text('[job]\non_hold = "pin 8.015 is lost"\n' + METRIC, "utf-8")
    assert read_job(path).on_hold == "pin 8.015 is lost"


def test_a_machine_says_how_fast_it_gets_up_to_speed(tmp_path):
    (tmp_path / "shop.toml").write_text(
        """
[shop]
name = "invented"
unit = "mm"

[[machine]]
id = "mill"
n_max = 12000
power = "15 kW"
acceleration_m_s2 = 5
jerk_m_s3 = 100
spindle_run_up_s = 1.5
rapid_overlap = 0.5

[[holder]]
id = "H"
kind = "hydraulic"
BD = 32
""",
        "utf-8",
    )
    path = tmp_path / "plate.toml"
    path.write_text(METRIC + '\n[shop]\nfile = "shop.toml"\n', "utf-8")
    found = read_job(path)
    machine = found.machine
    assert (machine.acceleration, machine.jerk) == (5000.0, 100_000.0)
    assert (machine.spindle_run_up_s, machine.rapid_overlap) == (1.5, 0.5)
    assert found.shop.holders[0].BD == 32.0
