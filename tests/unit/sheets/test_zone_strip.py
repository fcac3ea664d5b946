"""The zone strip: true to scale, labelled directly, never ambiguous at its edges."""

from __future__ import annotations

import math
import re

import pytest
from brakelund_documents import EIGHT_H7, ESTIMATE, FORECAST, PINS
from picture_reader import SVG, labels, loads_nothing, named, outside, points, read, touching

from holewright.callout.callout import Limits
from holewright.errors import OutOfRangeError
from holewright.gauging.estimate import HoleInterval
from holewright.sheets.zone_strip import (
    PinMark,
    Spread,
    SpreadKind,
    ZoneStrip,
    estimate_strip,
    forecast_spread,
    pin_mark,
    zone_strip_svg,
    zone_strip_text,
)
from holewright.shop.pin import Sense
from holewright.units import Unit

FULL = ZoneStrip(
    EIGHT_H7,
    Unit.MM,
    reamer=Limits(8.007, 8.0128),
    spread=Spread(SpreadKind.FORECAST, 8.0096, 0.0019, (8.0059, 8.0133)),
    pins=(
        PinMark("8.00", Sense.PLUS, 8.0, 8.0005, "GO"),
        PinMark("8.02", Sense.MINUS, 8.0145, 8.015, "NO-GO"),
    ),
    readings=(8.0075,),
    holes=(HoleInterval("7", 8.003, 8.009),),
)


def words(svg: str) -> str:
    return " | ".join(label.words for label in labels(svg))


@pytest.mark.parametrize("width", [480, 720, 1000])
def test_the_limits_stand_where_the_scale_puts_them(width):
    # 60 % of the tolerance on either side: the zone goes from 0.6/2.2 to 1.6/2.2 of the width.
    svg = zone_strip_svg(FULL, width)
    assert float(named(svg, "limit lower").get("x1")) == pytest.approx(width * 0.6 / 2.2, abs=0.01)
    assert float(named(svg, "limit upper").get("x1")) == pytest.approx(width * 1.6 / 2.2, abs=0.01)


def test_a_reading_in_the_middle_of_the_zone_stands_in_the_middle_of_the_strip():
    dots = [float(dot.get("cx")) for dot in read(zone_strip_svg(FULL, 720)).iter(f"{SVG}circle")]
    assert dots == [pytest.approx(360.0)]


def test_the_reamers_limits_and_the_density_are_to_the_same_scale():
    svg = zone_strip_svg(FULL, 660)  # 33 µm across: 20 px a µm, 7.991 mm at the left edge
    reamer = named(svg, "reamer-limits", "rect")
    assert float(reamer.get("x")) == pytest.approx(16 * 20, abs=0.01)
    assert float(reamer.get("width")) == pytest.approx(5.8 * 20, abs=0.02)
    density = max(
        (p for p in read(svg).iter(f"{SVG}path") if p.get("stroke-width") == "2"),
        key=lambda p: len(points(p)),
    )
    top = min(points(density), key=lambda point: point[1])
    assert top[0] == pytest.approx(18.6 * 20, abs=2)


def test_it_names_limits_in_both_units_pins_with_sense_and_true_size_and_the_edge():
    said = words(zone_strip_svg(FULL))
    for expected in (
        "8.000 mm | (.31497 in)",
        "8.015 mm | (.31555 in)",
        "forecast, 95 % of holes",
        "reamer made 8.0070 to 8.0128 mm",
        "GO pin 8.00 plus is 8.0000 to 8.0005 mm (.31496 to .31498 in)",
        "NO-GO pin 8.02 minus is 8.0145 to 8.0150 mm",
        "1 bore-gauge reading 8.0075 mm",
        "hole 7 8.0030 to 8.0090 mm",
        "Forecast: mean 8.0096 mm (.31534 in)",
        # 8.015 - 8.0133 = 1.7 µm, nearer than 8.0059 - 8.000
        "stays 1.7 µm (.00007 in, 0.7 tenths) inside the upper limit",
    ):
        assert expected in said


def test_a_spread_that_passes_a_limit_says_by_how_much():
    wide = ZoneStrip(
        EIGHT_H7, Unit.MM, spread=Spread(SpreadKind.ESTIMATE, 8.001, 0.002, (7.997, 8.005))
    )
    assert "passes the lower limit by 3 µm" in words(zone_strip_svg(wide))


def test_inch_prints_are_written_in_inches_first():
    strip = ZoneStrip(Limits(7.9375, 7.9502), Unit.INCH)
    said = words(zone_strip_svg(strip))
    assert ".3125 in | (7.9375 mm)" in said
    assert ".00050 in, 5.0 tenths | (12.7 µm)" in said


def test_what_lies_beyond_the_margin_stands_at_the_edge_with_an_arrow_and_its_value():
    far = ZoneStrip(
        EIGHT_H7,
        Unit.MM,
        pins=(PinMark("8.10", Sense.PLUS, 8.1, 8.105),),
        readings=(7.9,),
        holes=(HoleInterval("3", 8.01, math.inf),),
    )
    svg = zone_strip_svg(far, 720)
    for name, edge in (("bar pin", 720), ("bar holes", 720), ("bar readings", 0)):
        (group,) = [g for g in read(svg).iter(f"{SVG}g") if g.get("class") == name]
        tips = [points(p)[0][0] for p in group.iter(f"{SVG}path")]
        assert tips == [edge], name
    said = words(svg)
    assert "pin 8.10 plus is 8.1000 to 8.1050 mm" in said
    assert "1 bore-gauge reading 7.9000 mm" in said
    assert "hole 3 above 8.0100 mm" in said
    text = zone_strip_text(far)
    assert "►" in text
    assert "◄" in text


