"""The proof report says what is claimed, on what, and what it does not prove."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from brakelund_documents import (
    BORE_GAUGE,
    COOLANT,
    ESTIMATE,
    PLAN,
    PLATE,
    READINGS,
    SHOP,
    STEEL,
    VERDICT,
    header,
)
from page_reader import tags_of, text_of, unclosed
from picture_reader import loads_nothing

from holewright.gauging.estimate import HoleInterval
from holewright.gauging.reading import Reading
from holewright.proof.verdict import Decision, Demands
from holewright.reasons import Reason
from holewright.sheets.header import PageKind, SheetHeader
from holewright.sheets.proof_data import share_words
from holewright.sheets.proof_report import proof_report
from holewright.units import Unit


def report(head: SheetHeader | None = None, **changes: object) -> str:
    parts: dict[str, object] = {
        "callout": PLATE,
        "plan": PLAN,
        "estimate": ESTIMATE,
        "verdict": VERDICT,
        "readings": READINGS,
        "shop": SHOP,
        "material": STEEL,
        "coolant": COOLANT,
    }
    return proof_report(head or header(kind=PageKind.PROOF), **(parts | changes))


@pytest.mark.parametrize(
    "element",
    [
        pytest.param("at least 22.3 % inside the limits, 95 % sure", id="1 what is claimed"),
        pytest.param("Asked for: 99 % (the customer)", id="1 by whom it is asked"),
        pytest.param("Gauge 297 more.", id="what would settle it"),
        pytest.param("Machine: mill 3. Material: 16MnCr5, 170 HB (measured)", id="2 conditions"),
        pytest.param("drill 7.8 (.307)", id="2 cutting values"),
        pytest.param("Size: maximum inscribed (pin), at 20 °C", id="3 size definition"),
        pytest.param("Drawing standard: ISO 8015", id="3 standard"),
        pytest.param("counts against whoever has to prove (ISO 14253-1)", id="3 decision rule"),
        pytest.param("22.3 % shown, 99 % asked for.", id="3 rules applied"),
        pytest.param("plus pin true size 8.0000 to 8.0051 mm", id="4 gauges with true sizes"),
        pytest.param("class ZZ, standard", id="4 how the size is known"),
        pytest.param("4 readings; none left out.", id="5 data"),
        pytest.param("Size in sequence", id="6 chart"),
        pytest.param("Indices, n = 2", id="7 n"),
        pytest.param("1.08 at least 0.31, 95 % sure", id="7 Ppk with its lower bound"),
        pytest.param("8.0085 mm (.31530 in) 8.0040 to 8.0120 mm", id="7 mean with interval"),
        pytest.param("Form, position, finish, depth and edges", id="8 form: record elsewhere"),
        pytest.param("Tool life, change interval", id="9 life: record elsewhere"),
        pytest.param("Fault tests: broken tool", id="10 fault tests: record elsewhere"),
        pytest.param("Open risks and reaction plan", id="11 open risks"),
        pytest.param("Quality, date", id="11 sign-off"),
        pytest.param("Too few holes: 2 of 2.", id="what limits the knowledge"),
        pytest.param("Drift over a reamer's life", id="what it does not prove"),
        pytest.param("Stop the spindle before gauging.", id="cautions"),
        pytest.param("ream: reamer diameter DC [mm] 8.0092, u = 0.0005 measured", id="tags"),
        pytest.param("thermal expansion [1/K] 1.15e-05 default", id="tags of defaults"),
    ],
)
def test_it_contains(element):
    assert element in text_of(report())


def test_the_verdict_stands_first_and_in_words():
    said = text_of(report())
    assert said.index("hold Hold: 22.3 %") < said.index("lower limit") < said.index("1 What is")
    released = replace(VERDICT, decision=Decision.RELEASE, sentence="Release: all of it.", next=())
    said = text_of(report(verdict=released))
    assert "release Release: all of it." in said
    assert "Nothing is open under the rules below." in said


def test_every_reading_stands_in_sequence_as_it_was_read():
    said = text_of(report()).split("Annex B")[1].split("Annex C")[0]
    rows = [
        "1 A 8.00 goes",
        "2 A 8.01 does not go",
        "3 B 8.00 goes first try stuck",
        "4 B BG1 8.009 mm (.31531 in)",
    ]
    places = [said.index(row) for row in rows]
    assert places == sorted(places)
    assert "Depth: full. Part at 22 °C. Gauges at 21 °C." in said


def test_what_differs_between_readings_gets_its_column():
    mixed = (*READINGS, Reading("C", "8.00", goes=True, depth=5.0, part_c=30))
    said = text_of(report(readings=mixed)).split("Annex B")[1]
    assert "Depth Part °C Gauge °C Note" in said
    assert "5 C 8.00 goes 5 mm 30 20" in said


def test_holes_are_sorted_by_the_decision_rule_not_by_hope():
    holes = (
        HoleInterval("in", 8.0, 8.01),
        HoleInterval("open", 8.01, math.inf),
        HoleInterval("out", 8.02, 8.03),
        HoleInterval("both", 8.01, 8.005),
        HoleInterval("none", -math.inf, math.inf),
    )
    estimate = replace(ESTIMATE, holes=holes, n_holes=5)
    said = text_of(report(estimate=estimate)).split("Annex A")[1]
    for row in (
        "in 8.0000 to 8.0100 (.31496 to .31535) inside",
        "open above 8.0100 (above .31535) not shown",
        "out 8.0200 to 8.0300 (.31575 to .31614) outside",
        "both readings contradict not shown",
        "none not bounded not shown",
    ):
        assert row in said
    assert "1 shown inside, 1 shown outside, 3 not shown either way" in text_of(
        report(estimate=estimate)
    )


def test_a_value_close_to_a_limit_is_not_shown_inside():
    # 8.0145 lies inside 8.015 by 0.5 µm, less than the guard band of its u = 1 µm
    near = replace(ESTIMATE, holes=(HoleInterval("near", 8.0145, 8.0145, 0.001),))
    assert "near 8.0145 (.31553) not shown" in text_of(report(estimate=near))


def test_contradictions_come_before_all_other_limits_of_knowledge():
    estimate = replace(ESTIMATE, contradictions=(Reason("contradiction", "Pins say both."),))
    said = text_of(report(estimate=estimate))
    assert said.index("Contradiction. Pins say both.") < said.index("Too few holes")


def test_without_a_fit_there_is_no_ppk_and_it_says_why():
    bare = replace(
        ESTIMATE,
        mean=None,
        sd=None,
        mean_interval=None,
        sd_interval=None,
        inside=None,
        below=None,
        above=None,
    )
    said = text_of(report(estimate=bare, verdict=replace(VERDICT, ppk=None, ppk_lower=None)))
    assert "no finite fit" in said
    assert "Ppk, room" not in said
    assert "counts of GO and NO-GO don't make one" in said


def test_a_lot_is_judged_as_a_lot():
    lot = replace(VERDICT, lot=200, outside_in_lot_upper=155, demands=Demands(ppk=1.33))
    said = text_of(report(verdict=lot))
    assert "Of the lot of 200 holes" in said
    assert "at most 155, 95 % sure" in said
    assert "and Ppk 1.33" in said


def test_lower_bounds_are_rounded_down_never_up():
    bound = replace(VERDICT, inside_lower=0.98999, ppk_lower=1.3299)
    said = text_of(report(verdict=bound))
    assert "at least 98.9 %, 95 % sure" in said
    assert "at least 1.32, 95 % sure" in said
    assert "99.0 %" not in said


@pytest.mark.parametrize(
    ("share", "text"),
    [
        (0.0, "under 0.001 %"),
        (0.0194, "1.9 %"),
        (0.62008, "62 %"),
        (1.0, "over 99.999 %"),
        (1e-7, "under 0.001 %"),
    ],
)
def test_no_share_is_written_as_nothing_or_everything(share, text):
    assert share_words(share) == text


def test_gauges_that_the_tool_room_does_not_know_are_said_to_be_unknown():
    said = text_of(report(shop=None))
    assert "8.00 not in the tool room not stated" in said


def test_an_instrument_shows_its_uncertainty_with_its_step():
    # 1 µm and a step of 1 µm: sqrt(1 + 1/12) = 1.04 µm
    said = text_of(report())
    said = text_of(report())
    assert f"{BORE_GAUGE.id} three-point bore gauge u of a reading 1 µm (.00004 in" in said
    assert "step 1 µm" in said


def test_inch_prints_come_in_inches_first():
    said = text_of(report(header(kind=PageKind.PROOF, unit=Unit.INCH)))
    assert ".31530 in (8.0085 mm)" in said
    assert "Size, in (mm)" in said


def test_names_are_escaped_wherever_they_come_from():
    evil = "<script>alert(1)</script>"
    page = report(
        header(job=evil, kind=PageKind.PROOF),
        readings=(Reading(evil, evil, goes=True, note=evil),),
        estimate=replace(ESTIMATE, holes=(HoleInterval(evil, 8.0, 8.01),), method=evil),
        verdict=replace(VERDICT, sentence=evil, demands=Demands(source=evil)),
    )
    assert "<script" not in page
    assert "script" not in tags_of(page)


def test_it_is_one_well_formed_file_that_loads_nothing_and_says_who_it_is():
    page = report()
    assert unclosed(page) == []
    assert loads_nothing(page)
    said = text_of(page)
    assert said.count("proof report") >= 1
    assert "Carriage plate · part BW-1204 · revision C · 2026-03-14" in said
    assert "Invented example: no real company, part or tool." in said


def test_it_stands_with_the_least_there_can_be():
    page = report(plan=None, shop=None, material=None, coolant=None)
    assert unclosed(page) == []
    assert "Tools and cutting values: not in this report" in text_of(page)
