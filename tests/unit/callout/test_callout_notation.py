"""Callouts as people type them: what is read, what is asked, what is refused."""

from __future__ import annotations

import pytest

from holewright.callout.callout import DrawingStandard, HoleKind, Limits
from holewright.callout.notation import read_callout, write_callout
from holewright.errors import AmbiguousError, InputError
from holewright.units import Unit

QUARTER = Limits(6.35, 6.3627)  # .2500 to .2505 in
TEN_H7 = Limits(10.0, 10.015)


@pytest.mark.parametrize(
    ("text", "limits"),
    [
        ("Ø10H7", TEN_H7),
        ("ø 10 H7", TEN_H7),
        ("⌀10 H7", TEN_H7),
        ("dia 10 H7", TEN_H7),
        ("10 dia. H7", TEN_H7),
        ("10,000 H7", TEN_H7),
        ("ream 10 H7 hole", TEN_H7),
        ("4X Ø10 H7", TEN_H7),
        ("4x 10 H7", TEN_H7),
        ("10 H7/g6", TEN_H7),
        ("10 H7 (+0.015/0)", TEN_H7),
        ("10 H7 (10.000-10.015)", TEN_H7),
        ("10.000/10.015", TEN_H7),
        ("10.000 to 10.015", TEN_H7),
        ("10,000 – 10,015", TEN_H7),
        ("10 +0.015/0", TEN_H7),
        ("10 +15/0 µm", TEN_H7),
        ("10 −0 +0.015", TEN_H7),
        ("10 Js7", Limits(9.9925, 10.0075)),
        ("6.00-6.012", Limits(6.0, 6.012)),
        ("12 ±0,01", Limits(11.99, 12.01)),
        ("12 +/- 0.01", Limits(11.99, 12.01)),
        ("12 plus or minus 0.01", Limits(11.99, 12.01)),
        ("10 -0.005/-0.012", Limits(9.988, 9.995)),
        (".2500 +.0005/-.0000", QUARTER),
        (".2500 -.0000 +.0005", QUARTER),
        ("0.2500 +.0005/-0", QUARTER),
        ("1/4 +.0005 -0", QUARTER),
        ("¼ +.0005 -0", QUARTER),
        ('1/4" +.0005/-0', QUARTER),
        ("0.25 in +0.0005/-0", QUARTER),
        (".2500-.2505", QUARTER),
        ("1/4 plus five tenths minus nothing", QUARTER),
        ("1/4 plus half a thou minus zero", QUARTER),
        ("1/4 +5/-0 tenths", QUARTER),
        ("4X Ø.2500 +.0005/-.0000 THRU", QUARTER),
        ("1 1/4 ±.0005", Limits(31.7373, 31.7627)),
        ("1-1/4 ±.0005", Limits(31.7373, 31.7627)),
        (".2500 +.0005/-.0003", Limits(6.34238, 6.3627)),
    ],
)
def test_limits_are_read_to_the_last_figure(text, limits):
    assert read_callout(text).limits == limits


@pytest.mark.parametrize(
    ("text", "kind", "depth", "floor"),
    [
        ("8 H7 x 22 through", HoleKind.THROUGH, 22.0, None),
        ("8 H7x22 THRU", HoleKind.THROUGH, 22.0, None),
        ("8 H7, 22 through", HoleKind.THROUGH, 22.0, None),
        ("8 H7 thru all", HoleKind.THROUGH, None, None),
        ("8 H7 blind x 22", HoleKind.BLIND, 22.0, None),
        ("8 H7 ↧ 22", HoleKind.BLIND, 22.0, None),
        ("8 H7 22 deep", HoleKind.BLIND, 22.0, None),
        ("8 H7 depth 22", HoleKind.BLIND, 22.0, None),
        ("8 H7 x 22 deep through", HoleKind.THROUGH, 22.0, None),
        ("8 H7 x .5 in blind", HoleKind.BLIND, 12.7, None),
        (".3125 +.0005/-0 x .70 blind", HoleKind.BLIND, 17.78, None),
        (".3125 +.0005/-0 x .75 DP", HoleKind.BLIND, 19.05, None),
        (".3125 +.0005/-0 x .70 blind, .940 to the floor", HoleKind.BLIND, 17.78, 23.876),
        (".3125 +.0005/-0 x .70, floor .94", HoleKind.BLIND, 17.78, 23.876),
        (".3125 +.0005/-0 floor at .94", HoleKind.BLIND, None, 23.876),
        (".3125 in +.0005/-0 x 20 mm blind", HoleKind.BLIND, 20.0, None),
    ],
)
def test_depth_floor_and_ending_are_read(text, kind, depth, floor):
    callout = read_callout(text)
    assert (callout.kind, callout.depth, callout.floor) == (kind, depth, floor)


