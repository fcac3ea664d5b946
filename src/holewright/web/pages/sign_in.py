"""Signing in with the shop's password, and out again."""

from __future__ import annotations

import math

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from starlette.concurrency import run_in_threadpool

from holewright.errors import HolewrightError
from holewright.jobs.access import TooManyTriesError
from holewright.web.forms import Form, Reader, TheDesk, said_wrong
from holewright.web.render import page

router = APIRouter()


def local(path: str) -> str:
    """Return a path of our own to go on to, and the shop floor for anything else."""
    own = path.startswith("/") and not path.startswith(("//", "/\\")) and path.isprintable()
    return path if own and len(path) < 300 else "/"


def _page(
    request: Request, to: str, name: str = "", error: HolewrightError | None = None
) -> HTMLResponse:
    status = 200 if error is None else 429 if isinstance(error, TooManyTriesError) else 403
    response = page(
        request,
        "sign_in.html",
        status=status,
        to=to,
        name=name,
        errors=said_wrong(error, {"name": ""}) if error else {},
    )
    if isinstance(error, TooManyTriesError):
        response.headers["retry-after"] = str(math.ceil(error.wait_s))
    return response


@router.get("/sign-in", response_class=HTMLResponse)
def ask(request: Request) -> HTMLResponse:
    """Ask for a name and the password."""
    return _page(request, local(request.query_params.get("next", "/")))


@router.post("/sign-in", response_class=HTMLResponse)
async def sign_in(request: Request, desk: TheDesk) -> Response:
    """Let somebody in. There is no token yet; the guard saw that a page of ours sent the form."""
    form = await request.form(max_files=0, max_fields=10)
    name, password, to = (str(form.get(key, "")) for key in ("name", "password", "next"))
    address = request.client.host if request.client else "unknown"
    try:
        person = await run_in_threadpool(desk.door.let_in, name, password, address)
    except HolewrightError as error:
        return _page(request, local(to), name[:60], error)
    _, note = desk.sessions.begin(person)
    response = RedirectResponse(local(to), status_code=303)
    response.headers.append("set-cookie", request.state.cookie_for(note))
    return response


@router.post("/sign-out")
def sign_out(request: Request, desk: TheDesk, person: Reader, form: Form) -> RedirectResponse:
    """End the session, whoever has a copy of its note."""
    desk.sessions.end(request.state.session)
    response = RedirectResponse("/sign-in", status_code=303)
    response.headers.append("set-cookie", request.state.cookie_for(""))
    return response
