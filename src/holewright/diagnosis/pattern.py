"""How the error goes, read from the sizes: with depth, direction, along the run, in time."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
K = TypeVar("K")


class Felt(StrEnum):
    """What a size was felt by."""

    TWO_POINT = "two-point"
    THREE_POINT = "three-point"
    PINS = "pins"


@dataclass(frozen=True)
class Spot:
    """One size, with where and when it was taken.

    Parameters
    ----------
    hole : int
        Place of the hole in the order of cutting, from 0.
    size : float
        As it was read, or the middle of what the pins leave open. [mm]
    u : float
        Its standard uncertainty. [mm]
    felt : Felt
        What it was felt by.
    depth : float, optional
        Depth as a share of the hole's depth; None over all of it. [-]
    direction : float, optional
        Direction of the two points. [deg]
    by : str
        Who gauged.
    after : float, optional
        Time after the cut. [min]
    """

    hole: int
    size: float
    u: float
    felt: Felt = Felt.TWO_POINT
    depth: float | None = None
    direction: float | None = None
    by: str = ""
    after: float | None = None


class Trait(StrEnum):
    """What is read from the sizes; each can speak for or against a cause."""

    OFFSET = "offset"
    ENTRY = "entry"
    EXIT = "exit"
    OVAL = "oval"
    LOBES = "lobes"
    DRIFT = "drift"
    STEP = "step"
    FIRST = "first"
    SCATTER = "scatter"
    TIME = "time"
    PEOPLE = "people"


@dataclass(frozen=True)
class Feature:
    """One trait of the sizes.

    Parameters
    ----------
    trait : Trait
        Which.
    value : float
        Its value; of the scatter, the natural logarithm of it over what was expected.
        [mm, or - for the scatter]
    u : float
        Its standard uncertainty, in the unit of `value`.
    """

    trait: Trait
    value: float
    u: float


@dataclass(frozen=True)
class Pattern:
    """All traits that the sizes show.

    Parameters
    ----------
    features : tuple of Feature
        Those that could be read.
    holes : int
        Holes with a size. [-]
    """

    features: tuple[Feature, ...] = ()
    holes: int = 0

    def value(self, trait: Trait) -> float | None:
        """Return the value of a trait, or None where it could not be read. [mm]"""
        return next((f.value for f in self.features if f.trait is trait), None)


_NEAR, _FAR = 1 / 3, 2 / 3
"""Shares of the depth that divide entry, middle and far end."""

_REPEATS = 0.7
"""Share of an instrument's uncertainty that differs from reading to reading. [-] Own judgement."""

_STEP_BETTER = 0.5
"""A step is a step where it leaves under this share of the squares that a line leaves. [-]"""

_RANGE_OF = {2: 1.128, 3: 1.693, 4: 2.059}
"""Mean range of so many normal values over their deviation (Shewhart's d2)."""


def read_pattern(spots: Sequence[Spot], *, expected: float, between: float) -> Pattern:
    """Return how the error goes.

    Parameters
    ----------
    spots : sequence of Spot
        Sizes.
    expected : float
        Size that the holes should have had. [mm]
    between : float
        Standard deviation from hole to hole of a process in order, more than 0. [mm]

    Returns
    -------
    Pattern
        Only traits that the sizes can show: two depths are needed for the entry, two
        directions for an oval, four holes for a drift, six for a step.

    Notes
    -----
    Least squares on the sizes near mid-depth for what goes along the run; differences within
    one hole for what goes with depth, direction, time and person.
    """
    if not spots:
        return Pattern()
    gauged = [s for s in spots if s.felt is not Felt.PINS] or list(spots)
    series = _middle_sizes(gauged)
    noise = _REPEATS * math.sqrt(float(np.mean([s.u**2 for s in gauged])))
    found: list[Feature | None] = [
        _offset(series, gauged, expected, between),
        _along_depth(gauged, Trait.ENTRY, noise),
        _along_depth(gauged, Trait.EXIT, noise),
        _oval(gauged, noise),
        _lobes(spots),
        *_along_run(series, noise, between),
        _within(gauged, Trait.TIME, noise),
        _within(spots, Trait.PEOPLE, noise),
    ]
    return Pattern(tuple(f for f in found if f is not None), len(series))


