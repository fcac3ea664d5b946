"""Take readings: the size that came, as far as pins and bore gauge tell."""

from __future__ import annotations

from collections.abc import Sequence

from holewright.gauging import estimate_size as gauging
from holewright.gauging.estimate import Estimate
from holewright.gauging.reading import Reading
from holewright.gauging.size_model import Causes
from holewright.jobs.job import Job
from holewright.uncertainty import SizeDistribution


def estimate_size(
    job: Job,
    readings: Sequence[Reading],
    *,
    confidence: float | None = None,
    clearance: float = 0.0,
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
    clearance : float
        By how much a hole must be larger than a pin for the pin to go, 0 or more. [mm]
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
    return gauging.estimate_size(
        tuple(readings),
        job.shop,
        job.gauged_limits,
        material_alpha=job.material.alpha,
        confidence=job.demands.confidence if confidence is None else confidence,
        clearance=clearance,
        causes=causes,
        forecast=forecast,
        lot_unchecked=lot_unchecked,
        unit=job.unit,
    )
