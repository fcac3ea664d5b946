"""``holewright program``: the ISO 6983 program of a planned hole."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from holewright.cli.door import GOOD, answers, check_free
from holewright.cli.options import Columns, Force, JobFile, Json, Plain
from holewright.units import Unit

if TYPE_CHECKING:
    from holewright.cli.output import Page
    from holewright.program.program import Program


@answers
def program(
    job_file: JobFile,
    output: Annotated[
        Path | None,
        typer.Option(
            "--output",
            "-o",
            metavar="F",
            help="File to write; without it the program goes to the screen.",
            show_default=False,
        ),
    ] = None,
    hold: Annotated[
        bool,
        typer.Option(
            "--hold",
            help="Not released yet: stop between holes, so that each can be gauged.",
        ),
    ] = False,
    unit: Annotated[
        Unit | None,
        typer.Option(
            "--unit",
            "-u",
            metavar="mm|in",
            help="Unit of the program; by default that of the job file.",
            show_default=False,
        ),
    ] = None,
    force: Force = False,
    as_json: Json = False,
    columns: Columns = None,
    plain: Plain = False,
) -> int:
    """Write the ISO 6983 program that makes the holes of one part.

    Where the plan has no route, no program is written: exit code 1.
    """
    from dataclasses import replace

    from holewright.cli.output import Page, print_json, working
    from holewright.jobs.documents import program_document
    from holewright.jobs.jobfile import read_job
    from holewright.jobs.plan_hole import plan
    from holewright.jobs.write_program import write_program

    if output is not None:
        check_free([output], force=force)
    job = read_job(job_file)
    job = replace(job, program_unit=unit or job.program_unit)
    with working("planning and writing"):
        written = write_program(job, plan(job), hold=hold)
    if output is not None:
        output.write_text(written.text, encoding="ascii", newline="\n")
    if as_json:
        print_json(program_document(job, written, str(output) if output else None))
    elif output is None:
        print(written.text, end="")
    else:
        show_program(Page(columns, plain=plain), written, output)
    return GOOD


def show_program(page: Page, written: Program, output: Path) -> None:
    """Print what was written, and how long it runs."""
    holes = len(written.holes)
    total = sum(seconds for _, seconds in written.seconds)
    page.say(
        f"Written to {output}: {holes} hole{'s' if holes > 1 else ''}, all lengths in "
        f"{written.unit}, {total:.0f} s a part."
    )
    page.gap()
    page.table(
        ("operation", "s"),
        [(name, f"{seconds:.1f}") for name, seconds in written.seconds],
        right=(1,),
    )
    page.heading("Caution")
    page.points(written.cautions, mark="!")
