"""The window in text, for the terminal: what is allowed, lettered borders, the point chosen."""

from __future__ import annotations

from string import ascii_uppercase

import numpy as np

from holewright.errors import OutOfRangeError
from holewright.planning.window import Window
from holewright.sheets.window_svg import name_of
from holewright.units import Unit, format_feed, format_speed

LEAST_COLUMNS, LEAST_ROWS = 40, 8
_ALLOWED, _CHOSEN = "░", "●"
_GUTTER = 8


def window_text(window: Window, unit: Unit, *, columns: int = 72, rows: int = 20) -> str:
    """Return a map of the window and the key of its borders.

    Parameters
    ----------
    window : Window
        Region, borders and the point chosen.
    unit : Unit
        Unit of the axes.
    columns, rows : int
        Size of the map, 40 by 8 or more. [characters]

    Returns
    -------
    str
        Lines without trailing blanks.

    Raises
    ------
    OutOfRangeError
        If there is no room for it.
    """
    if columns < LEAST_COLUMNS or rows < LEAST_ROWS:
        raise OutOfRangeError(
            "columns and rows", f"{columns} by {rows}", f"{LEAST_COLUMNS} by {LEAST_ROWS} or more"
        )
    wide = columns - _GUTTER - 1
    across = np.geomspace(window.v_c[0], window.v_c[-1], wide)
    up = np.geomspace(window.f[0], window.f[-1], rows)[::-1]
    i = np.abs(np.log(window.v_c)[:, None] - np.log(across)).argmin(axis=0)
    j = np.abs(np.log(window.f)[:, None] - np.log(up)).argmin(axis=0)
    grid = np.where(window.allowed[i][:, j].T, _ALLOWED, " ").astype("<U1")

    def put(v_c: float, f: float, mark: str) -> None:
        column = int(np.abs(np.log(across) - np.log(v_c)).argmin())
        row = int(np.abs(np.log(up) - np.log(f)).argmin())
        grid[row, column] = mark

    for letter, border in zip(ascii_uppercase, window.borders, strict=False):
        for line in border.lines:
            for v_c, f in _dense(line, wide + rows):
                put(v_c, f, letter)
    put(*window.chosen, _CHOSEN)
    metric = unit is Unit.MM
    lines = [f"feed, {'mm/rev' if metric else 'in/rev'}"]
    for row in range(rows):
        said = format_feed(float(up[row]), unit).split(" ")[0] if row % 4 == 0 else ""
        lines.append(f"{said:>{_GUTTER - 1}} │{''.join(grid[row])}".rstrip())
    lines.append(f"{'':>{_GUTTER - 1}} └{'─' * wide}")
    lines.append(_speed_line(across, unit, wide))
    lines.append(
        f"{_ALLOWED} allowed   {_CHOSEN} chosen: {format_speed(window.chosen[0], unit)}, "
        f"{format_feed(window.chosen[1], unit)}"
    )
    for letter, border in zip(ascii_uppercase, window.borders, strict=False):
        lines.append(f"{letter} {name_of(border.code)}")
    return "\n".join(lines)


def _dense(line: np.ndarray, points: int) -> np.ndarray:
    """Return a line with points close enough that no character is skipped."""
    logs = np.log(line)
    along = np.concatenate([[0.0], np.abs(np.diff(logs, axis=0)).sum(axis=1).cumsum()])
    at = np.linspace(0.0, along[-1], max(2 * points, 2))
    dense: np.ndarray = np.exp(np.stack([np.interp(at, along, one) for one in logs.T], axis=-1))
    return dense


def _speed_line(across: np.ndarray, unit: Unit, wide: int) -> str:
    """Return the numbers along the speed axis, at every quarter of it."""
    line = [" "] * (_GUTTER + 1 + wide + 12)
    for share in (0.0, 0.25, 0.5, 0.75):
        column = round(share * (wide - 1))
        word = format_speed(float(across[column]), unit).split(" ")[0]
        line[_GUTTER + column : _GUTTER + column + len(word)] = word
    name = "m/min" if unit is Unit.MM else "sfm"
    at = _GUTTER + wide - len(name)
    line[at : at + len(name)] = name
    return "".join(line).rstrip()
