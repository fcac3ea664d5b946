"""The setup sheet holds what a setup sheet must contain, and blanks for what nobody said yet."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from brakelund_documents import (
    BODY,
    COOLANT,
    FORECAST,
    MACHINE,
    PINS,
    PLAN,
    PLATE,
    PROGRAM,
    REAMER,
    SHOP,
    STEEL,
    header,
)
from page_reader import tags_of, text_of, unclosed
from picture_reader import loads_nothing

from holewright.callout.callout import Limits
from holewright.planning.plan import Plan, PlanVerdict
from holewright.sheets.header import SheetHeader
from holewright.sheets.setup_sheet import setup_sheet
from holewright.sheets.zone_strip import pin_mark
from holewright.uncertainty import Known, Tag
from holewright.units import Unit


def sheet(head: SheetHeader | None = None, **changes: object) -> str:
    parts: dict[str, object] = {
        "callout": PLATE,
        "material": STEEL,
        "machine": MACHINE,
        "coolant": COOLANT,
        "plan": PLAN,
        "program": PROGRAM,
        "shop": SHOP,
        "reamer_limits": Limits(8.007, 8.0127),
        "pins": (pin_mark(PINS[0], "GO"), pin_mark(PINS[2], "NO-GO")),
    }
    return setup_sheet(head or header(), **(parts | changes))


@pytest.mark.parametrize(
    "element",
    [
        pytest.param("Draw datum, stops and clamp points here", id="1 sketch: clamp points"),
        pytest.param("1: X 0 Y 0 mm", id="1 sketch: zero and hole numbers"),
        pytest.param("Clamp force or torque", id="2 workholding"),
        pytest.param("DC measured", id="3 tools: measured diameter"),
        pytest.param("Stick-out", id="3 tools: stick-out"),
        pytest.param("H1", id="3 tools: holder"),
        pytest.param("TIR limit", id="3 tools: runout limit"),
        pytest.param("TIR meas.", id="3 tools: measured runout"),
        pytest.param("1200, assumed", id="3 tools: life count"),
        pytest.param("chamfer Ø8.6 mm", id="4 chamfer"),
        pytest.param("drill full Ø 23.5 mm (.9252 in)", id="4 full-diameter depth"),
        pytest.param("tips reach 3 mm (.1181 in) beyond the far face", id="4 break-through"),
        pytest.param("f per rev", id="5 feed per revolution"),
        pytest.param("v_f per min", id="5 feed per minute"),
        pytest.param("dwell 0.3 s (4.6 rev), rapid out", id="6 cycle: dwell in revolutions"),
        pytest.param("feed in, feed out", id="6 cycle: feed out"),
        pytest.param("Retract plane", id="6 retract plane"),
        pytest.param("concentration 8 %", id="7 coolant"),
        pytest.param("pressure 40 bar (580 psi)", id="7 pressure"),
        pytest.param("Spindle warm-up", id="8 warm-up"),
        pytest.param("plus, 8.0000 to 8.0051 mm", id="9 GO pin, actual size"),
        pytest.param("Cal. due", id="9 calibration due"),
        pytest.param("GO: pin 8.00; NO-GO: pin cal 8.015.", id="9 check plan"),
        pytest.param("held until they are gauged", id="10 stop rules: containment"),
        pytest.param("Call", id="10 who to call"),
        pytest.param("Guards closed.", id="11 safety"),
        pytest.param("Approved by, date", id="12 approval"),
        pytest.param("Proof record no.", id="12 proof record"),
    ],
)
def test_it_contains(element):
    assert element in text_of(sheet())


def test_it_says_the_verdict_its_conditions_and_the_limits_in_both_units():
    said = text_of(sheet())
    assert "ream with conditions" in said
    assert "Runout at the lead at most 5 µm." in said
    assert "8.000 mm (.31497 in) to 8.015 mm (.31555 in)" in said
    assert "Ra 0.8 µm (31 µin)" in said  # 0.8 / 0.0254 = 31.5


def test_speeds_and_feeds_agree_per_revolution_and_per_minute_in_both_units():
    # 477 1/min x 0.3 mm = 143 mm/min = 5.6 in/min; 12 m/min / 0.3048 = 39 sfm
    row = re.search(
        r"ream 8\.0092 .*?feed in, feed out", text_of(sheet()).split("Cutting values")[1]
    )
    assert row is not None
    assert row[0] == (
        "ream 8.0092 (.31532) 23.5 (.9252) 25 (.9843) 477 0.3 (.0118) 143 (5.6) 12 (39.4) "
        "feed in, feed out"
    )


def test_only_a_measured_diameter_fills_its_cell():
    assert "8.0092 mm (.31532 in)" in text_of(sheet()).split("Cutting values")[0]
    by_label = replace(REAMER, DC=Known(8.009, Tag.DEFAULT, "label", 0.002))
    said = text_of(sheet(shop=replace(SHOP, reamers=(by_label,)))).split("Cutting values")[0]
    assert "8.0090 mm" not in said
    assert "label 8 H7" in said


def test_head_and_foot_carry_job_revision_date_version_and_the_invented_line():
    said = text_of(sheet())
    foot = (
        "Carriage plate · part BW-1204 · revision C · 2026-03-14 · holewright 9.8.7 · data 2026.1"
    )
    assert f"{foot} · invented example" in said
    assert "Invented example: no real company, part or tool." in said
    assert "nvented example" not in text_of(sheet(header(invented=False)))


def test_steps_by_hand_stand_in_their_place_without_numbers():
    said = text_of(sheet()).split("Cutting values")[1]
    assert said.index("chamfer 8.6") < said.index("wash Blow the chips out.") < said.index("ream 8")


def test_what_nobody_knows_is_a_blank_not_a_nought():
    page = sheet(header(part="", drawing=""), shop=None, pins=(), program=None)
    said = text_of(page)
    assert "GO actual due NO-GO actual due" in said
    assert "Sketch datum, zero, hole numbers and clamp points" in said
    assert page.count('class="blank"') > 5
    assert "part  ·" not in said


def test_inch_prints_come_in_inches_first_with_the_room_to_the_floor():
    blind = replace(
        PLAN.route, operations=tuple(replace(o, tip_depth=20.0) for o in PLAN.route.operations)
    )
    said = text_of(
        sheet(header(unit=Unit.INCH), callout=BODY, plan=replace(PLAN, route=blind), pins=())
    )
    assert ".3125 in (7.9375 mm) to .3130 in (7.9502 mm)" in said
    assert "pressure 580 psi (40 bar)" in said
    assert ".1526 in (3.876 mm) from the deepest tip to the floor" in said  # 23.876 - 20
    deep = replace(PLAN.route, operations=(replace(PLAN.route.operations[0], tip_depth=25.0),))
    said = text_of(sheet(header(unit=Unit.INCH), callout=BODY, plan=replace(PLAN, route=deep)))
    assert "below the floor: do not run" in said


def test_do_not_ream_is_an_answer_and_prints_without_tools():
    no = Plan(
        PlanVerdict.DO_NOT_REAM, "Bore it.", None, None, instead=("Bore to size in two cuts.",)
    )
    said = text_of(sheet(plan=no, program=None))
    assert "do not ream" in said
    assert "Bore to size in two cuts." in said
    assert "Tools, in order" not in said


def test_a_forecast_given_replaces_that_of_the_plan():
    other = replace(FORECAST, limits=PLATE.limits)
    assert "Forecast: mean 8.0092 mm" in text_of(
        sheet(plan=replace(PLAN, forecast=None), forecast=other)
    )
    assert "Forecast:" not in text_of(sheet(plan=replace(PLAN, forecast=None)))


def test_the_first_five_holes_are_to_lie_in_the_middle_half():
    # 8.000 + 15/4 µm to 8.015 - 15/4 µm
    assert "middle half: 8.0038 to 8.0113 mm" in text_of(sheet())


def test_names_are_escaped_wherever_they_come_from():
    evil = "<script>alert(1)</script>"
    page = sheet(
        header(job=evil, part=evil, machine=evil),
        callout=replace(PLATE, text=evil, after=evil),
        plan=replace(PLAN, sentence=evil, check_plan=(evil,), cautions=(evil,)),
        stop_rules=(evil,),
        pins=(replace(pin_mark(PINS[0]), name=evil),),
    )
    assert "<script" not in page
    assert "script" not in tags_of(page)
    assert text_of(page).count("<script>alert(1)</script>") >= 8


def test_it_is_one_well_formed_file_that_loads_nothing():
    page = sheet()
    assert page.startswith("<!DOCTYPE html>")
    assert unclosed(page) == []
    assert loads_nothing(page)
    assert "@media print" in page


def test_no_word_on_paper_is_smaller_than_nine_points():
    page = sheet()
    print_rules = page.split("@media print")[1].split("</style>")[0]
    assert "html { font-size: 9pt" in print_rules
    # 12 px is 9 pt; the widest picture is as wide as A4 less margins, 194 mm = 733 px
    assert {float(s) for s in re.findall(r'font-size="([\d.]+)"', page)} == {12.0, 14.0}
    assert max(float(w) for w in re.findall(r'<svg [^>]*?width="([\d.]+)"', page)) <= 733
