"""The program: its blocks by operation, the holes in their order, and its time."""

from __future__ import annotations

import math
import re
from itertools import pairwise

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, PlainTextResponse

from holewright.errors import NoAnswerError
from holewright.jobs.kept_jobs import open_job, program_of
from holewright.records.entries import Stage
from holewright.sheets.hole_map import hole_map_svg
from holewright.web import pictures
from holewright.web.forms import Reader, TheDesk
from holewright.web.pages.job_page import job_page
from holewright.web.render import shown_unit

router = APIRouter()

_TOOL = re.compile(r"^\(- T\d+ ", re.MULTILINE)
_FIRST_BLOCK = re.compile(r"^N\d+ ", re.MULTILINE)


def parts_of(text: str) -> list[str]:
    """Return a program in parts: its head, then one part for each tool.

    Parameters
    ----------
    text : str
        The program.
    """
    first = _FIRST_BLOCK.search(text)
    start = first.start() if first else 0
    cuts = [0, start, *(m.start() for m in _TOOL.finditer(text) if m.start() > start), len(text)]
    parts = [text[a:b] for a, b in pairwise(cuts)]
    return [part for part in parts if part.strip()]


@router.get("/jobs/{job_id}/program", response_class=HTMLResponse)
def program_page(
    request: Request, job_id: int, desk: TheDesk, person: Reader, despite_hold: bool = False
) -> HTMLResponse:
    """Show the program of the plan that counts; of a job on hold only when it is asked for."""
    kept = open_job(desk.book, job_id)
    on_hold = kept.stage is Stage.ON_HOLD
    try:
        program = program_of(kept, despite_hold=despite_hold)
    except NoAnswerError as nothing:
        return job_page(
            request,
            kept,
            "Program",
            "program.html",
            program=None,
            nothing=str(nothing),
            on_hold=on_hold and not despite_hold and kept.plan.route is not None,
        )
    unit = shown_unit(request, kept.job.unit)
    return job_page(
        request,
        kept,
        "Program",
        "program.html",
        program=program,
        parts=parts_of(program.text),
        total=math.fsum(seconds for _, seconds in program.seconds),
        map=pictures.own(
            hole_map_svg(
                program.holes, unit, diameter=kept.job.callout.nominal, width=520, height=300
            )
        ),
        held=kept.stage is not Stage.RELEASED,
        on_hold=on_hold,
    )


@router.get("/jobs/{job_id}/program.ngc")
def program_file(
    job_id: int, desk: TheDesk, person: Reader, despite_hold: bool = False
) -> PlainTextResponse:
    """Return the program as a file. Nothing is ever sent to a machine from here."""
    kept = open_job(desk.book, job_id)
    part = re.sub(r"[^A-Za-z0-9-]+", "-", kept.job.part or f"job-{job_id}").strip("-") or "job"
    name = f"{part[:60]}-revision-{kept.revision.entry.number}.ngc"
    return PlainTextResponse(
        program_of(kept, despite_hold=despite_hold).text,
        headers={"content-disposition": f'attachment; filename="{name}"'},
    )
