"""The window and the map of the holes, as pictures."""

from __future__ import annotations

import math
import re

import numpy as np
import pytest

from holewright.errors import OutOfRangeError
from holewright.jobs.jobfile import read_job
from holewright.jobs.plan_hole import study_job
from holewright.planning.window import window_of
from holewright.sheets.gauge_map import gauge_map_svg
from holewright.sheets.window_svg import NAMES, name_of, window_frame, window_svg
from holewright.units import Unit
from served_shop import BRAKELUND


@pytest.fixture(scope="module")
def window():
    return window_of(study_job(read_job(BRAKELUND / "job_a.toml")).point)


def circles(svg: str, group: str) -> list[tuple[float, float]]:
    inside = re.search(rf'<g class="{group}">(.*?)</g>', svg, re.S)[1]
    return [(float(x), float(y)) for x, y in re.findall(r'cx="([\d.]+)" cy="([\d.]+)"', inside)]


@pytest.mark.parametrize("unit", list(Unit))
@pytest.mark.parametrize("width", [350, 720])
def test_the_point_stands_where_its_speed_and_feed_put_it(window, unit, width):
    svg = window_svg(window, unit, point=(150.0, 0.6), width=width)
    frame = window_frame(window, width)
    (at,) = circles(svg, "point")
    # Both axes are logarithmic: half the ratio is half the way.
    low, high = window.v_c[0], window.v_c[-1]
    share = math.log(150 / low) / math.log(high / low)
    assert at[0] == pytest.approx(frame.left + share * (frame.right - frame.left), abs=0.01)
    assert at[1] == pytest.approx(frame.y(0.6), abs=0.01)


def test_every_limit_that_crosses_it_is_drawn_and_named(window):
    svg = window_svg(window, Unit.MM)
    for border in window.borders:
        assert f'class="{border.code}"' in svg
        assert (
            f">{name_of(border.code).replace(chr(39), '&#39;')}<" in svg
            or name_of(border.code) in svg
        )
        assert border.code in NAMES


def test_the_region_is_what_the_window_allows(window):
    svg = window_svg(window, Unit.MM)
    path = re.search(r'<path d="([^"]+)"[^>]*class="allowed"', svg)[1]
    area = 0.0
    for x0, y0, x1, y1 in re.findall(r"M([\d.]+) ([\d.]+)H([\d.]+)V([\d.]+)", path):
        area += (float(x1) - float(x0)) * (float(y0) - float(y1))
    frame = window_frame(window)
    whole = (frame.right - frame.left) * (frame.bottom - frame.top)
    assert area / whole == pytest.approx(float(np.mean(window.allowed)), abs=0.01)


def test_the_axes_are_in_the_unit_that_comes_first(window):
    assert "sfm" in window_svg(window, Unit.INCH)
    assert "m/min" in window_svg(window, Unit.MM)


def test_a_picture_too_narrow_for_its_labels_is_refused(window):
    with pytest.raises(OutOfRangeError, match="340 px or more"):
        window_svg(window, Unit.MM, width=200)


def test_the_map_keeps_places_and_gives_every_state_its_own_sign():
    holes = ((0.0, 0.0), (60.0, 0.0), (60.0, 44.0), (0.0, 44.0))
    said = {1: "inside", 2: "outside", 3: "not shown"}
    svg = gauge_map_svg(holes, said, asked=4)
    at = [circles(svg, f"hole n{n} {word}")[0] for n, word in
          ((1, "inside"), (2, "outside"), (3, "not-shown"), (4, "open asked"))]  # fmt: skip
    assert at[1][0] - at[0][0] == pytest.approx(60 / 44 * (at[0][1] - at[3][1]), rel=0.01)
    assert at[3][1] < at[0][1]  # Y goes up
    for sign in ("✓", "✗", "?", ">4<"):
        assert sign in svg
    assert "hole 2 outside; hole 3 not shown; hole 4 open, asked now" in svg


@pytest.mark.parametrize("holes", [((0.0, 0.0),), ((5.0, 5.0), (5.0, 25.0)),
                                   tuple((x * 3.0, 0.0) for x in range(40))])  # fmt: skip
def test_any_pattern_fits_into_the_map(holes):
    svg = gauge_map_svg(holes, {})
    width, height = (
        float(re.search(rf'\b{name}="([\d.]+)"', svg)[1]) for name in ("width", "height")
    )
    for n in range(1, len(holes) + 1):
        x, y = circles(svg, f"hole n{n} open")[0]
        assert 0 < x < width
        assert 0 < y < height