def test_holes_with_the_same_interval_share_a_line_and_many_different_ones_stay_countable():
    same = ZoneStrip(
        EIGHT_H7, Unit.MM, holes=tuple(HoleInterval(str(i), 8.0, 8.01) for i in range(9))
    )
    assert "9 holes 8.0000 to 8.0100 mm" in words(zone_strip_svg(same))
    many = tuple(HoleInterval(str(i), 8.0 + i * 1e-4, 8.01 + i * 1e-4) for i in range(40))
    svg = zone_strip_svg(ZoneStrip(EIGHT_H7, Unit.MM, holes=many))
    assert "40 holes in 40 different intervals" in words(svg)
    (group,) = [g for g in read(svg).iter(f"{SVG}g") if g.get("class") == "hole-intervals"]
    assert len(list(group)) == 40


def test_dots_that_fall_together_are_stacked_not_hidden():
    strip = ZoneStrip(EIGHT_H7, Unit.MM, readings=(8.005,) * 30)
    places = {(d.get("cx"), d.get("cy")) for d in read(zone_strip_svg(strip)).iter(f"{SVG}circle")}
    assert len(places) == 30


def test_a_contradictory_hole_is_neither_dot_nor_bar():
    holes = (*ESTIMATE.holes, HoleInterval("C", 8.01, 8.0))
    from dataclasses import replace

    strip = estimate_strip(EIGHT_H7, Unit.MM, replace(ESTIMATE, holes=holes))
    assert strip.readings == (8.009,)
    assert [h.hole for h in strip.holes] == ["A"]


def test_an_estimate_without_a_fit_has_no_density_and_claims_none():
    from dataclasses import replace

    strip = estimate_strip(EIGHT_H7, Unit.MM, replace(ESTIMATE, mean=None, sd=None))
    assert strip.spread is None
    assert "Estimate" not in words(zone_strip_svg(strip))


def test_a_forecast_spread_holds_ninety_five_per_cent():
    # mean 8.0092, sd 1.6 µm; the 97.5 % quantile of the normal distribution is 1.959964 sd
    spread = forecast_spread(FORECAST)
    assert spread.interval == pytest.approx(
        (8.0092 - 1.959964 * 0.0016, 8.0092 + 1.959964 * 0.0016)
    )


def test_a_class_zz_minus_pin_reaches_its_class_tolerance_below_its_mark():
    # ASME B89.1.5: class ZZ to .825 in is .0002 in = 5.08 µm
    mark = pin_mark(PINS[1], "GO")
    assert (mark.lower, mark.upper) == pytest.approx((8.01 - 0.00508, 8.01))


@pytest.mark.parametrize("width", [340, 480, 560, 720, 1100])
def test_labels_touch_neither_each_other_nor_the_edge(width):
    svg = zone_strip_svg(FULL, width)
    assert touching(svg) == []
    assert outside(svg) == []


def test_a_name_with_markup_in_it_stays_a_name():
    evil = ZoneStrip(
        EIGHT_H7, Unit.MM, pins=(PinMark("<script>x", Sense.PLUS, 8.0, 8.001, "GO & run"),)
    )
    svg = zone_strip_svg(evil)
    assert "<script" not in svg
    assert "GO & run pin <script>x plus" in words(svg)


def test_it_loads_nothing_and_tells_the_blind_the_same():
    svg = zone_strip_svg(FULL)
    assert loads_nothing(svg)
    assert "inside the upper limit" in read(svg).find(f"{SVG}desc").text


@pytest.mark.parametrize("columns", [48, 60, 78, 100, 200])
@pytest.mark.parametrize("ascii_only", [False, True])
def test_no_line_of_text_is_longer_than_the_columns(columns, ascii_only):
    text = zone_strip_text(FULL, columns, ascii_only)
    assert max(map(len, text.splitlines())) <= columns
    assert not ascii_only or text.isascii()


def test_the_text_puts_the_limits_in_their_columns():
    lines = zone_strip_text(FULL, 78).splitlines()
    base = next(line for line in lines if line.count("┴") == 2)
    # 77 steps across 2.2 tolerances: 0.6 and 1.6 of them are at 21 and 56
    assert [m.start() for m in re.finditer("┴", base)] == [21, 56]
    assert base[39 - 1 : 39 + 1].count("●") == 1  # 8.0075 is the middle, column 38.5


def test_plain_ascii_still_says_units_and_arrows():
    far = ZoneStrip(EIGHT_H7, Unit.MM, readings=(8.1, 8.005, 8.005))
    text = zone_strip_text(far, ascii_only=True)
    assert "15 um" in text
    assert ">" in text
    assert re.search(r"-2-", text)  # two readings in one column are counted


def test_a_strip_too_narrow_for_its_labels_is_refused_by_name():
    with pytest.raises(OutOfRangeError, match="width = 300: must be 340 px or more"):
        zone_strip_svg(FULL, 300)
    with pytest.raises(OutOfRangeError, match="columns = 20: must be 48 or more"):
        zone_strip_text(FULL, 20)
    with pytest.raises(OutOfRangeError, match="lower limit"):
        ZoneStrip(Limits(8.0, 8.0), Unit.MM)