@pytest.mark.parametrize(
    ("text", "unit", "reason"),
    [
        ("10 H7", Unit.MM, "mm, because H7 is a class of ISO 286"),
        (".25 +.0005/-0", Unit.INCH, "inches, because .25 begins with its decimal point"),
        ("1/4 +0.001/-0", Unit.INCH, "inches, because 1/4 is a fraction"),
        ("1.0000 +0.0005/-0", Unit.INCH, "inches, because 1.0000 has four decimals"),
        ("2,5 ±0,01", Unit.MM, "mm, because 2,5 has a decimal comma"),
        ("3 ±0.01", Unit.MM, "mm, because 3 is 3 or more and has at most three decimals"),
        ("1.5 ±0.01 x 20 mm", Unit.MM, "mm, because the depth is in mm"),
    ],
)
def test_a_unit_taken_from_the_writing_says_so(text, unit, reason):
    callout = read_callout(text)
    assert (callout.unit, callout.unit_reason) == (unit, reason)


@pytest.mark.parametrize("text", ["10 ±0.01 mm", ".25 in ±.0005", "1/4 +5 tenths/-0", "2 +9 µm/-0"])
def test_a_unit_in_the_text_needs_no_reason(text):
    assert read_callout(text).unit_reason == ""


def test_what_was_said_of_the_print_decides_and_the_evidence_against_it_is_told():
    assert read_callout("2.5 ±0.01", unit=Unit.MM).unit_reason == "mm, as said for this print"
    callout = read_callout(".5 ±.01", unit=Unit.MM)
    assert callout.limits == Limits(0.49, 0.51)
    assert callout.unit_reason == (
        "mm, as said for this print, although .5 begins with its decimal point"
    )


def test_a_unit_in_the_text_wins_over_that_of_the_print():
    assert read_callout("12 mm ±0.01", unit=Unit.INCH).limits == Limits(11.99, 12.01)


def test_a_class_on_an_inch_print_is_that_of_the_size_in_mm_and_says_so():
    callout = read_callout(".2500 H7 in")
    assert callout.limits == Limits(6.35, 6.365)  # IT7 over 6 to 10 mm is 15 µm
    assert ".2500 in is 6.350 mm" in callout.notes


