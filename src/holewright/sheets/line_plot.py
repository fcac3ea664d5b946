"""A plot of curves in black and white, its points labelled where they stand."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal
from xml.etree import ElementTree as ET

from holewright.errors import OutOfRangeError
from holewright.sheets import svg

NARROWEST = 480.0
"""Least width at which axis and labels find room. [px]"""

_GAP = 8.0
_TOP = 22.0
_FOOT = 40.0
_MOST_TICKS = 6

Scale = Literal["percent", "number"]


@dataclass(frozen=True)
class Line:
    """One curve.

    Parameters
    ----------
    points : tuple of (float, float)
        Its points from left to right, at least two.
    words : str
        What it is; empty where there is only one.
    dash : str
        How it is broken; empty for an unbroken one.
    """

    points: tuple[tuple[float, float], ...]
    words: str = ""
    dash: str = ""


@dataclass(frozen=True)
class LinePlot:
    """Curves over one pair of axes.

    Parameters
    ----------
    title : str
        What it shows, for a reader that speaks.
    x_words, y_words : str
        What runs along, and what runs up.
    lines : tuple of Line
        The curves, at least one.
    marks : tuple of (float, float, str)
        Points worth naming, with their words.
    x_scale, y_scale : str
        ``percent`` for shares, ``number`` otherwise.
    y_from : float, optional
        Where the upright axis begins; by default at the least value.
    """

    title: str
    x_words: str
    y_words: str
    lines: tuple[Line, ...]
    marks: tuple[tuple[float, float, str], ...] = ()
    x_scale: Scale = "percent"
    y_scale: Scale = "percent"
    y_from: float | None = None


@dataclass(frozen=True)
class _Axis:
    """One axis: its ends in its own unit and in px, and its ticks."""

    start: float
    end: float
    at: float
    to: float
    step: float
    scale: Scale

    def place(self, value: float) -> float:
        return self.at + (value - self.start) / (self.end - self.start) * (self.to - self.at)

    def ticks(self) -> Iterator[tuple[float, str]]:
        first = math.ceil(self.start / self.step - 1e-9)
        for i in range(first, math.floor(self.end / self.step + 1e-9) + 1):
            yield self.place(i * self.step), _tick(i * self.step, self.step, self.scale)


def line_plot_svg(plot: LinePlot, width: float = 720.0, height: float = 300.0) -> str:
    """Return the plot as an SVG picture, for paper and screen, black and white.

    Parameters
    ----------
    plot : LinePlot
        What to show.
    width, height : float
        Size, width at least 480 and height at least 160. [px]

    Returns
    -------
    str
        One ``<svg>`` element that loads nothing.

    Raises
    ------
    OutOfRangeError
        If the picture is too small for its labels, or a curve has fewer than two points.
    """
    if not width >= NARROWEST:
        raise OutOfRangeError("width", width, f"{NARROWEST:g} px or more")
    if not height >= 160:
        raise OutOfRangeError("height", height, "160 px or more")
    for line in plot.lines:
        if len(line.points) < 2:
            raise OutOfRangeError("points", len(line.points), "at least 2")
    root = svg.picture(width, plot.title)
    xs = [x for line in plot.lines for x, _ in line.points]
    ys = [y for line in plot.lines for _, y in line.points]
    low = min(ys) if plot.y_from is None else plot.y_from
    y = _axis((low, max(ys)), height - _FOOT, _TOP, plot.y_scale)
    left = max(svg.text_width(words) for _, words in y.ticks()) + _GAP
    x = _axis((min(xs), max(xs)), left, width - 14, plot.x_scale)
    taken = _axes(root, plot, x, y, width, height)
    room = svg.Box(0.0, _TOP - 8, width, height - _FOOT)
    curves = []
    for line in plot.lines:
        points = [(x.place(a), y.place(min(max(b, y.start), y.end))) for a, b in line.points]
        svg.path(root, points, stroke=svg.INK, width=1.8, dash=line.dash, name="curve")
        curves.append(points)
    crossed = [svg.Box(px - 2, py - 2, px + 2, py + 2) for c in curves for px, py in _along(c)]
    marks = [(x.place(a), y.place(b), words) for a, b, words in plot.marks]
    for px, py, _ in marks:
        svg.circle(root, px, py, 3.5, fill=svg.INK)
        taken.append(svg.Box(px - 4, py - 4, px + 4, py + 4))
    for px, py, words in marks:
        _label(root, words, [(px, py)], room, taken, crossed)
    for line, points in zip(plot.lines, curves, strict=True):
        if line.words:
            places = list(_along(points))
            wanted = [places[len(places) * share // 12] for share in (8, 4, 6, 10, 2)]
            _label(root, line.words, wanted, room, taken, crossed)
    said = "; ".join(words for *_, words in plot.marks)
    return svg.render(root, height, said)


def _axis(reach: tuple[float, float], at: float, to: float, scale: Scale) -> _Axis:
    """Return an axis over a reach, its ends on ticks."""
    low, high = reach
    if not high > low:
        low, high = low - 0.5, high + 0.5
    raw = (high - low) / _MOST_TICKS
    power = 10.0 ** math.floor(math.log10(raw))
    step = power * next(m for m in (1, 2, 5, 10) if m * power >= raw * (1 - 1e-9))
    start, end = (
        step * math.floor(low / step + 1e-9),
        step * math.ceil(high / step - 1e-9),
    )
    return _Axis(start, end, at, to, step, scale)


def _tick(value: float, step: float, scale: Scale) -> str:
    """Return a tick with as many places as its step has, and no more."""
    value, step = (100 * value, 100 * step) if scale == "percent" else (value, step)
    places = max(0, -math.floor(math.log10(step) + 1e-9))
    text = f"{value:,.{places}f}"
    return f"{text} %" if scale == "percent" else text


def _axes(
    root: ET.Element, plot: LinePlot, x: _Axis, y: _Axis, width: float, height: float
) -> list[svg.Box]:
    """Draw grid, ticks and the words of the axes; return the boxes that labels must keep off."""
    taken = []
    grid = svg.group(root, "grid")
    for py, words in y.ticks():
        svg.line(grid, (x.at, py), (x.to, py), stroke=svg.FAINT)
        taken.append(svg.text(root, words, x.at - _GAP / 2, py + 4, anchor="end", fill=svg.SOFT))
    last = -math.inf
    for px, words in x.ticks():
        svg.line(grid, (px, y.at), (px, y.at + 4), stroke=svg.SOFT)
        half = svg.text_width(words) / 2
        at = min(max(px, half), width - half)
        if at - half < last:
            continue
        last = at + half + _GAP
        taken.append(svg.text(root, words, at, y.at + 17, anchor="middle", fill=svg.SOFT))
    svg.line(root, (x.at, y.at), (x.to, y.at), name="axis")
    svg.line(root, (x.at, y.at), (x.at, y.to), name="axis")
    taken.append(svg.text(root, plot.y_words, x.at - _GAP / 2, 11, fill=svg.INK))
    svg.text(root, plot.x_words, x.to, height - 5, anchor="end", fill=svg.INK)
    return taken


def _along(points: Sequence[tuple[float, float]]) -> Iterator[tuple[float, float]]:
    """Yield points of a curve in px, never far apart."""
    for (ax, ay), (bx, by) in pairwise(points):
        steps = max(1, math.ceil(max(abs(bx - ax), abs(by - ay)) / 6))
        for i in range(steps):
            yield ax + (bx - ax) * i / steps, ay + (by - ay) * i / steps
    yield points[-1]


def _label(
    root: ET.Element,
    words: str,
    at: Sequence[tuple[float, float]],
    room: svg.Box,
    taken: list[svg.Box],
    crossed: Sequence[svg.Box],
) -> None:
    """Write words beside a point where they touch nothing; on a curve if need be; else not."""
    free = []
    for px, py in at:
        for dx, dy, anchor in _spots():
            box = svg.label_box(words, px + dx, py + dy, anchor, svg.FONT_SIZE, False)
            across = box.x0 >= room.x0 and box.x1 <= room.x1
            inside = across and box.y0 >= room.y0 and box.y1 <= room.y1
            if inside and not any(box.overlaps(other) for other in taken):
                free.append((px + dx, py + dy, anchor, box))
    clear = (spot for spot in free if not any(spot[3].overlaps(curve) for curve in crossed))
    best = next(clear, free[0] if free else None)
    if best is not None:
        taken.append(svg.text(root, words, best[0], best[1], anchor=best[2]))


def _spots() -> Iterable[tuple[float, float, svg.Anchor]]:
    """Yield where a label may stand from its point: right, left, then farther up and down."""
    for dy in (-6.0, 16.0, -22.0, 32.0, -38.0, 48.0):
        yield 10.0, dy, "start"
        yield -10.0, dy, "end"
