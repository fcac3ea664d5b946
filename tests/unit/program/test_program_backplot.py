"""The path read back from a program's text.

The programs here are typed by hand, so that the reader is checked apart from the writer.
"""

from __future__ import annotations

import pytest

from holewright.errors import InputError
from holewright.program.backplot import read_back
from holewright.program.control import PECK_CLEARANCE
from holewright.program.moves import MoveKind
from holewright.program.settings import DwellUnit

HEAD = "%\n(- BY HAND)\nN10 G21 G90 G17 G40 G80 G94 G54\nT3 M6\nS800 M3\nG0 X5. Y6.\nG43 H3 Z25.\n"


def read(cycle: str, tail: str = "G80\nM5\nM30\n%\n"):
    (section,) = read_back(HEAD + cycle + "\n" + tail)
    return section


def z_of(section) -> list[tuple[str, float]]:
    """What the cycle does along Z, the approach left out."""
    return [(str(move.kind), move.end[2]) for move in section.moves[2:]]


@pytest.mark.parametrize(
    ("cycle", "does"),
    [
        ("G98 G81 X5. Y6. Z-12.5 R2. F100.", [("rapid", 2), ("feed", -12.5), ("rapid", 25)]),
        ("G99 G81 X5. Y6. Z-12.5 R2. F100.", [("rapid", 2), ("feed", -12.5), ("rapid", 2)]),
        (
            "G98 G82 X5. Y6. Z-3. R2. P0.5 F100.",
            [("rapid", 2), ("feed", -3), ("dwell", -3), ("rapid", 25)],
        ),
        (
            "G98 G85 X5. Y6. Z-3. R2. F100.",
            [("rapid", 2), ("feed", -3), ("feed", 2), ("rapid", 25)],
        ),
        (
            "G99 G89 X5. Y6. Z-3. R2. P0.5 F100.",
            [("rapid", 2), ("feed", -3), ("dwell", -3), ("feed", 2)],
        ),
        (
            "G98 G83 X5. Y6. Z-9. R2. Q5. F100.",
            [
                ("rapid", 2),
                ("feed", -3),
                ("rapid", 2),
                ("rapid", -3 + PECK_CLEARANCE),
                ("feed", -8),
                ("rapid", 2),
                ("rapid", -8 + PECK_CLEARANCE),
                ("feed", -9),
                ("rapid", 25),
            ],
        ),
    ],
    ids=["G81 G98", "G81 G99", "G82", "G85", "G89", "G83"],
)
def test_a_cycle_makes_the_moves_that_its_word_stands_for(cycle, does):
    assert z_of(read(cycle)) == does


def test_a_cycle_stays_in_force_until_it_is_cancelled():
    section = read("G98 G81 X5. Y6. Z-12. R2. F100.\nX15.\nY26. Z-8.")
    assert [(h.x, h.y, h.bottom) for h in section.holes] == [
        (5, 6, -12),
        (15, 6, -12),
        (15, 26, -8),
    ]


def test_a_pecked_and_a_reamed_hole_say_how_they_were_made():
    (pecked,) = read("G98 G83 X5. Y6. Z-9. R2. Q5. F100.").holes
    assert (pecked.pecks, pecked.feed_in, pecked.feed_out, pecked.n) == (3, 100, 0, 800)
    (reamed,) = read("G99 G89 X5. Y6. Z-3. R2. P0.5 F80.").holes
    assert (reamed.pecks, reamed.feed_in, reamed.feed_out, reamed.dwell_s) == (1, 80, 80, 0.5)
    (by_hand,) = read("G0 Z2.\nG1 Z-4. F60.\nG4 P.2\nG1 Z2. F90.\nG0 Z25.").holes
    assert (by_hand.bottom, by_hand.feed_in, by_hand.feed_out, by_hand.dwell_s) == (-4, 60, 90, 0.2)


def test_inches_are_read_into_millimetres():
    (section,) = read_back("G20 G90\nT1 M6\nG0 X1. Y.5\nZ1.\nG98 G81 X1. Y.5 Z-.25 R.1 F10.\nM30")
    (hole,) = section.holes
    assert (hole.x, hole.y, hole.bottom, hole.feed_in) == (25.4, 12.7, -6.35, 254.0)


def test_what_stands_behind_the_end_is_not_read():
    assert len(read("G81 X5. Y6. Z-1. R2. F9.", "G80\nM30\nG2 X0.\n").holes) == 1
    assert len(read("G81 X5. Y6. Z-1. R2. F9.", "G80\n%\nG2 X0.\n").holes) == 1


def test_a_move_knows_spindle_length_offset_and_line():
    first, approach, *_, cut, out = read("G98 G81 X5. Y6. Z-1. R2. F90.").moves
    assert first.length_offset == 0
    assert approach.length_offset == 3
    assert (cut.kind, cut.n, cut.feed, cut.line) == (MoveKind.FEED, 800, 90, 8)
    assert (out.kind, out.feed) == (MoveKind.RAPID, 0)


