"""The gauge: hole by hole, one question at a time, with two very large answers."""

from __future__ import annotations

from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from starlette.datastructures import URL

from holewright.errors import HolewrightError, InputError
from holewright.gauging.reading import Reading
from holewright.jobs.gauge_asks import Ask
from holewright.jobs.gauge_documents import sheet_document
from holewright.jobs.gauge_holes import (
    TARGET,
    GaugeSheet,
    current_run,
    gauge_sheet,
    take_answer,
    take_back,
)
from holewright.jobs.kept_jobs import KeptJob, open_job
from holewright.records.entry import new_key
from holewright.sheets.gauge_map import SIGNS, gauge_map_svg
from holewright.units import read_length, read_temperature
from holewright.web import pictures
from holewright.web.forms import Form, Gauger, Reader, TheDesk, said_wrong, texts
from holewright.web.pages.job_page import job_page

router = APIRouter()

_NEAR = 4.0
"""Pins within so many tolerances of the zone are offered as another one to ask with. [-]"""


def _settings(desk: TheDesk, kept: KeptJob, said: dict[str, str]) -> dict[str, Any]:
    """Return what the page carries from one answer to the next."""
    usual = _usual_c(kept)
    target = said.get("target", "")
    return {
        "run": said.get("run", "").strip()[:80] or current_run(desk.book, kept),
        "target": int(target) if target.isdecimal() and len(target) < 6 else TARGET,
        "part_c": said.get("part_c", "").strip()[:20] or usual,
        "gauge_c": said.get("gauge_c", "").strip()[:20] or usual,
        "gauge": said.get("gauge", "").strip()[:80],
    }


def _usual_c(kept: KeptJob) -> str:
    return f"{kept.job.part_c:.1f}".removesuffix(".0")


def _other_gauges(kept: KeptJob) -> list[str]:
    limits = kept.job.gauged_limits
    reach = _NEAR * limits.width
    near = [
        pin
        for pin in kept.job.shop.pins
        if limits.lower - reach <= pin.marked <= limits.upper + reach
    ]
    return [pin.id for pin in near]


def _page(
    request: Request,
    desk: TheDesk,
    kept: KeptJob,
    carried: dict[str, Any],
    error: HolewrightError | None = None,
) -> HTMLResponse:
    try:
        warm = [read_temperature(carried[name], name) for name in ("part_c", "gauge_c")]
    except InputError as wrong:
        error, warm = error or wrong, [kept.job.part_c] * 2
    sheet = gauge_sheet(
        desk.book,
        kept,
        carried["run"],
        target=carried["target"],
        part_c=warm[0],
        gauge_c=warm[1],
    )
    ask = sheet.next_ask
    if carried["gauge"] and ask is not None:
        ask = Ask(carried["gauge"], "", "Chosen by you.")
    part, hole = _place(sheet)
    states = {
        int(one.name.rpartition("-")[2]): one.said
        for one in sheet.holes
        if one.name.startswith(f"{part}-") and one.name.rpartition("-")[2].isdecimal()
    }
    pins = {pin.id for pin in kept.job.shop.pins}
    return job_page(
        request,
        kept,
        "Gauge",
        "gauge.html",
        sheet=sheet,
        carried=carried,
        ask=ask,
        ask_is_pin=ask is not None and ask.gauge in pins,
        part=part,
        hole=hole,
        done=sheet.done,
        map=pictures.own(gauge_map_svg(kept.job.holes, states, asked=hole)),
        signs=SIGNS,
        bore_gauges=[gauge.id for gauge in kept.job.shop.bore_gauges],
        other_gauges=_other_gauges(kept),
        last=sheet.last,
        key=new_key(),
        usual_c=_usual_c(kept),
        data=sheet_document(kept, sheet) | {"unit": str(kept.job.unit)},
        errors=said_wrong(error, {"size": "", "part_c": "", "gauge_c": ""}) if error else {},
        status=422 if error else 200,
    )


def _place(sheet: GaugeSheet) -> tuple[int, int]:
    """Return part and hole that come next; the last part when all are done."""
    name = sheet.next_hole or f"{-(-sheet.target // sheet.per_part)}-0"
    part, _, hole = name.partition("-")
    return int(part), int(hole)


@router.get("/jobs/{job_id}/gauge", response_class=HTMLResponse)
def gauge_page(request: Request, job_id: int, desk: TheDesk, person: Reader) -> HTMLResponse:
    """Show what to gauge next."""
    kept = open_job(desk.book, job_id)
    return _page(request, desk, kept, _settings(desk, kept, dict(request.query_params)))


@router.post("/jobs/{job_id}/gauge", response_class=HTMLResponse)
def answer(request: Request, job_id: int, desk: TheDesk, person: Gauger, form: Form) -> Response:
    """Write one answer down, or take the last one back, without any script."""
    kept = open_job(desk.book, job_id)
    said = texts(form)
    carried = _settings(desk, kept, {**said, "gauge": ""})
    try:
        if said.get("answer") == "back":
            reading_id = said.get("last", "")
            number = int(reading_id) if reading_id.isdecimal() and len(reading_id) < 10 else 0
            take_back(
                desk.book, kept, number, key=said.get("key", ""), bench=desk.bench, by=person.name
            )
        else:
            take_answer(
                desk.book,
                kept,
                _reading(kept, said, carried),
                run=carried["run"],
                key=said.get("key", "") or new_key(),
                bench=desk.bench,
                by=person.name,
            )
    except HolewrightError as error:
        return _page(request, desk, kept, carried, error)
    to = URL(f"/jobs/{job_id}/gauge").include_query_params(
        **{key: carried[key] for key in ("run", "target", "part_c", "gauge_c")}
    )
    return RedirectResponse(str(to), status_code=303)


def _reading(kept: KeptJob, said: dict[str, str], carried: dict[str, Any]) -> Reading:
    answer = said.get("answer", "")
    hole = said.get("hole", "").strip()
    if not hole or len(hole) > 40:
        raise InputError("hole", hole[:40] or "blank", "must be the name of a hole")
    if answer not in ("goes", "stays", "size"):
        raise InputError("answer", answer[:20], "must be goes, does not go, or a size")
    gauge = said.get("bore_gauge" if answer == "size" else "asked", "").strip()
    size = read_length(said.get("size", ""), kept.job.unit, "size") if answer == "size" else None
    return Reading(
        hole=hole,
        gauge=gauge,
        goes=None if answer == "size" else answer == "goes",
        size=size,
        part_c=read_temperature(carried["part_c"], "part_c"),
        gauge_c=read_temperature(carried["gauge_c"], "gauge_c"),
    )
