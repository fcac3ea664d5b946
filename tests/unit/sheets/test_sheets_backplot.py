"""The page of a back-plot: what it shows, and that nothing gets out of it."""

from __future__ import annotations

import json
import re
from xml.etree import ElementTree as ET

import pytest

from holewright.program.fixture import OPEN, Fixture, KeepOut
from holewright.program.read_program import read_program
from holewright.sheets.backplot import backplot_page, cut_rows
from holewright.sheets.backplot_svg import plan_svg, section_svg
from holewright.shop.generic import generic_shop

MACHINE = generic_shop().machines[0]
PROGRAM = """%
(- T1 DRILL, D 7.8, DIA 7.800, N 3000, F 0.150/REV, 450.0/MIN, TO Z-26.000)
(- T2 REAM, R 8, DIA 8.000, N 480, F 0.300/REV, 144.0/MIN, TO Z-24.000)
N10 G21 G90 G17 G40 G80 G94 G54
N20 T1 M6
N30 S3000 M3
N40 G0 X0.000 Y0.000
N50 G43 H1 Z25.000
N60 M8
N70 G98 G81 X0.000 Y0.000 Z-26.000 R2.000 F450.0
N80 X60.000 Y44.000
N90 G80
N100 G0 Z100.000
N110 M5
N120 T2 M6
N130 S480 M3
N140 G0 X0.000 Y0.000
N150 G43 H2 Z25.000
N160 G98 G85 X0.000 Y0.000 Z-24.000 R2.000 F144.0
N170 X60.000 Y44.000
N180 G80
N190 G0 Z100.000
N200 M5
N210 M30
%
"""


def read(name: str = "plate", fixture: Fixture = OPEN, text: str = PROGRAM):
    return read_program(text, name, MACHINE, fixture=fixture)


def test_alike_holes_stand_on_one_row():
    drilled, reamed = cut_rows(read())
    assert (drilled.tool, drilled.does, drilled.holes, drilled.bottom) == (1, "drill", 2, "-26.000")
    assert (drilled.feed_in, drilled.feed_out) == ("450.0", "rapid")
    assert (reamed.feed_in, reamed.feed_out, reamed.n) == ("144.0", "144.0", "480")


def test_a_slow_entry_and_a_standing_spindle_are_said():
    text = PROGRAM.replace(
        "N160 G98 G85 X0.000 Y0.000 Z-24.000 R2.000 F144.0",
        "N160 G0 Z2.000\nG1 Z-8.000 F72.0\nG1 Z-24.000 F144.0\nM5\nG0 Z25.000\nS480 M3\n"
        "N165 G98 G85 X0.000 Y0.000 Z-24.000 R2.000 F144.0",
    )
    row = cut_rows(read(text=text))[1]
    assert row.feed_in == "72.00, then 144.0"
    assert row.feed_out == "rapid, spindle standing"


def circles(svg: str) -> list[tuple[float, float, float]]:
    root = ET.fromstring(svg)
    holes = next(g for g in root.iter() if g.get("class") == "holes")
    return [
        (float(c.get("cx")), float(c.get("cy")), float(c.get("r"))) for c in holes if c.get("r")
    ]


def test_the_plate_is_drawn_to_scale_with_y_up():
    svg, scale = plan_svg(read())
    (first, second) = circles(svg)
    assert (second[0] - first[0]) / scale.factor == pytest.approx(60, abs=0.01)
    assert (first[1] - second[1]) / scale.factor == pytest.approx(44, abs=0.01)
    assert first[2] * 2 / scale.factor == pytest.approx(8.0, abs=0.01)
    assert scale.place(0, 0) == pytest.approx(first[:2], abs=0.01)


def test_everything_lies_inside_the_picture():
    clamp = KeepOut("strap clamp", -60, -40, -30, 80, 18.0)
    svg, _ = plan_svg(read(fixture=Fixture((clamp,))))
    root = ET.fromstring(svg)
    width, height = float(root.get("width")), float(root.get("height"))
    for x, y, r in circles(svg):
        assert r <= x <= width - r
        assert r <= y <= height - r
    assert "strap clamp, 18 mm high" in svg


def test_the_section_says_every_height_and_depth():
    svg, (factor, offset) = section_svg(read(fixture=Fixture(floor=30.0)))
    words = [text.text for text in ET.fromstring(svg).iter("{http://www.w3.org/2000/svg}text")]
    for said in ("100 mm  safe height", "25 mm  between holes", "2 mm  R, feed begins"):
        assert said in words
    for said in ("-26 mm  T1 drill", "-24 mm  T2 ream", "-30 mm  floor under the part"):
        assert said in words
    assert offset - factor * 100 == pytest.approx(40)


def test_the_page_loads_nothing_and_holds_its_moves():
    page = backplot_page(read())
    assert not re.search(r"(?:src|href)\s*=", page)
    assert "url(http" not in page
    moves = json.loads(re.search(r'id="moves">(.*?)</script>', page, re.S)[1])
    times = [move[0] for move in moves]
    assert times == sorted(times)
    # Total of the page, less the spindle's waiting, which no move shows.
    total = sum(time.total_s - time.spindle_s for time in read().times)
    assert times[-1] == pytest.approx(total, abs=0.01)
    deepest = min(float(move[9]) for move in moves)
    assert deepest == -26.0


@pytest.mark.parametrize("name", ["</script><script>alert 1</script>", "<b>&\"'", "µ Ø ]]>"])
def test_no_name_gets_out_of_its_place(name):
    text = PROGRAM.replace("D 7.8,", f"{name.upper()},")
    page = backplot_page(read(name, text=text))
    assert page.count("<script") == 2
    assert page.count("</script>") == 2
    assert "<b>" not in page


def test_what_would_hit_stands_on_the_page():
    page = backplot_page(read(text=PROGRAM.replace("N90 G80\n", "N90 G80\nG0 Z-27.000\n")))
    assert "It would hit something" in page
    assert "goes at rapid to Z-27.000" in page
    assert "It would hit something" not in backplot_page(read())


def test_a_program_of_very_many_moves_stands_still():
    cells = "".join(f"X{i % 200}.000 Y{i // 200}.000\n" for i in range(1, 16_000))
    text = PROGRAM.replace("N80 X60.000 Y44.000\n", cells)
    page = backplot_page(read(text=text))
    assert '<script type="application/json" id="moves">[]</script>' in page
    assert 'id="text"' not in page
