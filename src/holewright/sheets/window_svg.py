"""The window: speed across, feed up, the region that every limit allows, each limit by name."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from xml.etree import ElementTree as ET

import numpy as np

from holewright.errors import OutOfRangeError
from holewright.planning.window import Window
from holewright.sheets import svg
from holewright.units import Unit

NARROWEST = 340.0
"""Least width at which the labels find room. [px]"""

NAMES = {
    "speed-high": "spindle's greatest speed",
    "speed-low": "spindle's least speed",
    "feed-speed": "machine's greatest feed",
    "rubbing": "rubbing",
    "torque": "spindle torque",
    "torsion": "twist of the reamer",
    "thrust": "thrust of the machine",
    "reamer-buckling": "buckling of the reamer",
    "reamer-bending": "bending of the reamer",
    "chip-room": "chip room",
    "chip-transport": "chip transport",
    "built-up-edge": "built-up edge",
    "work-hardening": "work hardening",
    "forecast-size": "size by the forecast",
    "finish": "finish",
    "runout-over-third": "runout",
    "stock-least": "least stock",
    "stock-most": "most stock",
    "published-speed-low": "published speed, from",
    "published-speed-high": "published speed, to",
    "published-feed-low": "published feed, from",
    "published-feed-high": "published feed, to",
}
"""Code of a limit -> the name that its line carries."""

_SFM = 0.3048
_FOOT, _TOP = 40.0, 12.0


@dataclass(frozen=True)
class Frame:
    """Where the window lies in its picture. Both axes are logarithmic.

    Parameters
    ----------
    left, right, top, bottom : float
        Edges of the plot. [px]
    v_c, f : tuple of float
        Speeds at left and right [m/min], feeds at bottom and top [mm/rev].
    """

    left: float
    right: float
    top: float
    bottom: float
    v_c: tuple[float, float]
    f: tuple[float, float]

    def x(self, v_c: float) -> float:
        """Return the place of a speed. [px]"""
        a, b = self.v_c
        return self.left + math.log(v_c / a) / math.log(b / a) * (self.right - self.left)

    def y(self, f: float) -> float:
        """Return the place of a feed. [px]"""
        a, b = self.f
        return self.bottom - math.log(f / a) / math.log(b / a) * (self.bottom - self.top)


def window_frame(window: Window, width: float = 720.0, height: float = 460.0) -> Frame:
    """Return where a window lies in its picture.

    Parameters
    ----------
    window : Window
        The window.
    width, height : float
        Size of the picture. [px]
    """
    return Frame(
        left=58.0,
        right=width - 10,
        top=_TOP,
        bottom=height - _FOOT,
        v_c=(float(window.v_c[0]), float(window.v_c[-1])),
        f=(float(window.f[0]), float(window.f[-1])),
    )


def name_of(code: str) -> str:
    """Return the name of a limit by its code."""
    return NAMES.get(code, code.replace("-", " "))


def window_svg(
    window: Window,
    unit: Unit,
    *,
    point: tuple[float, float] | None = None,
    width: float = 720.0,
    height: float = 460.0,
) -> str:
    """Return the window as a picture.

    Parameters
    ----------
    window : Window
        The window.
    unit : Unit
        Unit of its axes: m/min and mm/rev, or sfm and in/rev.
    point : tuple of float, optional
        Speed [m/min] and feed [mm/rev] to mark beside the route's own.
    width, height : float
        Size of the picture; at least 340 wide. [px]

    Returns
    -------
    str
        One ``<svg>`` element that loads nothing. The point is a group of class ``point``.

    Raises
    ------
    OutOfRangeError
        If the width is too small for the labels.
    """
    if not width >= NARROWEST:
        raise OutOfRangeError("width", width, f"{NARROWEST:g} px or more")
    frame = window_frame(window, width, height)
    root = svg.picture(width, "Window of cutting speed and feed")
    box = svg.Box(frame.left, frame.top, frame.right, frame.bottom)
    svg.rect(root, box, fill=svg.hatch(root, "window-forbidden", spacing=7, stroke=svg.FAINT))
    _region(root, window, frame)
    _axes(root, frame, unit)
    _borders(root, window, frame)
    svg.rect(root, box, stroke=svg.INK, name="frame")
    own = svg.group(root, "own-point")
    x, y = frame.x(window.chosen[0]), frame.y(window.chosen[1])
    svg.line(own, (x - 15, y), (x + 15, y), width=2)
    svg.line(own, (x, y - 15), (x, y + 15), width=2)
    at = point or window.chosen
    mark = svg.group(root, "point")
    svg.circle(mark, frame.x(at[0]), frame.y(at[1]), 9, fill=svg.ACCENT, stroke=svg.PAPER)
    return svg.render(root, height, _told(window))


def _told(window: Window) -> str:
    names = ", ".join(name_of(border.code) for border in window.borders) or "none"
    share = float(np.mean(window.allowed))
    return (
        f"Speed from {window.v_c[0]:.0f} to {window.v_c[-1]:.0f} m/min across, feed from "
        f"{window.f[0]:.3f} to {window.f[-1]:.3f} mm/rev up, both logarithmic. {share:.0%} of it "
        f"is allowed. Limits that cross it: {names}."
    )


def _region(root: ET.Element, window: Window, frame: Frame) -> None:
    """Fill what is allowed: for each speed, its runs of allowed feeds."""
    steps = []
    xs = [frame.x(v) for v in window.v_c]
    ys = [frame.y(f) for f in window.f]
    for i, allowed in enumerate(window.allowed):
        left = xs[0] if i == 0 else (xs[i - 1] + xs[i]) / 2
        right = xs[-1] if i == len(xs) - 1 else (xs[i] + xs[i + 1]) / 2
        for first, last in _runs(allowed.tolist()):
            bottom = ys[0] if first == 0 else (ys[first - 1] + ys[first]) / 2
            top = ys[-1] if last == len(ys) - 1 else (ys[last] + ys[last + 1]) / 2
            steps.append(
                f"M{svg.number(left)} {svg.number(bottom)}H{svg.number(right)}"
                f"V{svg.number(top)}H{svg.number(left)}Z"
            )
    if steps:
        path = "".join(steps)
        ET.SubElement(root, "path", {"d": path, "fill": svg.PAPER, "class": "allowed"})
        tint = {"d": path, "fill": svg.ACCENT, "fill-opacity": "0.13"}
        ET.SubElement(root, "path", tint)


def _runs(allowed: Sequence[bool]) -> list[tuple[int, int]]:
    runs: list[tuple[int, int]] = []
    for i, yes in enumerate(allowed):
        if yes and runs and runs[-1][1] == i - 1:
            runs[-1] = (runs[-1][0], i)
        elif yes:
            runs.append((i, i))
    return runs


def _axes(root: ET.Element, frame: Frame, unit: Unit) -> None:
    g = svg.group(root, "axes")
    per_v, per_f = (1.0, 1.0) if unit is Unit.MM else (_SFM, 25.4)
    last = frame.left - 60.0
    for value in _ticks(frame.v_c[0] / per_v, frame.v_c[1] / per_v):
        x = frame.x(value * per_v)
        svg.line(g, (x, frame.bottom), (x, frame.bottom + 5))
        if x - last >= 34:
            last = x
            svg.text(g, f"{value:g}", x, frame.bottom + 18, anchor="middle")
    last = frame.bottom + 60.0
    for value in _ticks(frame.f[0] / per_f, frame.f[1] / per_f):
        y = frame.y(value * per_f)
        svg.line(g, (frame.left - 5, y), (frame.left, y))
        if last - y >= 15:
            last = y
            words = f"{value:g}" if unit is Unit.MM else f"{value:.4g}".removeprefix("0")
            svg.text(g, words, frame.left - 8, y + 4, anchor="end")
    names = ("m/min", "mm/rev") if unit is Unit.MM else ("sfm", "in/rev")
    svg.text(g, f"cutting speed, {names[0]}", frame.right, frame.bottom + 34, anchor="end")
    svg.text(g, f"feed, {names[1]}", 0, frame.bottom + 34)


def _ticks(low: float, high: float) -> list[float]:
    """Return round numbers from low to high: 1, 2, 3, 5, 7 times powers of ten."""
    first = math.floor(math.log10(low))
    found = []
    for power in range(first, math.floor(math.log10(high)) + 1):
        found += [
            round(m * 10.0**power, 10) for m in (1, 2, 3, 5, 7) if low <= m * 10.0**power <= high
        ]
    return found


def _borders(root: ET.Element, window: Window, frame: Frame) -> None:
    """Draw each limit with its name beside it, where no other name stands."""
    g = svg.group(root, "borders")
    taken: list[svg.Box] = []
    for border in window.borders:
        published = border.code.startswith("published")
        drawn = [[(frame.x(v), frame.y(f)) for v, f in line] for line in border.lines]
        for points in drawn:
            svg.path(
                g,
                points,
                stroke=svg.SOFT if published else svg.INK,
                width=1.0 if published else 2.0,
                dash="5 4" if published else "",
                name=border.code,
            )
    for border in window.borders:
        drawn = [[(frame.x(v), frame.y(f)) for v, f in line] for line in border.lines]
        words = name_of(border.code)
        spot = _spot(max(drawn, key=len), words, frame, taken)
        if spot is not None:
            taken.append(spot)
            svg.text(g, words, spot.x0, spot.y1 - 3)


def _spot(
    points: list[tuple[float, float]], words: str, frame: Frame, taken: Sequence[svg.Box]
) -> svg.Box | None:
    """Return the first free box for a name along a line, trying its ends and middle first."""
    width = svg.text_width(words)
    order = (0.5, 0.92, 0.08, 0.3, 0.7, 0.2, 0.8, 0.4, 0.6)
    for share in order:
        x, y = points[min(int(share * len(points)), len(points) - 1)]
        for dx, dy in ((5, -6), (-width - 5, -6), (5, 16), (-width - 5, 16)):
            box = svg.Box(x + dx, y + dy - 11, x + dx + width, y + dy + 3)
            inside = (
                box.x0 >= frame.left + 2
                and box.x1 <= frame.right - 2
                and box.y0 >= frame.top + 2
                and box.y1 <= frame.bottom - 2
            )
            if inside and not any(box.overlaps(other) for other in taken):
                return box
    return None
