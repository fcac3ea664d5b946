"""Plan a hole: which route, and what size it will give."""

from __future__ import annotations

from holewright.errors import NoAnswerError
from holewright.jobs.job import Job
from holewright.planning.make_plan import make_plan
from holewright.planning.plan import Plan
from holewright.sizing.forecast import Forecast


def plan(job: Job) -> Plan:
    """Return the route for a job, with its forecast, its alternatives and its refusals.

    Parameters
    ----------
    job : Job
        The job.

    Returns
    -------
    Plan
        ``do not ream`` is one of its verdicts, not an error.
    """
    return make_plan(
        job.callout,
        job.material,
        job.shop,
        job.machine,
        job.coolant,
        holes=job.parts * len(job.holes),
        part_c=job.part_c,
        lead_time_days=job.lead_time_days,
    )


def forecast(job: Job) -> Forecast:
    """Return the size that the planned route will give.

    Parameters
    ----------
    job : Job
        The job.

    Returns
    -------
    Forecast
        Of the first choice of the plan.

    Raises
    ------
    NoAnswerError
        If the plan has no route whose size could be forecast.
    """
    planned = plan(job)
    if planned.forecast is None:
        raise NoAnswerError(f"{job.name}: no size can be forecast. {planned.sentence}")
    return planned.forecast
