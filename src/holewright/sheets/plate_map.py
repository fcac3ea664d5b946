"""The test plate from above: rows named by what they test, holes numbered as they are cut."""

from __future__ import annotations

from holewright.plate.factors import setting_words
from holewright.plate.layout import row_name
from holewright.plate.plate import Plate
from holewright.sheets import svg
from holewright.units import Unit

_MOST_STEP = 46.0
_ROW_STEP = 36.0
_LEAST_RADIUS = 7.0
_TOP = 8.0


def plate_map_svg(plate: Plate, unit: Unit, *, width: float = 720.0) -> str:
    """Return the plate from above; row A is at the bottom, as Y runs up. Not to scale.

    Parameters
    ----------
    plate : Plate
        The plate.
    unit : Unit
        Unit that lengths are said in.
    width : float
        Width of the picture. [px]

    Returns
    -------
    str
        One ``<svg>`` element that loads nothing.
    """
    rows, a_row = len(plate.settings), plate.a_row
    words = [
        f"{row_name(i)}  {setting_words(plate.factors, setting, unit)}"
        for i, setting in enumerate(plate.settings)
    ]
    left = max(svg.text_width(text) for text in words) + 14
    if left > width / 2:
        words = [row_name(i) for i in range(rows)]
        left = 40.0
    step = min(_MOST_STEP, (width - left - 8) / a_row)
    radius = max(_LEAST_RADIUS, min(15.0, 0.42 * step))
    fits = radius >= 9
    root = svg.picture(width, f"Test plate from above: {rows} rows of {a_row} holes")
    height = _TOP + rows * _ROW_STEP + 30
    holes = svg.group(root, "holes")
    for i in range(rows):
        y = _TOP + (rows - 1 - i) * _ROW_STEP + _ROW_STEP / 2
        svg.text(root, words[i], 0, y + 4, bold=False)
        svg.line(root, (left - 6, y + _ROW_STEP / 2), (width, y + _ROW_STEP / 2), stroke=svg.FAINT)
    for hole in plate.holes:
        x = left + (round(hole.x / plate.layout.pitch) + 0.5) * step
        y = _TOP + (rows - 1 - hole.row) * _ROW_STEP + _ROW_STEP / 2
        svg.circle(holes, x, y, radius, fill=svg.PAPER, stroke=svg.INK)
        if fits:
            size = 11.0 if hole.cut < 100 else 9.0
            svg.text(holes, str(hole.cut), x, y + 4, anchor="middle", size=size)
    foot = (
        "Zero: first hole of row A, X along the row, Y up. The number in a hole is its place in "
        "the order of cutting."
        if fits
        else "Zero: first hole of row A. The order of cutting stands in the list."
    )
    svg.text(root, foot, 0, height - 8, fill=svg.SOFT)
    return svg.render(root, height, "Rows of holes, each at one setting.")
