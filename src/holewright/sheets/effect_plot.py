"""Main effects of a test plate on size: level by level, each with its interval."""

from __future__ import annotations

from collections.abc import Sequence

from holewright.callout.callout import Limits
from holewright.plate.effect import LevelMean
from holewright.sheets import svg
from holewright.sheets.sizes import limit_text, size_text
from holewright.units import Unit

_TOP, _FOOT = 14.0, 46.0
_LEAST_PANEL = 150.0


def effect_plot_svg(
    means: Sequence[LevelMean],
    limits: Limits,
    unit: Unit,
    *,
    width: float = 720.0,
    height: float = 260.0,
) -> str:
    """Return the main effects side by side, one panel a factor, on one scale of size.

    Parameters
    ----------
    means : sequence of LevelMean
        Mean size at each level, at least one.
    limits : Limits
        Limits of size, drawn where they are near. [mm]
    unit : Unit
        Unit of the print.
    width, height : float
        Size of the picture. [px]

    Returns
    -------
    str
        One ``<svg>`` element that loads nothing.
    """
    factors = list(dict.fromkeys(mean.factor for mean in means))
    least = min(mean.lower for mean in means)
    most = max(mean.upper for mean in means)
    room = 0.08 * (most - least) or 0.001
    near = [b for b in (limits.lower, limits.upper) if least - 4 * room < b < most + 4 * room]
    least, most = min([least - room, *near]), max([most + room, *near])
    labels = [size_text(least + i / 4 * (most - least), unit) for i in range(5)]
    left = max(svg.text_width(text) for text in labels) + 10
    root = svg.picture(width, "Mean size at each level, all else at its average")
    top, bottom = _TOP, height - _FOOT

    def y_of(value: float) -> float:
        return bottom - (value - least) / (most - least) * (bottom - top)

    for i, text in enumerate(labels):
        y = y_of(least + i / 4 * (most - least))
        svg.line(root, (left, y), (width, y), stroke=svg.FAINT)
        svg.text(root, text, left - 6, y + 4, anchor="end")
    for bound in near:
        svg.line(root, (left, y_of(bound)), (width, y_of(bound)), width=1.8, name="limit")
        words = limit_text(bound, unit, lower=bound == limits.lower)
        name = "lower" if bound == limits.lower else "upper"
        svg.text(root, f"{name} limit {words}", width - 4, y_of(bound) - 4, anchor="end", bold=True)
    panel = (width - left) / len(factors)
    for k, factor in enumerate(factors):
        own = [mean for mean in means if mean.factor == factor]
        start = left + k * panel
        step = panel / len(own)
        points = []
        for i, mean in enumerate(own):
            x = start + (i + 0.5) * step
            svg.line(root, (x, y_of(mean.lower)), (x, y_of(mean.upper)), width=1.4, name="interval")
            svg.circle(root, x, y_of(mean.mean), 3.5, fill=svg.INK)
            points.append((x, y_of(mean.mean)))
            label = mean.level.removeprefix(f"{factor} ")
            if svg.text_width(label) > step and panel < _LEAST_PANEL:
                label = f"{i + 1}"
            svg.text(root, label, x, bottom + 18, anchor="middle")
        svg.path(root, points, stroke=svg.SOFT, width=1.0)
        svg.text(root, factor, start + panel / 2, bottom + 36, anchor="middle", bold=True)
    return svg.render(root, height, "Dots are means, bars their intervals.")
