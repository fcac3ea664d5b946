"""The zone strip: the one recurring picture, to scale across the tolerance zone.

From back to front: the zone, the reamer's make limits, the forecast or the estimate with its
95 % interval underlined, pins with their true size, bore-gauge readings, hole intervals. It
answers where the size will come or came, and how far that is from the edge.
"""

from __future__ import annotations

from holewright.sheets.strip_marks import (
    PinMark,
    Spread,
    SpreadKind,
    ZoneStrip,
    estimate_spread,
    estimate_strip,
    forecast_spread,
    pin_mark,
)
from holewright.sheets.strip_svg import zone_strip_svg
from holewright.sheets.strip_text import zone_strip_text

__all__ = [
    "PinMark",
    "Spread",
    "SpreadKind",
    "ZoneStrip",
    "estimate_spread",
    "estimate_strip",
    "forecast_spread",
    "pin_mark",
    "zone_strip_svg",
    "zone_strip_text",
]
