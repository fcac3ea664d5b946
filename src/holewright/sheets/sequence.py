"""Size in sequence: each hole as it was made, against the limits."""

from __future__ import annotations

from collections.abc import Sequence
from xml.etree import ElementTree as ET

from holewright.callout.callout import Limits
from holewright.gauging.estimate import HoleInterval
from holewright.sheets import svg
from holewright.sheets.sizes import limit_text, other
from holewright.sheets.strip_marks import ZoneStrip
from holewright.units import Unit

_GAP = 8.0


def size_sequence_svg(
    holes: Sequence[HoleInterval],
    limits: Limits,
    unit: Unit,
    *,
    width: float = 720.0,
    height: float = 190.0,
) -> str:
    """Return the holes side by side in the order given, each with what is known of its size.

    A bar lies between the sizes that pins leave open, a dot is a bore-gauge value. The scale
    is that of the zone strip, upright. A cross means that the hole's readings contradict
    each other.

    Parameters
    ----------
    holes : sequence of HoleInterval
        In the order in which they were gauged, at least one.
    limits : Limits
        Limits of size. [mm]
    unit : Unit
        Unit of the print.
    width, height : float
        Size of the picture. [px]

    Returns
    -------
    str
        One ``<svg>`` element that loads nothing.
    """
    strip = ZoneStrip(limits, unit)
    root = svg.picture(width, f"Size of {len(holes)} holes in sequence")
    left, base = _limits(root, strip, width, height - 34)
    g = svg.group(root, "holes")
    step = (width - left - 20) / len(holes)
    half = min(4.0, step / 3)
    named: list[svg.Box] = []
    for i, hole in enumerate(holes):
        x = left + 10 + (i + 0.5) * step
        low, high = (base * (1 - strip.share(s)) for s in (hole.lower, hole.upper))
        if hole.lower > hole.upper:
            y = min(max((low + high) / 2, 6.0), base - 6)
            svg.line(g, (x - half, y - half), (x + half, y + half), width=1.6)
            svg.line(g, (x - half, y + half), (x + half, y - half), width=1.6)
        elif hole.lower == hole.upper and 0 <= low <= base:
            svg.circle(g, x, low, min(3.0, half + 0.5), fill=svg.INK)
        else:
            _bar(g, x, low, high, half, base)
        label = svg.label_box(hole.hole, x, height - 18, "middle", svg.FONT_SIZE, False)
        clear = label.x0 >= 0 and label.x1 <= width
        if clear and not any(label.overlaps(box) for box in named):
            named.append(svg.Box(label.x0 - 4, label.y0, label.x1 + 4, label.y1))
            svg.text(g, hole.hole, x, height - 18, anchor="middle")
    svg.text(
        root, "hole, in sequence", (left + width) / 2, height - 4, anchor="middle", fill=svg.SOFT
    )
    return svg.render(root, height, "Bars: between the sizes that pins leave open. Dots: values.")


def _limits(root: ET.Element, strip: ZoneStrip, width: float, base: float) -> tuple[float, float]:
    """Draw zone, limits and base line; return the left edge of the plot and its base."""
    upper, lower = (base * (1 - strip.share(s)) for s in (strip.limits.upper, strip.limits.lower))
    labels = [("too large", 12.0), ("too small", base - 2)]
    for name, limit, y, is_lower in (
        ("upper limit", strip.limits.upper, upper, False),
        ("lower limit", strip.limits.lower, lower, True),
    ):
        words = [limit_text(limit, u, lower=is_lower) for u in (strip.unit, other(strip.unit))]
        labels += [(name, y - 8), (words[0], y + 6), (f"({words[1]})", y + 20)]
    left = max(svg.text_width(words, bold=True) for words, _ in labels) + _GAP
    fill = svg.hatch(root, "sequence-outside", spacing=7, stroke=svg.FAINT)
    g = svg.group(root, "limits")
    svg.rect(g, svg.Box(left, 0, width, upper), fill=fill)
    svg.rect(g, svg.Box(left, lower, width, base), fill=fill)
    for name, y in (("upper", upper), ("lower", lower)):
        svg.line(g, (left, y), (width, y), width=2, name=f"limit {name}")
    for label, y in labels:
        svg.text(g, label, left - _GAP, y, anchor="end", bold=label[0] not in "tul(")
    return left, base


def _bar(g: ET.Element, x: float, low: float, high: float, half: float, base: float) -> None:
    """Draw an upright bar with ends, or with arrows where it leaves the picture; y is down."""
    bottom, top = min(max(low, 0.0), base), min(max(high, 0.0), base)
    svg.line(g, (x, bottom), (x, top), width=1.4)
    if low > base:
        svg.arrowhead(g, (x, base), (0, 1), length=7)
    elif low >= 0:
        svg.line(g, (x - half, bottom), (x + half, bottom), width=1.4)
    if high < 0:
        svg.arrowhead(g, (x, 0), (0, -1), length=7)
    elif high <= base:
        svg.line(g, (x - half, top), (x + half, top), width=1.4)
