"""``holewright sheet``: setup sheet and proof report, one HTML file each."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from holewright.cli.door import GOOD, answers, check_free
from holewright.cli.options import Columns, Force, JobFile, Json, Plain, UnitChoice


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
    """Make the setup sheet, and with readings the proof report.

    Each is one HTML file that loads nothing from elsewhere and prints on A4 or Letter.
    """
    from dataclasses import replace

    from holewright.cli.output import Page, print_json
    from holewright.jobs.bench import open_bench
    from holewright.jobs.documents import sheet_document
    from holewright.jobs.jobfile import read_job
    from holewright.jobs.make_sheets import make_sheets
    from holewright.jobs.readingsfile import read_readings

    setup, proof = out / f"{job_file.stem}-setup.html", out / f"{job_file.stem}-proof.html"
    check_free([setup, proof] if readings_file else [setup], force=force)
    job = read_job(job_file)
    job = replace(job, unit=unit or job.unit)
    readings = read_readings(readings_file, job.shop) if readings_file else None
    sheets = make_sheets(job, open_bench(), readings=readings, lot=lot)
    out.mkdir(parents=True, exist_ok=True)
    setup.write_text(sheets.setup, encoding="utf-8")
    if sheets.proof is not None:
        proof.write_text(sheets.proof, encoding="utf-8")
    paths = {"setup_sheet": str(setup), "proof_report": str(proof) if sheets.proof else None}
    if as_json:
        print_json(sheet_document(job, paths))
        return GOOD
    page = Page(columns, plain=plain)
    page.say(f"Setup sheet:  {setup}")
    if sheets.proof is not None:
        page.say(f"Proof report: {proof}")
    page.say("Open them in a browser; they print in black and white.")
    return GOOD
