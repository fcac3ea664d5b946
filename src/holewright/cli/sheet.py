"""``holewright sheet``: the sheets of a job, one HTML or PDF file each."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from holewright.cli.door import GOOD, answers, check_free
from holewright.cli.options import Columns, Force, JobFile, Json, Plain, UnitChoice


class SheetKind(StrEnum):
    """Sheets by the word that asks for them; names as in ``sheets.header.PageKind``."""

    SETUP = "setup"
    PROOF = "proof"
    TEST_CUT = "test-cut"
    GAUGING = "gauging"
    TRAVELLER = "traveller"


class PaperSize(StrEnum):
    """Papers; names as in ``sheets.pdf.Paper``."""

    A4 = "a4"
    LETTER = "letter"


@answers
def sheet(
    job_file: JobFile,
    readings_file: Annotated[
        Path | None,
        typer.Option(
            "--readings",
            "-r",
            metavar="R.csv",
            help="Readings for the proof report; without them only the setup sheet is made.",
            show_default=False,
        ),
    ] = None,
    lot: Annotated[
        int | None,
        typer.Option(
            "--lot",
            min=1,
            metavar="N",
            help="Holes in the lot that the proof report judges.",
            show_default=False,
        ),
    ] = None,
    kinds: Annotated[
        list[SheetKind] | None,
        typer.Option(
            "--kind",
            "-k",
            help="Sheet to make, again for more; by default the setup sheet, and with readings "
            "the proof report.",
            show_default=False,
        ),
    ] = None,
    as_pdf: Annotated[bool, typer.Option("--pdf", help="Write PDF instead of HTML.")] = False,
    paper: Annotated[PaperSize, typer.Option("--paper", help="Paper of a PDF.")] = PaperSize.A4,
    out: Annotated[
        Path,
        typer.Option("--out", "-o", metavar="DIR", help="Folder to write to; made if need be."),
    ] = Path("."),
    force: Force = False,
    unit: UnitChoice = None,
    as_json: Json = False,
    columns: Columns = None,
    plain: Plain = False,
) -> int:
    """Make the sheets of a job: setup, proof, test cut, gauging, traveller.

    Each is one file, HTML or PDF, that loads nothing from elsewhere and prints on A4 or Letter.
    """
    from holewright.cli.output import Page, print_json, working
    from holewright.jobs.bench import open_bench
    from holewright.jobs.documents import sheet_document
    from holewright.jobs.jobfile import read_job
    from holewright.jobs.make_sheets import make_sheet, sheet_as_pdf
    from holewright.jobs.plan_hole import plan
    from holewright.jobs.readingsfile import read_readings
    from holewright.sheets.header import PageKind
    from holewright.sheets.pdf import Paper

    usual = [SheetKind.SETUP] + ([SheetKind.PROOF] if readings_file else [])
    ending = "pdf" if as_pdf else "html"
    files = {kind: out / f"{job_file.stem}-{kind}.{ending}" for kind in kinds or usual}
    check_free(list(files.values()), force=force)
    job = read_job(job_file)
    job = job.shown_in(unit or job.unit)
    readings = read_readings(readings_file, job.shop, part_c=job.part_c) if readings_file else ()
    bench = open_bench()
    with working("planning") as report:
        planned = plan(job)
        report("making the sheets")
        made = {
            kind: make_sheet(
                PageKind[kind.name], job, bench, planned=planned, readings=readings, lot=lot
            )
            for kind in files
        }
        out.mkdir(parents=True, exist_ok=True)
        for kind, html in made.items():
            if as_pdf:
                files[kind].write_bytes(sheet_as_pdf(html, job, bench, Paper[paper.name]))
            else:
                files[kind].write_text(html, encoding="utf-8")
    if as_json:
        print_json(sheet_document(job, {str(kind): str(file) for kind, file in files.items()}))
        return GOOD
    page = Page(columns, plain=plain)
    for kind, file in files.items():
        page.say(f"{PageKind[kind.name].capitalize()}: {file}")
    if not as_pdf:
        page.say("Open them in a browser; they print in black and white.")
    return GOOD