def _zone(spot: Spot) -> int:
    """Return 0 at the entry, 1 in the middle or over all, 2 at the far end."""
    if spot.depth is None:
        return 1
    return int(spot.depth > _NEAR) + int(spot.depth > _FAR)


def _groups(spots: Iterable[Spot], key: Callable[[Spot], K]) -> dict[K, list[Spot]]:
    found: dict[K, list[Spot]] = {}
    for spot in spots:
        found.setdefault(key(spot), []).append(spot)
    return found


def _mean(spots: Iterable[Spot]) -> float:
    return float(np.mean([s.size for s in spots]))


def _middle_sizes(spots: Sequence[Spot]) -> dict[int, float]:
    """Return the size of each hole, near mid-depth where it was taken there, as read first."""
    sizes: dict[int, float] = {}
    for hole, own in sorted(_groups(spots, lambda s: s.hole).items()):
        middle = [s for s in own if _zone(s) == 1] or own
        soonest = min((s.after for s in middle if s.after is not None), default=None)
        sizes[hole] = _mean(s for s in middle if s.after in (None, soonest))
    return sizes


def _offset(
    series: dict[int, float], gauged: Sequence[Spot], expected: float, between: float
) -> Feature:
    sizes = np.array(list(series.values()))
    common = float(np.mean([s.u for s in gauged]))
    spread = float(np.std(sizes, ddof=1)) if sizes.size > 2 else between
    u = math.hypot(common, max(spread, between) / math.sqrt(sizes.size))
    return Feature(Trait.OFFSET, float(sizes.mean()) - expected, u)


def _along_depth(gauged: Sequence[Spot], trait: Trait, noise: float) -> Feature | None:
    """Return how much larger one end is than the middle."""
    end = 0 if trait is Trait.ENTRY else 2
    differences = []
    for own in _groups(gauged, lambda s: (s.hole, s.felt, s.by, s.after)).values():
        there, middle = ([s for s in own if _zone(s) == zone] for zone in (end, 1))
        if there and middle:
            differences.append(_mean(there) - _mean(middle))
    return _of_differences(trait, differences, noise)


def _of_differences(trait: Trait, differences: Sequence[float], noise: float) -> Feature | None:
    if not differences:
        return None
    n = len(differences)
    spread = float(np.std(differences, ddof=1)) if n > 2 else 0.0
    u = max(spread, 1.4 * noise) / math.sqrt(n)
    return Feature(trait, float(np.mean(differences)), u)


def _oval(gauged: Sequence[Spot], noise: float) -> Feature | None:
    """Return the range over directions that is more than repeatability makes."""
    ranges = []
    two = (s for s in gauged if s.felt is Felt.TWO_POINT and s.direction is not None)
    for own in _groups(two, lambda s: (s.hole, s.depth, s.by, s.after)).values():
        sizes = [_mean(same) for same in _groups(own, lambda s: s.direction).values()]
        if len(sizes) > 1:
            ranges.append((max(sizes) - min(sizes), _RANGE_OF.get(len(sizes), 2.3)))
    if not ranges:
        return None
    usual = noise * float(np.mean([d2 for _, d2 in ranges]))
    mean_range = float(np.mean([r for r, _ in ranges]))
    value = math.sqrt(max(mean_range**2 - usual**2, 0.0))
    return Feature(Trait.OVAL, value, noise / math.sqrt(len(ranges)))


