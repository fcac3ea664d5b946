"""``holewright backplot`` and ``holewright time``: what a program's own text makes a machine do."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from holewright.cli.door import GOOD, NO, answers, check_free
from holewright.cli.options import Columns, Force, Json, Plain

if TYPE_CHECKING:
    from holewright.cli.output import Page
    from holewright.program.read_program import ReadProgram

_Source = Annotated[
    list[Path],
    typer.Argument(
        metavar="JOB.toml...|PROGRAM",
        help="Job files, whose program is written first; or a program.",
        show_default=False,
    ),
]
_Job = Annotated[
    Path | None,
    typer.Option(
        "--job",
        metavar="JOB.toml",
        help="Job that a program belongs to: its machine, its clamps, its unit of dwells.",
        show_default=False,
    ),
]
_HOLES = 200
"""So many holes are listed one by one."""


def _read(sources: list[Path], job_file: Path | None) -> ReadProgram:
    from holewright.errors import InputError
    from holewright.jobs.back_plot import read_back_file, read_back_job
    from holewright.jobs.jobfile import read_job
    from holewright.jobs.part_files import read_part

    if all(source.suffix.lower() == ".toml" for source in sources):
        if job_file is not None:
            raise InputError("job", job_file, "goes with a program; the source is a job already")
        return read_back_job(read_part(sources))
    if len(sources) > 1:
        raise InputError("program", sources[1], "must be one program, or job files only")
    return read_back_file(sources[0], read_job(job_file) if job_file is not None else None)


@answers
def backplot(
    sources: _Source,
    job_file: _Job = None,
    output: Annotated[
        Path | None,
        typer.Option(
            "--output",
            "-o",
            metavar="F.html",
            help="Write the picture as well: one HTML file that loads nothing, the order to play.",
            show_default=False,
        ),
    ] = None,
    force: Force = False,
    as_json: Json = False,
    columns: Columns = None,
    plain: Plain = False,
) -> int:
    """Read a program back from its text: holes, depths, feeds, order, and what it would hit.

    Where a tool would hit something the exit code is 1.
    """
    from holewright.cli.output import Page, print_json
    from holewright.jobs.program_documents import backplot_document
    from holewright.sheets.backplot import backplot_page

    if output is not None:
        check_free([output], force=force)
    read = _read(sources, job_file)
    if output is not None:
        output.write_text(backplot_page(read), encoding="utf-8")
    if as_json:
        print_json(backplot_document(read, str(output) if output else None))
    else:
        _show_backplot(Page(columns, plain=plain), read, output)
    return NO if read.clashes else GOOD


def _show_backplot(page: Page, read: ReadProgram, output: Path | None) -> None:
    from holewright.program.blocks import decimals
    from holewright.sheets.backplot import CAUTION, cut_rows, feed_unit

    if read.clashes:
        page.verdict("WOULD HIT", read.name)
        page.points([f"Line {clash.line}: {clash.text}" for clash in read.clashes[:20]], mark="!")
    else:
        page.say(f"{read.name}: {len(read.sections)} tools, all lengths in {read.unit}.")
    page.gap()
    page.table(
        (
            "tool",
            "does",
            "holes",
            "to Z",
            "n",
            f"in {feed_unit(read.unit)}",
            "out",
            "feeds",
            "dwell",
        ),
        [
            (
                f"T{row.tool}",
                row.does,
                str(row.holes),
                row.bottom,
                row.n,
                row.feed_in,
                row.feed_out,
                str(row.pecks),
                row.dwell,
            )
            for row in cut_rows(read)
        ],
        right=(2, 3, 4, 5, 6, 7),
    )
    holes = [hole for section in read.sections[-1:] for hole in section.holes]
    page.heading("Holes in the order of the last tool")
    page.table(
        ("", "X", "Y"),
        [
            (str(i), decimals(hole.x, read.unit), decimals(hole.y, read.unit))
            for i, hole in enumerate(holes[:_HOLES], start=1)
        ],
        right=(0, 1, 2),
    )
    if len(holes) > _HOLES:
        page.say(f"And {len(holes) - _HOLES} more; --json lists them all.")
    if output is not None:
        page.say(f"Picture: {output}")
    page.heading("Caution")
    page.points([CAUTION], mark="!")


@answers
def time(
    sources: _Source,
    job_file: _Job = None,
    as_json: Json = False,
    columns: Columns = None,
    plain: Plain = False,
) -> int:
    """Say how long a part takes: acceleration, jerk, spindle, tool changes and dwells counted.

    Without --job a program is timed on a usual machine.
    """
    from holewright.cli.output import Page, print_json
    from holewright.jobs.program_documents import time_document

    read = _read(sources, job_file)
    if as_json:
        print_json(time_document(read))
    else:
        _show_time(Page(columns, plain=plain), read)
    return GOOD


def _show_time(page: Page, read: ReadProgram) -> None:
    total = sum(time.total_s for time in read.times)
    naive = sum(time.naive_s for time in read.times)
    stops = sum(time.stops for time in read.times)
    machine = read.machine
    whose = f"on {machine.id}" if read.own_machine else "on a usual machine"
    page.say(f"{read.name}: {total:.1f} s a part {whose}; {naive:.1f} s by lengths over speeds.")
    page.gap()
    page.table(
        ("tool", "does", "rapid", "feed", "dwell", "spindle", "change", "all s"),
        [
            (
                f"T{time.tool}",
                read.does(time.tool),
                *(
                    f"{part:.1f}"
                    for part in (
                        time.rapid_s,
                        time.feed_s,
                        time.dwell_s,
                        time.spindle_s,
                        time.change_s,
                        time.total_s,
                    )
                ),
            )
            for time in read.times
        ],
        right=(2, 3, 4, 5, 6, 7),
    )
    page.gap()
    page.say(
        f"Reckoned with rapid {machine.rapid / 1000:g} m/min, "
        f"{machine.acceleration / 1000:g} m/s², {machine.jerk / 1000:g} m/s³, spindle "
        f"{machine.spindle_run_up_s:g} s to {machine.n_max:g} 1/min, rapids overlapping "
        f"{machine.rapid_overlap * 100:g} %, tool change {machine.tool_change_s:g} s chip to chip."
    )
    if stops:
        page.say(f"It stops {stops} times for a person; that time is not in it.")
