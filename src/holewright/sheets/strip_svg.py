"""The zone strip as a picture."""

from __future__ import annotations

import math
from xml.etree import ElementTree as ET

from holewright.errors import OutOfRangeError
from holewright.sheets import rows, svg
from holewright.sheets.sizes import small_pair
from holewright.sheets.strip_marks import (
    MOST_GROUPS,
    Bar,
    BarKind,
    ZoneStrip,
    answer,
    bars,
    hole_groups,
    limit_names,
    stacked,
)
from holewright.units import Unit

NARROWEST = 340.0
"""Least width at which every label finds room. [px]"""

_BAND = 72.0
_ROW = 17.0
_GAP = 8.0
_STUB = 14.0
_DOT = 3.0


def zone_strip_svg(strip: ZoneStrip, width: float = 720.0) -> str:
    """Return the zone strip as an SVG picture, for paper and screen, black and white.

    It is drawn to scale: a size stands at ``strip.share(size) * width``. What lies beyond
    the margin is drawn at the edge with an arrow, and its label gives its value.

    Parameters
    ----------
    strip : ZoneStrip
        What to show.
    width : float
        Width, at least 340; labels are 12 px high. [px]

    Returns
    -------
    str
        One ``<svg>`` element that loads nothing.

    Raises
    ------
    OutOfRangeError
        If the width is too small for the labels.
    """
    if not width >= NARROWEST:
        raise OutOfRangeError("width", width, f"{NARROWEST:g} px or more")
    said = answer(strip)
    low, high = limit_names(strip)
    root = svg.picture(width, f"Zone strip, {' '.join(low[1:])} to {' '.join(high[1:])}")
    top = _limit_labels(root, strip, width)
    base = top + _BAND
    below = svg.group(root, "limit-guides")
    _band(root, strip, width, top, base)
    foot = _bars(root, strip, width, base + 6)
    foot = _many_holes(root, strip, width, foot)
    for limit in (strip.limits.lower, strip.limits.upper):
        x = strip.share(limit) * width
        svg.line(below, (x, base), (x, foot), stroke=svg.FAINT)
    answers = svg.group(root, "answer")
    for sentence in said:
        for words in rows.break_lines(sentence, width, lambda w: svg.text_width(w, bold=True)):
            foot += 17
            svg.text(answers, words, 0, foot, bold=sentence is not said[0])
    return svg.render(root, foot + 6, " ".join(said))


def _limit_labels(root: ET.Element, strip: ZoneStrip, width: float) -> float:
    """Write the limits over their lines and the tolerance between; return the band's top."""
    g = svg.group(root, "limit-labels")
    places = (strip.share(s) * width for s in (strip.limits.lower, strip.limits.upper))
    sides = list(zip(places, limit_names(strip), strict=True))
    for x, words in sides:
        svg.text(g, words[0], x, 12, anchor="middle", fill=svg.SOFT)
        svg.text(g, words[1], x, 28, anchor="middle", bold=True, size=14)
        svg.text(g, words[2], x, 43, anchor="middle", fill=svg.SOFT)
    taken = max(svg.text_width(w, 14, bold=True) / 2 for _, words in sides for w in words)
    middle = strip.share(strip.limits.middle) * width
    tolerance = small_pair(strip.limits.width, strip.unit)
    between = stacked("tolerance", tolerance)
    y = 43.0
    if _widest(between) + 2 * _GAP <= sides[1][0] - sides[0][0] - 2 * taken:
        _write_lines(g, between, middle, "middle")
    else:
        y += 15
        svg.text(g, f"tolerance {tolerance}", middle, y, anchor="middle", fill=svg.SOFT)
    tick = small_pair(ruler_step(strip), strip.unit)
    beside = stacked("one tick", tick)
    if _widest(beside) + _GAP <= width - sides[1][0] - taken:
        _write_lines(g, beside, width, "end")
    else:
        y += 15
        svg.text(g, f"one tick: {tick}", middle, y, anchor="middle", fill=svg.SOFT)
    return y + 8


def _widest(lines: list[str]) -> float:
    return max(svg.text_width(words) for words in lines)


def _write_lines(g: ET.Element, lines: list[str], x: float, anchor: svg.Anchor) -> None:
    for words, y in zip(lines, (12, 28, 43), strict=True):
        svg.text(g, words, x, y, anchor=anchor, fill=svg.SOFT)


