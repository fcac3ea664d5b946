"""``holewright verdict``: release or hold, and what would settle it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from holewright.cli.door import GOOD, NO, answers
from holewright.cli.options import Columns, JobFile, Json, Plain, ReadingsFile, UnitChoice

if TYPE_CHECKING:
    from holewright.cli.output import Page
    from holewright.jobs.job import Job
    from holewright.proof.verdict import Verdict


@answers
def verdict(
    job_file: JobFile,
    readings_file: ReadingsFile,
    lot: Annotated[
        int | None,
        typer.Option(
            "--lot",
            min=1,
            metavar="N",
            help="Holes in the lot; without it the process is judged.",
            show_default=False,
        ),
    ] = None,
    unit: UnitChoice = None,
    as_json: Json = False,
    columns: Columns = None,
    plain: Plain = False,
) -> int:
    """Release a lot or hold it, and say what would settle it.

    A hold ends with exit code 1.
    """
    from dataclasses import replace

    from holewright.cli.output import Page, print_json
    from holewright.jobs.documents import verdict_document
    from holewright.jobs.jobfile import read_job
    from holewright.jobs.readingsfile import read_readings
    from holewright.jobs.release import judge
    from holewright.jobs.take_readings import estimate_size
    from holewright.proof.verdict import Decision

    job = read_job(job_file)
    job = replace(job, unit=unit or job.unit)
    readings = read_readings(readings_file, job.shop)
    judged = judge(job, estimate_size(job, readings), lot=lot)
    if as_json:
        print_json(verdict_document(job, judged))
    else:
        show_verdict(Page(columns, plain=plain), job, judged)
    return GOOD if judged.decision is Decision.RELEASE else NO


def show_verdict(page: Page, job: Job, verdict: Verdict) -> None:
    """Print a verdict for people."""
    of = f"lot of {verdict.lot:,} holes" if verdict.lot else "the process"
    page.verdict(str(verdict.decision).upper(), f"{job.callout.text}, {of}")
    page.say(verdict.sentence)
    if verdict.next:
        page.heading("What would settle it")
        page.points((step.text for step in verdict.next), mark="1")
    asked = verdict.demands
    page.heading("Because")
    page.points(str(reason) for reason in verdict.because)
    if verdict.ppk is not None:
        bound = ""
        if verdict.ppk_lower is not None:
            bound = f", at least {verdict.ppk_lower:.2f} at {100 * asked.confidence:g} %"
        page.say(f"Ppk {verdict.ppk:.2f}{bound}.", indent=4)
    page.heading("Asked for")
    ppk = f", and a Ppk of {asked.ppk:g}" if asked.ppk is not None else ""
    page.say(
        f"{100 * asked.inside:g} % of holes inside, {100 * asked.confidence:g} % sure{ppk} "
        f"({asked.source}).",
        indent=4,
    )
    page.heading("Caution")
    page.points(verdict.cautions, mark="!")
