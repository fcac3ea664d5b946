"""The zone strip in text, for a terminal."""

from __future__ import annotations

import math
import textwrap
from collections import Counter
from dataclasses import dataclass

from holewright.errors import OutOfRangeError
from holewright.sheets import rows
from holewright.sheets.sizes import small_pair
from holewright.sheets.strip_marks import (
    Bar,
    BarKind,
    ZoneStrip,
    answer,
    bars,
    limit_names,
    stacked,
)

NARROWEST = 48
"""Least number of columns in which the limits have room."""

_DENSITY_ROWS = 3


@dataclass(frozen=True)
class _Glyphs:
    limit: str
    base: str
    cross: str
    outside: str
    reamer: str
    full: str
    half: str
    dot: str
    bar: dict[BarKind, tuple[str, str, str, str]]
    """Left end, line, right end, and all of it where one column is all there is."""
    left: str
    right: str


_BOX = _Glyphs(
    limit="│",
    base="─",
    cross="┴",
    outside="░",
    reamer=":",
    full="█",
    half="▄",
    dot="●",
    bar={
        BarKind.SPREAD: ("╞", "═", "╡", "╪"),
        BarKind.READINGS: ("├", "·", "┤", "│"),
        BarKind.REAMER: ("[", ":", "]", "|"),
        BarKind.PIN: ("▐", "█", "▌", "█"),
        BarKind.HOLES: ("├", "─", "┤", "│"),
    },
    left="◄",
    right="►",
)
_ASCII = _Glyphs(
    limit="|",
    base="-",
    cross="+",
    outside="/",
    reamer=":",
    full="#",
    half="_",
    dot="o",
    bar={
        BarKind.SPREAD: ("[", "=", "]", "="),
        BarKind.READINGS: ("|", ".", "|", "|"),
        BarKind.REAMER: ("[", ":", "]", "|"),
        BarKind.PIN: ("#", "#", "#", "#"),
        BarKind.HOLES: ("|", "-", "|", "|"),
    },
    left="<",
    right=">",
)


def zone_strip_text(strip: ZoneStrip, columns: int = 78, ascii_only: bool = False) -> str:
    """Return the zone strip as lines of text, to the scale of one column.

    Parameters
    ----------
    strip : ZoneStrip
        What to show.
    columns : int
        Greatest length of a line, at least 48.
    ascii_only : bool
        Whether to draw with plain ASCII; the words then write ``um`` for µm.

    Returns
    -------
    str
        Lines without trailing blanks, the last one without a line feed.

    Raises
    ------
    OutOfRangeError
        If there are too few columns for the limits.
    """
    if columns < NARROWEST:
        raise OutOfRangeError("columns", columns, f"{NARROWEST} or more")
    glyphs = _ASCII if ascii_only else _BOX
    lines = [*_limit_lines(strip, columns), *_band(strip, columns, glyphs)]
    lines += _bar_lines(strip, columns, glyphs)
    lines += [line for said in answer(strip) for line in textwrap.wrap(said, columns)]
    shown = "\n".join(line.rstrip() for line in lines)
    return _plain(shown) if ascii_only else shown


def column(strip: ZoneStrip, size: float, columns: int) -> int:
    """Return the column of a size, from 0; -1 or `columns` where it lies beyond the margin."""
    place = min(max(strip.share(size), -1.0), 2.0)
    return min(max(math.floor(place * (columns - 1) + 0.5), -1), columns)


