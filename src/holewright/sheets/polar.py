"""The outline of a hole as roundness charts draw it: exaggerated, about its own centre.

Once as SVG for paper and screen, once in text for the terminal.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from xml.etree import ElementTree as ET

import numpy as np
from numpy.typing import NDArray

from holewright.errors import OutOfRangeError
from holewright.sheets import svg
from holewright.units import Unit, format_small

SMALLEST = 240.0
"""Least width at which the labels find room. [px]"""

_STEPS = (1, 2, 5)
_FOOT = 66.0
_TEXT_POINTS = 240


@dataclass(frozen=True)
class PolarPlot:
    """One outline with the circles that it is held against.

    Parameters
    ----------
    title : str
        What it shows, for a reader that speaks.
    outline : ndarray
        Radius of the wall less that of the tool, at evenly spaced angles. [mm]
    pin : float
        Diameter of the inscribed circle less that of the tool. [mm]
    unit : Unit
        Unit of the labels.
    """

    title: str
    outline: NDArray[np.float64]
    pin: float
    unit: Unit

    @property
    def centred(self) -> NDArray[np.float64]:
        """The outline about the centre of its least-squares circle. [mm]"""
        r = np.asarray(self.outline, dtype=np.float64)
        angle = 2 * np.pi * np.arange(r.size) / r.size
        shift = 2 * (r * np.exp(-1j * angle)).mean()
        return np.asarray(r - (shift * np.exp(1j * angle)).real)

    @property
    def ring(self) -> float:
        """Distance from one circle of the chart to the next, a round number. [mm]"""
        reach = max(float(np.abs(self.centred).max()), abs(self.pin) / 2, 0.0005)
        power = 10.0 ** math.floor(math.log10(reach / 2))
        return next(power * step for step in (*_STEPS, 10) if power * step >= reach / 2 - 1e-12)


def polar_svg(plot: PolarPlot, width: float = 420.0) -> str:
    """Return the chart as an SVG picture, for paper and screen, black and white.

    Parameters
    ----------
    plot : PolarPlot
        What to show.
    width : float
        Width, 240 or more. [px]

    Returns
    -------
    str
        One ``<svg>`` element that loads nothing.

    Raises
    ------
    OutOfRangeError
        If the picture is too small for its labels.
    """
    if not width >= SMALLEST:
        raise OutOfRangeError("width", width, f"{SMALLEST:g} px or more")
    root = svg.picture(width, plot.title)
    middle, radius = width / 2, width / 2 - 12
    base, per_ring = radius * 0.6, radius * 0.18
    scale = per_ring / plot.ring

    def ring_at(deviation: float) -> float:
        return base + scale * deviation

    rings = svg.group(root, "rings")
    for step in (-2, -1, 1, 2):
        _circle(rings, middle, ring_at(step * plot.ring), stroke=svg.FAINT)
    _circle(rings, middle, base, stroke=svg.SOFT, dash="5 3")
    _circle(root, middle, ring_at(plot.pin / 2), stroke=svg.ACCENT, dash="2 2", name="pin")
    angles = 2 * np.pi * np.arange(plot.centred.size) / plot.centred.size
    points = [
        (middle + ring_at(r) * math.cos(a), middle - ring_at(r) * math.sin(a))
        for r, a in zip(plot.centred, angles, strict=True)
    ]
    svg.path(root, points, closed=True, stroke=svg.INK, width=1.8, name="wall")
    foot = width + 14
    for words in _words(plot):
        svg.text(root, words, middle, foot, anchor="middle")
        foot += 16
    return svg.render(root, width + _FOOT, "; ".join(_words(plot)))


def _words(plot: PolarPlot) -> tuple[str, ...]:
    return (
        "solid: the wall about its own centre; long dashes: the reamer",
        f"short dashes: what a pin feels, {format_small(plot.pin, plot.unit, signed=True)} on "
        "diameter",
        f"rings {format_small(plot.ring, plot.unit)} apart",
    )


def _circle(
    parent: ET.Element,
    middle: float,
    radius: float,
    *,
    stroke: str,
    dash: str = "",
    name: str = "",
) -> None:
    turn = np.linspace(0, 2 * np.pi, 121)[:-1]
    points = [(middle + radius * math.cos(a), middle - radius * math.sin(a)) for a in turn]
    svg.path(parent, points, closed=True, stroke=stroke, dash=dash, name=name)


def polar_text(plot: PolarPlot, rows: int = 21) -> str:
    """Return the chart in text: dots for the reamer, filled circles for the wall.

    Parameters
    ----------
    plot : PolarPlot
        What to show.
    rows : int
        Height, odd, 9 or more. [lines]

    Returns
    -------
    str
        Lines without trailing blanks.

    Raises
    ------
    OutOfRangeError
        If there are too few rows, or an even number of them.
    """
    if rows < 9 or rows % 2 == 0:
        raise OutOfRangeError("rows", rows, "odd, 9 or more")
    half = rows // 2
    grid = [[" "] * (4 * half + 1) for _ in range(rows)]
    base, per_ring = 0.6 * half, 0.2 * half
    turn = 2 * np.pi * np.arange(_TEXT_POINTS) / _TEXT_POINTS
    own = 2 * np.pi * np.arange(plot.centred.size + 1) / plot.centred.size
    wall = np.interp(turn, own, np.append(plot.centred, plot.centred[0]))
    for mark, deviation in (("·", np.zeros(_TEXT_POINTS)), ("●", wall)):
        radius = base + per_ring * deviation / plot.ring
        for r, a in zip(radius, turn, strict=True):
            column = round(2 * half + 2 * r * math.cos(a))
            row = round(half - r * math.sin(a))
            if 0 <= row < rows and 0 <= column <= 4 * half:
                grid[row][column] = mark
    lines = ["".join(line).rstrip() for line in grid]
    key = (
        f"● wall, · reamer; a fifth of the height is "
        f"{format_small(2 * plot.ring, plot.unit)} of radius"
    )
    return "\n".join([*lines, key])
