"""Take readings: the size that came, as far as pins and bore gauge tell."""

from __future__ import annotations

from collections.abc import Sequence

from holewright.gauging import estimate_size as gauging
from holewright.gauging.estimate import Estimate
from holewright.gauging.reading import Reading
from holewright.jobs.job import Job


def estimate_size(
    job: Job,
    readings: Sequence[Reading],
    *,
    confidence: float | None = None,
    clearance: float = 0.0,
) -> Estimate:
    """Return the size that came, from the readings of a job.

    Parameters
    ----------
    job : Job
        The job: its tool room knows the pins, its callout the limits.
    readings : sequence of Reading
        What was gauged.
    confidence : float, optional
        Confidence of the bounds; by default that which the job demands. [-]
    clearance : float
        By how much a hole must be larger than a pin for the pin to go, 0 or more. [mm]

    Returns
    -------
    Estimate
        With its bounds and what keeps them from being closer.
    """
    return gauging.estimate_size(
        tuple(readings),
        job.shop,
        job.callout.limits,
        material_alpha=job.material.alpha,
        confidence=job.demands.confidence if confidence is None else confidence,
        clearance=clearance,
        unit=job.unit,
    )
