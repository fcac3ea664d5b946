"""Any sane strip renders, and its labels are readable."""

from __future__ import annotations

import math

from hypothesis import given, settings
from hypothesis import strategies as st
from picture_reader import loads_nothing, outside, touching

from holewright.callout.callout import Limits
from holewright.gauging.estimate import HoleInterval
from holewright.sheets.zone_strip import (
    PinMark,
    Spread,
    SpreadKind,
    ZoneStrip,
    zone_strip_svg,
    zone_strip_text,
)
from holewright.shop.pin import Sense
from holewright.units import Unit

NAMES = st.text(st.characters(min_codepoint=32, max_codepoint=126), min_size=1, max_size=40)


@st.composite
def strips(draw: st.DrawFn) -> ZoneStrip:
    lower = draw(st.floats(0.5, 120.0))
    width = draw(st.floats(0.002, 0.3))

    def size(low: float = -2.0, high: float = 3.0) -> float:
        return lower + width * draw(st.floats(low, high))

    def ends() -> tuple[float, float]:
        a, b = sorted((size(), size()))
        return (a, b) if a < b else (a, a + 0.1 * width)

    spread = None
    if draw(st.booleans()):
        mean, sd = size(), width * draw(st.one_of(st.just(0.0), st.floats(1e-3, 2.0)))
        kind = draw(st.sampled_from(SpreadKind))
        spread = Spread(kind, mean, sd, (mean - 1.96 * sd, mean + 1.96 * sd))
    pins = tuple(
        PinMark(
            draw(NAMES), draw(st.sampled_from(Sense)), *ends(), draw(st.sampled_from(["", "GO"]))
        )
        for _ in range(draw(st.integers(0, 5)))
    )
    holes = []
    for i in range(draw(st.integers(0, 12))):
        a, b = ends()
        open_end = draw(st.sampled_from(["", "low", "high"]))
        a, b = (-math.inf if open_end == "low" else a), (math.inf if open_end == "high" else b)
        holes.append(HoleInterval(str(i), a, b))
    return ZoneStrip(
        Limits(lower, lower + width),
        draw(st.sampled_from(Unit)),
        reamer=Limits(*ends()) if draw(st.booleans()) else None,
        spread=spread,
        pins=pins,
        readings=tuple(size() for _ in range(draw(st.integers(0, 8)))),
        holes=tuple(holes),
    )


@settings(max_examples=150)
@given(strips(), st.integers(480, 1200))
def test_labels_never_touch_and_never_leave_the_picture(strip, width):
    svg = zone_strip_svg(strip, width)
    assert touching(svg) == []
    assert outside(svg) == []
    assert loads_nothing(svg)
    assert "nan" not in svg
    assert "inf" not in svg.replace("infinite", "")


@settings(max_examples=100)
@given(strips(), st.integers(48, 160), st.booleans())
def test_text_never_runs_over_its_columns(strip, columns, ascii_only):
    text = zone_strip_text(strip, columns, ascii_only)
    assert max(map(len, text.splitlines())) <= columns
    assert not ascii_only or text.isascii()
