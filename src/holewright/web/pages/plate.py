"""The test plate: from above, its rows and order, its sheet, and what it showed."""

from __future__ import annotations

import math
from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, PlainTextResponse, Response

from holewright.errors import HolewrightError, InputError
from holewright.jobs.kept_jobs import KeptJob, open_job
from holewright.jobs.kept_plates import CameBack, plate_for, plates_of, take_plate_back
from holewright.jobs.plate_file import plate_csv
from holewright.jobs.plate_sheet import plate_check_sheet
from holewright.jobs.plate_steps import CutPlate, plate_program
from holewright.sheets.effect_plot import effect_plot_svg
from holewright.sheets.plate_map import plate_map_svg
from holewright.units import Unit
from holewright.web import pictures
from holewright.web.forms import Form, Gauger, Reader, TheDesk, said_wrong, texts, upload
from holewright.web.pages.job_page import job_page
from holewright.web.pages.sheets import SHEET_POLICY
from holewright.web.render import shown_unit

router = APIRouter()

FIELDS = ("vary", "order", "a_row", "see")
_USUAL = {"vary": "feed=70,85,100,115,130 %", "order": "blocks", "a_row": "", "see": ""}
_SHOWN = 40
"""Holes of the sequence that the page lists; the sheet has all. [-]"""


def _said(request: Request) -> dict[str, str]:
    asked = {key: request.query_params.get(key, "")[:1200] for key in FIELDS}
    return asked if any(asked.values()) else dict(_USUAL)


def _page(
    request: Request,
    desk: TheDesk,
    kept: KeptJob,
    said: dict[str, str],
    *,
    came: CameBack | None = None,
    error: HolewrightError | None = None,
) -> HTMLResponse:
    unit = shown_unit(request, kept.job.unit)
    cut: CutPlate | None = None
    nothing = ""
    try:
        cut = plate_for(kept, said)
    except InputError as wrong:
        error = error or wrong
    except HolewrightError as empty:
        nothing = str(empty)
    parts: dict[str, Any] = {"plate": None, "result": None}
    if cut is not None:
        parts |= _laid_out(cut, unit)
    if came is not None:
        parts |= {
            "result": came.result,
            "effects": pictures.own(
                effect_plot_svg(came.result.means, kept.job.gauged_limits, unit)
            ),
        }
    return job_page(
        request,
        kept,
        "Plate",
        "plate.html",
        said=said,
        nothing=nothing,
        kept_plates=plates_of(desk.book, kept),
        errors=said_wrong(error, dict.fromkeys(FIELDS, "")) if error else {},
        status=422 if error else 200,
        **parts,
    )


def _laid_out(cut: CutPlate, unit: Unit) -> dict[str, Any]:
    plate = cut.plate
    return {
        "plate": plate,
        "map": pictures.own(plate_map_svg(plate, unit)),
        "rows": [plate.row_words(i, unit) for i in range(len(plate.settings))],
        "sequence": [hole.name for hole in sorted(plate.holes, key=lambda one: one.cut)[:_SHOWN]],
        "finite": math.isfinite,
    }


@router.get("/jobs/{job_id}/plate", response_class=HTMLResponse)
def plate_page(request: Request, job_id: int, desk: TheDesk, person: Reader) -> HTMLResponse:
    """Show a plate, as the form asks for it."""
    return _page(request, desk, open_job(desk.book, job_id), _said(request))


@router.get("/jobs/{job_id}/plate/{what}")
def plate_file(request: Request, job_id: int, what: str, desk: TheDesk, person: Reader) -> Response:
    """Return the check sheet, the program or the file to fill in of a plate."""
    kept = open_job(desk.book, job_id)
    cut = plate_for(kept, _said(request))
    if what == "sheet":
        html = plate_check_sheet(cut, desk.bench)
        return HTMLResponse(html, headers={"content-security-policy": SHEET_POLICY})
    names = {"program.ngc": f"job-{job_id}-plate.ngc", "results.csv": f"job-{job_id}-plate.csv"}
    if what not in names:
        raise InputError("id", what[:40], "must be sheet, program.ngc or results.csv")
    if what == "program.ngc":
        content = plate_program(cut, hold=True).text
    else:
        notes = [f"Test plate for {kept.head.entry.name}: fill in and bring it back."]
        if kept.job.invented:
            notes.append("Invented example: no real company, part or tool.")
        content = plate_csv(cut.plate, kept.job.unit, notes)
    headers = {"content-disposition": f'attachment; filename="{names[what]}"'}
    return PlainTextResponse(content, headers=headers)


@router.post("/jobs/{job_id}/plate", response_class=HTMLResponse)
def bring_back(
    request: Request, job_id: int, desk: TheDesk, person: Gauger, form: Form
) -> HTMLResponse:
    """Read a filled-in file, keep it, and show what the plate showed."""
    kept = open_job(desk.book, job_id)
    said = {**_USUAL, **{key: text for key, text in texts(form).items() if key in FIELDS}}
    file = upload(form, "file")
    try:
        if file is None:
            raise InputError("file", "not given", "must be the filled-in CSV file of a plate")
        came = take_plate_back(
            desk.book,
            kept,
            file.file.read(),
            (file.filename or "file")[:120],
            bench=desk.bench,
            by=person.name,
        )
    except HolewrightError as error:
        return _page(request, desk, kept, said, error=error)
    return _page(request, desk, kept, said, came=came)
