"""From readings to what they prove about each hole.

A pin that goes proves that the hole is larger than the smallest that pin can be. A pin that
does not go proves that it is smaller than the largest that pin can be. Readings of one hole
are put together; where they can't all be true, that is said and nothing is averaged away.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from holewright.errors import InputError
from holewright.gauging.pin_size import TrueSize, as_hole_at_20, gauge_reading_size, pin_size
from holewright.gauging.reading import Reading
from holewright.reasons import Reason
from holewright.shop.pin import BoreGauge, Pin
from holewright.shop.shop import Shop
from holewright.uncertainty import Known
from holewright.units import Unit, format_both


@dataclass(frozen=True)
class Mark:
    """One reading with the gauge's size as a hole at 20 °C.

    Parameters
    ----------
    reading : Reading
        The reading.
    size : TrueSize
        The hole that this gauge would just fit, or that the bore gauge read. [mm]
    """

    reading: Reading
    size: TrueSize

    def words(self) -> str:
        """Return the reading in words, with its row."""
        r = self.reading
        if r.size is not None:
            said = f"{r.gauge} reads {r.size:.4f} mm"
        else:
            said = f"pin {r.gauge} {'goes' if r.goes else 'does not go'}"
        depth = f" at depth {r.depth:g} mm" if r.depth is not None else ""
        return f"{said}{depth} ({r.where})" if r.where else said + depth


@dataclass(frozen=True)
class HoleSize:
    """What the readings of one hole say together, at 20 °C.

    Parameters
    ----------
    hole : str
        Name of the hole.
    goes, stops, sizes : tuple of Mark
        Pins that went; pins that did not; bore-gauge readings.
    lower, upper : float
        Bounds that are sure at the confidence asked for, pins at their worst; infinite where
        no reading bounds it; lower above upper where readings contradict each other. [mm]
    varies : bool
        Whether a bore gauge read sizes that differ with depth: the bounds then hold them all.
    """

    hole: str
    goes: tuple[Mark, ...]
    stops: tuple[Mark, ...]
    sizes: tuple[Mark, ...]
    lower: float
    upper: float
    varies: bool = False

    @property
    def contradicts(self) -> bool:
        """Whether its readings can't all be true."""
        return self.lower > self.upper

    @property
    def value(self) -> TrueSize | None:
        """What the bore gauge says: the mean of its readings, weighted by 1/u². [mm]

        None where none was read, or where they differ with depth and no one size is it.
        """
        if not self.sizes or self.varies:
            return None
        weights = [1 / max(m.size.u, 1e-9) ** 2 for m in self.sizes]
        best = math.fsum(w * m.size.best for w, m in zip(weights, self.sizes, strict=True))
        # The instrument's own error is common to its readings: repeats don't shrink it.
        u = max(m.size.u_gauge for m in self.sizes)
        return TrueSize(
            best / math.fsum(weights), 0.0, u, max(m.size.u_temperature for m in self.sizes)
        )


def hole_sizes(
    readings: Iterable[Reading],
    shop: Shop,
    *,
    material_alpha: Known | float,
    confidence: float = 0.95,
    clearance: float = 0.0,
    negligible: float = 0.0,
    unit: Unit = Unit.MM,
) -> tuple[tuple[HoleSize, ...], tuple[Reason, ...]]:
    """Return what the readings prove hole by hole, and which of them can't all be true.

    Parameters
    ----------
    readings : iterable of Reading
        The readings, in any order; holes come back in the order in which they first appear.
    shop : Shop
        Tool room with the pins and bore gauges named.
    material_alpha : Known or float
        Thermal expansion of the part. [1/K]
    confidence : float
        One-sided confidence of each bound where a gauge's error is normal. [-]
    clearance : float
        By how much a hole must be larger than a pin for the pin to go, 0 or more. [mm]
    negligible : float
        What temperature uncertainty may add to a bound before it counts. [mm]
    unit : Unit
        Unit that sentences say first.

    Returns
    -------
    holes : tuple of HoleSize
        One for each hole.
    contradictions : tuple of Reason
        Readings that can't all be true, with holes, gauges and rows.

    Raises
    ------
    InputError
        If a gauge isn't in the tool room, or a reading isn't of its kind.

    Notes
    -----
    The size is the largest cylinder that fits, over the full length. A pin that goes only to
    some depth therefore proves no lower bound on it; one that does not go, at any depth,
    proves an upper bound.
    """
    pins = {p.id: p for p in shop.pins}
    bore_gauges = {g.id: g for g in shop.bore_gauges}
    known: dict[tuple[str, float | None, float, float], TrueSize] = {}
    marks: dict[str, list[Mark]] = {}
    for reading in readings:
        key = (reading.gauge, reading.size, reading.part_c, reading.gauge_c)
        if key not in known:
            size = _size_at_gauging(reading, pins, bore_gauges)
            if reading.goes is not None:
                size = replace(size, best=size.best + clearance)
            known[key] = as_hole_at_20(
                size,
                part_c=reading.part_c,
                gauge_c=reading.gauge_c,
                part_alpha=material_alpha,
                gauge_alpha=shop.gauge_alpha,
            )
        marks.setdefault(reading.hole, []).append(Mark(reading, known[key]))
    holes = tuple(_put_together(h, m, confidence, negligible) for h, m in marks.items())
    reasons = [r for hole in holes for r in _contradictions(hole, confidence, negligible, unit)]
    return holes, tuple(reasons)


