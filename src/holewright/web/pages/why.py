"""The why panel: a number with its formula, its inputs and its source."""

from __future__ import annotations

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse

from holewright.jobs.explain import explain_number, names_of
from holewright.jobs.kept_jobs import open_job
from holewright.jobs.settings_at import taken_point
from holewright.records.entries import EstimateEntry, VerdictEntry
from holewright.web.forms import Reader, TheDesk
from holewright.web.pages.job_page import job_page

router = APIRouter()


@router.get("/jobs/{job_id}/why/{name}", response_class=HTMLResponse)
def why_page(
    request: Request, job_id: int, name: str, desk: TheDesk, person: Reader
) -> HTMLResponse:
    """Explain one number of a job."""
    kept = open_job(desk.book, job_id)
    estimate = desk.book.last(EstimateEntry, revision_id=kept.revision.id)
    verdict = desk.book.last(VerdictEntry, estimate_id=estimate.id) if estimate else None
    found = explain_number(
        name[:60],
        job=kept.job,
        plan=kept.plan,
        point=taken_point(kept),
        estimate=estimate.entry.estimate if estimate else None,
        verdict=verdict.entry.verdict if verdict else None,
    )
    known = set(names_of())
    return job_page(
        request,
        kept,
        "Why",
        "why_panel.html" if request.query_params.get("panel") else "why.html",
        found=found,
        known=known,
    )
