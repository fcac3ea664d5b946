"""The sheets of a job, to look at, print or keep: HTML or PDF."""

from __future__ import annotations

from fastapi import APIRouter
from fastapi.responses import HTMLResponse, Response

from holewright.errors import InputError
from holewright.jobs.judge_run import read_lot
from holewright.jobs.keep_readings import holding_readings
from holewright.jobs.kept_jobs import open_job
from holewright.jobs.make_sheets import make_sheet, sheet_as_pdf
from holewright.records.in_force import readings_of
from holewright.sheets.header import PageKind
from holewright.sheets.pdf import Paper
from holewright.web.forms import Reader, TheDesk

router = APIRouter()

KINDS = {
    "setup": PageKind.SETUP,
    "test-cut": PageKind.TEST_CUT,
    "gauging": PageKind.GAUGING,
    "traveller": PageKind.TRAVELLER,
    "proof": PageKind.PROOF,
}
"""Word of the address -> sheet."""

_PAPERS = {"a4": Paper.A4, "letter": Paper.LETTER}
SHEET_POLICY = (
    "default-src 'none'; style-src 'unsafe-inline'; img-src data:; frame-ancestors 'none'"
)
"""A sheet is one file with its style in it, and without any script."""


@router.get("/jobs/{job_id}/sheets/{word}")
def sheet(
    job_id: int, word: str, desk: TheDesk, person: Reader, paper: str = "a4", lot: str = ""
) -> Response:
    """Return a sheet: ``setup`` as HTML, ``setup.pdf`` as PDF."""
    name, _, ending = word.partition(".")
    if name not in KINDS or ending not in ("", "pdf"):
        raise InputError("id", word[:40], f"must be one of {', '.join(KINDS)}")
    if paper not in _PAPERS:
        raise InputError("paper", paper[:20], "must be a4 or letter")
    kept = open_job(desk.book, job_id)
    readings = readings_of(holding_readings(desk.book, kept.revision)) if name == "proof" else ()
    html = make_sheet(
        KINDS[name],
        kept.job,
        desk.bench,
        planned=kept.plan,
        readings=readings,
        lot=read_lot(lot),
    )
    headers = {"content-security-policy": SHEET_POLICY}
    if not ending:
        return HTMLResponse(html, headers=headers)
    file = f"job-{job_id}-revision-{kept.revision.entry.number}-{name}.pdf"
    return Response(
        sheet_as_pdf(html, kept.job, desk.bench, _PAPERS[paper]),
        media_type="application/pdf",
        headers={"content-disposition": f'inline; filename="{file}"'},
    )
