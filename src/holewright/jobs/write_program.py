"""Write the program of a plan."""

from __future__ import annotations

from holewright.errors import NoAnswerError
from holewright.jobs.job import Job
from holewright.planning.plan import Plan
from holewright.program import write
from holewright.program.program import Program


def write_program(job: Job, plan: Plan, *, hold: bool = False) -> Program:
    """Return the ISO 6983 program that makes the holes of one part.

    Parameters
    ----------
    job : Job
        The job: hole centres, machine, unit of the program.
    plan : Plan
        Its plan.
    hold : bool
        Whether the job is not released yet: the program then stops between holes, so that
        each can be gauged.

    Returns
    -------
    Program
        With its time by operation.

    Raises
    ------
    NoAnswerError
        If the plan has no route: there is nothing to program. A hole that is drilled or bored
        to size has one.
    """
    if plan.route is None:
        instead = f" Instead: {plan.instead[0]}" if plan.instead else ""
        raise NoAnswerError(f"no program is written. {plan.sentence}{instead}")
    return write.write_program(
        plan.route,
        job.holes,
        job.machine,
        unit=job.program_unit,
        name=job.part or job.name,
        callout_text=f"{job.callout.text} in {job.material.name}",
        coolant=job.coolant,
        cautions=plan.cautions,
        notes=("Invented example: no real company, part or tool.",) if job.invented else (),
        hold=hold,
    )
