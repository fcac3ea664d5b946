"""Reads the job files of one part: each a hole feature, all in one program."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from holewright.errors import InputError
from holewright.jobs.job import Job
from holewright.jobs.jobfile import read_job
from holewright.jobs.plan_hole import plan
from holewright.jobs.program_rows import changed_settings
from holewright.jobs.readingsfile import read_readings
from holewright.jobs.release import judge
from holewright.jobs.take_readings import estimate_size
from holewright.jobs.text_files import read_text
from holewright.jobs.write_program import in_order_of
from holewright.planning.plan import Plan
from holewright.proof.verdict import Verdict
from holewright.units import Unit


def read_part(
    paths: Sequence[str | Path],
    *,
    settings: Sequence[str] = (),
    unit: Unit | None = None,
    order_of: str | Path | None = None,
) -> list[tuple[Job, Plan]]:
    """Return the jobs of one part with their plans.

    Parameters
    ----------
    paths : sequence of str or Path
        Job files; settings, unit and fixture of the first hold for all.
    settings : sequence of str
        Changes of how the program is written, such as ``feed_mode=G95``.
    unit : Unit, optional
        Unit of the program; by default that of the first job file.
    order_of : str or Path, optional
        An earlier program of the one job, whose order of holes is kept.

    Raises
    ------
    InputError
        If a file can't be read, a setting can't be used, or an order is asked for several
        jobs.
    """
    jobs = [read_job(path) for path in paths]
    program_unit = unit or jobs[0].program_unit
    how = changed_settings(jobs[0].program, settings, program_unit)
    first = replace(jobs[0], program_unit=program_unit, program=how)
    if order_of is not None:
        if len(jobs) > 1:
            raise InputError("order of", order_of, "must go with one job file; its holes alone")
        earlier = read_text(Path(order_of), "earlier program", fallback="cp1252")
        first = in_order_of(first, earlier)
    return [(job, plan(job)) for job in (first, *jobs[1:])]


def verdict_of(job: Job, readings: str | Path) -> Verdict:
    """Return what readings say of a job.

    Parameters
    ----------
    job : Job
        The job.
    readings : str or Path
        File of its readings.
    """
    return judge(job, estimate_size(job, read_readings(readings, job.shop)))
