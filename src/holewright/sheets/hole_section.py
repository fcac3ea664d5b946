"""The hole section: the hole as it is drilled above its axis, as it is finished below it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from xml.etree import ElementTree as ET

from holewright.callout.callout import Callout
from holewright.errors import OutOfRangeError
from holewright.planning.plan import Operation, OperationKind, Route
from holewright.sheets import rows, svg
from holewright.sheets.section_facts import (
    Section,
    depths_above,
    depths_below,
    diameter_labels,
    notes,
    read_section,
)
from holewright.shop.reamer import Reamer

NARROWEST = 480.0
"""Least width at which the labels find room. [px]"""

_KAPR = 45.0
"""Lead angle that is drawn where the reamer isn't known. [deg]"""

_LEVEL = 19.0
_STOCK_PX = 7.0
"""Least drawn thickness of the stock on one side. [px]"""


@dataclass(frozen=True)
class _Frame:
    """Where the hole lies in the picture."""

    left: float
    axis: float
    scale: float
    stock_factor: float
    wall: float
    section: Section

    def x(self, depth: float) -> float:
        return self.left + depth * self.scale

    @property
    def radius(self) -> float:
        return self.section.callout.nominal / 2 * self.scale

    @property
    def drilled(self) -> float:
        """Radius of the hole before it is finished, the stock drawn too thick. [px]"""
        return self.radius - self.section.stock / 2 * self.scale * self.stock_factor

    @property
    def far(self) -> float:
        """Right edge of the part. [px]"""
        depth = (
            self.section.depth
            if self.section.through
            else self.section.end + 0.4 * (self.section.callout.nominal)
        )
        return self.x(depth)


