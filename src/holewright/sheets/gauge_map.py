"""The holes of one part from above, each with a sign for what was found at it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from holewright.sheets import svg

SIGNS = {
    "open": "",
    "inside": "✓",
    "outside": "✗",
    "not shown": "?",
    "contradicts": "≠",
    "waiting": "…",
}
"""What is known of a hole -> its sign; a sign is never left to its colour alone."""

_PAD = 34.0
_LEAST = 20.0


def gauge_map_svg(
    holes: Sequence[tuple[float, float]],
    said: Mapping[int, str],
    *,
    asked: int = 0,
    width: float = 460.0,
    height: float = 320.0,
) -> str:
    """Return the holes of a part from above, to scale in their places but not in their size.

    Parameters
    ----------
    holes : sequence of (float, float)
        Hole centres from the part zero; at least one. [mm]
    said : mapping
        Number of the hole, from 1 -> one of :data:`SIGNS`; those left out are open.
    asked : int
        The hole that is asked for now; 0 for none. [-]
    width, height : float
        Room for the picture. [px]

    Returns
    -------
    str
        One ``<svg>`` element that loads nothing. Each hole is a group of class ``hole nN``.
    """
    xs, ys = [h[0] for h in holes], [h[1] for h in holes]
    spans = (max(xs) - min(xs), max(ys) - min(ys))
    scales = [
        (room - 2 * _PAD) / span for room, span in zip((width, height), spans, strict=True) if span
    ]
    scale = min(scales, default=1.0)
    height = min(height, spans[1] * scale + 2 * _PAD)

    def place(x: float, y: float) -> tuple[float, float]:
        return (
            (width - spans[0] * scale) / 2 + (x - min(xs)) * scale,
            (height + spans[1] * scale) / 2 - (y - min(ys)) * scale,
        )

    nearest = _nearest(holes) * scale
    radius = max(5.0, min(_LEAST, 0.38 * nearest))
    root = svg.picture(width, f"{len(holes)} holes of the part from above")
    told = []
    for number, hole in enumerate(holes, start=1):
        x, y = place(*hole)
        state = said.get(number, "open")
        g = svg.group(root, f"hole n{number} {state.replace(' ', '-')}")
        if number == asked:
            g.set("class", f"{g.get('class')} asked")
        svg.circle(g, x, y, radius, fill=svg.PAPER, stroke=svg.INK)
        svg.circle(g, x, y, radius + 6, fill="none", stroke=svg.ACCENT)
        words = SIGNS[state] or str(number)
        svg.text(g, words, x, y + 0.35 * radius, anchor="middle", size=radius, bold=True)
        told.append(f"hole {number} {state}{', asked now' if number == asked else ''}")
    return svg.render(root, height, "; ".join(told) + ".")


def _nearest(holes: Sequence[tuple[float, float]]) -> float:
    """Return a distance that no two holes come nearer than, by their places sorted; inf for one."""
    order = sorted(holes)
    best = float("inf")
    for i, (x, y) in enumerate(order):
        for other in order[i + 1 :]:
            if other[0] - x >= best:
                break
            best = min(best, ((other[0] - x) ** 2 + (other[1] - y) ** 2) ** 0.5)
    return best
