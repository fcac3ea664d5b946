"""What a zone strip shows: the ZoneStrip document, its scale, and its answer in words."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from holewright.callout.callout import Limits
from holewright.errors import OutOfRangeError
from holewright.gauging.estimate import Estimate, HoleInterval
from holewright.gauging.pin_size import pin_size
from holewright.sheets.sizes import limit_text, other, range_pair, size_pair, small_pair
from holewright.sheets.svg import printable
from holewright.shop.pin import Pin, Sense
from holewright.sizing.forecast import Forecast
from holewright.units import Unit

MARGIN = 0.6
"""Room on either side of the zone, as a share of the tolerance."""

MOST_GROUPS = 8
"""Different hole intervals that are named one by one; beyond that they are drawn only."""

_Z95 = 1.959964
"""Half width of the central 95 % of a normal distribution, in standard deviations."""


class SpreadKind(StrEnum):
    """Whether a spread of sizes is yet to come or has come."""

    FORECAST = "forecast"
    ESTIMATE = "estimate"


@dataclass(frozen=True)
class Spread:
    """A spread of sizes, drawn as a normal density.

    Parameters
    ----------
    kind : SpreadKind
        Forecast or estimate.
    mean, sd : float
        Mean and standard deviation; sd 0 or more. [mm]
    interval : tuple of float
        Sizes between which 95 % of the holes lie. [mm]
    """

    kind: SpreadKind
    mean: float
    sd: float
    interval: tuple[float, float]


class BarKind(StrEnum):
    """What a bar below the band stands for."""

    SPREAD = "spread"
    READINGS = "readings"
    REAMER = "reamer"
    PIN = "pin"
    HOLES = "holes"


@dataclass(frozen=True)
class Bar:
    """A range of sizes [mm] with the words that stand beside it."""

    kind: BarKind
    lower: float
    upper: float
    words: str


@dataclass(frozen=True)
class PinMark:
    """A gauge pin as the strip shows it: marked size is not size.

    Parameters
    ----------
    name : str
        Its name in the tool room.
    sense : Sense
        Plus or minus pin.
    lower, upper : float
        Between these its true size lies, at 20 °C. [mm]
    use : str
        ``GO``, ``NO-GO`` or empty.
    """

    name: str
    sense: Sense
    lower: float
    upper: float
    use: str = ""


@dataclass(frozen=True)
class ZoneStrip:
    """All that one zone strip shows.

    Parameters
    ----------
    limits : Limits
        Limits of size; the strip is drawn to scale across them. [mm]
    unit : Unit
        Unit of the print.
    reamer : Limits, optional
        Limits to which the reamer is made. [mm]
    spread : Spread, optional
        Forecast or estimate.
    pins : tuple of PinMark
        Pins.
    readings : tuple of float
        Single bore-gauge readings, at 20 °C. [mm]
    holes : tuple of HoleInterval
        Between which sizes each hole lies.
    """

    limits: Limits
    unit: Unit
    reamer: Limits | None = None
    spread: Spread | None = None
    pins: tuple[PinMark, ...] = ()
    readings: tuple[float, ...] = ()
    holes: tuple[HoleInterval, ...] = ()

    def __post_init__(self) -> None:
        if not self.limits.lower < self.limits.upper:
            raise OutOfRangeError("lower limit", self.limits.lower, "below the upper limit")

    @property
    def start(self) -> float:
        """Size at the left edge. [mm]"""
        return self.limits.lower - MARGIN * self.limits.width

    @property
    def end(self) -> float:
        """Size at the right edge. [mm]"""
        return self.limits.upper + MARGIN * self.limits.width

    def share(self, size: float) -> float:
        """Return the place of a size, from 0 at the left edge to 1 at the right one. [-]"""
        return (size - self.start) / (self.end - self.start)


def forecast_spread(forecast: Forecast) -> Spread:
    """Return the spread that a forecast foretells."""
    return Spread(SpreadKind.FORECAST, forecast.mean, forecast.sd, forecast.size.interval(0.95))


def estimate_spread(estimate: Estimate) -> Spread | None:
    """Return the spread that was found, or None where the readings allow no fit."""
    if estimate.mean is None or estimate.sd is None:
        return None
    half = _Z95 * estimate.sd
    interval = (estimate.mean - half, estimate.mean + half)
    return Spread(SpreadKind.ESTIMATE, estimate.mean, estimate.sd, interval)


def estimate_strip(
    limits: Limits, unit: Unit, estimate: Estimate, pins: tuple[PinMark, ...] = ()
) -> ZoneStrip:
    """Return the strip of what came: the estimate, and what is known of each hole at 20 °C.

    Parameters
    ----------
    limits : Limits
        Limits of size. [mm]
    unit : Unit
        Unit of the print.
    estimate : Estimate
        What the readings said. A hole with a bore-gauge value is a dot, one between pins is
        a line; one whose readings contradict each other is neither.
    pins : tuple of PinMark
        The pins that were used.
    """
    return ZoneStrip(
        limits,
        unit,
        spread=estimate_spread(estimate),
        pins=pins,
        readings=tuple(h.lower for h in estimate.holes if h.lower == h.upper),
        holes=tuple(h for h in estimate.holes if h.lower < h.upper),
    )


def pin_mark(pin: Pin, use: str = "") -> PinMark:
    """Return a pin as the strip shows it, between the sizes that it may truly have.

    Parameters
    ----------
    pin : Pin
        Pin of the tool room.
    use : str
        ``GO``, ``NO-GO`` or empty.
    """
    size = pin_size(pin)
    return PinMark(pin.id, pin.sense, size.smallest(), size.largest(), use)


def hole_groups(holes: Iterable[HoleInterval]) -> list[tuple[float, float, list[str]]]:
    """Return the different intervals, low ones first, each with the names of its holes. [mm]

    Pins leave many holes with the same interval; one line for all of them says as much.
    """
    names: dict[tuple[float, float], list[str]] = {}
    for hole in holes:
        names.setdefault((hole.lower, hole.upper), []).append(hole.hole)
    return [(*interval, names[interval]) for interval in sorted(names)]


def bars(strip: ZoneStrip) -> list[Bar]:
    """Return every range below the strip's band with its words, in the order of reading."""
    unit = strip.unit
    found = []
    if strip.spread is not None:
        low, high = strip.spread.interval
        found.append(Bar(BarKind.SPREAD, low, high, f"{strip.spread.kind}, 95 % of holes"))
    if strip.readings:
        low, high = min(strip.readings), max(strip.readings)
        count = counted(len(strip.readings), "bore-gauge reading")
        found.append(Bar(BarKind.READINGS, low, high, f"{count} {range_pair(low, high, unit)}"))
    if strip.reamer is not None:
        low, high = strip.reamer.lower, strip.reamer.upper
        words = f"reamer made {range_pair(low, high, unit)}"
        found.append(Bar(BarKind.REAMER, low, high, words))
    for pin in sorted(strip.pins, key=lambda p: (p.lower, p.upper)):
        words = f"{pin.use} pin {_short(pin.name)} {pin.sense} is ".lstrip()
        words += range_pair(pin.lower, pin.upper, unit)
        found.append(Bar(BarKind.PIN, pin.lower, pin.upper, words))
    return found + _hole_bars(strip)


