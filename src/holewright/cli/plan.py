"""``holewright plan``: the route for a hole, and what size it will give."""

from __future__ import annotations

from holewright.cli.door import GOOD, NO, answers
from holewright.cli.options import Columns, JobFile, Json, Plain, UnitChoice


@answers
def plan(
    job_file: JobFile,
    unit: UnitChoice = None,
    as_json: Json = False,
    columns: Columns = None,
    plain: Plain = False,
) -> int:
    """Plan a hole: route, numbers, forecast, risks, refusals.

    "do not ream" is an answer: it says what to do instead, and ends with exit code 1.
    """
    from holewright.cli.output import Page, print_json
    from holewright.cli.plan_page import show_plan
    from holewright.jobs.documents import plan_document
    from holewright.jobs.jobfile import read_job
    from holewright.jobs.plan_hole import plan as plan_hole
    from holewright.planning.plan import PlanVerdict

    job = read_job(job_file)
    planned = plan_hole(job)
    if as_json:
        print_json(plan_document(job, planned))
    else:
        show_plan(Page(columns, plain=plain), job, planned, unit or job.unit)
    return NO if planned.verdict is PlanVerdict.DO_NOT_REAM else GOOD
