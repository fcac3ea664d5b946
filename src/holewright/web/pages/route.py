"""The route: what to do, first choice first, why, and what was turned down."""

from __future__ import annotations

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from holewright.errors import HolewrightError, InputError
from holewright.jobs.job_form import said_in
from holewright.jobs.keep_book import tool_room
from holewright.jobs.kept_jobs import KeptJob, change_job, open_job, take_plan
from holewright.jobs.risks import largest_risks
from holewright.jobs.settings_at import taken_point
from holewright.planning.plan import Plan, PlanVerdict
from holewright.planning.settle import plan_at, point_of
from holewright.web import pictures
from holewright.web.forms import Form, Planner, Reader, TheDesk, said_wrong, texts
from holewright.web.pages.job_page import job_page

router = APIRouter()

_SIGN = {
    PlanVerdict.REAM: "✓",
    PlanVerdict.REAM_WITH_CONDITIONS: "!",
    PlanVerdict.DO_NOT_REAM: "✗",
}


def _page(
    request: Request, desk: TheDesk, kept: KeptJob, error: HolewrightError | None = None
) -> HTMLResponse:
    plan, point = kept.plan, taken_point(kept)
    room = tool_room(desk.book, name=kept.job.shop.name, bench=desk.bench)
    changed = bool(room.machines) and any(
        getattr(room, kind) != getattr(kept.job.shop, kind)
        for kind in ("machines", "holders", "drills", "reamers", "pins", "bore_gauges")
    )
    return job_page(
        request,
        kept,
        "Route",
        "route.html",
        plan=plan,
        sign=_SIGN[plan.verdict],
        section=pictures.section(kept.job.callout, plan, kept.job),
        risks=largest_risks(plan.forecast) if plan.forecast else (),
        has_point=point is not None,
        stock=point.at("stock") if point else None,
        life=point.at("life") if point else None,
        room_changed=changed,
        errors=said_wrong(error, {}) if error else {},
        status=422 if error else 200,
    )


@router.get("/jobs/{job_id}/route", response_class=HTMLResponse)
def route_page(request: Request, job_id: int, desk: TheDesk, person: Reader) -> HTMLResponse:
    """Show the route of a job."""
    return _page(request, desk, open_job(desk.book, job_id))


@router.post("/jobs/{job_id}/route", response_class=HTMLResponse)
def take_route(
    request: Request, job_id: int, desk: TheDesk, person: Planner, form: Form
) -> Response:
    """Take a route: the first choice, or one of the alternatives."""
    kept = open_job(desk.book, job_id)
    try:
        plan = _chosen(kept, texts(form).get("route", "first"))
        take_plan(desk.book, kept, plan, bench=desk.bench, by=person.name)
    except HolewrightError as error:
        return _page(request, desk, kept, error)
    return RedirectResponse(f"/jobs/{job_id}/program", status_code=303)


@router.post("/jobs/{job_id}/plan-anew", response_class=HTMLResponse)
def plan_anew(
    request: Request, job_id: int, desk: TheDesk, person: Planner, form: Form
) -> Response:
    """Plan again with the tool room as it is now: a new revision of the job."""
    kept = open_job(desk.book, job_id)
    base = texts(form).get("base", "")
    try:
        change_job(
            desk.book,
            kept,
            said_in(kept.revision.entry.text),
            base=int(base) if base.isdecimal() and len(base) < 9 else 0,
            why="the tool room changed",
            bench=desk.bench,
            by=person.name,
        )
    except HolewrightError as error:
        return _page(request, desk, kept, error)
    return RedirectResponse(f"/jobs/{job_id}/route", status_code=303)


def _chosen(kept: KeptJob, which: str) -> Plan:
    """Return the plan with the route that was chosen."""
    plan = kept.study.plan
    if which == "first":
        return plan
    names = [route.name for route in plan.alternatives]
    if which not in names or kept.study.point is None:
        raise InputError("route", which, "must be one of the routes of this plan; load it anew")
    point = point_of(kept.study.point, plan.alternatives[names.index(which)])
    if point is None:
        raise InputError("route", which, "is not one that can be taken by itself")
    return plan_at(plan, point)
