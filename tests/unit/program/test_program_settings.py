"""How a program is to be written, and what no control and no shop can want."""

from __future__ import annotations

import pytest

from holewright.errors import InputError
from holewright.planning.plan import Operation, OperationKind
from holewright.program.blocks import joined, safe_start
from holewright.program.cycles import cycle_of, entry_length
from holewright.program.settings import (
    BoreOut,
    CommentForm,
    EndWord,
    FeedMode,
    LineNumbers,
    Numbers,
    PeckCycle,
    ProgramSettings,
)
from holewright.program.subprograms import with_subprograms
from holewright.units import Unit


@pytest.mark.parametrize(
    ("how", "said"),
    [
        ({"work_offset": "G53"}, "work_offset = G53: must be one of G54 to G59"),
        ({"cycles": ("G84",)}, "cycles = G84: must be among G73"),
        ({"program_number": 0}, "program_number = 0: must be from 1 to 9999"),
        ({"entry_feed": 1.2}, "entry_feed = 1.2: must be from 0.1 to 1"),
        ({"entry_depth": 0.0}, "entry_depth = 0.0: must be more than 0"),
        ({"chip_stop_every": -1}, "chip_stop_every = -1: must be 0 or more"),
        ({"gauge_every": -1}, "gauge_every = -1: must be 0 or more"),
    ],
)
def test_what_cannot_be_wanted_is_refused_by_its_name(how, said):
    with pytest.raises(InputError, match=said):
        ProgramSettings(**how)


def test_numbers_are_shortened_in_blocks_and_never_lose_their_point():
    blocks = ["(- DIA 8.000, F 0.100)", "G1 X8.000 Y-0.500 Z0.000 F120.50 S800"]
    short = ProgramSettings(numbers=Numbers.SHORT, line_numbers=LineNumbers.NONE)
    assert joined(blocks, short).splitlines() == [
        "(- DIA 8.000, F 0.100)",
        "G1 X8. Y-0.5 Z0. F120.5 S800",
    ]


def test_comments_take_the_form_that_the_control_knows():
    how = ProgramSettings(comments=CommentForm.SEMICOLON)
    assert joined(["(- PLATE)", "M30"], how) == "; - PLATE\nN10 M30\n"


def test_line_numbers_stand_behind_a_block_skip():
    assert joined(["M0", "/M1"], ProgramSettings()) == "N10 M0\n/N20 M1\n"
    assert joined(["M0", "/M1"], ProgramSettings(line_numbers=LineNumbers.NONE)) == "M0\n/M1\n"


def test_the_start_names_offset_and_feed_mode():
    how = ProgramSettings(work_offset="G57", feed_mode=FeedMode.PER_REVOLUTION)
    assert safe_start(Unit.MM, how).split()[-2:] == ["G95", "G57"]


DRILL = Operation(OperationKind.DRILL, "d", 8.0, n=800, f=0.1, tip_depth=20.0)
BORE = Operation(OperationKind.BORE, "b", 8.0, n=800, f=0.1, tip_depth=20.0, feed_out=1.0)
REAM = Operation(OperationKind.REAM, "r", 8.0, n=800, f=0.1, tip_depth=20.0, feed_out=1.0)


@pytest.mark.parametrize(
    ("operation", "how", "cycle"),
    [
        (DRILL, {}, "G81"),
        (DRILL, {"cycles": ("G85",)}, ""),
        (BORE, {}, "G85"),
        (BORE, {"bore_out": BoreOut.STOPPED}, "G86"),
        (REAM, {"bore_out": BoreOut.STOPPED}, "G85"),  # a reamer is never drawn out standing
        (REAM, {"entry_feed": 0.5}, ""),
    ],
)
def test_the_way_out_and_the_settings_decide_the_cycle(operation, how, cycle):
    assert cycle_of(operation, ProgramSettings(**how)) == cycle


def test_a_pecking_drill_breaks_or_clears_its_chips():
    pecking = Operation(OperationKind.DRILL, "d", 8.0, n=800, f=0.1, tip_depth=20.0, peck=4.0)
    assert cycle_of(pecking, ProgramSettings()) == "G83"
    assert cycle_of(pecking, ProgramSettings(peck_cycle=PeckCycle.BREAK)) == "G73"


def test_the_slow_entry_is_for_reamers_and_ends_at_half_the_depth():
    slow = ProgramSettings(entry_feed=0.5, entry_depth=0.75)
    assert entry_length(REAM, slow) == 6.0
    assert entry_length(REAM, ProgramSettings(entry_feed=0.5, entry_depth=3.0)) == 10.0
    assert entry_length(DRILL, slow) == 0.0
    assert entry_length(REAM, ProgramSettings()) == 0.0


def test_places_that_come_twice_go_into_a_subprogram_behind_the_end():
    places = ("X1.", "X2.")
    how = ProgramSettings(subprograms=True, end=EndWord.END)
    blocks = ["G98 G81 X0.", places, "G80", "G98 G85 X0.", places, ("X5.", "X6."), "G80"]
    assert with_subprograms(blocks, how) == [
        "G98 G81 X0.",
        "M98 P8001",
        "G80",
        "G98 G85 X0.",
        "M98 P8001",
        "X5.",
        "X6.",
        "G80",
        "M2",
        "O8001",
        "X1.",
        "X2.",
        "M99",
    ]
    assert "M98 P8001" not in with_subprograms(blocks, ProgramSettings())
