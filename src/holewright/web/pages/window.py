"""The window: speed across, feed up, a point to move, and what comes of it."""

from __future__ import annotations

from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from holewright.errors import HolewrightError, InputError, NoAnswerError
from holewright.jobs.kept_jobs import KeptJob, open_job, take_plan
from holewright.jobs.settings_at import SettingAt, setting_at, window_for
from holewright.sheets.window_svg import name_of, window_frame, window_svg
from holewright.units import Unit, read_number
from holewright.web import pictures
from holewright.web.forms import Form, Planner, Reader, TheDesk, said_wrong, texts
from holewright.web.pages.job_page import job_page
from holewright.web.render import page, shown_unit

router = APIRouter()

_WIDTH, _HEIGHT = 720.0, 460.0
_NARROW, _LOW = 350.0, 330.0
_SFM, _INCH = 0.3048, 25.4


def _setting(kept: KeptJob, said: dict[str, str], unit: Unit) -> SettingAt:
    """Return what comes of the speed and feed that a form says in a unit; blank: the plan's."""
    v_c = _number(said, "v_c", 1.0 if unit is Unit.MM else _SFM)
    f = _number(said, "f", 1.0 if unit is Unit.MM else _INCH)
    return setting_at(kept, v_c, f)


def _number(said: dict[str, str], field: str, per: float) -> float | None:
    written = said.get(field, "").strip()
    if not written:
        return None
    value = float(read_number(written, field)) * per
    if value <= 0:
        raise InputError(field, written, "must be more than 0")
    return value


def _said_unit(request: Request, said: dict[str, str], kept: KeptJob) -> Unit:
    word = said.get("in", "")
    return Unit(word) if word in ("mm", "in") else shown_unit(request, kept.job.unit)


def _panel_parts(setting: SettingAt, unit: Unit) -> dict[str, Any]:
    point = setting.point
    v_c, f = point.at("v_c"), point.at("f")
    forecast = setting.plan.forecast
    inch = unit is Unit.INCH
    return {
        "setting": setting,
        "at": point.at,
        "forecast": forecast,
        "written_v": f"{v_c / _SFM:.0f}" if inch else f"{v_c:.1f}".removesuffix(".0"),
        "written_f": f"{f / _INCH:.4f}".removeprefix("0") if inch else f"{f:.3f}",
        "nearest": (name_of(setting.nearest[0]), setting.nearest[1]) if setting.nearest else None,
    }


@router.get("/jobs/{job_id}/window", response_class=HTMLResponse)
def window_page(request: Request, job_id: int, desk: TheDesk, person: Reader) -> HTMLResponse:
    """Show the window, and what comes of a point in it."""
    kept = open_job(desk.book, job_id)
    return _page(request, kept, dict(request.query_params))


def _page(
    request: Request, kept: KeptJob, said: dict[str, str], error: HolewrightError | None = None
) -> HTMLResponse:
    unit = shown_unit(request, kept.job.unit)
    try:
        window = window_for(kept)
    except NoAnswerError as nothing:
        return job_page(request, kept, "Window", "window.html", window=None, nothing=str(nothing))
    try:
        setting = _setting(kept, said, _said_unit(request, said, kept))
    except InputError as wrong:
        error, setting = wrong, setting_at(kept)
    here = (setting.point.at("v_c"), setting.point.at("f"))
    frames = [window_frame(window, _WIDTH, _HEIGHT), window_frame(window, _NARROW, _LOW)]
    return job_page(
        request,
        kept,
        "Window",
        "window.html",
        status=422 if error else 200,
        window=window,
        wide=pictures.own(window_svg(window, unit, point=here, width=_WIDTH, height=_HEIGHT)),
        narrow=pictures.own(window_svg(window, unit, point=here, width=_NARROW, height=_LOW)),
        borders=[(name_of(border.code), border.text) for border in window.borders],
        data={
            "frames": [
                {
                    "left": one.left,
                    "right": one.right,
                    "top": one.top,
                    "bottom": one.bottom,
                    "v_c": one.v_c,
                    "f": one.f,
                }
                for one in frames
            ],
            "v_c": here[0],
            "f": here[1],
        },
        errors=said_wrong(error, {"v_c": "", "f": ""}) if error else {},
        said=said,
        **_panel_parts(setting, unit),
    )


@router.get("/jobs/{job_id}/window/point", response_class=HTMLResponse)
def point_panel(request: Request, job_id: int, desk: TheDesk, person: Reader) -> HTMLResponse:
    """Show what comes of a point, while it is being moved. Speed in m/min, feed in mm/rev."""
    kept = open_job(desk.book, job_id)
    said = dict(request.query_params)
    setting = _setting(kept, said, Unit.MM)
    unit = shown_unit(request, kept.job.unit)
    return page(
        request,
        "window_point.html",
        unit=kept.job.unit,
        kept=kept,
        **_panel_parts(setting, unit),
    )


@router.post("/jobs/{job_id}/window", response_class=HTMLResponse)
def take_point(
    request: Request, job_id: int, desk: TheDesk, person: Planner, form: Form
) -> Response:
    """Take a point: the plan goes on with its speed and feed."""
    kept = open_job(desk.book, job_id)
    said = texts(form)
    try:
        setting = _setting(kept, said, _said_unit(request, said, kept))
        if setting.broken:
            raise InputError("v_c", said.get("v_c", ""), setting.broken[0].text)
        take_plan(desk.book, kept, setting.plan, bench=desk.bench, by=person.name)
    except HolewrightError as error:
        return _page(request, kept, said, error)
    return RedirectResponse(f"/jobs/{job_id}/program", status_code=303)
