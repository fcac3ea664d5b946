"""``holewright life``: when to change a reamer, and what a run without anybody beside it risks."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from holewright.cli.door import GOOD, NO, answers, check_free
from holewright.cli.options import Book, Columns, Force, JobFile, Json, Plain, UnitChoice

if TYPE_CHECKING:
    from holewright.cli.output import Page
    from holewright.jobs.follow_tools import Lives


@answers
def life(
    job_file: JobFile,
    readings_file: Annotated[
        Path | None,
        typer.Option(
            "--readings",
            "-r",
            metavar="R.csv",
            help="Readings with a column cut: how many holes the tool had cut; and a column tool "
            "where there are several, the last one being in the machine. Without it the readings "
            "that the record book has of the job.",
            show_default=False,
        ),
    ] = None,
    book: Book = None,
    target: Annotated[
        str,
        typer.Option(
            "--target", metavar="SHARE", help="Share outside that no hole of a life may pass."
        ),
    ] = "1 %",
    confidence: Annotated[
        str, typer.Option("--confidence", metavar="SHARE", help="How sure that has to be.")
    ] = "95 %",
    next_holes: Annotated[
        int | None,
        typer.Option(
            "--next",
            min=1,
            metavar="N",
            help="Holes of the next run; by default a tenth of those left.",
            show_default=False,
        ),
    ] = None,
    broken: Annotated[
        list[str] | None,
        typer.Option(
            "--broken",
            metavar="TOOL",
            help="A tool that broke at its last hole, again for more.",
            show_default=False,
        ),
    ] = None,
    chart: Annotated[
        Path | None,
        typer.Option(
            "--chart",
            metavar="F.svg",
            help="Write the run chart to this file, in black and white.",
            show_default=False,
        ),
    ] = None,
    force: Force = False,
    unit: UnitChoice = None,
    as_json: Json = False,
    columns: Columns = None,
    plain: Plain = False,
) -> int:
    """Say when to change a reamer, and what the next run without anybody beside it risks.

    Where the next run is too much of a risk, or the tool is due, the exit code is 1.
    """
    from contextlib import closing
    from dataclasses import replace

    from holewright.cli.output import Page, print_json
    from holewright.jobs.fields import option, share
    from holewright.jobs.follow_tools import follow_tools
    from holewright.jobs.jobfile import read_job
    from holewright.jobs.life_chart import life_chart
    from holewright.jobs.life_documents import life_document
    from holewright.jobs.life_file import read_life
    from holewright.jobs.life_from_book import life_in_book
    from holewright.jobs.look_after_book import open_at
    from holewright.life.tool_change import ANY_OUTSIDE
    from holewright.sheets.run_chart import run_chart_svg

    if chart is not None:
        check_free([chart], force=force)
    job = read_job(job_file)
    job = replace(job, unit=unit or job.unit)
    if readings_file is not None:
        tools = read_life(readings_file, job.shop, part_c=job.part_c)
    else:
        with closing(open_at(book)) as opened:
            tools = life_in_book(opened, job.name)
    lives = follow_tools(
        job,
        tools,
        target=share(option("target", target), "target"),
        confidence=share(option("confidence", confidence), "confidence"),
        next_holes=next_holes,
        broken=broken or (),
    )
    if chart is not None:
        chart.write_text(run_chart_svg(life_chart(lives)), encoding="utf-8")
    if as_json:
        print_json(life_document(lives, str(chart) if chart else None))
    else:
        show_lives(Page(columns, plain=plain), lives, chart)
    change = lives.current.change
    due = change.change.hole < change.run.first
    return NO if due or change.run.any_outside > ANY_OUTSIDE else GOOD


def show_lives(page: Page, lives: Lives, chart: Path | None) -> None:
    """Print what was found of the tools of a job."""
    from holewright.jobs.life_chart import life_chart
    from holewright.life.tool_change import ANY_OUTSIDE
    from holewright.sheets.run_chart import run_chart_text

    current = lives.current
    change, run = current.change, current.change.run
    if change.change.hole < run.first:
        word = "CHANGE NOW"
    elif run.any_outside > ANY_OUTSIDE:
        word = "STAY BESIDE IT"
    else:
        word = f"CHANGE AFTER HOLE {change.change.hole:,}"
    page.verdict(word, f"{current.tool or 'reamer'}, {lives.job.callout.text}")
    page.say(change.sentence)
    if lives.job.invented:
        page.say("An invented example: no real company, part or tool.")
    page.gap()
    picture = run_chart_text(life_chart(lives), min(page.columns - 2, 78), plain=page.plain)
    page.as_is(f" {line}" for line in picture.splitlines())
    page.heading("Because")
    page.points((str(reason) for reason in change.because), mark="1")
    if change.check_every is not None:
        page.say(
            f"A check every {change.check_every} holes costs least, with the costs of the plan and "
            f"one sudden fault in 5,000 holes (assumed).",
            indent=4,
        )
    _show_others(page, lives)
    said = (*lives.not_followed, *lives.contradictions)
    if said:
        page.heading("Not used, or not all true")
        page.points(str(reason) for reason in said)
    page.heading("Caution")
    page.points(change.cautions, mark="!")
    if chart is not None:
        page.gap()
        page.say(f"Run chart: {chart}")


def _show_others(page: Page, lives: Lives) -> None:
    from holewright.units import format_small

    if len(lives.followed) > 1:
        page.heading("The tools before it")
        page.points(
            f"{one.tool}: followed to hole {max(one.cut.values()):,}; by these readings due after "
            f"hole {one.change.change.hole:,}."
            for one in lives.followed[:-1]
        )
    if lives.like is not None and lives.new is not None:
        unit = lives.job.unit
        page.heading("A new one of their kind")
        drift = format_small(abs(100 * lives.like.drift.mean), unit)
        apart = format_small(100 * lives.like.drift.between, unit)
        page.say(
            f"{len(lives.like.names)} tools: {drift} per 100 holes, with {apart} between tools. A "
            f"new one is due after hole {lives.new.hole}; by the best estimate alone after "
            f"hole {lives.new.likely}.",
            indent=4,
        )
