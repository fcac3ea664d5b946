"""Fault finding: what is seen, likely causes in order, and the test that tells most."""

from __future__ import annotations

from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from holewright.diagnosis.case import Case
from holewright.diagnosis.causes import OTHER, causes
from holewright.diagnosis.explain import conflict_text, odds, signature_text, sources_of
from holewright.diagnosis.finding import Finding
from holewright.diagnosis.quick_tests import quick_tests
from holewright.diagnosis.symptoms import symptoms
from holewright.errors import HolewrightError, InputError
from holewright.jobs.fault_checks import Check
from holewright.jobs.find_fault import find_fault
from holewright.jobs.keep_cases import BookOfCases, cases_in
from holewright.jobs.keep_readings import holding_readings
from holewright.jobs.kept_jobs import KeptJob, open_job
from holewright.jobs.make_fault_sheet import make_fault_sheet
from holewright.web.forms import Form, Gauger, Reader, TheDesk, said_wrong, texts
from holewright.web.pages.job_page import job_page
from holewright.web.pages.sheets import SHEET_POLICY

router = APIRouter()

_CAUSES, _TESTS = 4, 4
_NUMBERS = {
    "tir": "runout as read, such as 12 µm",
    "reamer": "size as read, such as 8.012 mm",
    "conc": "strength as read, such as 5 %",
    "warm": "part / gauge, such as 31 C / 21 C",
}


def _seen(request: Request) -> list[str]:
    known = symptoms()
    return [code for code in request.query_params.getlist("seen") if code in known]


def _answers(request: Request) -> str:
    """Return all answers so far in one line, with the one that was just given."""
    before = request.query_params.get("answers", "")[:2000]
    test, given = (request.query_params.get(key, "")[:60] for key in ("test", "answer"))
    number = request.query_params.get("number", "").strip()[:60]
    if not test or not (given or number):
        return before
    new = f"{test}={number if given in ('', 'number') else given}"
    return f"{before}, {new}" if before else new


def _find(desk: TheDesk, kept: KeptJob, seen: list[str], answers: str) -> Finding:
    readings = holding_readings(desk.book, kept.revision)
    checks = [
        Check(saved.entry.reading, by=saved.entry.by) for saved in readings if saved.entry.reading
    ]
    cases = cases_in(desk.book)
    return find_fault(kept.job, seen, checks=checks, answers=answers, cases=cases)


def _causes(finding: Finding) -> list[dict[str, Any]]:
    shown = [one for one in finding.named if one.cause != OTHER][:_CAUSES]
    return [
        {
            "key": one.cause,
            "cause": causes()[one.cause],
            "share": one.share,
            "before": one.before,
            "signature": signature_text(one.cause),
            "weights": [(odds(w.times), w.evidence.text, w.evidence.source) for w in one.weights],
            "sources": sources_of(one.cause, finding.seen),
        }
        for one in shown
    ]


@router.get("/jobs/{job_id}/faults", response_class=HTMLResponse)
def faults(request: Request, job_id: int, desk: TheDesk, person: Reader) -> HTMLResponse:
    """Ask what is seen; with that, show what causes it and what to test next."""
    kept = open_job(desk.book, job_id)
    seen, answers = _seen(request), _answers(request)
    finding, error = None, None
    if seen:
        try:
            finding = _find(desk, kept, seen, answers)
        except InputError as wrong:
            error, answers = wrong, request.query_params.get("answers", "")[:2000]
            finding = _find(desk, kept, seen, "")
    return _page(request, kept, seen, answers, finding, error)


def _page(
    request: Request,
    kept: KeptJob,
    seen: list[str],
    answers: str,
    finding: Finding | None,
    error: HolewrightError | None = None,
) -> HTMLResponse:
    tests = quick_tests()
    return job_page(
        request,
        kept,
        "Fault finding",
        "faults.html",
        symptoms=sorted(symptoms().values(), key=lambda one: -one.asked),
        seen=seen,
        answers=answers,
        finding=finding,
        found=_causes(finding) if finding else [],
        next_tests=[(tests[one.test], one) for one in finding.next[:_TESTS]] if finding else [],
        numbers=_NUMBERS,
        conflicts=[conflict_text(one) for one in finding.conflicts[:3]] if finding else [],
        cause_names=sorted((one.name, key) for key, one in causes().items() if key != OTHER),
        errors=said_wrong(error, {}) if error else {},
        status=422 if error else 200,
    )


@router.get("/jobs/{job_id}/faults/sheet")
def test_list(request: Request, job_id: int, desk: TheDesk, person: Reader) -> HTMLResponse:
    """Return the list of tests as a sheet to print."""
    kept = open_job(desk.book, job_id)
    finding = _find(desk, kept, _seen(request), _answers(request))
    html = make_fault_sheet(kept.job, finding, desk.bench)
    return HTMLResponse(html, headers={"content-security-policy": SHEET_POLICY})


@router.post("/jobs/{job_id}/faults", response_class=HTMLResponse)
def keep_cause(
    request: Request, job_id: int, desk: TheDesk, person: Gauger, form: Form
) -> Response:
    """Keep what it turned out to be: it is heard the next time something like it is seen."""
    kept = open_job(desk.book, job_id)
    said = texts(form)
    seen = [str(code) for code in form.getlist("seen") if code in symptoms()]
    try:
        cause = said.get("cause", "")
        if cause not in causes():
            raise InputError("cause", cause[:60] or "blank", "must be chosen from the list")
        if not seen:
            raise InputError("seen", "nothing", "must name at least one symptom")
        note = said.get("note", "").strip()[:300]
        case = Case(tuple(seen), cause, kept.head.entry.name, note)
        BookOfCases(desk.book, desk.bench, person.name).keep(case)
    except HolewrightError as error:
        finding = _find(desk, kept, seen, "") if seen else None
        return _page(request, kept, seen, "", finding, error)
    return RedirectResponse(f"/jobs/{job_id}/verdict", status_code=303)
