"""What each cause would make of the sizes, and how well that fits what was read.

For each trait of the sizes a cause has one of two densities: that of its own ways (see
:class:`holewright.diagnosis.causes.Signature`), or that of a job without a fault. Where the
sizing model says how much a cause makes in this job, its number stands in for the general one.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from holewright.diagnosis.causes import OTHER, Cause, Signature, Way
from holewright.diagnosis.pattern import Feature, Pattern, Trait

_WAYS = {
    Trait.OFFSET: (Way.EVERYWHERE,),
    Trait.ENTRY: (Way.ENTRY, Way.TAPER),
    Trait.EXIT: (Way.EXIT, Way.TAPER),
    Trait.OVAL: (Way.OVAL,),
    Trait.LOBES: (Way.LOBES,),
    Trait.DRIFT: (Way.STEADY,),
    Trait.STEP: (Way.STEP,),
    Trait.FIRST: (Way.FIRST,),
    Trait.SCATTER: (Way.RANDOM,),
    Trait.TIME: (Way.TIME,),
    Trait.PEOPLE: (Way.INSPECTOR,),
}
"""Trait -> the ways that show in it."""

_SIZE = {
    Way.EVERYWHERE: (0.8, 0.5),
    Way.ENTRY: (0.7, 0.5),
    Way.EXIT: (0.7, 0.5),
    Way.TAPER: (0.4, 0.25),
    Way.OVAL: (0.5, 0.3),
    Way.LOBES: (0.7, 0.5),
    Way.STEADY: (0.7, 0.4),
    Way.STEP: (0.6, 0.4),
    Way.FIRST: (0.6, 0.4),
    Way.TIME: (0.5, 0.4),
    Way.INSPECTOR: (0.4, 0.3),
}
"""How large a fault that somebody complains of is, mean and spread as shares of the tolerance.

Taper: of either end against the middle. Own judgement.
"""

_SCATTER = (math.log(2.2), 0.4)
"""Logarithm of the scatter of such a fault over the usual scatter. [-] Own judgement."""

_USUAL = 0.08
"""Spread of the traits of a job without a fault, as a share of the tolerance. Own judgement."""

_USUAL_SCATTER = 0.35
"""The same of the logarithm of the scatter. [-] Own judgement."""

_SHOWS = (0.9, 0.5)
"""How surely a cause shows its usual way, and each further one. [-] Own judgement."""

_OUTLIER, _OUTLIER_SD = 0.05, 1.5
"""Share of features that are read wrong, and their spread in tolerances. Own judgement."""

MOST = math.log(20.0)
"""No single piece of evidence counts for more than 20 to 1: the tables are not that good."""


@dataclass(frozen=True)
class Expected:
    """What the sizing model says that a cause adds to the size in this job: mean and sd. [mm]"""

    mean: float
    sd: float


def _normal(x: float, mean: float, sd: float) -> float:
    return math.exp(-0.5 * ((x - mean) / sd) ** 2) / (sd * math.sqrt(2 * math.pi))


@dataclass(frozen=True)
class Yardstick:
    """What features are held against.

    Parameters
    ----------
    width : float
        Width of the tolerance, more than 0. [mm]
    forecast_sd : float
        Standard uncertainty of the mean size by the forecast. [mm]
    by_cause : mapping of str to Expected
        Cause -> what the sizing model says it adds to the size in this job.
    """

    width: float
    forecast_sd: float
    by_cause: Mapping[str, Expected]


def _without(feature: Feature, stick: Yardstick) -> float:
    """Return the density of a feature where nothing of that way is wrong."""
    if feature.trait is Trait.SCATTER:
        return _normal(feature.value, 0.0, math.hypot(_USUAL_SCATTER, feature.u))
    own = stick.forecast_sd if feature.trait is Trait.OFFSET else _USUAL * stick.width
    density = _normal(feature.value, 0.0, math.hypot(own, feature.u))
    # What can't be negative lies on one side of 0 only.
    return density * (2.0 if feature.trait in (Trait.OVAL, Trait.LOBES, Trait.PEOPLE) else 1.0)


def _with(feature: Feature, signature: Signature, cause: str, stick: Yardstick) -> float:
    """Return the density of a feature under one way of a cause."""
    way, sign = signature.way, signature.sign
    if way is Way.RANDOM:
        return _normal(feature.value, _SCATTER[0], math.hypot(_SCATTER[1], feature.u))
    mean, sd = (share * stick.width for share in _SIZE[way])
    known = stick.by_cause.get(cause) if way is Way.EVERYWHERE else None
    if known is not None:
        spread = math.sqrt(known.sd**2 + feature.u**2 + (0.5 * stick.forecast_sd) ** 2)
        return _normal(feature.value, known.mean, spread)
    spread = math.hypot(sd, feature.u)
    if way in (Way.OVAL, Way.LOBES, Way.INSPECTOR):
        return _normal(feature.value, mean, spread)
    if sign:
        return _normal(feature.value, sign * mean, spread)
    return 0.5 * (_normal(feature.value, mean, spread) + _normal(feature.value, -mean, spread))


def _density(feature: Feature, cause: Cause, stick: Yardstick) -> float:
    without = _without(feature, stick)
    mixed = without
    for place, signature in enumerate(cause.signature):
        if signature.way in _WAYS[feature.trait]:
            sure = _SHOWS[min(place, 1)]
            mixed = sure * _with(feature, signature, cause.key, stick) + (1 - sure) * without
            break
    if cause.key == OTHER:
        own = Signature(_WAYS[feature.trait][0])
        mixed = 0.5 * without + 0.5 * _with(feature, own, OTHER, stick)
    wide = 1.0 if feature.trait is Trait.SCATTER else _OUTLIER_SD * stick.width
    return (1 - _OUTLIER) * mixed + _OUTLIER * _normal(feature.value, 0.0, wide)


def log_weights(
    feature: Feature, candidates: Sequence[Cause], stick: Yardstick
) -> dict[str, float]:
    """Return how well each cause explains a feature, against a job without that fault.

    Parameters
    ----------
    feature : Feature
        What was read.
    candidates : sequence of Cause
        The causes.
    stick : Yardstick
        Tolerance and forecast.

    Returns
    -------
    dict of str to float
        Natural logarithm of the likelihood ratio, within ±ln 20. [-]
    """
    none = Cause("", "", (Signature(Way.NONE),), "", "", "")
    base = math.log(_density(feature, none, stick))
    return {
        cause.key: max(-MOST, min(MOST, math.log(_density(feature, cause, stick)) - base))
        for cause in candidates
    }


def telling(pattern: Pattern, width: float) -> tuple[Feature, ...]:
    """Return the features that stand out: over a fifth of the tolerance and twice their doubt."""
    found = []
    for feature in pattern.features:
        least = math.log(1.5) if feature.trait is Trait.SCATTER else 0.2 * width
        if feature.trait is Trait.SCATTER:
            stands_out = feature.value > least
        else:
            stands_out = abs(feature.value) > max(least, 2 * feature.u)
        if stands_out:
            found.append(feature)
    return tuple(found)
