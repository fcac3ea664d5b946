"""``holewright verdict``: release or hold, and what would settle it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from holewright.cli.answer import Plot
from holewright.cli.door import GOOD, NO, answers, check_free
from holewright.cli.options import (
    Columns,
    Force,
    JobFile,
    Json,
    Plain,
    ReadingsFile,
    UnitChoice,
    WithForecast,
)

if TYPE_CHECKING:
    from holewright.cli.output import Page
    from holewright.gauging.estimate import Estimate
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
    pass_anyway: Annotated[
        list[str] | None,
        typer.Option(
            "--pass-anyway",
            metavar="HOLE",
            help="Hole to pass whatever the gauge says; refused, with the reason, unless it is "
            "shown to be inside.",
            show_default=False,
        ),
    ] = None,
    with_forecast: WithForecast = False,
    plot: Plot = None,
    force: Force = False,
    unit: UnitChoice = None,
    as_json: Json = False,
    columns: Columns = None,
    plain: Plain = False,
) -> int:
    """Release a lot or hold it, and say what would settle it.

    A hold ends with exit code 1.
    """
    from dataclasses import replace

    from holewright.cli.estimate_page import show_heard
    from holewright.cli.output import Page, print_json, working
    from holewright.jobs.bench import open_bench
    from holewright.jobs.hear_forecast import hear_forecast
    from holewright.jobs.jobfile import read_job
    from holewright.jobs.proof_documents import verdict_document
    from holewright.jobs.readingsfile import read_readings
    from holewright.jobs.release import judge
    from holewright.jobs.take_readings import estimate_size
    from holewright.proof.verdict import Decision

    job = read_job(job_file)
    job = replace(job, unit=unit or job.unit)
    readings = read_readings(readings_file, job.shop, part_c=job.part_c)
    with working("judging what the gauges say"):
        found = estimate_size(job, readings, today=open_bench().now().date())
        judged = judge(job, found, lot=lot, pass_anyway=pass_anyway or ())
        heard = hear_forecast(job, readings, lot=lot) if with_forecast else None
    if plot is not None:
        check_free([plot], force=force)
        plot.write_text(_share(job, found), encoding="utf-8")
    if as_json:
        print_json(verdict_document(job, judged, heard=heard))
    else:
        page = Page(columns, plain=plain)
        show_verdict(page, job, judged)
        if heard is not None:
            show_heard(page, found, heard, job.unit)
        if plot is not None:
            page.gap()
            page.say(f"Picture: {plot}")
    return GOOD if judged.decision is Decision.RELEASE else NO


def _share(job: Job, found: Estimate) -> str:
    """Return the share that would be shown against the holes checked, as a picture."""
    from holewright.sheets.share_plot import share_plot_svg

    asked = job.demands
    return share_plot_svg(
        found.good, found.n_holes, inside=asked.inside, confidence=asked.confidence
    )


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
    because = [str(reason) for reason in verdict.because]
    if verdict.ppk is not None:
        bound = ""
        if verdict.ppk_lower is not None:
            bound = f"; {100 * asked.confidence:g} % sure that it is over {verdict.ppk_lower:.2f}"
        because.append(f"Ppk {verdict.ppk:.2f}{bound}.")
    page.points(because)
    page.heading("Asked for")
    ppk = f", and a Ppk of {asked.ppk:g}" if asked.ppk is not None else ""
    page.say(
        f"{100 * asked.inside:g} % of holes inside, {100 * asked.confidence:g} % sure{ppk} "
        f"({asked.source}).",
        indent=4,
    )
    page.heading("Caution")
    page.points(verdict.cautions, mark="!")