def _size_at_gauging(
    reading: Reading, pins: Mapping[str, Pin], bore_gauges: Mapping[str, BoreGauge]
) -> TrueSize:
    """Return the size of the pin, or what the bore gauge read, before temperature."""
    if reading.size is None:
        if reading.gauge not in pins:
            raise InputError(
                "gauge",
                reading.gauge,
                "must be the id of a pin in the tool room, since the reading says goes or not",
                reading.where,
            )
        return pin_size(pins[reading.gauge])
    if reading.gauge not in bore_gauges:
        raise InputError(
            "gauge",
            reading.gauge,
            "must be the id of a bore gauge in the tool room, since the reading is a size",
            reading.where,
        )
    if not 0 < reading.size < math.inf:
        raise InputError("size", reading.size, "must be more than 0", reading.where)
    return gauge_reading_size(bore_gauges[reading.gauge], reading.size)


def _put_together(
    hole: str, marks: Sequence[Mark], confidence: float, negligible: float
) -> HoleSize:
    goes = tuple(m for m in marks if m.reading.goes is True)
    stops = tuple(m for m in marks if m.reading.goes is False)
    sizes = tuple(m for m in marks if m.reading.size is not None)
    low = [m.size.smallest(confidence, negligible) for m in goes if m.reading.depth is None]
    high = [m.size.largest(confidence, negligible) for m in stops]
    varies = False
    if sizes:
        least = [m.size.smallest(confidence, negligible) for m in sizes]
        most = [m.size.largest(confidence, negligible) for m in sizes]
        varies = max(least) > min(most) and len({m.reading.depth for m in sizes}) > 1
        # Local sizes that differ with depth are form, and all of them are the hole's.
        low.append(min(least) if varies else max(least))
        high.append(max(most) if varies else min(most))
    return HoleSize(
        hole,
        goes,
        stops,
        sizes,
        lower=max(low, default=-math.inf),
        upper=min(high, default=math.inf),
        varies=varies,
    )


def _contradictions(
    hole: HoleSize, confidence: float, negligible: float, unit: Unit
) -> Iterable[Reason]:
    """Return what can't be true together, or needs another look."""
    full = [m for m in hole.goes if m.reading.depth is None]
    if hole.contradicts:
        low = max([*full, *hole.sizes], key=lambda m: m.size.smallest(confidence, negligible))
        high = min([*hole.stops, *hole.sizes], key=lambda m: m.size.largest(confidence, negligible))
        form = (
            " A lobed hole can do that to a pin and a bore gauge: they don't feel the same size."
            if (low.reading.size is None) != (high.reading.size is None)
            else " Clean hole and gauges and check again."
        )
        yield Reason(
            "readings-contradict",
            f"Hole {hole.hole}: {low.words()}, so it is over {format_both(hole.lower, unit)}; "
            f"{high.words()}, so it is under {format_both(hole.upper, unit)}. Both can't be "
            f"true, whatever the gauges' own errors. The hole is left out of the fit and "
            f"counted as unsure.{form}",
            value=hole.lower,
            limit=hole.upper,
        )
    if hole.varies:
        depths = sorted(hole.sizes, key=lambda m: m.size.best)
        small, large = depths[0], depths[-1]
        yield Reason(
            "size-varies-with-depth",
            f"Hole {hole.hole}: {large.words()}, but {small.words()}. The hole is tapered, "
            f"bell-mouthed or barrelled; no one size is its size, and it is left out of the fit.",
            value=large.size.best,
            limit=small.size.best,
        )
    for m in hole.stops:
        twin = next((g for g in full if g.reading.gauge == m.reading.gauge), None)
        if twin is not None:
            yield Reason(
                "same-pin-both-ways",
                f"Hole {hole.hole}: {twin.words()}, and {m.words()}. That is feel, dirt or "
                f"temperature; check again. Until then the hole counts as the size of that pin.",
                value=m.size.best,
            )
    for m in hole.goes:
        further = [s for s in hole.stops if s.size.best <= m.size.best]
        if m.reading.depth is not None and further:
            yield Reason(
                "goes-part-way",
                f"Hole {hole.hole}: {m.words()}, but {further[0].words()}. The hole is tapered, "
                f"bent or burred, or bell-mouthed at the entry; its size is the smaller one.",
                value=m.reading.depth,
            )
