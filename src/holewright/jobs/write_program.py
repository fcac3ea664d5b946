"""Write the program of a plan, or of all hole features of one part."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from holewright.errors import InputError, NoAnswerError
from holewright.jobs.job import Job
from holewright.planning.plan import Plan, Route
from holewright.program import write
from holewright.program.backplot import read_back
from holewright.program.collision import ToolShape
from holewright.program.program import Feature, Program
from holewright.program.settings import HoleOrder, ProgramSettings
from holewright.program.tool_shape import tool_shapes
from holewright.proof.verdict import Decision, Verdict

_SAME_PLACE = 0.01
"""How far a hole of an earlier program may lie from one of today. [mm]"""


def write_program(
    job: Job,
    plan: Plan,
    *,
    hold: bool = False,
    despite_hold: bool = False,
    verdict: Verdict | None = None,
) -> Program:
    """Return the ISO 6983 program that makes the holes of one part.

    Parameters
    ----------
    job : Job
        The job: hole centres, machine, how the program is written and the part held.
    plan : Plan
        Its plan.
    hold : bool
        Whether the job is not released yet: the program then stops between holes, so that
        each can be gauged.
    despite_hold : bool
        Whether to write it although the job is on hold. Its header then says so, and it stops
        between holes.
    verdict : Verdict, optional
        What its readings say. "hold" puts the job on hold.

    Returns
    -------
    Program
        With its time by operation.

    Raises
    ------
    NoAnswerError
        If the plan has no route (a hole that is drilled or bored to size has one); if the job
        is on hold and nobody said that it is to be written nevertheless; or if tool or holder
        would hit something.
    """
    return write_part([(job, plan)], hold=hold, despite_hold=despite_hold, verdict=verdict)


def write_part(
    planned: Sequence[tuple[Job, Plan]],
    *,
    hold: bool = False,
    despite_hold: bool = False,
    verdict: Verdict | None = None,
) -> Program:
    """Return one program for several hole features of one part, each a job of its own.

    Machine, unit, settings and fixture are those of the first job; tools that several features
    need come as seldom as their routes allow.

    Parameters
    ----------
    planned : sequence of (Job, Plan)
        Each feature with its plan.
    hold, despite_hold, verdict
        As in :func:`write_program`.

    Returns
    -------
    Program
        With its time by operation.

    Raises
    ------
    InputError
        If the jobs name different machines.
    NoAnswerError
        As :func:`write_program` does.
    """
    first = planned[0][0]
    for job, _ in planned[1:]:
        if job.machine.id != first.machine.id:
            raise InputError(
                "machine", job.machine.id, f"must be {first.machine.id}, as for {first.name}"
            )
    routes = [_route(plan) for _, plan in planned]
    why = _on_hold([job for job, _ in planned], verdict)
    if why and not despite_hold:
        raise NoAnswerError(
            f"no program is written: the job is on hold. {why} Settle that first; to write it "
            "nevertheless, for test holes, say --despite-hold."
        )
    operations = [operation for route in routes for operation in route.operations]
    shapes: dict[str, ToolShape] = {}
    for job, _ in planned:
        shapes |= tool_shapes(operations, job.shop)
    invented = any(job.invented for job, _ in planned)
    return write.write_part(
        [
            Feature(route, job.holes, f"{job.callout.text} in {job.material.name}", job.coolant)
            for (job, _), route in zip(planned, routes, strict=True)
        ],
        first.machine,
        unit=first.program_unit,
        name=first.part or first.name,
        cautions=tuple(dict.fromkeys(c for _, plan in planned for c in plan.cautions)),
        notes=("Invented example: no real company, part or tool.",) if invented else (),
        hold=hold or bool(why),
        despite=why,
        settings=first.program,
        fixture=first.fixture,
        shapes=shapes,
    )


def _route(plan: Plan) -> Route:
    if plan.route is None:
        instead = f" Instead: {plan.instead[0]}" if plan.instead else ""
        raise NoAnswerError(f"no program is written. {plan.sentence}{instead}")
    return plan.route


def _on_hold(jobs: Sequence[Job], verdict: Verdict | None) -> str:
    """Return why a job is on hold, or nothing."""
    reasons = [job.on_hold for job in jobs if job.on_hold]
    if verdict is not None and verdict.decision is Decision.HOLD:
        reasons.append(verdict.sentence)
    return " ".join(f"{reason.rstrip('.')}." for reason in reasons)


def in_order_of(job: Job, text: str) -> Job:
    """Return a job whose holes come in the order of an earlier program.

    A program that was proven is then written again hole by hole as it was.

    Parameters
    ----------
    job : Job
        The job.
    text : str
        The earlier program.

    Raises
    ------
    InputError
        If the program can't be read, or doesn't make exactly the holes of the job.
    """
    sections = read_back(text, dwell_unit=job.program.dwell_unit)
    made = [(hole.x, hole.y) for hole in sections[-1].holes] if sections else []
    left = list(job.holes)
    ordered = []
    for x, y in made:
        near = [h for h in left if max(abs(h[0] - x), abs(h[1] - y)) <= _SAME_PLACE]
        if near:
            ordered.append(near[0])
            left.remove(near[0])
    if left or len(made) != len(job.holes):
        raise InputError(
            "earlier program",
            f"{len(made)} holes with its last tool",
            f"must make the {len(job.holes)} holes of {job.name}",
        )
    settings: ProgramSettings = replace(job.program, order=HoleOrder.AS_GIVEN)
    return replace(job, holes=tuple(ordered), program=settings)
