"""The tool room: what the shop has, as it was measured last, and when that is due again."""

from __future__ import annotations

from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from holewright.errors import HolewrightError, InputError
from holewright.jobs.keep_book import tool_room
from holewright.jobs.tool_forms import (
    SHOWN,
    add_pin_set,
    add_tool,
    cut_by,
    fields_of,
    import_tools,
    measure_tool,
    set_state,
    tool_rows_of,
)
from holewright.records.tool_entries import ToolKind, ToolState
from holewright.units import Unit, read_length
from holewright.web.forms import Form, Planner, Reader, TheDesk, said_wrong, texts, upload
from holewright.web.render import page, shown_unit
from holewright.web.shown import Shown
from holewright.web.tool_words import ASKS, SET_ASKS, SLUGS, tool_words

router = APIRouter()

_UNITS = {"mm": Unit.MM, "in": Unit.INCH}
_MEASURED = (ToolKind.MACHINE, ToolKind.HOLDER, ToolKind.DRILL, ToolKind.REAMER, ToolKind.PIN)


@router.get("/tools", response_class=HTMLResponse)
def overview(request: Request, desk: TheDesk, person: Reader) -> HTMLResponse:
    """Show what there is, kind by kind, and what is overdue."""
    counts = {
        slug: tool_rows_of(desk.book, kind, bench=desk.bench)[1] for slug, kind in SLUGS.items()
    }
    room = tool_room(desk.book, name="tool room", bench=desk.bench)
    return page(request, "tools.html", counts=counts, overdue=room.notes)


def _kind(slug: str) -> ToolKind:
    if slug not in SLUGS:
        raise InputError("id", slug[:40], "must be a kind of tool")
    return SLUGS[slug]


def _page(
    request: Request,
    desk: TheDesk,
    slug: str,
    said: dict[str, str],
    *,
    error: HolewrightError | None = None,
    form: str = "",
    done: str = "",
) -> HTMLResponse:
    kind = _kind(slug)
    unit = shown_unit(request)
    near_text = request.query_params.get("near", "")[:40]
    try:
        near = read_length(near_text, unit, "near") if near_text else None
    except InputError as wrong:
        near, error, form = None, error or wrong, form or "near"
    rows, count = tool_rows_of(desk.book, kind, near=near, bench=desk.bench)
    q = Shown(unit)
    parts: dict[str, Any] = {
        "slug": slug,
        "kind": kind,
        "rows": [(row, tool_words(row.tool, q), cut_by(desk.book, row.saved)) for row in rows],
        "count": count,
        "shown": SHOWN,
        "near": near_text,
        "asks": ASKS[kind],
        "set_asks": SET_ASKS if kind is ToolKind.PIN else (),
        "columns": fields_of(kind),
        "measured": kind in _MEASURED,
        "states": [str(state) for state in ToolState],
        "said": said,
        "form": form,
        "done": done,
        "errors": said_wrong(error, _PLACES.get(form, dict.fromkeys(fields_of(kind), "")))
        if error
        else {},
        "status": 422 if error else 200,
    }
    return page(request, "tools_kind.html", **parts)


_PLACES: dict[str, dict[str, str]] = {
    "set": {ask[0]: "" for ask in SET_ASKS},
    "import": {},
    "measure": {},
    "state": {},
    "near": {},
}
"""Form -> fields that have a place for an error beside them; without one it stands on top."""


@router.get("/tools/{slug}", response_class=HTMLResponse)
def tools_of_kind(request: Request, slug: str, desk: TheDesk, person: Reader) -> HTMLResponse:
    """Show the tools of one kind, with forms to add to them."""
    done = request.query_params.get("done", "")
    said = f"{int(done):,} new" if done.isdecimal() and len(done) < 8 else ""
    return _page(request, desk, slug, {}, done=said)


@router.post("/tools/{slug}", response_class=HTMLResponse)
def change_tools(
    request: Request, slug: str, desk: TheDesk, person: Planner, form: Form
) -> Response:
    """Add a tool, a set of pins or a CSV file; measure a tool, or say that it is worn."""
    kind = _kind(slug)
    said = texts(form)
    what = said.pop("do", "")
    book, by, bench = desk.book, person.name, desk.bench
    new = 1
    try:
        if what == "set":
            new = add_pin_set(book, said, bench=bench, by=by)[0].new
        elif what == "measure":
            unit = _UNITS.get(said.get("unit", ""), Unit.MM)
            measure_tool(book, _number(said, "tool"), said, unit=unit, bench=bench, by=by)
            new = 0
        elif what == "state":
            version = _number(said, "version")
            set_state(book, _number(said, "tool"), said.get("state", ""), version=version)
            new = 0
        elif what == "import":
            file = upload(form, "file")
            if file is None:
                raise InputError("file", "not given", "must be a CSV file")
            new = import_tools(
                book,
                kind,
                file.file.read(),
                (file.filename or "file")[:120],
                unit=_UNITS.get(said.get("unit", "")),
                bench=bench,
                by=by,
            ).new
        else:
            add_tool(book, kind, said, bench=bench, by=by)
    except HolewrightError as error:
        return _page(request, desk, slug, said, error=error, form=what or "add")
    return RedirectResponse(f"/tools/{slug}?done={new}" if new else f"/tools/{slug}", 303)


def _number(said: dict[str, str], field: str) -> int:
    text = said.get(field, "")
    if not text.isdecimal() or len(text) > 9:
        raise InputError(field, text[:20], "must be the number that the page gave")
    return int(text)
