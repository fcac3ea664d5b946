"""Release a lot, or hold it and say what would settle it."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace

from holewright.gauging.estimate import Estimate
from holewright.jobs.job import Job
from holewright.proof import judge as proof
from holewright.proof.verdict import Verdict
from holewright.units import format_both


def judge(
    job: Job,
    estimate: Estimate,
    *,
    lot: int | None = None,
    pass_anyway: Collection[str] = (),
    guard: float | None = None,
) -> Verdict:
    """Return whether the process, or a lot from it, may be released.

    Parameters
    ----------
    job : Job
        The job, with what its customer demands.
    estimate : Estimate
        The size that came.
    lot : int, optional
        Holes in the lot; None judges the process. [-]
    pass_anyway : collection of str
        Holes that somebody asks to pass whatever the gauge says.
    guard : float, optional
        Factor on the gauges' uncertainty, where the estimate doesn't say itself what holes
        are shown to be; by default that which the job demands. [-]

    Returns
    -------
    Verdict
        Release or hold, because of what, and what to do next.
    """
    verdict = proof.judge(
        estimate,
        job.gauged_limits,
        demands=job.demands,
        lot=lot,
        pass_anyway=pass_anyway,
        k=job.demands.guard if guard is None else guard,
        unit=job.unit,
    )
    return replace(verdict, cautions=(*verdict.cautions, *_treated(job)))


def _treated(job: Job) -> tuple[str, ...]:
    """Return before or after which treatment the holes were judged; empty where there is none."""
    after = job.callout.after
    if not after:
        return ()
    if job.gauged_after:
        return (f"Judged as gauged after {after}, against the limits of the drawing.",)
    limits = job.gauged_limits
    unit = job.unit
    if limits == job.callout.limits:
        return (
            f"Gauged before {after}, whose growth isn't known, and judged against the limits of "
            f"the drawing, which hold after it: no release of the part, only of the holes before "
            f"{after}.",
        )
    return (
        f"Gauged before {after} and judged against {format_both(limits.lower, unit)} to "
        f"{format_both(limits.upper, unit)}: it says nothing of a {after} that grows otherwise.",
    )