@pytest.mark.parametrize(
    ("block", "said"),
    [
        ("G2 X1. Y1. R5.", "line 8: word = G2"),
        ("G91", "line 8: word = G91"),
        ("M98 P1", "line 8: M98 = P1: calls O1, which must be in the program"),
        ("G1 X1. A5. F10.", "line 8: word = A"),
        ("G1 X[1+2] F10.", "line 8: block"),
        ("(not closed", "line 8: block"),
        ("G98 G81 X5. Y6. R2. F10.", "line 8: Z = missing: must be given with G81"),
        ("G98 G83 X5. Y6. Z-2. R2. F10.", "line 8: Q = missing"),
        ("G98 G83 X5. Y6. Z-2. R2. Q0. F10.", "line 8: Q = 0.0: must be more than 0"),
        ("G98 G82 X5. Y6. Z-2. R2. F10.", "line 8: P = missing"),
        ("G1 Z-2.", "line 8: F = 0.0"),
        ("G80 X2.", "line 8: block"),
    ],
)
def test_what_it_does_not_understand_is_refused_by_its_line(block, said):
    with pytest.raises(InputError, match=said.replace("(", r"\(")):
        read(block)


def test_a_length_without_a_unit_and_a_move_without_a_tool_are_refused():
    with pytest.raises(InputError, match="G20 or G21"):
        read_back("T1 M6\nG0 X1.")
    with pytest.raises(InputError, match="before the first tool change"):
        read_back("G21\nG0 X1.")


def test_a_chip_break_draws_back_a_little_and_no_further():
    assert z_of(read("G98 G73 X5. Y6. Z-9. R2. Q6. F100.")) == [
        ("rapid", 2),
        ("feed", -4),
        ("rapid", -4 + PECK_CLEARANCE),
        ("feed", -9),
        ("rapid", 25),
    ]


def test_a_bored_hole_can_be_left_with_the_spindle_standing():
    section = read("G98 G86 X5. Y6. Z-9. R2. P.5 F100.\nX15.")
    assert [hole.out_stopped for hole in section.holes] == [True, True]
    assert [hole.n for hole in section.holes] == [800, 800]
    assert [move.n for move in section.moves if move.end[2] == 25 and move.start[2] < 0] == [0, 0]


def test_feed_by_the_revolution_is_turned_into_feed_by_the_minute():
    (section,) = read_back(HEAD.replace("G94", "G95") + "G98 G81 X5. Y6. Z-1. R2. F.125\nM30\n")
    assert section.holes[0].feed_in == 100.0


def test_a_dwell_in_milliseconds_is_read_as_such_only_where_it_is_said():
    text = HEAD + "G98 G82 X5. Y6. Z-3. R2. P500 F100.\nM2\n"
    assert read_back(text)[0].holes[0].dwell_s == 500
    assert read_back(text, dwell_unit=DwellUnit.MILLISECONDS)[0].holes[0].dwell_s == 0.5


def test_a_subprogram_is_run_under_the_cycle_that_is_in_force():
    text = HEAD + "G98 G81 X5. Y6. Z-3. R2. F100.\nM98 P7\nG80\nM30\nO7\nX15.\nY26.\nM99\n%\n"
    (section,) = read_back(text)
    assert [(hole.x, hole.y) for hole in section.holes] == [(5, 6), (15, 6), (15, 26)]
    assert [hole.bottom for hole in section.holes] == [-3, -3, -3]


@pytest.mark.parametrize(
    ("tail", "said"),
    [
        ("M98\nM30\n", "line 8: P = missing: must be given with M98"),
        ("M98 P7\nM30\nO7\nM98 P7\nM99\n", "line 11: M98 = P7: must not be called from a sub"),
        ("M98 P7\nM30\nO7\nG2 X5.\nM99\n", "line 11: word = G2"),
    ],
)
def test_a_call_that_goes_wrong_is_refused_by_its_line(tail, said):
    with pytest.raises(InputError, match=said):
        read_back(HEAD + tail)


def test_blocks_with_a_slash_are_obeyed_or_skipped():
    text = HEAD + "G98 G81 X5. Y6. Z-3. R2. F100.\nG80\n/G0 Z90.\n/M5\n/M1\n/S800 M3\nM30\n"
    obeyed, skipped = (read_back(text, skip=skip)[0].moves for skip in (False, True))
    assert obeyed[: len(skipped)] == skipped
    (up, stop) = obeyed[len(skipped) :]
    assert up.end[2] == 90
    assert (stop.kind, stop.optional, stop.n) == (MoveKind.STOP, True, 0.0)


def test_semicolons_begin_a_comment():
    text = HEAD + "G98 G81 X5. Y6. Z-3. R2. F100. ; M3 G2\n; - G0 Z-50.\nM30\n"
    assert len(read_back(text)[0].holes) == 1


def test_the_section_names_its_work_offset():
    assert read_back(HEAD.replace("G54", "G56") + "M30\n")[0].work_offset == 56
