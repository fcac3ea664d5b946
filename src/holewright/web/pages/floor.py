"""The shop floor, where everybody starts."""

from __future__ import annotations

import math

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse

from holewright.jobs.shop_floor import PAGE, floor_rows
from holewright.records.entries import JobEntry, Stage
from holewright.records.tool_entries import ToolEntry
from holewright.web.forms import Reader, TheDesk
from holewright.web.render import page

router = APIRouter()

_HOME = {
    Stage.CALLOUT: "route",
    Stage.ROUTE: "gauge",
    Stage.ON_TRIAL: "gauge",
    Stage.RELEASED: "life",
    Stage.ON_HOLD: "verdict",
}
"""Where a job opens: at what is to be done next at its stage."""


@router.get("/", response_class=HTMLResponse)
def shop_floor(
    request: Request, desk: TheDesk, person: Reader, search: str = "", at: int = 1
) -> HTMLResponse:
    """Show all jobs."""
    at = min(max(at, 1), 10_000)
    rows, count = floor_rows(desk.book, search=search[:200], page=at)
    return page(
        request,
        "floor.html",
        rows=rows,
        count=count,
        search=search[:200],
        at=at,
        pages=math.ceil(count / PAGE),
        tools=desk.book.count(ToolEntry),
    )


@router.get("/jobs/{job_id:int}")
def job(job_id: int, desk: TheDesk, person: Reader) -> RedirectResponse:
    """Open a job where its next step is."""
    stage = desk.book.get(JobEntry, job_id).entry.stage
    return RedirectResponse(f"/jobs/{job_id}/{_HOME[stage]}", status_code=303)