def hole_section_svg(
    callout: Callout,
    route: Route | None = None,
    *,
    reamer: Reamer | None = None,
    width: float = 640.0,
) -> str:
    """Return a section through the hole's axis, to scale, dimensioned like a drawing.

    Above the axis the hole stands as it is before it is finished, with the stock; below, as
    it leaves the last tool, with chamfer and reamer lead. Only the stock is not to scale;
    the picture says by how much.

    Parameters
    ----------
    callout : Callout
        What the drawing asks.
    route : Route, optional
        How it is made; without it only the finished hole is drawn.
    reamer : Reamer, optional
        The reamer, for the angle of its lead; without it the lead is drawn at 45°.
    width : float
        Width, at least 480; labels are 12 px high. [px]

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
    section = read_section(callout, route)
    above, below = depths_above(section), depths_below(section)
    frame = _frame(section, width, top=_LEVEL * len(above) + 12)
    root = svg.picture(width, f"Section of {callout.text}")
    root.set("data-px-per-mm", f"{frame.scale:.6f}")
    _part(root, frame)
    _hole(root, frame, _KAPR if reamer is None else reamer.KAPR)
    _dimensions(root, frame, above, frame.axis - frame.radius - frame.wall, -1)
    _dimensions(root, frame, below, frame.axis + frame.radius + frame.wall, 1)
    _diameters(root, frame)
    lines = sum(side > 0 for _, side in diameter_labels(section))
    y = frame.radius + frame.wall + _LEVEL * len(below) + 12
    y = frame.axis + max(y, 6 + 15 * lines)
    said = notes(section, frame.stock_factor)
    for words in rows.break_lines(said, width, svg.text_width):
        y += 15
        svg.text(root, words, 0, y, fill=svg.SOFT)
    return svg.render(root, y + 8, said)


def _frame(section: Section, width: float, top: float) -> _Frame:
    """Return the largest scale at which hole, left labels and right labels find room."""
    nominal = section.callout.nominal
    left = max(svg.text_width(w) for w, *_ in diameter_labels(section)) + 34
    deepest = section.end + (0.15 if section.through else 0.4) * nominal
    scale = min((width - left - 14) / deepest, 0.135 * width / nominal)
    depths = [*depths_above(section), *depths_below(section)]
    rooms = [(svg.text_width(words), depth) for depth, words in depths]
    if any(room + 24 > depth * scale for room, depth in rooms):
        # Words that don't fit between their arrows stand right of the part, if it stays large.
        beside = (width - left - 14 - max(room for room, _ in rooms)) / section.end
        scale = min(scale, beside) if beside > 0.6 * scale else scale
    wall_mm = min(section.callout.wall or nominal, 0.4 * nominal)
    wall = max(wall_mm * scale, 12.0) if section.callout.wall is None else wall_mm * scale
    factor = 1.0
    if section.stock > 0:
        drawn = section.stock / 2 * scale
        room = max(_STOCK_PX, drawn)
        factor = next((k for k in (1, 2, 5, 10, 20, 50) if drawn * k >= room), 50)
        factor = max(1.0, min(factor, 0.45 * nominal / section.stock))
    return _Frame(left, top + wall + nominal / 2 * scale, scale, factor, wall, section)


def _part(root: ET.Element, frame: _Frame) -> None:
    """Draw the part, cut, with its faces; a cross bore interrupts the cut."""
    fill = svg.hatch(root, "hole-section-cut", spacing=8, stroke=svg.SOFT)
    g = svg.group(root, "part")
    outer = frame.radius + frame.wall
    top, bottom = frame.axis - outer, frame.axis + outer
    svg.rect(g, svg.Box(frame.left, top, frame.far, bottom), fill=fill)
    for bore in frame.section.callout.cross_bores:
        a, b = (frame.x(bore.depth + s * bore.diameter / 2) for s in (-1, 1))
        svg.rect(g, svg.Box(a, top, b, bottom), fill=svg.PAPER)
        for x in (a, b):
            svg.line(g, (x, top), (x, bottom), width=1.6)
        svg.line(
            g,
            ((a + b) / 2, top - 4),
            ((a + b) / 2, bottom + 4),
            stroke=svg.SOFT,
            width=0.8,
            dash="10 3 2 3",
        )
    svg.line(g, (frame.left, top), (frame.left, bottom), width=2, name="face entry")
    if frame.section.through:
        svg.line(g, (frame.far, top), (frame.far, bottom), width=2, name="face far")
    if frame.section.callout.floor is not None:
        x = frame.x(frame.section.callout.floor)
        svg.line(g, (x, top), (x, bottom), stroke=svg.INK, dash="6 3", name="floor")
    edge = "" if frame.section.callout.wall else "4 4"
    for y in (top, bottom):
        svg.line(g, (frame.left, y), (frame.far, y), stroke=svg.SOFT, dash=edge)


def _hole(root: ET.Element, frame: _Frame, kapr: float) -> None:
    """Draw the hole: before finishing above the axis, finished below it."""
    g = svg.group(root, "hole")
    section, axis = frame.section, frame.axis
    if section.before is not None and section.stock > 0:
        stop = min(frame.x(_reach(section)), frame.far)
        stock = svg.Box(frame.left, axis - frame.radius, stop, axis - frame.drilled)
        _void(g, frame, section.before, frame.drilled, -1)
        dense = svg.hatch(root, "hole-section-stock", spacing=3, stroke=svg.INK)
        svg.rect(g, stock, fill=svg.PAPER)
        svg.rect(g, stock, fill=dense, stroke=svg.INK, dash="5 3", name="stock")
        _void(g, frame, section.before, frame.drilled, 1)
    else:
        _void(g, frame, section.finished, frame.radius, -1)
    _void(g, frame, section.finished, frame.radius, 1)
    _chamfer(g, frame)
    if section.finished is not None and section.finished.kind is OperationKind.REAM:
        _reamer_lead(g, frame, section.finished, kapr)
    svg.line(
        g,
        (frame.left - 12, axis),
        (max(frame.far, frame.x(section.end)) + 10, axis),
        stroke=svg.SOFT,
        dash="14 3 3 3",
        name="axis",
    )


def _reach(section: Section) -> float:
    """Return how far down the finished diameter goes. [mm]"""
    if section.through:
        return section.depth
    return (section.finished.full_depth if section.finished else 0) or section.depth


def _void(g: ET.Element, frame: _Frame, step: Operation | None, radius: float, side: int) -> None:
    """Draw half the empty hole that a step leaves; `side` is -1 above the axis, 1 below."""
    section, axis = frame.section, frame.axis
    left = frame.left
    if section.through:
        full = tip = frame.far
    else:
        full_depth = (step.full_depth if step else 0) or section.depth
        full = frame.x(full_depth)
        pointed = step is not None and step.kind is OperationKind.DRILL
        tip = frame.x(step.tip_depth) if step is not None and pointed else full
    wall = axis + side * radius
    outline = [(left, wall), (full, wall), (tip, axis)]
    svg.path(g, [*outline, (left, axis)], closed=True, fill=svg.PAPER)
    drawn = outline[:2] if section.through else outline
    svg.path(g, drawn, stroke=svg.INK, width=1.6)
    if section.through and step is not None and step.kind is OperationKind.DRILL:
        end, point = frame.x(step.full_depth), frame.x(step.tip_depth)
        svg.path(
            g,
            [(frame.far, wall), (max(end, frame.far), wall), (point, axis)],
            stroke=svg.SOFT,
            dash="4 3",
            name="drill point",
        )


def _chamfer(g: ET.Element, frame: _Frame) -> None:
    if frame.section.chamfer is None:
        return
    run = (frame.section.chamfer - frame.section.callout.nominal) / 2 * frame.scale
    if run <= 0:
        return
    wall = frame.axis + frame.radius
    corner = [(frame.left, wall), (frame.left, wall + run), (frame.left + run, wall)]
    svg.path(g, corner, closed=True, fill=svg.PAPER)
    svg.path(g, corner[1:], stroke=svg.INK, width=1.6, name="chamfer")
    svg.line(g, (frame.left + run, frame.axis), (frame.left + run, wall), stroke=svg.INK)


def _reamer_lead(g: ET.Element, frame: _Frame, ream: Operation, kapr: float) -> None:
    """Outline the reamer where it turns back: full diameter, then its lead."""
    full, tip = frame.x(ream.full_depth), frame.x(ream.tip_depth)
    if tip <= full:
        return
    front = max(frame.radius - (tip - full) * math.tan(math.radians(kapr)), 0.3 * frame.radius)
    back = max(frame.left, full - 0.5 * frame.radius)
    wall = frame.axis + frame.radius - 1.5
    outline = [
        (back, frame.axis),
        (back, wall),
        (full, wall),
        (tip, frame.axis + front),
        (tip, frame.axis),
    ]
    svg.path(
        g, outline, closed=True, fill="#eeeeee", stroke=svg.SOFT, dash="4 3", name="reamer lead"
    )


def _dimensions(
    root: ET.Element, frame: _Frame, depths: Sequence[tuple[float, str]], edge: float, side: int
) -> None:
    """Dimension depths from the entry face, each on a level of its own, the shortest nearest."""
    g = svg.group(root, "dimensions")
    beyond = max((frame.x(d) for d, _ in depths), default=0.0) + 12
    total = float(root.get("width", "0"))
    labels: list[tuple[str, float, float]] = []
    rooms = [(svg.text_width(words), depth * frame.scale) for depth, words in depths]
    all_inside = all(room + 24 <= drawn for room, drawn in rooms)
    all_beyond = all(beyond + room <= total for room, _ in rooms)
    farthest = edge + side * (_LEVEL * len(depths) + 3)
    if depths:
        svg.line(g, (frame.left, edge), (frame.left, farthest), stroke=svg.SOFT, width=0.8)
    for i, (depth, words) in enumerate(depths):
        y = edge + side * _LEVEL * (i + 1) + (6 if side < 0 else 0)
        x = frame.x(depth)
        svg.line(g, (x, edge + side * 2), (x, y + side * 3), stroke=svg.SOFT, width=0.8)
        svg.line(g, (frame.left, y), (x, y), width=0.8)
        svg.arrowhead(g, (x, y), (1, 0))
        svg.arrowhead(g, (frame.left, y), (-1, 0))
        room = svg.text_width(words)
        if all_inside:
            labels.append((words, (frame.left + x - room) / 2, y - 4))
        elif all_beyond:
            labels.append((words, beyond, y + 4))
        else:
            labels.append((words, max(0.0, min(frame.left + 12, total - room)), y - 4))
    for words, x, y in labels:
        svg.text(g, words, x, y, on_line=True)


def _diameters(root: ET.Element, frame: _Frame) -> None:
    """Write the diameters left of the face; an arrow from beyond the axis to each wall."""
    g = svg.group(root, "diameters")
    labels = diameter_labels(frame.section)
    for side in (-1, 1):
        words = [w for w, s in labels if s == side]
        if not words:
            continue
        radius = frame.drilled if side < 0 else frame.radius
        x, wall = frame.left - 18, frame.axis + side * radius
        svg.line(g, (x - 4, wall), (frame.left, wall), stroke=svg.SOFT, width=0.8)
        svg.line(g, (x, frame.axis - side * 6), (x, wall), width=0.8)
        svg.arrowhead(g, (x, wall), (0, side))
        start = frame.axis - 6 - 15 * (len(words) - 1) if side < 0 else frame.axis + 16
        for i, line in enumerate(words):
            svg.text(g, line, x - 10, start + 15 * i, anchor="end")
