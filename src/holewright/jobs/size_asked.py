"""Which size an estimate is about, and what it says of another: widened by the form of the hole.

A pin feels the largest cylinder that fits (ISO 14405-1: GX), a two-point gauge a local size (LP),
a three-point gauge the circle through its jaws. If the wall lies between two cylinders whose radii
differ by t, the largest cylinder that fits is at least the inner one, and what either instrument
reads at most the outer: all of them lie from GX to GX + 2t.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Sequence
from dataclasses import replace
from enum import StrEnum

from scipy.special import ndtr

from holewright.callout.callout import Limits
from holewright.errors import InputError, NoAnswerError
from holewright.gauging.binomial import clopper_pearson
from holewright.gauging.count_holes import count_holes, shown_of
from holewright.gauging.estimate import Estimate, HoleInterval
from holewright.gauging.estimate_size import NEGLIGIBLE_SHARE
from holewright.gauging.reading import Reading
from holewright.gauging.reading_interval import HoleSize, Mark
from holewright.jobs.job import Job
from holewright.jobs.take_readings import sizes_of
from holewright.proof.judge import NO_EVIDENCE
from holewright.reasons import Reason
from holewright.shares import share_as_asked
from holewright.shop.pin import InstrumentKind
from holewright.units import Unit, format_small


class SizeKind(StrEnum):
    """A size of a hole, by what feels it."""

    PIN = "pin"
    TWO_POINT = "two-point"


_SAID = {
    SizeKind.PIN: "maximum inscribed (pin)",
    SizeKind.TWO_POINT: "local (two-point)",
}


def read_size_kind(text: str) -> SizeKind:
    """Return the size that a person names.

    Parameters
    ----------
    text : str
        ``pin`` or ``two-point``.

    Raises
    ------
    InputError
        If it is neither.
    """
    word = "-".join(text.strip().lower().replace("_", " ").replace("-", " ").split())
    if word not in {str(kind) for kind in SizeKind}:
        raise InputError("size", text, f"must be {' or '.join(str(kind) for kind in SizeKind)}")
    return SizeKind(word)


def form_allowance(job: Job) -> float | None:
    """Return how far apart two cylinders are between which the wall lies. [mm]

    Parameters
    ----------
    job : Job
        The job: what it says of form, or else the cylindricity that its drawing asks for.

    Returns
    -------
    float or None
        None where neither is said.
    """
    return job.callout.cylindricity if job.habits.form is None else job.habits.form


def estimate_of(
    job: Job, readings: Sequence[Reading], estimate: Estimate, asked: SizeKind
) -> Estimate:
    """Return what the readings say of the size that was asked for.

    Parameters
    ----------
    job : Job
        The job, with its form allowance.
    readings : sequence of Reading
        What was gauged.
    estimate : Estimate
        The estimate of the size that the gauges feel.
    asked : SizeKind
        The size asked for.

    Returns
    -------
    Estimate
        The same where the gauges feel that size. Otherwise bounds widened by twice the form
        allowance and counted anew; a fit to another size is none of this one.

    Raises
    ------
    NoAnswerError
        If the gauges feel another size and no form allowance is known.
    """
    two_point = {g.id for g in job.shop.bore_gauges if g.kind is InstrumentKind.TWO_POINT}
    if all(_feels(reading, two_point) is asked for reading in readings):
        return estimate
    form = form_allowance(job)
    if form is None:
        raise NoAnswerError(
            f"The readings are about the size {estimate.size_kind}; how the {asked} size differs "
            f"from it depends on form. Give [gauging] form in the job file (the wall lies between "
            f"two cylinders so far apart), or gauge with what feels that size."
        )
    limits, confidence = job.gauged_limits, estimate.confidence
    sure = float(ndtr(job.demands.guard))
    sizes, _ = sizes_of(job, readings)

    def bounds(mark: Mark) -> tuple[float, float]:
        negligible = NEGLIGIBLE_SHARE * limits.width
        return mark.size.smallest(sure, negligible), mark.size.largest(sure, negligible)

    wide = [_widened(hole, asked, 2 * form, two_point, bounds) for hole in sizes]
    counts = count_holes(wide, limits)
    bound = float(clopper_pearson(counts.good, len(wide), confidence, two_sided=False)[0])
    return replace(
        estimate,
        size_kind=f"{_SAID[asked]}, from readings of the size {estimate.size_kind}",
        method=(
            f"{counts.good} of {len(wide)} holes shown inside the limits, every gauge at its worst "
            f"and bounds widened by {format_small(2 * form, job.unit)} on diameter for form; exact "
            f"binomial bound, {share_as_asked(confidence)} sure, unsure holes counted as not good."
        ),
        holes=tuple(
            HoleInterval(h.hole, h.lower, h.upper, shown=shown_of(h, limits)) for h in wide
        ),
        good=counts.good,
        bad=counts.bad,
        unsure=counts.unsure,
        inside_lower=bound,
        inside_counted=bound,
        inside=None,
        below=None,
        above=None,
        mean=None,
        sd=None,
        mean_interval=None,
        sd_interval=None,
        inside_fitted=None,
        inside_interval=None,
        with_forecast=None,
        remarks=tuple(r for r in estimate.remarks if r.code in NO_EVIDENCE),
        limits_of_knowledge=(
            _form(asked, 2 * form, limits, job.unit),
            *(r for r in estimate.limits_of_knowledge if r.code in (*NO_EVIDENCE, "temperature")),
        ),
        fit=None,
    )


def _form(asked: SizeKind, most: float, limits: Limits, unit: Unit) -> Reason:
    instrument = "a two-point bore gauge" if asked is SizeKind.TWO_POINT else "pins"
    return Reason(
        "form-allowance",
        f"Form: the readings are about another size, which may differ by up to "
        f"{format_small(most, unit)} on diameter. Gauge with {instrument} to know this one.",
        most,
        limits.width,
    )


def _feels(reading: Reading, two_point: Collection[str]) -> SizeKind | None:
    """Return the size that a reading is about; None for that of three jaws."""
    if reading.goes is not None:
        return SizeKind.PIN
    return SizeKind.TWO_POINT if reading.gauge in two_point else None


def _widened(
    hole: HoleSize,
    asked: SizeKind,
    most: float,
    two_point: Collection[str],
    bounds: Callable[[Mark], tuple[float, float]],
) -> HoleSize:
    """Return a hole with bounds on the size asked for, `most` being how far sizes may differ."""
    if hole.contradicts:
        return hole
    lower, upper = [-math.inf], [math.inf]
    for mark in (*hole.goes, *hole.stops, *hole.sizes):
        least, greatest = bounds(mark)
        feels = _feels(mark.reading, two_point)
        # The size asked for is at least what a pin feels, and at most `most` over it.
        below = 0.0 if feels in (asked, SizeKind.PIN) else most
        above = 0.0 if feels is asked or asked is SizeKind.PIN else most
        if mark in hole.goes:
            lower += [least] if mark.reading.depth is None else []
        elif mark in hole.stops:
            upper.append(greatest + above)
        else:
            lower.append(least - below)
            upper.append(greatest + above)
    return replace(hole, lower=max(lower), upper=min(upper))