def ruler_step(strip: ZoneStrip) -> float:
    """Return a round step of which 10 to 30 or so go into the strip, in the print's unit. [mm]"""
    grain = 0.001 if strip.unit is Unit.MM else 0.00254
    target = (strip.end - strip.start) / 25 / grain
    power = 10.0 ** math.floor(math.log10(target))
    return grain * power * next(m for m in (1, 2, 5, 10) if m * power >= target)


def _band(root: ET.Element, strip: ZoneStrip, width: float, top: float, base: float) -> None:
    """Draw the layers of the band, from back to front."""
    low, high = (strip.share(s) * width for s in (strip.limits.lower, strip.limits.upper))
    outside = svg.group(root, "outside")
    fill = svg.hatch(root, "zone-strip-outside", spacing=7, stroke=svg.FAINT)
    svg.rect(outside, svg.Box(0, top, low, base), fill=fill)
    svg.rect(outside, svg.Box(high, top, width, base), fill=fill)
    if strip.reamer is not None:
        a, b = (
            _clamp(strip.share(s) * width, width) for s in (strip.reamer.lower, strip.reamer.upper)
        )
        svg.rect(
            root,
            svg.Box(a, top, b, base),
            fill="#eeeeee",
            stroke=svg.SOFT,
            dash="3 3",
            name="reamer-limits",
        )
    _density(root, strip, width, top, base)
    ruler = svg.group(root, "ruler")
    step = ruler_step(strip)
    first = math.ceil(strip.start / step - 1e-9)
    for k in range(first, math.floor(strip.end / step + 1e-9) + 1):
        x = strip.share(k * step) * width
        svg.line(ruler, (x, base), (x, base - 5), stroke=svg.SOFT)
    svg.line(root, (0, base), (width, base), width=1.2)
    svg.line(root, (low, top - 3), (low, base + 3), width=2.4, name="limit lower")
    svg.line(root, (high, top - 3), (high, base + 3), width=2.4, name="limit upper")
    svg.text(outside, "too small", 6, top + 13)
    svg.text(outside, "too large", width - 6, top + 13, anchor="end")
    ticks = svg.group(root, "pins")
    for pin in strip.pins:
        x = strip.share((pin.lower + pin.upper) / 2) * width
        if 0 <= x <= width:
            svg.line(ticks, (x, base - _BAND / 2), (x, base), width=1.6)
    _dots(root, strip, width, base)


def _density(root: ET.Element, strip: ZoneStrip, width: float, top: float, base: float) -> None:
    """Draw the spread as a normal density; a spread too narrow to draw is a line."""
    spread = strip.spread
    if spread is None:
        return
    g = svg.group(root, "density")
    centre = strip.share(spread.mean) * width
    scale = spread.sd / (strip.end - strip.start) * width
    peak = _BAND - 12
    if scale < 0.5:
        if 0 <= centre <= width:
            svg.line(g, (centre, base - peak), (centre, base), stroke=svg.ACCENT, width=2)
        return
    left, right = _clamp(centre - 4 * scale, width), _clamp(centre + 4 * scale, width)
    if right - left < 0.5:
        return
    xs = [left + (right - left) * i / 100 for i in range(101)]
    curve = [(x, base - peak * math.exp(-0.5 * ((x - centre) / scale) ** 2)) for x in xs]
    svg.path(
        g, [(left, base), *curve, (right, base)], closed=True, fill=svg.ACCENT, fill_opacity=0.14
    )
    svg.path(g, curve, stroke=svg.ACCENT, width=2)


def _dots(root: ET.Element, strip: ZoneStrip, width: float, base: float) -> None:
    """Stack the bore-gauge readings as dots where they lie; those beyond stand at the edge."""
    g = svg.group(root, "readings")
    stacks: dict[int, list[float]] = {}
    for size in sorted(strip.readings):
        x = strip.share(size) * width
        if not 0 <= x <= width:
            edge, way = (width, 1.0) if x > width else (0.0, -1.0)
            svg.arrowhead(g, (edge, base - 14), (way, 0), length=10)
            continue
        stacks.setdefault(round(x / (2 * _DOT)), []).append(x)
    tallest = max((len(s) for s in stacks.values()), default=0)
    pitch = min(2 * _DOT + 0.5, (_BAND - 16) / max(1, tallest))
    for stack in stacks.values():
        for i, x in enumerate(stack):
            svg.circle(g, x, base - 5 - _DOT - i * pitch, _DOT, fill=svg.INK, stroke=svg.PAPER)


