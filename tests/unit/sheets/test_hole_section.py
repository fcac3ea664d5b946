"""The hole section: to scale but for the stock, dimensioned, readable."""

from __future__ import annotations

from dataclasses import replace

import pytest
from brakelund_documents import BODY, PLATE, REAMER, ROUTE
from hypothesis import given, settings
from hypothesis import strategies as st
from picture_reader import SVG, labels, loads_nothing, named, outside, points, read, touching

from holewright.callout.callout import Callout, CrossBore, HoleKind, Limits
from holewright.errors import OutOfRangeError
from holewright.planning.plan import Operation, OperationKind, Route
from holewright.sheets.hole_section import hole_section_svg
from holewright.units import Unit

BLIND = Route(
    name="",
    operations=(
        Operation(OperationKind.DRILL, "N", 7.67, full_depth=20.6, tip_depth=22.4),
        Operation(OperationKind.REAM, "R", 7.943, full_depth=18.6, tip_depth=19.8),
    ),
    cost_per_good_hole=1,
    cost_parts=(),
    time_s=1,
    outside=0,
)


def words(svg: str) -> str:
    return " | ".join(label.words for label in labels(svg))


def scale_of(svg: str) -> float:
    return float(read(svg).get("data-px-per-mm"))


@pytest.mark.parametrize("width", [480, 540, 640, 900])
def test_the_plate_is_as_thick_as_the_scale_says(width):
    svg = hole_section_svg(PLATE, ROUTE, width=width)
    entry, far = named(svg, "face entry"), named(svg, "face far")
    drawn = float(far.get("x1")) - float(entry.get("x1"))
    assert drawn == pytest.approx(22 * scale_of(svg), abs=0.02)


def test_the_reamer_turns_back_where_the_route_says_and_its_lead_has_its_angle():
    svg = hole_section_svg(PLATE, ROUTE, reamer=REAMER)  # lead 1.5 mm at 45 degrees, 23.5 to 25
    entry = float(named(svg, "face entry").get("x1"))
    corners = points(named(svg, "reamer lead", "path"))
    xs = sorted({(x - entry) / scale_of(svg) for x, _ in corners})
    assert xs[-2:] == pytest.approx([23.5, 25.0], abs=0.01)
    axis = float(named(svg, "axis").get("y1"))
    front = max(y for x, y in corners if abs(x - max(x for x, _ in corners)) < 0.01)
    assert (front - axis) / scale_of(svg) == pytest.approx(4.0 - 1.5, abs=0.05)


def test_the_floor_of_a_blind_hole_stands_at_its_depth_beyond_the_drill_point():
    svg = hole_section_svg(BODY, BLIND)
    entry = float(named(svg, "face entry").get("x1"))
    floor = (float(named(svg, "floor").get("x1")) - entry) / scale_of(svg)
    assert floor == pytest.approx(23.876, abs=0.01)


def test_the_stock_is_drawn_too_thick_by_just_what_it_says():
    svg = hole_section_svg(PLATE, ROUTE)  # 8.0092 - 7.8 = 0.2092 on diameter
    drawn = float(named(svg, "stock", "rect").get("height")) / scale_of(svg)
    (note,) = [w.words for w in labels(svg) if w.words.startswith("Stock")]
    factor = float(note.split("drawn ")[1].split()[0])
    assert factor > 1
    assert drawn == pytest.approx(factor * 0.2092 / 2, rel=0.01)
    assert "Stock 0.209 mm (.0082 in) on diameter" in note


def test_a_stock_thick_enough_to_see_is_drawn_to_scale_and_says_so():
    thick = replace(
        ROUTE, operations=(replace(ROUTE.operations[0], diameter=6.0), *ROUTE.operations[1:])
    )
    assert "on diameter, drawn to scale" in words(hole_section_svg(PLATE, thick))


def test_it_is_dimensioned_like_a_drawing():
    said = words(hole_section_svg(PLATE, ROUTE))
    for expected in (
        "drilled Ø7.8 mm | (Ø.307 in)",
        "reamed Ø8.000 | to 8.015 mm | (Ø.31497 | to .31555 in)",
        "chamfer Ø8.6 mm",
        "drill full Ø 23.5 mm (.9252 in)",
        "drill tip 24.9 mm",
        "limits to 22 mm (.8661 in)",
        "reamer tip 25 mm",
    ):
        assert expected in said
    assert "floor .940 in (23.876 mm)" in words(hole_section_svg(BODY, BLIND))


def test_a_cross_bore_interrupts_the_part_and_is_dimensioned():
    crossed = replace(PLATE, cross_bores=(CrossBore(5.0, 10.0),))
    assert "cross bore Ø5 mm at 10 mm (.3937 in)" in words(hole_section_svg(crossed, ROUTE))


def test_without_a_route_only_the_finished_hole_is_drawn():
    svg = hole_section_svg(replace(PLATE, depth=None))
    assert "Stock" not in words(svg)
    assert "The callout gives no depth" in words(svg)
    assert not [e for e in read(svg).iter(f"{SVG}path") if e.get("class") == "reamer lead"]


def test_a_name_with_markup_stays_a_name_and_nothing_is_loaded():
    svg = hole_section_svg(replace(PLATE, text="<script>8 H7"), ROUTE)
    assert "<script" not in svg
    assert loads_nothing(svg)


def test_a_picture_too_narrow_for_its_labels_is_refused_by_name():
    with pytest.raises(OutOfRangeError, match="width = 100: must be 480 px or more"):
        hole_section_svg(PLATE, width=100)


@st.composite
def holes(draw: st.DrawFn) -> tuple[Callout, Route | None]:
    d = draw(st.floats(1.0, 60.0))
    depth = d * draw(st.floats(0.3, 8.0))
    blind = draw(st.booleans())
    callout = Callout(
        text="any",
        nominal=d,
        limits=Limits(d, d + 0.02),
        unit=draw(st.sampled_from(Unit)),
        kind=HoleKind.BLIND if blind else HoleKind.THROUGH,
        depth=depth,
        floor=depth + 1.5 * d if blind and draw(st.booleans()) else None,
        wall=d * draw(st.floats(0.05, 3.0)) if draw(st.booleans()) else None,
        cross_bores=(CrossBore(0.4 * d, 0.5 * depth),) if draw(st.booleans()) else (),
    )
    if draw(st.booleans()):
        return callout, None
    before = d * draw(st.floats(0.7, 0.995))
    steps = [
        Operation(
            OperationKind.DRILL, "d", before, full_depth=depth + 0.3 * d, tip_depth=depth + 0.6 * d
        ),
        Operation(OperationKind.CHAMFER, "c", d + 0.6),
        Operation(
            OperationKind.REAM, "r", d, full_depth=depth + 0.1 * d, tip_depth=depth + 0.2 * d
        ),
    ]
    kept = tuple(steps[: draw(st.integers(1, 3))])
    return callout, Route("any", kept, 1.0, (), 1.0, 0.0)


@settings(max_examples=150)
@given(holes(), st.integers(480, 900))
def test_labels_never_touch_and_never_leave_the_picture(hole, width):
    callout, route = hole
    svg = hole_section_svg(callout, route, width=width)
    assert touching(svg) == []
    assert outside(svg) == []
