"""The verdict: release or hold in one sentence, why, and what would settle it."""

from __future__ import annotations

from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from starlette.datastructures import URL

from holewright.errors import HolewrightError, InputError, NoAnswerError
from holewright.jobs import judge_run
from holewright.jobs.judge_run import Judged, judge_now, keep_verdict, put_on_hold, read_lot
from holewright.jobs.kept_jobs import KeptJob, open_job
from holewright.proof.verdict import Decision
from holewright.records.entries import (
    EstimateEntry,
    NoteEntry,
    RunEntry,
    VerdictEntry,
)
from holewright.sheets.sequence import size_sequence_svg
from holewright.web import pictures
from holewright.web.forms import Form, Planner, Reader, TheDesk, said_wrong, texts
from holewright.web.pages.job_page import job_page
from holewright.web.render import shown_unit

router = APIRouter()

_SIGN = {Decision.RELEASE: "✓", Decision.HOLD: "■"}
_MOST_DRAWN = 160
"""Holes that the picture of the sequence has room for; of more, the last ones. [-]"""


def _page(
    request: Request,
    desk: TheDesk,
    kept: KeptJob,
    said: dict[str, str],
    error: HolewrightError | None = None,
) -> HTMLResponse:
    run = said.get("run", "")[:80]
    judged: Judged | None = None
    nothing, lot = "", None
    try:
        lot = read_lot(said.get("lot", ""))
    except InputError as wrong:
        error = error or wrong
    try:
        judged = judge_now(desk.book, kept, run=run, lot=lot, bench=desk.bench)
    except NoAnswerError as empty:
        nothing = str(empty)
    except InputError as wrong:
        error = error or wrong
    parts: dict[str, Any] = {
        "run": run,
        "said": said,
        "runs": [one.entry.name for one in desk.book.find(RunEntry, revision_id=kept.revision.id)],
        "judged": judged,
        "nothing": nothing,
        "usual_lot": kept.job.parts * len(kept.job.holes),
        "written": _written(desk, kept),
        "notes": desk.book.find(NoteEntry, job_id=kept.id)[-8:],
        "errors": said_wrong(error, {"lot": "", "why": "", "run": ""}) if error else {},
        "status": 422 if error else 200,
    }
    if judged is not None:
        unit = shown_unit(request, kept.job.unit)
        holes = judged.estimate.holes[-_MOST_DRAWN:]
        parts |= {
            "verdict": judged.verdict,
            "estimate": judged.estimate,
            "sign": _SIGN[judged.verdict.decision],
            "drawn": len(holes),
            "sequence": pictures.both_widths(
                lambda width: size_sequence_svg(
                    holes, kept.job.gauged_limits, unit, width=width, height=240
                )
            ),
        }
    return job_page(request, kept, "Verdict", "verdict.html", **parts)


def _written(desk: TheDesk, kept: KeptJob) -> VerdictEntry | None:
    estimate = desk.book.last(EstimateEntry, revision_id=kept.revision.id)
    verdict = desk.book.last(VerdictEntry, estimate_id=estimate.id) if estimate else None
    return verdict.entry if verdict else None


@router.get("/jobs/{job_id}/verdict", response_class=HTMLResponse)
def verdict_page(request: Request, job_id: int, desk: TheDesk, person: Reader) -> HTMLResponse:
    """Show what the readings allow to say."""
    kept = open_job(desk.book, job_id)
    said = {key: request.query_params.get(key, "") for key in ("run", "lot")}
    return _page(request, desk, kept, said)


@router.post("/jobs/{job_id}/verdict", response_class=HTMLResponse)
def decide(request: Request, job_id: int, desk: TheDesk, person: Planner, form: Form) -> Response:
    """Write the verdict down, release the job, put it on hold, or back on trial."""
    kept = open_job(desk.book, job_id)
    said = texts(form)
    what, run = said.get("do", ""), said.get("run", "")[:80]
    why = said.get("why", "")
    to = URL(f"/jobs/{job_id}/verdict").include_query_params(run=run, lot=said.get("lot", ""))
    try:
        if what == "hold":
            put_on_hold(desk.book, kept, why=why, bench=desk.bench, by=person.name)
            return RedirectResponse(f"/jobs/{job_id}/faults", status_code=303)
        if what == "trial":
            judge_run.back_on_trial(desk.book, kept, why=why, bench=desk.bench, by=person.name)
            return RedirectResponse(f"/jobs/{job_id}/gauge", status_code=303)
        act = judge_run.release if what == "release" else keep_verdict
        lot = read_lot(said.get("lot", ""))
        act(desk.book, kept, run=run, lot=lot, bench=desk.bench, by=person.name)
    except HolewrightError as error:
        return _page(request, desk, open_job(desk.book, job_id), said, error)
    return RedirectResponse(str(to), status_code=303)
