"""Life: size against holes cut, when to change the reamer, and what the next run risks."""

from __future__ import annotations

from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from holewright.errors import HolewrightError, InputError, NoAnswerError
from holewright.jobs.kept_jobs import KeptJob, open_job
from holewright.jobs.kept_life import (
    change_tool,
    count_holes,
    lives_of,
    read_holes,
    reamers_like,
    tool_now,
)
from holewright.jobs.life_chart import life_chart
from holewright.records.entries import RunEntry
from holewright.records.entry import new_key
from holewright.records.tool_entries import ToolChangeEntry, ToolEntry
from holewright.sheets.run_chart import run_chart_svg
from holewright.web import pictures
from holewright.web.forms import Form, Gauger, Reader, TheDesk, said_wrong, texts
from holewright.web.pages.job_page import job_page

router = APIRouter()

_LOW = 480.0
"""Least width at which the chart finds room; a phone shows it smaller. [px]"""


def _page(
    request: Request,
    desk: TheDesk,
    kept: KeptJob,
    said: dict[str, str],
    error: HolewrightError | None = None,
) -> HTMLResponse:
    parts: dict[str, Any] = {"lives": None, "nothing": ""}
    run = request.query_params.get("run_holes", "")
    try:
        holes = read_holes(run, "run_holes") if run else None
    except InputError as wrong:
        holes, error = None, error or wrong
    try:
        lives = lives_of(desk.book, kept, next_holes=holes)
        chart = life_chart(lives)
        wide = pictures.own(run_chart_svg(chart, 1000, 360))
        narrow = pictures.own(run_chart_svg(chart, _LOW, 320))
        parts |= {"lives": lives, "change": lives.current.change, "wide": wide, "narrow": narrow}
    except NoAnswerError as empty:
        parts["nothing"] = str(empty)
    return job_page(
        request,
        kept,
        "Life",
        "life.html",
        tool=tool_now(desk.book, kept),
        others=reamers_like(desk.book, kept),
        changes=_changes(desk, kept),
        said=said,
        run_holes=run,
        key=new_key(),
        errors=said_wrong(error, dict.fromkeys(("holes", "why", "put_in", "run_holes"), ""))
        if error
        else {},
        status=422 if error else 200,
        **parts,
    )


def _changes(desk: TheDesk, kept: KeptJob) -> list[dict[str, Any]]:
    runs = desk.book.find(RunEntry, revision_id=kept.revision.id)
    found = [one for run in runs for one in desk.book.find(ToolChangeEntry, run_id=run.id)]
    names = {one.id: one.entry.name for one in desk.book.find(ToolEntry)} if found else {}
    return [
        {
            "at": one.entry.at,
            "by": one.entry.by,
            "out": names.get(one.entry.out_id, "?"),
            "in": names.get(one.entry.in_id or 0, ""),
            "holes": one.entry.holes,
            "why": one.entry.why,
        }
        for one in reversed(found)
    ]


@router.get("/jobs/{job_id}/life", response_class=HTMLResponse)
def life(request: Request, job_id: int, desk: TheDesk, person: Reader) -> HTMLResponse:
    """Show the life of the tool in the machine."""
    return _page(request, desk, open_job(desk.book, job_id), {})


@router.post("/jobs/{job_id}/life", response_class=HTMLResponse)
def write_down(
    request: Request, job_id: int, desk: TheDesk, person: Gauger, form: Form
) -> Response:
    """Count holes, or change the tool."""
    kept = open_job(desk.book, job_id)
    said = texts(form)
    try:
        if said.get("do") == "change":
            change_tool(
                desk.book,
                kept,
                put_in=said.get("put_in", ""),
                why=said.get("why", ""),
                worn=bool(said.get("worn")),
                bench=desk.bench,
                by=person.name,
            )
        else:
            key = said.get("key", "")[:64] or new_key()
            count_holes(
                desk.book, kept, said.get("holes", ""), bench=desk.bench, by=person.name, key=key
            )
    except HolewrightError as error:
        return _page(request, desk, kept, said, error)
    return RedirectResponse(f"/jobs/{job_id}/life", status_code=303)
