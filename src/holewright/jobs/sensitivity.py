"""How far an estimate hangs on how easily a pin goes, and on how sharply a hand feels it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from holewright.gauging.binomial import clopper_pearson
from holewright.gauging.estimate import Estimate
from holewright.gauging.reading import Reading
from holewright.jobs.job import Job
from holewright.jobs.take_readings import estimate_size
from holewright.proof.tally import tally
from holewright.shares import share_at_least
from holewright.units import Unit, format_size, format_small

CLEARANCE = 0.00254
"""By how much a hole may have to be larger than a pin for it to go by hand: .0001 in. Common
working figure; no published one was found. [mm]"""
FEEL = 0.001
"""Spread of the same check made again, where no study says: judgement, no source. [mm]"""


@dataclass(frozen=True)
class Variant:
    """An estimate with another clearance or feel.

    Parameters
    ----------
    clearance : float
        By how much a hole was taken to be larger than a pin that goes. [mm]
    feel : float
        Spread of the judgement that was taken, one standard deviation. [mm]
    good, n : int
        Holes shown inside, of all.
    inside_lower : float
        Bound on the share inside, by counting. [-]
    mean, sd : float, optional
        Fitted mean and spread of the holes; None where no finite fit exists. [mm]
    """

    clearance: float
    feel: float
    good: int
    n: int
    inside_lower: float
    mean: float | None
    sd: float | None


def sensitivity(job: Job, readings: Sequence[Reading]) -> tuple[Variant, ...]:
    """Return the estimate at other clearances and feels.

    Parameters
    ----------
    job : Job
        The job; its own clearance and feel come in too, where it has them.
    readings : sequence of Reading
        What was gauged.

    Returns
    -------
    tuple of Variant
        At no clearance, at .0001 in and at the job's own, each without feel; then with the
        job's feel or the usual one. Empty where no pin was used.

    Notes
    -----
    A clearance shifts every size by as much and leaves the spread alone. The feel is a spread
    of its own within that of the holes; each bound that a single check proves is drawn in by
    the job's guard factor times the feel.
    """
    if all(reading.goes is None for reading in readings):
        return ()
    own = job.habits
    found = [
        _variant(job, estimate_size(job, readings, clearance=c), c, 0.0)
        for c in sorted({0.0, CLEARANCE, own.clearance})
    ]
    as_taken = estimate_size(job, readings)
    return (*found, _variant(job, as_taken, own.clearance, own.feel or FEEL))


def _variant(job: Job, estimate: Estimate, clearance: float, feel: float) -> Variant:
    good = estimate.good
    sd = estimate.sd
    if feel > 0:
        # Bounds from pins alone: a bore gauge's value knows nothing of feel.
        holes = tuple(
            replace(h, u=feel, shown=None) if h.lower < h.upper and h.u == 0 else h
            for h in estimate.holes
        )
        felt = tally(replace(estimate, holes=holes), job.gauged_limits, job.demands.guard)
        good = felt.good
        sd = None if sd is None else math.sqrt(max(sd**2 - feel**2, 0.0))
    n, confidence = estimate.n_holes, job.demands.confidence
    bound = float(clopper_pearson(good, n, confidence, two_sided=False)[0])
    return Variant(clearance, feel, good, n, bound, estimate.mean, sd)


def say_variants(variants: Sequence[Variant], unit: Unit) -> tuple[str, ...]:
    """Return each variant in a sentence.

    Parameters
    ----------
    variants : sequence of Variant
        From :func:`sensitivity`.
    unit : Unit
        Unit that sentences say first.
    """
    return tuple(_say(variant, unit) for variant in variants)


def _say(variant: Variant, unit: Unit) -> str:
    if variant.feel > 0:
        taken = f"felt to {format_small(variant.feel, unit)}"
    elif variant.clearance > 0:
        taken = f"a pin goes only into a hole {format_small(variant.clearance, unit)} larger"
    else:
        taken = "a pin goes into a hole of its own size"
    fit = ""
    if variant.mean is not None and variant.sd is not None:
        spread = f"spread {format_small(variant.sd, unit)}" if variant.sd > 0 else "no spread left"
        fit = f", mean {format_size(variant.mean, unit, 4 if unit is Unit.MM else 5)}, {spread}"
    return (
        f"If {taken}: {variant.good} of {variant.n} shown inside, at least "
        f"{share_at_least(variant.inside_lower)} by counting{fit}."
    )
