"""Release a lot, or hold it and say what would settle it."""

from __future__ import annotations

from collections.abc import Collection

from holewright.gauging.estimate import Estimate
from holewright.jobs.job import Job
from holewright.proof import judge as proof
from holewright.proof.conformance import GUARD_FACTOR
from holewright.proof.verdict import Verdict


def judge(
    job: Job,
    estimate: Estimate,
    *,
    lot: int | None = None,
    pass_anyway: Collection[str] = (),
    guard: float = GUARD_FACTOR,
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
    guard : float
        Factor on the gauges' uncertainty: it counts against the release. [-]

    Returns
    -------
    Verdict
        Release or hold, because of what, and what to do next.
    """
    return proof.judge(
        estimate,
        job.callout.limits,
        demands=job.demands,
        lot=lot,
        pass_anyway=pass_anyway,
        k=guard,
        unit=job.unit,
    )
