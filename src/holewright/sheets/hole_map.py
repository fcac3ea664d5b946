"""The holes of one part from above, numbered in the order in which they are made."""

from __future__ import annotations

from collections.abc import Sequence

from holewright.sheets import svg
from holewright.sheets.sizes import length_text
from holewright.units import Unit

_PAD = 26.0
_LISTED = 8
"""Holes whose centres are listed under the picture; more stand in the program only."""


def hole_map_svg(
    holes: Sequence[tuple[float, float]],
    unit: Unit,
    *,
    diameter: float,
    width: float = 290.0,
    height: float = 130.0,
) -> str:
    """Return the plan view of the holes, to scale, with the part zero.

    Parameters
    ----------
    holes : sequence of (float, float)
        Hole centres from the part zero, in the order in which they are made; at least one. [mm]
    unit : Unit
        Unit of the print.
    diameter : float
        Diameter of the holes, drawn to scale but never too small to see. [mm]
    width, height : float
        Room for the plan; the list of centres comes below it. [px]

    Returns
    -------
    str
        One ``<svg>`` element that loads nothing.
    """
    xs, ys = [0.0, *(h[0] for h in holes)], [0.0, *(h[1] for h in holes)]
    spans = (max(xs) - min(xs), max(ys) - min(ys))
    scale = min(
        (width - 2 * _PAD) / spans[0] if spans[0] else float("inf"),
        (height - 2 * _PAD) / spans[1] if spans[1] else float("inf"),
    )
    if scale == float("inf"):
        scale = 1.0
    if not spans[1]:
        height = min(height, 2 * _PAD + 2 * max(3.0, diameter / 2 * scale))

    def place(x: float, y: float) -> tuple[float, float]:
        return (
            (width - spans[0] * scale) / 2 + (x - min(xs)) * scale,
            (height + spans[1] * scale) / 2 - (y - min(ys)) * scale,
        )

    root = svg.picture(width, f"{len(holes)} holes from above")
    zero = place(0, 0)
    for dx, dy, name in ((1, 0, "X"), (0, -1, "Y")):
        tip = (zero[0] + 20 * dx, zero[1] + 20 * dy)
        svg.line(root, zero, tip, width=1.4)
        svg.arrowhead(root, tip, (dx, dy), length=7)
        svg.text(root, name, tip[0] + (5 if dx else -14), tip[1] + (18 if dx else 6), bold=True)
    taken: list[svg.Box] = []
    g = svg.group(root, "holes")
    radius = max(3.0, diameter / 2 * scale)
    for number, hole in enumerate(holes, start=1):
        x, y = place(*hole)
        svg.circle(g, x, y, radius, fill="none", stroke=svg.INK)
        label = svg.label_box(str(number), x + radius + 3, y - 4, "start", svg.FONT_SIZE, True)
        if not any(label.overlaps(box) for box in taken):
            taken.append(label)
            svg.text(g, str(number), x + radius + 3, y - 4, bold=True)
    svg.circle(root, *zero, 3.5, fill=svg.PAPER, stroke=svg.INK)
    svg.circle(root, *zero, 1.5, fill=svg.INK)
    foot = height
    for words in _listed(holes, unit, width):
        foot += 14
        svg.text(root, words, 0, foot)
    return svg.render(root, foot + 5, f"{len(holes)} holes in the order in which they are made.")


def _listed(holes: Sequence[tuple[float, float]], unit: Unit, width: float) -> list[str]:
    """Return the centres in as many columns as fit, or where to find them."""
    if len(holes) > _LISTED:
        return ["Zero: small ringed dot. Centres: see the program."]
    entries = []
    for number, (x, y) in enumerate(holes, start=1):
        x_text = length_text(x, unit).rsplit(" ", 1)[0]
        entries.append(f"{number}: X {x_text}  Y {length_text(y, unit)}")
    lines: list[str] = ["Zero: small ringed dot."]
    for entry in entries:
        joined = f"{lines[-1]}   {entry}"
        if svg.text_width(joined) <= width and len(lines) > 1:
            lines[-1] = joined
        else:
            lines.append(entry)
    return lines
