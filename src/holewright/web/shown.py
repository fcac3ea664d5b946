"""Numbers as a page shows them: the unit that somebody chose first, the other small behind it."""

from __future__ import annotations

import math
from dataclasses import dataclass

from markupsafe import Markup

from holewright.sheets import sizes
from holewright.sheets.words import roughness_pair
from holewright.units import Unit, format_feed, format_feed_speed, format_speed

NARROW = "\u202f"
"""A narrow blank at which no line breaks."""

DASH = "–"


@dataclass(frozen=True)
class Shown:
    """Writes numbers in the unit that comes first on a page.

    Parameters
    ----------
    unit : Unit
        That unit.
    """

    unit: Unit

    def _pair(self, words: str) -> Markup:
        first, _, second = words.partition(" (")
        if not second:
            return Markup('<span class="q">{}</span>').format(first)
        return Markup('<span class="q">{} <span class="second">({}</span></span>').format(
            first, second
        )

    def size(self, mm: float | None) -> Markup:
        """Return a computed or measured size in both units."""
        return self._pair(DASH if mm is None else sizes.size_pair(mm, self.unit))

    def lower(self, mm: float) -> Markup:
        """Return a lower limit of size in both units."""
        return self._pair(sizes.limit_pair(mm, self.unit, lower=True))

    def upper(self, mm: float) -> Markup:
        """Return an upper limit of size in both units."""
        return self._pair(sizes.limit_pair(mm, self.unit, lower=False))

    def between(self, low: float, high: float) -> Markup:
        """Return a range of sizes in both units."""
        return self._pair(sizes.range_pair(low, high, self.unit))

    def small(self, mm: float | None) -> Markup:
        """Return a small length in both units: µm, tenths."""
        return self._pair(DASH if mm is None else sizes.small_pair(mm, self.unit))

    def length(self, mm: float) -> Markup:
        """Return a depth or another plain length in both units."""
        return self._pair(sizes.length_pair(mm, self.unit))

    def diameter(self, mm: float) -> Markup:
        """Return the diameter of a drill or chamfer in both units."""
        other = sizes.tool_diameter(mm, sizes.other(self.unit))
        return self._pair(f"{sizes.tool_diameter(mm, self.unit)} ({other})")

    def roughness(self, ra: float) -> Markup:
        """Return a roughness in both units."""
        return self._pair(roughness_pair(ra, self.unit))

    def speed(self, v_c: float) -> Markup:
        """Return a cutting speed."""
        return self._pair(format_speed(v_c, self.unit))

    def feed(self, f: float) -> Markup:
        """Return a feed per revolution."""
        return self._pair(format_feed(f, self.unit))

    def feed_speed(self, v_f: float) -> Markup:
        """Return a feed speed."""
        return self._pair(format_feed_speed(v_f, self.unit))


def percent(share: float | None) -> str:
    """Return a share in per cent, never rounded up to a whole that it isn't."""
    if share is None or not math.isfinite(share):
        return DASH
    if 0.9995 < share < 1:
        return f"{math.floor(share * 1e5) / 1e3:.3f}{NARROW}%"
    if 0 < share < 0.0005:
        return f"under 0.05{NARROW}%"
    return f"{100 * share:.1f}{NARROW}%"


def seconds(value: float) -> str:
    """Return a time as people say it: ``7.4 s``, ``12 min 30 s``, ``2 h 05 min``."""
    if value < 100:
        return f"{value:.1f}{NARROW}s"
    minutes, rest = divmod(round(value), 60)
    if minutes < 120:
        return f"{minutes}{NARROW}min {rest:02d}{NARROW}s"
    return f"{minutes // 60}{NARROW}h {minutes % 60:02d}{NARROW}min"


def figures(value: float, digits: int = 4) -> str:
    """Return a number to so many figures, without powers of ten where it can be."""
    if not math.isfinite(value):
        return DASH
    if value != 0 and not 1e-4 <= abs(value) < 1e7:
        return f"{value:.{digits - 1}e}"
    if abs(value) >= 10 ** (digits - 1):
        return f"{value:,.0f}"
    return f"{value:.{digits}g}"
