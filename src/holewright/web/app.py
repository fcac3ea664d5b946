"""The pages as one application."""

from __future__ import annotations

from importlib import resources

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import HTMLResponse
from fastapi.staticfiles import StaticFiles
from starlette.exceptions import HTTPException

from holewright.errors import (
    BookError,
    HolewrightError,
    InputError,
    NotAllowedError,
    StaleError,
)
from holewright.jobs.desk import Desk
from holewright.jobs.serve_settings import ServeSettings
from holewright.web.pages import (
    callout,
    faults,
    floor,
    gauge,
    life,
    plate,
    program,
    route,
    sheets,
    sign_in,
    tools,
    verdict,
    why,
    window,
)
from holewright.web.render import page

_PAGES = (
    floor,
    callout,
    route,
    window,
    program,
    plate,
    gauge,
    verdict,
    life,
    tools,
    sheets,
    why,
    faults,
    sign_in,
)


def make_pages(desk: Desk, settings: ServeSettings) -> FastAPI:
    """Return the pages.

    Parameters
    ----------
    desk : Desk
        What they work with.
    settings : ServeSettings
        How they are served.
    """
    app = FastAPI(title="holewright", openapi_url=None)
    app.state.desk = desk
    app.state.settings = settings
    for one in _PAGES:
        app.include_router(one.router)
    static = resources.files("holewright.web").joinpath("static")
    app.mount("/static", StaticFiles(directory=str(static)), name="static")
    app.add_exception_handler(HolewrightError, _in_words)
    app.add_exception_handler(RequestValidationError, _not_there)
    app.add_exception_handler(HTTPException, _not_there)
    return app


def status_of(error: HolewrightError) -> int:
    """Return the HTTP status that says what an error is.

    Parameters
    ----------
    error : HolewrightError
        The error.
    """
    if isinstance(error, NotAllowedError):
        return 403
    if isinstance(error, StaleError):
        return 409
    if isinstance(error, BookError):
        return 503
    if isinstance(error, InputError) and error.field == "id":
        return 404
    return 422


def _in_words(request: Request, error: Exception) -> HTMLResponse:
    assert isinstance(error, HolewrightError)
    status = status_of(error)
    title = {403: "Not allowed", 404: "Not there", 409: "Somebody was faster"}.get(
        status, "This can't be answered"
    )
    said = "There is no such page." if status == 404 else str(error)
    return page(request, "error.html", status=status, title=title, said=said)


def _not_there(request: Request, error: Exception) -> HTMLResponse:
    status = error.status_code if isinstance(error, HTTPException) else 404
    title = "Not there" if status == 404 else "This can't be answered"
    said = "There is no such page." if status == 404 else "This page takes no such request."
    return page(request, "error.html", status=status, title=title, said=said)