def _hole_bars(strip: ZoneStrip) -> list[Bar]:
    """Return a bar for each different hole interval, or one for all where they are many."""
    groups = hole_groups(strip.holes)
    if len(groups) > MOST_GROUPS:
        low, high = min(g[0] for g in groups), max(g[1] for g in groups)
        words = f"{len(strip.holes)} holes in {len(groups)} different intervals, all "
        return [Bar(BarKind.HOLES, low, high, words + range_pair(low, high, strip.unit))]
    found = []
    for low, high, names in groups:
        who = f"hole {_short(names[0])}" if len(names) == 1 else f"{len(names)} holes"
        words = f"{who} {range_pair(low, high, strip.unit)}"
        found.append(Bar(BarKind.HOLES, low, high, words))
    return found


def _short(name: str, most: int = 24) -> str:
    name = printable(name)
    return name if len(name) <= most else name[: most - 1] + "…"


def counted(n: int, noun: str) -> str:
    """Return a number with its noun: ``1 hole``, ``4 holes``."""
    return f"{n} {noun}{'' if n == 1 else 's'}"


def limit_names(strip: ZoneStrip) -> tuple[list[str], list[str]]:
    """Return the words over the lower and over the upper limit, line by line."""
    named = []
    for name, limit, lower in (
        ("lower limit", strip.limits.lower, True),
        ("upper limit", strip.limits.upper, False),
    ):
        first, second = (limit_text(limit, u, lower=lower) for u in (strip.unit, other(strip.unit)))
        named.append([name, first, f"({second})"])
    return named[0], named[1]


def stacked(name: str, pair: str) -> list[str]:
    """Return a name and a value in both units as three lines."""
    first, second = pair.split(" (", 1)
    return [name, first, f"({second}"]


def answer(strip: ZoneStrip) -> tuple[str, ...]:
    """Return what the strip says: where the sizes lie, and how far that is from the edge."""
    spread = strip.spread
    if spread is not None:
        low, high = spread.interval
        return (
            f"{str(spread.kind).capitalize()}: mean {size_pair(spread.mean, strip.unit)}, "
            f"95 % of holes {range_pair(low, high, strip.unit)}.",
            _edge(strip, low, high, "The 95 % interval"),
        )
    if strip.readings:
        low, high = min(strip.readings), max(strip.readings)
        count = counted(len(strip.readings), "bore-gauge reading")
        return (
            f"{count}: {range_pair(low, high, strip.unit)}.",
            _edge(strip, low, high, "The readings"),
        )
    if strip.holes:
        low, high = min(h.lower for h in strip.holes), max(h.upper for h in strip.holes)
        return (
            f"{counted(len(strip.holes), 'hole')}, all {range_pair(low, high, strip.unit)}.",
            _edge(strip, low, high, "What the gauges leave open"),
        )
    return (f"Tolerance {small_pair(strip.limits.width, strip.unit)}.",)


def _edge(strip: ZoneStrip, low: float, high: float, what: str) -> str:
    """Return how far a range is from the limit that it comes nearest to, or passes most."""
    below, above = low - strip.limits.lower, strip.limits.upper - high
    side, room = ("lower", below) if below <= above else ("upper", above)
    plural = what.endswith("readings")
    if math.isinf(room):
        return f"{what} {'have' if plural else 'has'} no bound on the side of the {side} limit."
    if room < 0:
        return f"{what} {'pass' if plural else 'passes'} the {side} limit by " + (
            f"{small_pair(-room, strip.unit)}."
        )
    return f"{what} {'stay' if plural else 'stays'} {small_pair(room, strip.unit)} inside " + (
        f"the {side} limit, the nearer one."
    )