@pytest.mark.parametrize(
    ("text", "readings"),
    [
        pytest.param("10 h7", ("10 H7",), id="the class of a shaft"),
        pytest.param("Ø10js6 thru", ("Ø10JS6 thru",), id="two small letters"),
        pytest.param("0.25 ±0.01", ("0.25 ±0.01 mm", "0.25 ±0.01 in"), id="no unit at all"),
        pytest.param(
            "0.25 ±0.01 x 5 thru",
            ("0.25 ±0.01 mm x 5 thru", "0.25 ±0.01 in x 5 thru"),
            id="no unit, with a depth",
        ),
        pytest.param(
            "3.000 +.001/-.000",
            ("3.000 +.001/-.000 mm", "3.000 +.001/-.000 in"),
            id="evidence for both",
        ),
        pytest.param("1/4 H7", ("1/4 H7 mm", "1/4 H7 in"), id="a fraction with a class"),
        pytest.param(
            "1/4 plus five minus nothing",
            ("Ø.2500 +.0005/-.0000 in through", "Ø.2500 +.0050/-.0000 in through"),
            id="five tenths or five thou",
        ),
        pytest.param(
            "12 +15/-0",
            ("Ø12.000 +0.015/-0.000 mm through", "Ø12.000 +0.150/-0.000 mm through"),
            id="micrometres or hundredths",
        ),
        pytest.param(
            "12 +0.015",
            ("Ø12.000 +0.015/-0.000 mm through", "Ø12.000 ±0.015 mm through"),
            id="one deviation only",
        ),
        pytest.param(
            ".2500 -.0005",
            ("Ø.2500 +.0000/-.0005 in through", "Ø.2500 ±.0005 in through"),
            id="one deviation only, minus",
        ),
    ],
)
def test_what_can_be_read_in_two_ways_is_asked_with_answers_to_type(text, readings):
    with pytest.raises(AmbiguousError) as asked:
        read_callout(text)
    assert asked.value.readings == readings
    assert asked.value.value == text
    for reading in readings:
        read_callout(reading)


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("", "must say a size and its limits"),
        ("   ", "must say a size and its limits"),
        ("10", "must say the limits behind 10"),
        ("H7", "the nominal size must be a number, but H stands there"),
        ("M6 x 1", "the nominal size must be a number, but M stands there"),
        ("plus five minus nothing", "the nominal size must be a number"),
        ("10 H", "must say the limits behind 10, not H"),
        ("10 H19", "grades 01, 0 and 1 to 18"),
        ("10 H7.5", "grades 01, 0 and 1 to 18"),
        ("10 L7", "letters are A B C CD"),
        ("20 T7", "T is defined over 24 to 500 mm"),
        ("10 J9", "J has the grades 6, 7 and 8"),
        ("10 K9", "over 3 mm K has the grades 3 to 8"),
        ("10 P2", "P starts at grade 3"),
        ("0.8 H14", "grades 14 to 18 start over 1 mm"),
        ("0.8 N9", "up to 1 mm N has the grades 3 to 8"),
        ("1 A9", "A is defined over 1 mm"),
        ("60 CD8", "CD is defined over 0 to 50 mm"),
        ("0 H7", "must be 0.01 mm to 500 mm"),
        ("501 H7", "must be 0.01 mm to 500 mm"),
        ("20.5 ±.0005 in", "nominal size = 20.5 in: must be 0.01 mm to 500 mm"),
        ("10 ±0", "at least 0.1 µm"),
        ("10-10", "at least 0.1 µm"),
        ("10 ±6 mm", "has a tolerance of 12 mm on a size of 10 mm"),
        ("10/16.5", "at most half the size"),
        ("10 -9.5/-12 mm", "limits of -2 and 0.5 mm on a size of 10 mm"),
        ("10 +8/+6 mm", "they must lie within half the size"),
        ("10.015/10.000", "lower limit 10.015 above its upper limit 10.000; write 10.000-10.015"),
        ("10.015-10.000", "write 10.000-10.015"),
        (".2500 +.0005/.0002", "the second deviation needs its sign"),
        (".2500 +", "the deviation must be a number, but nothing stands there"),
        (".2500 in +5 µm/-0", "in one unit, not in mm and inches"),
        ("10 H7 (+0.018/0)", "the class asks +0.015/"),
        ("10 H7 (+0.015/0", "bracket behind the class must be closed"),
        ("10 H7 (tight)", "behind a class only its deviations or limits may stand"),
        ("10 H7 x", "the depth behind x must be a number, but nothing stands there"),
        ("10 H7 x 22 x 23", "must say one depth only"),
        ("10 H7 floor 22 floor 23", "must say one floor only"),
        ("10 H7 x 22 floor 20", "must have its floor at or below the depth"),
        ("10 H7 through floor 25", "has a floor, so it must not be through"),
        ("10 H7 through blind", "must say either through or blind"),
        ("10 H7 x 0", "depth = 0 mm: must be 0.01 mm to 10 m"),
        ("10 H7 22", "22 is not understood here; write x 22 for a depth"),
        ("10 H7 in brass", "brass is not understood here"),
        ("10 H7 #3", "'#' is not understood here"),
        ("1.2.3 H7", "1.2.3 is not a number"),
        ("1,000.5 H7", "1,000.5 is not a number"),
        (",25 H7", "a decimal comma needs a figure before it"),
        ("5/4 ±.001", "5/4 is no fraction of an inch"),
        ("0x Ø10 H7", "a count of holes must be 1 to 9999"),
        ("1" * 28 + " H7", "is not a number that can be read"),
        ("10 H7 " * 40, "at most 200 characters"),
        ("١٠ H7", "is not understood here"),
    ],
)
def test_what_makes_no_sense_is_refused_by_name_with_what_would_be_accepted(text, why):
    with pytest.raises(InputError) as refused:
        read_callout(text)
    assert not isinstance(refused.value, AmbiguousError)
    assert why in str(refused.value)
    assert refused.value.field
    assert refused.value.accepted


