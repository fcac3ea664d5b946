"""Good, bad and unsure holes: what is proved hole by hole."""

from __future__ import annotations

import math
from collections.abc import Sequence
from enum import StrEnum
from typing import NamedTuple

from holewright.callout.callout import Limits
from holewright.gauging.reading_interval import HoleSize

TINY = 1e-9
"""Room for the rounding of decimal sizes. [mm]"""


class Shown(StrEnum):
    """What the readings of a hole show of it, every gauge at its worst."""

    INSIDE = "inside"
    OUTSIDE = "outside"
    NEITHER = "neither"


class Counts(NamedTuple):
    """Holes shown inside the limits, shown outside, and neither."""

    good: int
    bad: int
    unsure: int


def count_holes(holes: Sequence[HoleSize], limits: Limits) -> Counts:
    """Return how many holes are shown good, shown bad, and neither.

    Parameters
    ----------
    holes : sequence of HoleSize
        What the readings prove of each.
    limits : Limits
        Limits of size, inclusive. [mm]

    Returns
    -------
    Counts
        A hole whose readings contradict each other is unsure.
    """
    return Counts(*_tally([(h.lower, h.upper) for h in holes], limits))


def shown_of(hole: HoleSize, limits: Limits) -> Shown:
    """Return whether a hole is shown inside the limits, or outside them.

    Parameters
    ----------
    hole : HoleSize
        What its readings prove: bounds with every gauge at its worst. [mm]
    limits : Limits
        Limits of size, inclusive. [mm]

    Returns
    -------
    Shown
        Neither, where its readings contradict each other.
    """
    good, bad, _ = _tally([(hole.lower, hole.upper)], limits)
    return Shown.INSIDE if good else Shown.OUTSIDE if bad else Shown.NEITHER


def count_at_best(holes: Sequence[HoleSize], limits: Limits) -> Counts:
    """Return the same counts as if every gauge lay where it proves most within its doubt.

    No calibration of these gauges could decide more holes than this.
    """
    bounds = []
    for hole in holes:
        if hole.contradicts:
            bounds.append((hole.lower, hole.upper))
            continue
        full = [m for m in hole.goes if m.reading.depth is None]
        read = [m.size.best for m in hole.sizes]
        low = [m.size.largest() for m in full] + ([min(read)] if read else [])
        high = [m.size.smallest() for m in hole.stops] + ([max(read)] if read else [])
        lower, upper = max(low, default=-math.inf), min(high, default=math.inf)
        if lower > upper:
            # Both gauges can't lie there: they may close on any size between, best on a good one.
            lower = upper = min(max(limits.lower, upper), lower)
        bounds.append((lower, upper))
    return Counts(*_tally(bounds, limits))


def best_bounds(hole: HoleSize) -> tuple[float, float]:
    """Return the bounds of a hole with every gauge at its best estimate. [mm]

    They are equal where a bore gauge gave a value. Where two pins overlap so far that the
    best estimates leave no room, the sure bounds are given instead.
    """
    if hole.contradicts:
        return hole.lower, hole.upper
    value = hole.value
    if value is not None:
        return value.best, value.best
    low = max((m.size.best for m in hole.goes if m.reading.depth is None), default=-math.inf)
    high = min((m.size.best for m in hole.stops), default=math.inf)
    return (low, high) if low < high else (hole.lower, hole.upper)


def size_kind(holes: Sequence[HoleSize]) -> str:
    """Return which size the readings are about, in words of ISO 14405-1."""
    with_pins = any(h.goes or h.stops for h in holes)
    kinds = {m.reading.gauge for h in holes for m in h.sizes}
    if with_pins and kinds:
        return "maximum inscribed (pins) and local (bore gauge) together"
    return "maximum inscribed (pin)" if with_pins else "local (bore gauge)"


def _tally(bounds: Sequence[tuple[float, float]], limits: Limits) -> tuple[int, int, int]:
    good = bad = 0
    for low, high in bounds:
        if low > high:
            continue
        if low >= limits.lower - TINY and high <= limits.upper + TINY:
            good += 1
        elif high <= limits.lower + TINY or low >= limits.upper - TINY:
            # A pin of the limit's own size that refuses to go, or goes where it must not.
            bad += 1
    return good, bad, len(bounds) - good - bad
