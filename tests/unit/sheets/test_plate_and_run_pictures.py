"""The plate from above, its check sheet, main effects, and the run chart."""

from __future__ import annotations

import math
from datetime import UTC, datetime

import pytest
from page_reader import text_of, unclosed
from picture_reader import SVG, labels, loads_nothing, outside, read, touching

from holewright.callout.callout import Limits
from holewright.callout.notation import read_callout
from holewright.plate.effect import LevelMean
from holewright.plate.factors import Factor, FactorKind
from holewright.plate.layout import Order, lay_out
from holewright.plate.plate import Plate
from holewright.sheets.effect_plot import effect_plot_svg
from holewright.sheets.header import SheetHeader
from holewright.sheets.plate_map import plate_map_svg
from holewright.sheets.plate_sheet import plate_sheet
from holewright.sheets.run_chart import (
    RunChart,
    RunLine,
    RunMark,
    nice_ticks,
    run_chart_svg,
    run_chart_text,
)
from holewright.shop.materials import find_material
from holewright.units import Unit

LIMITS = Limits(8.000, 8.015)
FEED = Factor(FactorKind.FEED, (0.70, 0.85, 1.0, 1.15, 1.30))
SPEED = Factor(FactorKind.SPEED, (0.8, 1.2))


def plate(factors=(FEED,), a_row=12, order=Order.BLOCKS):
    from holewright.plate.designs import full_factorial

    settings = full_factorial(factors)
    layout = lay_out(len(settings), a_row, pitch=16, order=order)
    return Plate(factors, settings, layout, None, ())


def chart(unit=Unit.MM, ticks=()):
    x = tuple(float(i) for i in range(1, 802, 100))
    mean = tuple(8.009 - 5e-6 * i for i in x)
    line = RunLine(
        x, mean, tuple(m - 0.0025 for m in mean), tuple(m + 0.0025 for m in mean), "R 8", 601.0
    )
    marks = (
        RunMark(1, 8.0083, 8.0131),
        RunMark(101, -math.inf, 8.0022),
        RunMark(201, 8.0131, math.inf),
        RunMark(301, 8.0074, 8.0074),
    )
    return RunChart("Size against holes cut", LIMITS, unit, marks, (line,), ticks)


@pytest.mark.parametrize(
    "laid",
    [
        plate(),
        plate((FEED, SPEED), 4),
        plate((SPEED,), 60),
        plate((Factor(FactorKind.HOLDER, ("a very long name of a holder indeed", "b")),), 5),
    ],
    ids=["feed", "feed and speed", "sixty a row", "long names"],
)
def test_the_plate_shows_every_hole_once_and_no_label_touches(laid):
    svg = plate_map_svg(laid, Unit.MM)
    circles = list(read(svg).iter(f"{SVG}circle"))
    assert len(circles) == len(laid.holes)
    assert len({(c.get("cx"), c.get("cy")) for c in circles}) == len(laid.holes)
    assert loads_nothing(svg)
    assert not outside(svg)
    assert not touching(svg)


def test_rows_are_named_by_what_they_test_and_holes_by_their_place_in_the_order():
    said = [label.words for label in labels(plate_map_svg(plate(), Unit.MM))]
    assert "A  feed 70 %" in said
    assert "E  feed 130 %" in said
    assert {str(i) for i in range(1, 61)} <= set(said)


def test_the_check_sheet_is_whole_and_has_a_line_for_each_hole():
    header = SheetHeader(
        "Plate <A>",
        "BW-1",
        "C",
        "",
        Unit.INCH,
        "mill 3",
        datetime(2025, 5, 19, tzinfo=UTC),
        "1",
        "2",
    )
    page = plate_sheet(
        header,
        plate(),
        callout=read_callout("8 H7 x 22 through"),
        material=find_material("16MnCr5"),
        v_c=150,
        f=0.7,
        gauges=("8.00", "8.01"),
    )
    assert not unclosed(page)
    said = text_of(page)
    assert "test plate sheet" in said.lower()
    assert "Plate <A>" in said
    for name in ("A1", "E12"):
        assert f" {name} " in said
    assert "tight curl, loose, long, nest" in said
    assert "sfm" in said  # an inch print says its own unit first
    assert "http" not in page.replace("http://www.w3.org/2000/svg", "")


MEANS = tuple(
    LevelMean(
        "feed", f"feed {p} %", p / 100, 8.006 + p / 1e5, 8.0055 + p / 1e5, 8.0066 + p / 1e5, 12
    )
    for p in (70, 85, 100, 115, 130)
)


@pytest.mark.parametrize("unit", list(Unit))
def test_main_effects_stand_on_one_scale_of_size(unit):
    more = (
        LevelMean("holder", "holder A", 0, 8.0065, 8.006, 8.007, 30),
        LevelMean("holder", "holder B", 1, 8.0075, 8.007, 8.008, 30),
    )
    svg = effect_plot_svg((*MEANS, *more), LIMITS, unit)
    assert len(list(read(svg).iter(f"{SVG}circle"))) == 7
    assert loads_nothing(svg)
    assert not outside(svg)
    assert not touching(svg)
    said = [label.words for label in labels(svg)]
    assert {"feed", "holder", "70 %", "B"} <= set(said)


def test_a_limit_is_drawn_where_the_means_come_near_it():
    near = tuple(
        LevelMean("feed", f"feed {p} %", p, 8.001 + p / 1e6, 8.0003, 8.002, 12) for p in (70, 130)
    )
    said = [label.words for label in labels(effect_plot_svg(near, LIMITS, Unit.MM))]
    assert any(words.startswith("lower limit 8.000 mm") for words in said)


@pytest.mark.parametrize("unit", list(Unit))
def test_the_run_chart_shows_limits_trend_and_tool_changes(unit):
    svg = run_chart_svg(
        chart(unit, ((301.0, "R 8 in"), (310.0, "R 9 in"), (760.0, "due: hole 760")))
    )
    assert loads_nothing(svg)
    assert not outside(svg)
    assert not touching(svg)
    said = [label.words for label in labels(svg)]
    assert {"R 8 in", "R 9 in", "due: hole 760", "holes cut"} <= set(said)
    classes = [e.get("class") for e in read(svg).iter() if e.get("class")]
    assert classes.count("limit") == 2
    assert classes.count("trend") == 2  # known, and foretold
    assert "band" in classes


def test_intervals_open_at_one_end_run_to_the_edge_of_the_chart():
    svg = run_chart_svg(chart())
    group = next(g for g in read(svg).iter(f"{SVG}g") if g.get("class") == "holes")
    bars = list(group.iter(f"{SVG}line"))
    assert len(bars) == 3
    assert len(list(group.iter(f"{SVG}circle"))) == 1


@pytest.mark.parametrize("plain", [False, True])
def test_the_chart_in_characters_fits_and_says_what_its_lines_are(plain):
    text = run_chart_text(chart(ticks=((301.0, "R 9 in"),)), 70, plain=plain)
    lines = text.splitlines()
    assert max(len(line) for line in lines) <= 70
    assert text.isascii() == plain
    assert any(line.strip().startswith("8.0150 mm") for line in lines)
    assert any(line.strip().startswith("8.0000 mm") for line in lines)
    assert lines[-1].strip() == "301: R 9 in"
    assert "o" in text
    assert "|" in text


def test_ticks_are_round_numbers():
    assert list(nice_ticks(1, 801)) == [100 * i for i in range(1, 9)]
    assert list(nice_ticks(0, 12)) == [0, 2, 4, 6, 8, 10, 12]
