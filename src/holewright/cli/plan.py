"""``holewright plan``: the route for a hole, and what size it will give."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from holewright.cli.door import GOOD, NO, answers
from holewright.cli.options import Columns, JobFile, Json, Plain, UnitChoice

if TYPE_CHECKING:
    from holewright.cli.output import Page
    from holewright.jobs.job import Job


@answers
def plan(
    job_file: JobFile,
    why: Annotated[
        str | None,
        typer.Option(
            "--why",
            metavar="NUMBER",
            help='Say why a number is what it is, e.g. torque; "all" explains every one.',
            show_default=False,
        ),
    ] = None,
    unit: UnitChoice = None,
    as_json: Json = False,
    columns: Columns = None,
    plain: Plain = False,
) -> int:
    """Plan a hole: route, numbers, forecast, risks, refusals.

    "do not ream" is an answer: it says what to do instead, and ends with exit code 1.
    """
    from holewright.cli.output import Page, print_json, working
    from holewright.cli.plan_page import show_plan
    from holewright.jobs.documents import plan_document
    from holewright.jobs.jobfile import read_job
    from holewright.jobs.plan_hole import plan as plan_hole
    from holewright.planning.plan import PlanVerdict

    job = read_job(job_file)
    job = job.shown_in(unit or job.unit)
    if why is not None:
        return _explain(job, why, Page(columns, plain=plain), as_json=as_json)
    with working("planning"):
        planned = plan_hole(job)
    if as_json:
        print_json(plan_document(job, planned))
    else:
        show_plan(Page(columns, plain=plain), job, planned, job.unit)
    return NO if planned.verdict is PlanVerdict.DO_NOT_REAM else GOOD


def _explain(job: Job, name: str, page: Page, *, as_json: bool) -> int:
    from holewright.cli.output import print_json
    from holewright.cli.why_page import show_why
    from holewright.jobs.why_document import why, why_document

    explained = why(job, name)
    if as_json:
        print_json(why_document(job, explained))
    else:
        show_why(page, explained)
    return GOOD