def test_what_was_understood_beyond_the_text_is_noted():
    assert read_callout("8 H7 x 22 through").notes == ()
    assert read_callout("8 H7").notes == (
        "no depth given",
        "through assumed; write blind if it is not",
    )
    assert read_callout("8 H7 x 22 DP").notes == (
        'blind, since a depth is given without "through"',
    )
    assert read_callout("4x 6.00-6.012 x 22 thru").notes == (
        "4 holes",
        "the lower limit is taken as the nominal size",
    )
    assert "the shaft's g6 is not used" in read_callout("10 H7/g6").notes
    assert "X7 is taken as a tolerance class, not as a depth" in read_callout("10 X7").notes


def test_a_small_x_is_a_depth_and_a_capital_one_a_class_only_where_it_must_be():
    assert read_callout("10 H7 X7").depth == 7.0
    assert read_callout("10 ±0.01 X7").depth == 7.0
    assert read_callout("10 X7").fit == "X7"


def test_the_envelope_comes_from_the_text_or_from_asme():
    assert not read_callout("10 H7", standard=DrawingStandard.ISO).envelope
    assert read_callout("10 H7 Ⓔ").envelope
    assert read_callout("10 H7 (E) x 20").envelope
    callout = read_callout("10 H7", standard=DrawingStandard.ASME)
    assert callout.envelope
    assert callout.standard is DrawingStandard.ASME


@pytest.mark.parametrize(
    ("typed", "written"),
    [
        ("8H7x22 thru", "Ø8 H7 x 22 through"),
        ("0.5 H7 blind", "Ø0.5 H7 blind"),
        ("10.0125 mm H7", "Ø10.0125 H7 mm through"),
        ("8 H7 x .75 in blind", "Ø8 H7 x 19.05 blind"),
        (".25 +.0005/-0 x .7 blind", "Ø.2500 +.0005/-.0000 in x .700 blind"),
        (".25 in +.0005/-0 x 20 mm blind", "Ø.2500 +.0005/-.0000 in x 20 mm blind"),
        (".25 +.00005/-0 thru", "Ø.25000 +.00005/-.00000 in through"),
        ("12 ±0.01 Ⓔ", "Ø12.000 ±0.010 mm through (E)"),
        ("10 -0/-0.01", "Ø10.000 +0.000/-0.010 mm through"),
        (".3125 +.0005/-0 floor .94", "Ø.3125 +.0005/-.0000 in blind floor .940"),
    ],
)
def test_the_written_form_keeps_the_places_of_a_drawing(typed, written):
    assert write_callout(read_callout(typed)) == written
    assert write_callout(read_callout(written)) == written
