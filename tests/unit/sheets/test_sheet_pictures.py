"""The plan of the holes and the sizes in sequence: to scale and readable."""

from __future__ import annotations

import math

import pytest
from brakelund_documents import EIGHT_H7, PROGRAM
from picture_reader import SVG, labels, loads_nothing, named, outside, read, touching

from holewright.gauging.estimate import HoleInterval
from holewright.sheets.hole_map import hole_map_svg
from holewright.sheets.sequence import size_sequence_svg
from holewright.units import Unit

SIZES = (
    HoleInterval("A1", 8.0, 8.01),
    HoleInterval("A2", 8.0075, 8.0075, 0.001),
    HoleInterval("A3", 8.01, math.inf),
    HoleInterval("A4", -math.inf, 7.9),
    HoleInterval("A5", 8.012, 8.008),
)


def test_holes_lie_as_on_the_part_with_y_up():
    circles = [
        c for c in read(hole_map_svg(PROGRAM.holes, Unit.MM, diameter=8)).iter(f"{SVG}circle")
    ][:4]
    at = [(float(c.get("cx")), float(c.get("cy"))) for c in circles]
    (x1, y1), (x2, y2), (x3, y3), _ = at
    assert y1 == y2
    assert x2 == x3
    assert y3 < y1  # Y 44 is above Y 0
    assert (x2 - x1) / (y1 - y3) == pytest.approx(60 / 44, rel=0.01)


def test_the_order_is_numbered_and_few_centres_are_listed():
    svg = hole_map_svg(PROGRAM.holes, Unit.MM, diameter=8)
    said = [label.words for label in labels(svg)]
    assert {"1", "2", "3", "4"} <= set(said)
    assert any("3: X 60  Y 44 mm" in line for line in said)


@pytest.mark.parametrize(
    "holes",
    [
        pytest.param([(0.0, 0.0)], id="one hole at zero"),
        pytest.param([(i * 4.0, 0.0) for i in range(30)], id="a row of thirty"),
        pytest.param([(i % 12 * 5.0, i // 12 * 8.0) for i in range(60)], id="a test plate"),
        pytest.param([(5.0, -80.0), (5.0, 80.0)], id="a tall part"),
    ],
)
def test_numbers_that_would_touch_are_left_out_rather_than_smeared(holes):
    svg = hole_map_svg(holes, Unit.INCH, diameter=4, width=175)
    numbers = [label for label in touching(svg) if label[0].isdigit() and label[1].isdigit()]
    assert numbers == []
    assert loads_nothing(svg)


def test_a_size_in_the_middle_of_the_zone_stands_midway_between_the_limits():
    svg = size_sequence_svg(SIZES, EIGHT_H7, Unit.MM)
    (dot,) = read(svg).iter(f"{SVG}circle")
    upper, lower = (float(named(svg, f"limit {n}").get("y1")) for n in ("upper", "lower"))
    assert float(dot.get("cy")) == pytest.approx((upper + lower) / 2, abs=0.02)
    assert upper < lower


def test_sizes_beyond_the_picture_end_in_arrows_and_contradictions_in_a_cross():
    svg = size_sequence_svg(SIZES, EIGHT_H7, Unit.MM)
    (group,) = [g for g in read(svg).iter(f"{SVG}g") if g.get("class") == "holes"]
    assert len([e for e in group if e.tag == f"{SVG}path"]) == 2  # A3 up, A4 down
    diagonal = [
        e
        for e in group
        if e.tag == f"{SVG}line" and e.get("x1") != e.get("x2") and e.get("y1") != e.get("y2")
    ]
    assert len(diagonal) == 2


@pytest.mark.parametrize("n", [1, 5, 60, 400])
def test_hole_names_never_touch(n):
    holes = [HoleInterval(f"hole {i}", 8.0, 8.01) for i in range(n)]
    svg = size_sequence_svg(holes, EIGHT_H7, Unit.INCH)
    assert touching(svg) == []
    assert outside(svg) == []
