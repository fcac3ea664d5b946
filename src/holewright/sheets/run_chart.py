"""Size against holes cut: what the gauges said, the trend with its band, limits, tool changes."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from xml.etree import ElementTree as ET

from holewright.callout.callout import Limits
from holewright.sheets import svg
from holewright.sheets.sizes import limit_text, other, size_text
from holewright.units import Unit

Along = Callable[[float], float]

_TOP, _FOOT = 26.0, 44.0
_MOST_TICKS = 8
_TICK_ROWS = 3


@dataclass(frozen=True)
class RunMark:
    """What the gauges said of one hole: an interval, or a size where both ends are equal.

    Parameters
    ----------
    x : float
        Place along the chart: holes cut, tools one after the other. [-]
    lower, upper : float
        Bounds; infinite where open. [mm]
    """

    x: float
    lower: float
    upper: float


@dataclass(frozen=True)
class RunLine:
    """A trend with its band.

    Parameters
    ----------
    x : tuple of float
        Places, at least two. [-]
    mean, low, high : tuple of float
        Mean size, and the band that holds most holes. [mm]
    words : str
        What it is.
    foretold_from : float
        Place from which on it is foretold, and drawn broken. [-]
    """

    x: tuple[float, ...]
    mean: tuple[float, ...]
    low: tuple[float, ...]
    high: tuple[float, ...]
    words: str
    foretold_from: float = math.inf


@dataclass(frozen=True)
class RunChart:
    """All that a run chart shows.

    Parameters
    ----------
    title : str
        What it is, for a reader that speaks.
    limits : Limits
        Limits of size. [mm]
    unit : Unit
        Unit of the print.
    marks : tuple of RunMark
        Holes that were gauged.
    lines : tuple of RunLine
        One for each tool.
    ticks : tuple of (float, str)
        Upright lines: tool changes, the hole at which to change.
    """

    title: str
    limits: Limits
    unit: Unit
    marks: tuple[RunMark, ...]
    lines: tuple[RunLine, ...]
    ticks: tuple[tuple[float, str], ...] = ()

    @property
    def across(self) -> tuple[float, float]:
        """First and last place. [-]"""
        xs = [mark.x for mark in self.marks]
        xs += [x for line in self.lines for x in line.x]
        xs += [x for x, _ in self.ticks]
        return min(xs, default=0.0), max(max(xs, default=1.0), min(xs, default=0.0) + 1.0)

    @property
    def upright(self) -> tuple[float, float]:
        """Least and greatest size shown: the limits, and all that lies near them. [mm]"""
        low, high = self.limits.lower, self.limits.upper
        reach = 0.6 * (high - low)
        sizes = [b for m in self.marks for b in (m.lower, m.upper) if math.isfinite(b)]
        sizes += [y for line in self.lines for y in (*line.low, *line.high)]
        least = min([low - 0.1 * (high - low), *sizes])
        most = max([high + 0.1 * (high - low), *sizes])
        return max(least, low - reach), min(most, high + reach)


def run_chart_svg(chart: RunChart, width: float = 720.0, height: float = 320.0) -> str:
    """Return the chart as an SVG picture, in black and white.

    Parameters
    ----------
    chart : RunChart
        What to show.
    width, height : float
        Its size, at least 480 by 200. [px]

    Returns
    -------
    str
        One ``<svg>`` element that loads nothing.
    """
    unit, second = chart.unit, other(chart.unit)
    lower = limit_text(chart.limits.lower, unit, lower=True)
    upper = limit_text(chart.limits.upper, unit, lower=False)
    left = max(svg.text_width(text, bold=True) for text in (lower, upper)) + 10
    right = width - svg.text_width(limit_text(chart.limits.lower, second, lower=True)) - 10
    first, last = chart.across
    least, most = chart.upright
    top, bottom = _TOP, height - _FOOT

    def x_of(value: float) -> float:
        return left + (value - first) / (last - first) * (right - left)

    def y_of(value: float) -> float:
        return bottom - (min(max(value, least), most) - least) / (most - least) * (bottom - top)

    root = svg.picture(width, chart.title)
    for line in chart.lines:
        band = [(x_of(x), y_of(y)) for x, y in zip(line.x, line.high, strict=True)]
        band += [(x_of(x), y_of(y)) for x, y in zip(line.x, line.low, strict=True)][::-1]
        svg.path(root, band, closed=True, fill=svg.FAINT, fill_opacity=0.45, name="band")
    for limit, words, is_lower in (
        (chart.limits.lower, lower, True),
        (chart.limits.upper, upper, False),
    ):
        y = y_of(limit)
        svg.line(root, (left, y), (right, y), width=1.6, name="limit")
        svg.text(root, words, left - 6, y + 4, anchor="end", bold=True)
        svg.text(root, limit_text(limit, second, lower=is_lower), right + 6, y + 4, fill=svg.SOFT)
    _marks(root, chart, x_of, y_of, (least, most))
    for line in chart.lines:
        _trend(root, line, x_of, y_of)
    _ticks(root, chart, x_of, (top, bottom), (left, right))
    _axis(root, (first, last), x_of, bottom, (left, right))
    said = f"{len(chart.marks)} holes; upright bars are what pins leave open, dots are sizes read."
    return svg.render(root, height, said)


def _marks(
    root: ET.Element, chart: RunChart, x_of: Along, y_of: Along, ends: tuple[float, float]
) -> None:
    group = svg.group(root, "holes")
    for mark in chart.marks:
        x = x_of(mark.x)
        if mark.lower == mark.upper:
            svg.circle(group, x, y_of(mark.lower), 2.4, fill=svg.INK)
            continue
        low = mark.lower if math.isfinite(mark.lower) else ends[0]
        high = mark.upper if math.isfinite(mark.upper) else ends[1]
        svg.line(group, (x, y_of(low)), (x, y_of(high)), stroke=svg.SOFT, width=0.8)


def _trend(root: ET.Element, line: RunLine, x_of: Along, y_of: Along) -> None:
    points = list(zip(line.x, line.mean, strict=True))
    known = [(x_of(x), y_of(y)) for x, y in points if x <= line.foretold_from]
    told = [(x_of(x), y_of(y)) for x, y in points if x >= line.foretold_from]
    if len(known) > 1:
        svg.path(root, known, stroke=svg.ACCENT, width=2.0, name="trend")
    if len(told) > 1:
        svg.path(root, told, stroke=svg.ACCENT, width=2.0, dash="5 4", name="trend")


def _ticks(
    root: ET.Element,
    chart: RunChart,
    x_of: Along,
    upright: tuple[float, float],
    across: tuple[float, float],
) -> None:
    taken: list[svg.Box] = []
    for place, words in chart.ticks:
        x = x_of(place)
        svg.line(root, (x, upright[0]), (x, upright[1]), dash="2 3", name="tick")
        half = svg.text_width(words) / 2
        at = min(max(x, across[0] + half), across[1] - half)
        boxes = [
            svg.label_box(words, at, upright[0] - 6 + 14 * i, "middle", svg.FONT_SIZE, False)
            for i in range(_TICK_ROWS)
        ]
        free = [i for i, box in enumerate(boxes) if not any(box.overlaps(b) for b in taken)]
        row = free[0] if free else _TICK_ROWS - 1
        taken.append(boxes[row])
        svg.text(root, words, at, upright[0] - 6 + 14 * row, anchor="middle")


def _axis(
    root: ET.Element,
    ends: tuple[float, float],
    x_of: Along,
    bottom: float,
    across: tuple[float, float],
) -> None:
    svg.line(root, (across[0], bottom), (across[1], bottom), stroke=svg.SOFT)
    for value in nice_ticks(*ends):
        x = x_of(value)
        svg.line(root, (x, bottom), (x, bottom + 5), stroke=svg.SOFT)
        svg.text(root, f"{value:.0f}", x, bottom + 18, anchor="middle")
    svg.text(root, "holes cut", (across[0] + across[1]) / 2, bottom + 36, anchor="middle")


def nice_ticks(first: float, last: float, most: int = _MOST_TICKS) -> Sequence[float]:
    """Return round numbers between two ends, at most so many.

    Parameters
    ----------
    first, last : float
        The ends, first below last.
    most : int
        Most of them.
    """
    raw = (last - first) / most
    size = 10.0 ** math.floor(math.log10(raw))
    step = next(size * m for m in (1, 2, 5, 10) if size * m >= raw)
    start = math.ceil(first / step - 1e-9)
    return [i * step for i in range(start, math.floor(last / step + 1e-9) + 1)]


def run_chart_text(chart: RunChart, columns: int = 78, rows: int = 13, plain: bool = False) -> str:
    """Return the chart in characters: ``o`` a size, ``|`` what pins leave open, ``─`` the trend.

    Parameters
    ----------
    chart : RunChart
        What to show.
    columns, rows : int
        Width and height of it, at least 50 by 7. [-]
    plain : bool
        Whether ASCII alone may be used.
    """
    least, most = chart.upright
    first, last = chart.across
    names = {
        chart.limits.upper: size_text(chart.limits.upper, chart.unit),
        chart.limits.lower: size_text(chart.limits.lower, chart.unit),
    }
    margin = max(len(text) for text in names.values()) + 1
    width = columns - margin - 1
    grid = [[" "] * width for _ in range(rows)]

    def column(x: float) -> int:
        return min(max(round((x - first) / (last - first) * (width - 1)), 0), width - 1)

    def row(y: float) -> int:
        share = (min(max(y, least), most) - least) / (most - least)
        return rows - 1 - round(share * (rows - 1))

    limit_sign, trend_sign, told_sign = ("=", "-", ".") if plain else ("═", "─", "·")
    side = [""] * rows
    for limit, text in names.items():
        grid[row(limit)] = [limit_sign] * width
        side[row(limit)] = text
    for x, _ in chart.ticks:
        for line in grid:
            line[column(x)] = ":" if plain else "┊"
    for mark in chart.marks:
        low = row(mark.lower if math.isfinite(mark.lower) else least)
        high = row(mark.upper if math.isfinite(mark.upper) else most)
        for r in range(high, low + 1):
            grid[r][column(mark.x)] = "o" if mark.lower == mark.upper else "|"
    for trend in chart.lines:
        for x, y in zip(trend.x, trend.mean, strict=True):
            grid[row(y)][column(x)] = trend_sign if x <= trend.foretold_from else told_sign
    lines = [
        f"{text:>{margin}} {''.join(line)}".rstrip() for text, line in zip(side, grid, strict=True)
    ]
    left, right = f"{first:.0f}", f"{last:.0f} holes cut"
    lines.append(" " * (margin + 1) + left + right.rjust(width - len(left)))
    lines += [f"{' ' * (margin + 1)}{x:.0f}: {words}" for x, words in chart.ticks]
    return "\n".join(lines)