def _limit_lines(strip: ZoneStrip, columns: int) -> list[str]:
    """Write the limits over their columns, the tolerance between them or below."""
    low, high = (column(strip, s, columns) for s in (strip.limits.lower, strip.limits.upper))
    middle = (low + high) // 2
    tolerance = small_pair(strip.limits.width, strip.unit)
    between = stacked("tolerance", tolerance)
    lines, clear = [], True
    for left, right, words in zip(*limit_names(strip), between, strict=True):
        a = max(0, low - len(left) // 2)
        b = min(columns, high + (len(right) + 1) // 2) - len(right)
        at = middle - len(words) // 2
        clear = clear and a + len(left) + 2 <= at and at + len(words) + 2 <= b
        lines.append((_write(_write(" " * columns, a, left), b, right), at, words))
    if clear:
        return [_write(line, at, words) for line, at, words in lines]
    words = f"tolerance {tolerance}"
    below = _write(" " * columns, max(0, middle - len(words) // 2), words)
    return [*(line for line, _, _ in lines), below]


def _band(strip: ZoneStrip, columns: int, glyphs: _Glyphs) -> list[str]:
    """Draw the zone with the reamer's limits, the density and the dots in front of it."""
    low, high = (column(strip, s, columns) for s in (strip.limits.lower, strip.limits.upper))
    lines = []
    for level in range(_DENSITY_ROWS - 1, -1, -1):
        cells = [glyphs.outside if c < low or c > high else " " for c in range(columns)]
        if strip.reamer is not None:
            for limit in (strip.reamer.lower, strip.reamer.upper):
                c = column(strip, limit, columns)
                if 0 <= c < columns:
                    cells[c] = glyphs.reamer
        for c, height in _heights(strip, columns):
            if height >= 2 * level + 1:
                cells[c] = glyphs.full if height >= 2 * level + 2 else glyphs.half
        cells[low] = cells[high] = glyphs.limit
        line = "".join(cells)
        if level == _DENSITY_ROWS - 1:
            line = _write(line, 1, " too small ")
            line = _write(line, columns - 12, " too large ")
        lines.append(line)
    lines.append(_base(strip, columns, glyphs))
    return lines


def _base(strip: ZoneStrip, columns: int, glyphs: _Glyphs) -> str:
    """Draw the base line with the bore-gauge readings on it; a digit counts several in one."""
    base = [glyphs.base] * columns
    for limit in (strip.limits.lower, strip.limits.upper):
        base[column(strip, limit, columns)] = glyphs.cross
    for c, n in Counter(column(strip, s, columns) for s in strip.readings).items():
        if 0 <= c < columns:
            base[c] = glyphs.dot if n == 1 else str(n) if n < 10 else "+"
        else:
            base[0 if c < 0 else -1] = glyphs.left if c < 0 else glyphs.right
    return "".join(base)


def _heights(strip: ZoneStrip, columns: int) -> list[tuple[int, int]]:
    """Return the height of the density over each column, in half rows."""
    spread = strip.spread
    if spread is None:
        return []
    centre = strip.share(spread.mean) * (columns - 1)
    scale = max(0.3, spread.sd / (strip.end - strip.start) * (columns - 1))
    heights = []
    for c in range(columns):
        density = math.exp(-0.5 * min(40.0, abs(c - centre) / scale) ** 2)
        heights.append((c, math.floor(2 * _DENSITY_ROWS * density + 0.5)))
    return heights


def _bar_lines(strip: ZoneStrip, columns: int, glyphs: _Glyphs) -> list[str]:
    found = bars(strip)
    drawn = [_bar(strip, bar, columns, glyphs) for bar in found]
    items = [
        rows.Item(start, start + len(cells), bar.words, bar.kind is not BarKind.PIN)
        for (start, cells), bar in zip(drawn, found, strict=True)
    ]
    placed, count = rows.place(items, columns, len, 1)
    lines = [" " * columns] * count
    for limit in (strip.limits.lower, strip.limits.upper):
        lines = [_write(line, column(strip, limit, columns), glyphs.limit) for line in lines]
    for (start, cells), spot in zip(drawn, placed, strict=True):
        lines[spot.row] = _write(lines[spot.row], start, cells)
        for row, x, words in spot.lines:
            lines[row] = _write(lines[row], int(x), words)
    return lines


def _bar(strip: ZoneStrip, bar: Bar, columns: int, glyphs: _Glyphs) -> tuple[int, str]:
    """Return a bar's first column and its cells, with an arrow where it leaves the strip."""
    left, middle, right, single = glyphs.bar[bar.kind]
    first = min(max(column(strip, bar.lower, columns), 0), columns - 1)
    last = min(max(column(strip, bar.upper, columns), 0), columns - 1)
    cells = single if first == last else left + middle * (last - first - 1) + right
    if strip.share(bar.lower) < 0:
        cells = glyphs.left + cells[1:]
    if strip.share(bar.upper) > 1:
        cells = cells[:-1] + glyphs.right
    return first, cells


def _write(line: str, at: int, words: str) -> str:
    return line[:at] + words + line[at + len(words) :]


def _plain(words: str) -> str:
    words = words.replace("µ", "u").replace("…", "~")
    return words.encode("ascii", "replace").decode("ascii")
