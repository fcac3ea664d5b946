"""``holewright program``: the ISO 6983 program of a part's planned holes."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from holewright.cli.door import GOOD, answers, check_free
from holewright.cli.options import Columns, Force, JobFiles, Json, Plain
from holewright.units import Unit

if TYPE_CHECKING:
    from holewright.cli.output import Page
    from holewright.program.program import Program


@answers
def program(
    job_files: JobFiles,
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
    readings_file: Annotated[
        Path | None,
        typer.Option(
            "--readings",
            "-r",
            metavar="R.csv",
            help="Readings of the first job; where their verdict is hold, no program is written.",
            show_default=False,
        ),
    ] = None,
    despite_hold: Annotated[
        bool,
        typer.Option(
            "--despite-hold",
            help="Write it although the job is on hold; its header says so, and it stops "
            "between holes.",
        ),
    ] = False,
    settings: Annotated[
        list[str] | None,
        typer.Option(
            "--set",
            metavar="NAME=VALUE",
            help="Change a setting of the table [program] of the job file, again for more: "
            "feed_mode=G95, gauge_every=5.",
            show_default=False,
        ),
    ] = None,
    order_of: Annotated[
        Path | None,
        typer.Option(
            "--order-of",
            metavar="PROGRAM",
            help="Make the holes in the order of an earlier program, so that what was proven "
            "stays as it was.",
            show_default=False,
        ),
    ] = None,
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

    Several job files make one program: tools that several of them need come once. Where a
    plan has no route, the job is on hold, or a tool would hit something, no program is
    written: exit code 1.
    """
    from holewright.cli.output import Page, print_json
    from holewright.jobs.documents import program_document
    from holewright.jobs.part_files import read_part, verdict_of
    from holewright.jobs.write_program import write_part

    if output is not None:
        check_free([output], force=force)
    planned = read_part(job_files, settings=settings or (), unit=unit, order_of=order_of)
    first = planned[0][0]
    written = write_part(
        planned,
        hold=hold,
        despite_hold=despite_hold,
        verdict=verdict_of(first, readings_file) if readings_file is not None else None,
    )
    if output is not None:
        output.write_text(written.text, encoding="ascii", newline="\n")
    if as_json:
        print_json(program_document(first, written, str(output) if output else None))
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
    stops = sum(time.stops for time in written.times)
    if stops:
        page.say(f"It stops {stops} times for a person; that time is not in it.")
    page.heading("Caution")
    page.points(written.cautions, mark="!")