def _bars(root: ET.Element, strip: ZoneStrip, width: float, top: float) -> float:
    """Draw each range below the band with its words beside it; return where they end."""
    g = svg.group(root, "bars")
    found = bars(strip)
    ends = [_ends(strip, bar, width) for bar in found]
    items = [
        rows.Item(a, b, bar.words, bar.kind not in (BarKind.PIN, BarKind.REAMER))
        for (a, b), bar in zip(ends, found, strict=True)
    ]
    placed, count = rows.place(items, width, svg.text_width, _GAP)
    for bar, (a, b), spot in zip(found, ends, placed, strict=True):
        y = top + (spot.row + 0.5) * _ROW
        _bar(g, strip, bar, (a, b), y, width)
        for row, x, words in spot.lines:
            svg.text(g, words, x, top + (row + 0.5) * _ROW + 4, on_line=row == spot.row)
    return top + count * _ROW


def _ends(strip: ZoneStrip, bar: Bar, width: float) -> tuple[float, float]:
    """Return where a bar is drawn: cut at the edges, and a stub where all of it is beyond."""
    a, b = (_clamp(strip.share(s) * width, width) for s in (bar.lower, bar.upper))
    if a >= width - _STUB and strip.share(bar.upper) > 1:
        return min(a, width - _STUB), width
    if b <= _STUB and strip.share(bar.lower) < 0:
        return 0.0, max(b, _STUB)
    return a, b


def _bar(
    g: ET.Element, strip: ZoneStrip, bar: Bar, ends: tuple[float, float], y: float, width: float
) -> None:
    a, b = ends
    mark = svg.group(g, f"bar {bar.kind}")
    stroke = svg.ACCENT if bar.kind is BarKind.SPREAD else svg.INK
    if bar.kind is BarKind.REAMER:
        svg.rect(mark, svg.Box(a, y - 4, b, y + 4), fill="#eeeeee", stroke=svg.SOFT, dash="3 3")
    elif bar.kind is BarKind.PIN:
        svg.rect(mark, svg.Box(a, y - 4, b, y + 4), fill=svg.INK, stroke=svg.INK)
    else:
        thick = 4.0 if bar.kind is BarKind.SPREAD else 1.4
        dash = "2 3" if bar.kind is BarKind.READINGS else ""
        svg.line(mark, (a, y), (b, y), stroke=stroke, width=thick, dash=dash)
        for x in ends:
            svg.line(mark, (x, y - 4), (x, y + 4), stroke=stroke, width=1.4)
    if bar.kind is BarKind.SPREAD and strip.spread is not None:
        x = strip.share(strip.spread.mean) * width
        if a < x < b:
            svg.line(mark, (x, y - 6), (x, y + 6), stroke=stroke, width=2)
    if strip.share(bar.lower) < 0:
        svg.arrowhead(mark, (0, y), (-1, 0), length=10, fill=stroke)
    if strip.share(bar.upper) > 1:
        svg.arrowhead(mark, (width, y), (1, 0), length=10, fill=stroke)


def _many_holes(root: ET.Element, strip: ZoneStrip, width: float, top: float) -> float:
    """Draw hole intervals that are too many to name, a thin line each; return where they end."""
    groups = hole_groups(strip.holes)
    if len(groups) <= MOST_GROUPS:
        return top
    g = svg.group(root, "hole-intervals")
    pitch = min(4.0, 160.0 / len(groups))
    for i, (low, high, names) in enumerate(groups):
        a, b = (_clamp(strip.share(s) * width, width) for s in (low, high))
        y = top + 3 + i * pitch
        svg.line(g, (a, y), (max(b, a + 1), y), width=min(pitch / 2, 0.6 + 0.2 * len(names)))
    return top + 6 + len(groups) * pitch


def _clamp(x: float, width: float) -> float:
    return min(max(x, 0.0), width)
