"""The pictures of a back-plot: the plate from above, and a section through a hole with heights."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from xml.etree import ElementTree as ET

from holewright.program.moves import CutHole, MoveKind, Section
from holewright.program.read_program import ReadProgram
from holewright.sheets import svg
from holewright.sheets.sizes import length_text

_WIDTH, _HEIGHT, _PAD = 760.0, 520.0, 40.0
_SIDE_WIDTH = 330.0
_LEAST_RADIUS = 3.0
_NUMBERED = 80
"""So many holes carry their number; beyond, the numbers would hide the holes."""
_DASHES = ("", "7 3", "2 3", "9 3 2 3")
"""Ways of tools, told apart without colour."""


@dataclass(frozen=True)
class Scale:
    """How millimetres of the plate become px of the picture."""

    x0: float
    y0: float
    factor: float
    height: float

    def place(self, x: float, y: float) -> tuple[float, float]:
        """Return where a point of the plate lies in the picture. [px]"""
        return _PAD + (x - self.x0) * self.factor, self.height - _PAD - (y - self.y0) * self.factor


def plan_svg(program: ReadProgram) -> tuple[str, Scale]:
    """Return the plate from above: holes, ways between them, keep-outs; and its scale.

    Parameters
    ----------
    program : ReadProgram
        The program; it makes one hole at least.
    """
    holes = _places(program)
    boxes = program.fixture.keep_outs
    xs = [0.0, *(e for x, _, d in holes for e in (x - d / 2, x + d / 2))]
    xs += [x for box in boxes for x in (box.x_min, box.x_max)]
    ys = [0.0, *(e for _, y, d in holes for e in (y - d / 2, y + d / 2))]
    ys += [y for box in boxes for y in (box.y_min, box.y_max)]
    spans = max(max(xs) - min(xs), 1.0), max(max(ys) - min(ys), 1.0)
    factor = min((_WIDTH - 2 * _PAD) / spans[0], (_HEIGHT - 2 * _PAD) / spans[1])
    scale = Scale(min(xs), min(ys), factor, spans[1] * factor + 2 * _PAD)
    root = svg.picture(_WIDTH, f"{program.name}: {len(holes)} holes from above")
    _keep_outs(root, program, scale)
    for number, section in enumerate(program.sections):
        _way(root, section, scale, number)
    _circles(root, holes, scale)
    _zero(root, scale)
    described = f"{len(holes)} holes, numbered as the last tool makes them; lines are ways."
    return svg.render(root, scale.height, described), scale


def _places(program: ReadProgram) -> list[tuple[float, float, float]]:
    """Return the holes in the order of their last tool, with the largest diameter cut."""
    places: dict[tuple[float, float], float] = {}
    for section in program.sections:
        diameter = program.diameter(section.tool)
        for hole in section.holes:
            before = places.pop((hole.x, hole.y), 0.0)
            places[hole.x, hole.y] = max(diameter, before)
    return [(x, y, diameter) for (x, y), diameter in places.items()]


def _keep_outs(root: ET.Element, program: ReadProgram, scale: Scale) -> None:
    g = svg.group(root, "keep-outs")
    for box in program.fixture.keep_outs:
        (left, bottom), (right, top) = (
            scale.place(box.x_min, box.y_min),
            scale.place(box.x_max, box.y_max),
        )
        fill = svg.hatch(root, "keep-out", spacing=7, stroke=svg.FAINT)
        svg.rect(g, svg.Box(left, top, right, bottom), fill=fill, stroke=svg.SOFT)
        words = f"{box.name}, {length_text(box.top, program.unit)} high"
        svg.text(g, words, (left + right) / 2, (top + bottom) / 2 + 4, anchor="middle")


def _zero(root: ET.Element, scale: Scale) -> None:
    x, y = scale.place(0, 0)
    for dx, dy, name in ((1, 0, "X"), (0, -1, "Y")):
        tip = (x + 22 * dx, y + 22 * dy)
        svg.line(root, (x, y), tip, width=1.4)
        svg.arrowhead(root, tip, (dx, dy), length=7)
        svg.text(root, name, tip[0] + (5 if dx else -14), tip[1] + (16 if dx else 4), bold=True)
    svg.circle(root, x, y, 3.5, fill=svg.PAPER, stroke=svg.INK)


def _way(root: ET.Element, section: Section, scale: Scale, number: int) -> None:
    """Draw the way of one tool from its first hole on."""
    points: list[tuple[float, float]] = []
    for move in section.moves:
        x, y, _ = move.end
        if move.kind is MoveKind.RAPID and x == x and (not points or move.start[:2] != (x, y)):
            points.append(scale.place(x, y))
    if len(points) > 1:
        g = svg.group(root, f"way way{number}")
        dash = _DASHES[number % len(_DASHES)]
        svg.path(g, points, stroke=svg.ACCENT, width=1.1, dash=dash)


def _circles(root: ET.Element, holes: Sequence[tuple[float, float, float]], scale: Scale) -> None:
    g = svg.group(root, "holes")
    taken: list[svg.Box] = []
    for number, (x, y, diameter) in enumerate(holes, start=1):
        px, py = scale.place(x, y)
        radius = max(diameter / 2 * scale.factor, _LEAST_RADIUS)
        svg.circle(g, px, py, radius, fill=svg.PAPER, stroke=svg.INK)
        if len(holes) <= _NUMBERED:
            label = svg.label_box(
                str(number), px + radius + 3, py - 4, "start", svg.FONT_SIZE, True
            )
            if not any(label.overlaps(box) for box in taken):
                taken.append(label)
                svg.text(g, str(number), px + radius + 3, py - 4, bold=True)


def section_svg(program: ReadProgram) -> tuple[str, tuple[float, float]]:
    """Return a section through the first hole with the heights, and the scale of its heights.

    The scale is a factor and an offset: px = offset - factor · Z.

    Parameters
    ----------
    program : ReadProgram
        The program; it makes one hole at least.
    """
    cuts = _cuts_of_first_hole(program)
    lowest = min(hole.bottom for _, hole in cuts)
    highest = max(
        move.end[2] for s in program.sections for move in s.moves if move.end[2] == move.end[2]
    )
    floor = program.fixture.floor
    lowest = min(lowest, -floor) if floor is not None else lowest
    factor = (_HEIGHT - 2 * _PAD) / (highest - lowest)
    offset = _PAD + highest * factor
    root = svg.picture(_SIDE_WIDTH, f"{program.name}: section through the first hole")
    axis, face = 90.0, offset
    half = max((program.diameter(tool) for tool, _ in cuts), default=0.0) / 2 * factor
    half = max(half, 6.0)
    fill = svg.hatch(root, "material", spacing=6, stroke=svg.FAINT)
    bottom = offset - lowest * factor + 8
    svg.rect(root, svg.Box(20, face, 160, bottom), fill=fill)
    for tool, hole in cuts:
        radius = max(program.diameter(tool) / 2 * factor, 2.0)
        box = svg.Box(axis - radius, face, axis + radius, offset - hole.bottom * factor)
        svg.rect(root, box, fill=svg.PAPER, stroke=svg.INK, name=f"cut cut{tool}")
    svg.line(root, (20, face), (axis - half, face), width=2)
    svg.line(root, (axis + half, face), (160, face), width=2)
    if floor is not None:
        svg.line(root, (20, offset + floor * factor), (160, offset + floor * factor), width=3)
    _heights(root, program, cuts, highest, offset, factor)
    svg.line(root, (axis, 8), (axis, bottom), stroke=svg.SOFT, dash="9 3 2 3")
    return svg.render(root, _HEIGHT, "Heights and depths to scale."), (factor, offset)


def _cuts_of_first_hole(program: ReadProgram) -> list[tuple[int, CutHole]]:
    """Return what each tool does in the hole that is made first, the widest first."""
    first = next(section.holes[0] for section in program.sections if section.holes)
    cuts = [
        (section.tool, hole)
        for section in program.sections
        for hole in section.holes
        if (hole.x, hole.y) == (first.x, first.y)
    ]
    return sorted(cuts, key=lambda cut: (program.diameter(cut[0]), -cut[1].bottom), reverse=True)


def _heights(
    root: ET.Element,
    program: ReadProgram,
    cuts: Sequence[tuple[int, CutHole]],
    highest: float,
    offset: float,
    factor: float,
) -> None:
    """Write the heights beside the section, each where there is room for it."""
    across = [
        move.end[2]
        for section in program.sections
        for move in section.moves
        if move.kind is MoveKind.RAPID and move.start[:2] != move.end[:2]
    ]
    between = min((z for z in across if z == z and z < highest), default=highest)
    feeds = [
        move.start[2]
        for section in program.sections
        for move in section.moves
        if move.kind is MoveKind.FEED and move.start[2] > 0
    ]
    said = [(highest, "safe height"), (between, "between holes"), (0.0, "entry face")]
    said += [(max(feeds), "R, feed begins")] if feeds else []
    said += [(hole.bottom, f"T{tool} {program.does(tool)}") for tool, hole in cuts]
    if program.fixture.floor is not None:
        said.append((-program.fixture.floor, "floor under the part"))
    last = -100.0
    for z, words in sorted(set(said), reverse=True):
        y = offset - z * factor
        label = max(y + 4, last + 15)
        svg.line(root, (20, y), (165, y), stroke=svg.SOFT, dash="2 3")
        svg.line(root, (165, y), (175, label - 4), stroke=svg.SOFT)
        svg.text(root, f"{length_text(z, program.unit)}  {words}", 178, label)
        last = label