def _lobes(spots: Sequence[Spot]) -> Feature | None:
    """Return how much smaller the hole is to a pin than to two points, or to three.

    A pin's answer is an interval about its size of half-width √3 u; a gap counts beyond it.
    """
    gaps, us = [], []
    for own in _groups(spots, lambda s: s.hole).values():
        two = [s for s in own if s.felt is Felt.TWO_POINT]
        for other in (s for s in own if s.felt is not Felt.TWO_POINT):
            if not two:
                continue
            if other.felt is Felt.PINS:
                least = min(s.size for s in two)
                gaps.append(max(least - (other.size + math.sqrt(3) * other.u), 0.0))
            else:
                level = [s for s in two if s.depth == other.depth] or two
                gaps.append(abs(other.size - _mean(level)))
            us.append(math.hypot(two[0].u, 0.5 * other.u))
    if not gaps:
        return None
    return Feature(Trait.LOBES, float(np.mean(gaps)), float(np.mean(us)))


def _line(x: Floats, y: Floats) -> tuple[float, float, float]:
    """Return slope, value at 0 and sum of squares left."""
    slope, start = np.polyfit(x, y, 1) if x.size > 1 else (0.0, float(y[0]))
    left = float(((y - start - slope * x) ** 2).sum())
    return float(slope), float(start), left


def _split(x: Floats, y: Floats) -> tuple[float, int, float]:
    """Return the step, its place and the sum of squares left, for the best place of a step."""
    best = (0.0, 0, math.inf)
    for place in range(2, x.size - 1):
        first, then = y[:place], y[place:]
        left = float(((first - first.mean()) ** 2).sum() + ((then - then.mean()) ** 2).sum())
        if left < best[2]:
            best = (float(then.mean() - first.mean()), place, left)
    return best


def _along_run(series: dict[int, float], noise: float, between: float) -> list[Feature | None]:
    """Return drift, step, first hole and scatter."""
    x, y = np.array(list(series), dtype=float), np.array(list(series.values()))
    if x.size < 4:
        return []
    later, sizes = x[1:], y[1:]
    n = sizes.size
    slope, start, left = _line(later, sizes)
    step, place, left_by_step = _split(later, sizes) if n >= 5 else (0.0, 0, math.inf)
    stepped = n >= 5 and left_by_step < _STEP_BETTER * left
    if stepped:
        sizes = sizes - np.where(np.arange(n) >= place, step, 0.0)
        slope, start, left = _line(later, sizes)
    spread = math.sqrt(max(left / max(n - 2 - stepped, 1), noise**2))
    floor = math.hypot(0.5 * between, noise)
    sd = max(spread, floor)
    reach = float(np.ptp(later))
    u_slope = sd / math.sqrt(float(((later - later.mean()) ** 2).sum()))
    u_step = sd * math.sqrt(1 / max(place, 1) + 1 / max(n - place, 1))
    own = math.sqrt(max(spread**2 - noise**2, (0.1 * between) ** 2))
    return [
        Feature(Trait.DRIFT, slope * reach, u_slope * reach),
        Feature(Trait.STEP, step if stepped else 0.0, u_step) if n >= 5 else None,
        Feature(Trait.FIRST, float(y[0] - start - slope * x[0]), sd * math.sqrt(1 + 2 / n)),
        Feature(Trait.SCATTER, math.log(own / between), 1 / math.sqrt(2 * max(n - 2, 1))),
    ]


def _within(spots: Sequence[Spot], trait: Trait, noise: float) -> Feature | None:
    """Return what changes in one place of a hole with time, or from person to person."""
    differences = []
    for own in _groups(spots, lambda s: (s.hole, s.felt, s.depth, s.direction)).values():
        if trait is Trait.TIME:
            timed = sorted((s for s in own if s.after is not None), key=lambda s: s.after or 0.0)
            if len(timed) > 1 and timed[-1].after != timed[0].after:
                differences.append(timed[-1].size - timed[0].size)
        else:
            people = [_mean(same) for same in _groups(own, lambda s: s.by).values()]
            if len(people) > 1:
                differences.append(max(people) - min(people))
    return _of_differences(trait, differences, noise)
