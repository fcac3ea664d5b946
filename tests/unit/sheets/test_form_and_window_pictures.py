"""The chart of a wall and the map of a window, in SVG and in text."""

from __future__ import annotations

from xml.etree import ElementTree as ET

import numpy as np
import pytest

from holewright.errors import OutOfRangeError
from holewright.planning.window import Border, Window
from holewright.sheets.polar import PolarPlot, polar_svg, polar_text
from holewright.sheets.window_text import window_text
from holewright.units import Unit

ANGLE = 2 * np.pi * np.arange(720) / 720
LOBED = PolarPlot("seven lobes", 0.010 * np.cos(7 * ANGLE) + 0.05 * np.cos(ANGLE), -0.020, Unit.MM)
SPEEDS, FEEDS = np.geomspace(10, 100, 31), np.geomspace(0.1, 1.0, 21)
HALF = np.tile((SPEEDS < 40)[:, None], (1, 21))
WINDOW = Window(
    SPEEDS,
    FEEDS,
    HALF,
    (Border("speed-high", "needs more", (np.array([[40.0, 0.1], [40.0, 1.0]]),)),),
    (20.0, 0.3),
)


def radii(svg: str, name: str) -> np.ndarray:
    """Return the distances of a drawn outline from the middle of the picture."""
    root = ET.fromstring(svg)
    path = next(e for e in root.iter() if e.get("class") == name)
    numbers = path.get("d", "").replace("M", "").replace("Z", "").replace("L", " ").split()
    points = np.array(numbers, dtype=float).reshape(-1, 2)
    middle = float(root.get("width", "0")) / 2
    return np.hypot(points[:, 0] - middle, points[:, 1] - middle)


def test_the_wall_is_drawn_about_its_own_centre_with_all_its_lobes() -> None:
    """Seven peaks, though the hole lies 50 µm off; and as deep as they are high."""
    drawn = radii(polar_svg(LOBED), "wall")
    peaks = (drawn > np.roll(drawn, 1)) & (drawn >= np.roll(drawn, -1))
    assert peaks.sum() == 7
    assert drawn.max() - drawn.mean() == pytest.approx(drawn.mean() - drawn.min(), rel=0.01)


def test_the_pin_touches_the_wall_from_inside() -> None:
    """Mean less two amplitudes on diameter: its circle is the least radius of the wall."""
    svg = polar_svg(LOBED)
    pin = radii(svg, "pin")
    assert np.ptp(pin) < 0.1
    assert pin.mean() == pytest.approx(radii(svg, "wall").min(), abs=0.2)
    assert "-20 µm on diameter" in svg


def test_rings_are_round_numbers_and_the_scale_is_said() -> None:
    assert LOBED.ring == pytest.approx(0.005)
    assert "rings 5 µm apart" in polar_svg(LOBED)


def test_in_text_wall_and_reamer_are_told_apart() -> None:
    text = polar_text(LOBED, 25)
    assert text.count("●") > 40
    assert text.count("·") > 40
    assert len(text.splitlines()) == 26


def test_a_picture_too_small_for_its_labels_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match="width"):
        polar_svg(LOBED, 100.0)
    with pytest.raises(OutOfRangeError, match="rows"):
        polar_text(LOBED, 10)


def test_the_map_shows_what_is_allowed_and_where_the_border_runs() -> None:
    lines = window_text(WINDOW, Unit.MM, columns=60, rows=12).splitlines()
    body = [line.split("│")[1] for line in lines if "│" in line]
    assert len(body) == 12
    border = {line.index("A") for line in body}
    assert len(border) == 1  # upright
    (column,) = border
    for line in body:
        assert "░" not in line[column:]
        assert set(line[:column]) <= {"░", "●"}
    assert sum(line.count("●") for line in body) == 1
    assert any(line.startswith("A ") for line in lines)


def test_the_map_speaks_the_unit_of_the_print() -> None:
    text = window_text(WINDOW, Unit.INCH)
    assert "in/rev" in text
    assert "sfm" in text
    assert "m/min" not in text


def test_a_map_too_small_to_read_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match="columns and rows"):
        window_text(WINDOW, Unit.MM, columns=20)
