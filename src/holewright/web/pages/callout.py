"""The callout: what the drawing asks, what it was understood as, and what else a plan needs."""

from __future__ import annotations

from functools import cache
from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from holewright.errors import HolewrightError, InputError
from holewright.jobs.desk import Desk
from holewright.jobs.job_form import all_wrong, said_in
from holewright.jobs.kept_jobs import KeptJob, change_job, new_job, open_job, room_of
from holewright.jobs.read_limits import HoleLimits, read_limits
from holewright.shop.materials import list_materials
from holewright.units import Unit
from holewright.web import pictures
from holewright.web.forms import Form, Planner, Reader, TheDesk, said_wrong, texts
from holewright.web.pages.job_page import job_page
from holewright.web.render import page, shown_unit

router = APIRouter()

_UNITS = {"mm": Unit.MM, "in": Unit.INCH}
_NEW: dict[str, str] = {"callout": "", "material": ""}


@cache
def _materials() -> tuple[str, ...]:
    """Return every name under which a work material is known."""
    names = dict.fromkeys(
        name for one in list_materials() for name in (one.name, *one.aliases) if len(name) < 30
    )
    return tuple(names)


def understood(said: dict[str, str]) -> HoleLimits:
    """Return what the fields of the form say of size.

    Raises
    ------
    InputError
        If the callout can't be read.
    """
    return read_limits(
        said.get("callout", ""),
        unit=_UNITS.get(said.get("units", "")),
        standard=said.get("standard") or None,
    )


def _understood_parts(request: Request, said: dict[str, str]) -> dict[str, Any]:
    """Return what the panel beside the form shows; it is empty until something is written."""
    if not said.get("callout", "").strip():
        return {"answer": None, "wrong": None}
    try:
        answer = understood(said)
    except InputError as error:
        return {"answer": None, "wrong": said_wrong(error, {error.field: ""})[error.field]}
    unit = shown_unit(request, answer.callout.unit)
    return {
        "answer": answer,
        "wrong": None,
        "answer_strip": pictures.callout_strip(answer.callout, unit),
        "answer_section": pictures.section(answer.callout, None, None),
        "first": unit,
    }


@router.get("/understood", response_class=HTMLResponse)
def understood_panel(
    request: Request, person: Reader, callout: str = "", units: str = "", standard: str = ""
) -> HTMLResponse:
    """Show what a callout is understood as, while it is being typed."""
    said = {"callout": callout[:500], "units": units, "standard": standard[:40]}
    parts = _understood_parts(request, said)
    answer = parts["answer"]
    return page(
        request, "understood.html", unit=answer.callout.unit if answer else Unit.MM, **parts
    )


def _form_page(
    request: Request,
    desk: Desk,
    said: dict[str, str],
    *,
    kept: KeptJob | None = None,
    errors: dict[str, Any] | None = None,
    status: int = 200,
) -> HTMLResponse:
    shop = room_of(desk.book, bench=desk.bench)
    parts: dict[str, Any] = {
        "said": said,
        "errors": errors or {},
        "materials": _materials(),
        "machines": [(machine.id, machine.id) for machine in shop.machines],
        "shop_notes": shop.notes,
        "status": status,
        **_understood_parts(request, said),
    }
    if kept is None:
        return page(request, "new_job.html", **parts)
    return job_page(request, kept, "Callout", "callout.html", **parts)


@router.get("/jobs/new", response_class=HTMLResponse)
def empty_form(request: Request, desk: TheDesk, person: Planner) -> HTMLResponse:
    """Show the form of a new job."""
    return _form_page(request, desk, dict(_NEW))


@router.post("/jobs/new", response_class=HTMLResponse)
def make_job(request: Request, desk: TheDesk, person: Planner, form: Form) -> Response:
    """Write a new job down and go on to its route."""
    said = texts(form)
    if said.pop("do", "") == "look":
        return _form_page(request, desk, said)
    try:
        saved = new_job(desk.book, said, bench=desk.bench, by=person.name)
    except HolewrightError as error:
        errors = _wrong(desk, said, error)
        return _form_page(request, desk, said, errors=errors, status=422)
    return RedirectResponse(f"/jobs/{saved.entry.job_id}/route", status_code=303)


def _wrong(desk: Desk, said: dict[str, str], error: HolewrightError) -> dict[str, Any]:
    """Return what is wrong, all fields at once: nobody mends a form one slip at a time."""
    fields = {**_NEW, **said}
    errors: dict[str, Any] = {}
    for one in all_wrong(said, room_of(desk.book, bench=desk.bench)):
        errors |= said_wrong(one, fields)
    return errors or said_wrong(error, fields)


@router.get("/jobs/{job_id}/callout", response_class=HTMLResponse)
def callout_page(request: Request, job_id: int, desk: TheDesk, person: Reader) -> HTMLResponse:
    """Show what is asked of a hole, ready to be changed."""
    kept = open_job(desk.book, job_id)
    return _form_page(request, desk, said_in(kept.revision.entry.text), kept=kept)


@router.post("/jobs/{job_id}/callout", response_class=HTMLResponse)
def change_callout(
    request: Request, job_id: int, desk: TheDesk, person: Planner, form: Form
) -> Response:
    """Write a changed job down as a new revision."""
    kept = open_job(desk.book, job_id)
    said = texts(form)
    if said.pop("do", "") == "look":
        return _form_page(request, desk, said, kept=kept)
    base, why = said.pop("base", ""), said.pop("why", "")
    try:
        number = int(base) if base.isdecimal() and len(base) < 9 else 0
        change_job(desk.book, kept, said, base=number, why=why, bench=desk.bench, by=person.name)
    except HolewrightError as error:
        errors = _wrong(desk, said, error)
        return _form_page(request, desk, said, kept=kept, errors=errors, status=422)
    return RedirectResponse(f"/jobs/{job_id}/route", status_code=303)
