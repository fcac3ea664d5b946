"""Take readings: the size that came, as far as pins and bore gauge tell."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date

from scipy.special import ndtr

from holewright.gauging import estimate_size as gauging
from holewright.gauging.estimate import Estimate
from holewright.gauging.reading import Reading
from holewright.gauging.reading_interval import HoleSize, hole_sizes
from holewright.gauging.size_model import Causes
from holewright.jobs.evidence import doubts
from holewright.jobs.job import Job
from holewright.reasons import Reason
from holewright.uncertainty import SizeDistribution


def sizes_of(
    job: Job, readings: Sequence[Reading]
) -> tuple[tuple[HoleSize, ...], tuple[Reason, ...]]:
    """Return what the readings prove hole by hole, by the rule of the estimate.

    Parameters
    ----------
    job : Job
        The job: its tool room, material and demands.
    readings : sequence of Reading
        What was gauged; may be empty.

    Returns
    -------
    holes : tuple of HoleSize
        One for each hole.
    contradictions : tuple of Reason
        Readings that can't all be true.
    """
    return hole_sizes(
        readings,
        job.shop,
        material_alpha=job.material.alpha,
        confidence=float(ndtr(job.demands.guard)),
        clearance=job.habits.clearance,
        negligible=gauging.NEGLIGIBLE_SHARE * job.gauged_limits.width,
        unit=job.unit,
    )


def estimate_size(
    job: Job,
    readings: Sequence[Reading],
    *,
    confidence: float | None = None,
    clearance: float | None = None,
    guard: float | None = None,
    today: date | None = None,
    causes: Causes | None = None,
    forecast: SizeDistribution | None = None,
    lot_unchecked: int | None = None,
) -> Estimate:
    """Return the size that came, from the readings of a job.

    Parameters
    ----------
    job : Job
        The job: its tool room knows the pins, its callout the limits, before a treatment
        unless the job says that holes are gauged after it.
    readings : sequence of Reading
        What was gauged.
    confidence : float, optional
        Confidence of the bounds; by default that which the job demands. [-]
    clearance : float, optional
        By how much a hole must be larger than a pin for the pin to go, 0 or more; by default
        that of the job. [mm]
    guard : float, optional
        Factor on a gauge's uncertainty that a hole must keep from its limits; by default that
        which the job demands. [-]
    today : date, optional
        Day of the judgement: gauges whose calibration was due before are named.
    causes : mapping, optional
        Hole -> cause -> value, to explain size by causes.
    forecast : SizeDistribution, optional
        A forecast to be heard together with the readings.
    lot_unchecked : int, optional
        Holes not yet checked, to say how many of them may be outside. [-]

    Returns
    -------
    Estimate
        With its bounds and what keeps them from being closer.
    """
    estimate = gauging.estimate_size(
        tuple(readings),
        job.shop,
        job.gauged_limits,
        material_alpha=job.material.alpha,
        confidence=job.demands.confidence if confidence is None else confidence,
        clearance=job.habits.clearance if clearance is None else clearance,
        guard=job.demands.guard if guard is None else guard,
        causes=causes,
        forecast=forecast,
        lot_unchecked=lot_unchecked,
        unit=job.unit,
    )
    found = doubts(job, readings, today)
    return replace(
        estimate,
        remarks=(*estimate.remarks, *found),
        limits_of_knowledge=(*found, *estimate.limits_of_knowledge),
    )
