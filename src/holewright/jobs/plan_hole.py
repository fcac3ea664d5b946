"""Plan a hole: which route, and what size it will give."""

from __future__ import annotations

from holewright.errors import NoAnswerError
from holewright.jobs.job import Job
from holewright.planning.make_plan import Study, study
from holewright.planning.plan import Plan
from holewright.planning.task import Task
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
    return study_job(job).plan


def study_job(job: Job) -> Study:
    """Return the plan of a job with the candidate behind it.

    Parameters
    ----------
    job : Job
        The job.

    Returns
    -------
    Study
        For the window, and for asking why.
    """
    return study(task_of(job), job.shop)


def task_of(job: Job) -> Task:
    """Return what the planner is asked for.

    Parameters
    ----------
    job : Job
        The job.
    """
    return Task(
        job.callout,
        job.material,
        job.machine,
        job.coolant,
        job.parts * len(job.holes),
        part_rise=job.part_c - 20.0,
        lead_time_days=job.lead_time_days,
        economy=job.economy,
        holes_per_part=len(job.holes),
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
