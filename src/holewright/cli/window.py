"""``holewright window``: the speeds and feeds that a route allows, and what bounds them."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from holewright.cli.door import GOOD, NO, answers, check_free
from holewright.cli.options import Columns, Force, JobFile, Json, Plain, UnitChoice

if TYPE_CHECKING:
    from holewright.cli.output import Page
    from holewright.jobs.job import Job
    from holewright.planning.point import Point
    from holewright.planning.window import Window
    from holewright.units import Unit


@answers
def window(
    job_file: JobFile,
    svg: Annotated[
        Path | None,
        typer.Option(
            "--svg", metavar="F.svg", help="Write the picture to this file.", show_default=False
        ),
    ] = None,
    html: Annotated[
        Path | None,
        typer.Option(
            "--html",
            metavar="F.html",
            help="Write a page with picture, borders and cautions to this file.",
            show_default=False,
        ),
    ] = None,
    unit: UnitChoice = None,
    as_json: Json = False,
    columns: Columns = None,
    plain: Plain = False,
    force: Force = False,
) -> int:
    """Show the window of speed and feed: what is allowed, and which limit bounds it where.

    Holds for the drill, reamer and holder that the plan chose.
    """
    from holewright.cli.output import Page, print_json, working
    from holewright.jobs.jobfile import read_job
    from holewright.jobs.window_hole import study_window, window_document, window_page
    from holewright.sheets.window_svg import window_svg

    job = read_job(job_file)
    files = [path for path in (svg, html) if path is not None]
    check_free(files, force=force)
    with working("planning, and looking round the window"):
        point, found = study_window(job)
    shown = unit or job.unit
    if svg is not None:
        svg.write_text(window_svg(found, shown), encoding="utf-8")
    if html is not None:
        html.write_text(window_page(job, point, found, shown), encoding="utf-8")
    if as_json:
        print_json(window_document(job, point, found))
    else:
        show_window(Page(columns, plain=plain), job, point, found, shown)
        for path in files:
            typer.echo(f"Written: {path}")
    return GOOD if found.allowed.any() else NO


def show_window(page: Page, job: Job, point: Point, window: Window, unit: Unit) -> None:
    """Print the window for people."""
    from holewright.jobs.window_hole import say_chosen, say_nearest, say_tools
    from holewright.planning.words import cautions_of
    from holewright.sheets.window_svg import name_of
    from holewright.sheets.window_text import window_text

    page.verdict("WINDOW", f"{job.callout.text}, {job.material.name}")
    page.say(say_tools(job, point))
    page.say(f"{say_chosen(window, unit)} {say_nearest(window)}".strip())
    page.gap()
    page.as_is(window_text(window, unit, columns=min(page.columns, 100)).splitlines())
    if window.closed_by:
        page.heading("What forbids the whole window")
        page.points(window.closed_by)
    page.heading("Just beyond each border")
    page.points(f"{name_of(b.code)}: {b.text}" for b in window.borders)
    page.heading("Caution")
    page.points(cautions_of(job.callout, job.machine), mark="!")
