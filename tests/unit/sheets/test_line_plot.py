"""Curves over axes: to scale, labelled where they stand, and printable."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from picture_reader import labels, loads_nothing, outside, points, read, touching

from holewright.errors import OutOfRangeError
from holewright.proof.plans import Plan, oc_curve
from holewright.sheets.line_plot import Line, LinePlot, line_plot_svg

SVG = "{http://www.w3.org/2000/svg}"


def oc_plot():
    curve = oc_curve(Plan(52, 3))
    drawn = tuple(zip(curve.share_outside.tolist(), curve.accepted.tolist(), strict=True))
    marks = ((0.0265, 0.95, "2.65 % outside: passes 95 in 100"), (0.125, 0.1, "12.5 % outside"))
    return LinePlot("OC curve", "share outside", "chance that it passes", (Line(drawn),), marks)


def test_labels_stay_inside_and_touch_nothing_and_nothing_is_loaded():
    svg = line_plot_svg(oc_plot())
    assert outside(svg) == []
    assert touching(svg) == []
    assert loads_nothing(svg)
    said = [label.words for label in labels(svg)]
    assert "chance that it passes" in said
    assert "2.65 % outside: passes 95 in 100" in said


def test_the_curve_is_to_scale_with_its_axis():
    svg = line_plot_svg(oc_plot())
    ticks = {label.words: label for label in labels(svg)}
    (curve,) = [e for e in read(svg).iter(f"{SVG}path") if e.get("class") == "curve"]
    drawn = points(curve)
    # The curve begins at 100 % and ends near 0 %: as high as these ticks stand.
    middle = {name: (ticks[name].y0 + ticks[name].y1) / 2 for name in ("100 %", "80 %")}
    assert drawn[0][1] == pytest.approx(middle["100 %"], abs=2)
    per_percent = (middle["80 %"] - middle["100 %"]) / 20
    assert drawn[-1][1] - drawn[0][1] == pytest.approx(99.9 * per_percent, rel=0.01)


def test_a_flat_curve_and_a_large_number_have_axes_too():
    svg = line_plot_svg(
        LinePlot("flat", "holes", "share", (Line(((1.0, 0.5), (125000.0, 0.5))),), x_scale="number")
    )
    assert outside(svg) == []
    assert any(label.words == "100,000" for label in labels(svg))


@given(
    st.lists(
        st.tuples(st.floats(0, 1), st.floats(0, 1), st.text("abc 50%", min_size=1, max_size=30)),
        max_size=6,
    ),
    st.floats(480, 900),
)
def test_whatever_is_marked_labels_never_touch(marks, width):
    line = Line(((0.0, 1.0), (1.0, 0.0)), "a curve")
    svg = line_plot_svg(LinePlot("any", "x", "y", (line,), tuple(marks)), width)
    assert outside(svg) == []
    assert touching(svg) == []


@pytest.mark.parametrize(
    ("plot", "width", "said"),
    [
        (oc_plot(), 300.0, "width = 300"),
        (LinePlot("t", "x", "y", (Line(((0.0, 0.0),)),)), 600.0, "points = 1"),
    ],
)
def test_a_picture_too_small_or_a_curve_too_short_is_refused(plot, width, said):
    with pytest.raises(OutOfRangeError, match=said):
        line_plot_svg(plot, width)
