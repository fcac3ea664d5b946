"""The one shape of an error: a problem of RFC 9457."""

from __future__ import annotations

from typing import Any

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import JSONResponse
from starlette.exceptions import HTTPException

from holewright.errors import (
    AmbiguousError,
    BookError,
    HolewrightError,
    InputError,
    NoAnswerError,
    NotAllowedError,
    StaleError,
)
from holewright.jobs.access import TooManyTriesError

MEDIA_TYPE = "application/problem+json"

_KINDS: tuple[tuple[type[HolewrightError], int, str, str], ...] = (
    (TooManyTriesError, 429, "too-many-tries", "Too many wrong passwords"),
    (NotAllowedError, 403, "not-allowed", "Not allowed"),
    (StaleError, 409, "stale", "Somebody else saved first"),
    (BookError, 503, "book", "The record book can't be used"),
    (NoAnswerError, 422, "no-answer", "The input is sound, but there is no answer"),
    (AmbiguousError, 422, "ambiguous", "It can be read in more than one way"),
    (InputError, 422, "input", "A value can't be used"),
    (HolewrightError, 422, "error", "It can't be answered"),
)


def problem(status: int, kind: str, title: str, detail: str, **more: Any) -> JSONResponse:
    """Return a problem.

    Parameters
    ----------
    status : int
        HTTP status.
    kind : str
        Short machine-readable name.
    title : str
        What sort of problem it is.
    detail : str
        The sentence for a person.
    **more : object
        Further members.
    """
    body = {"type": f"urn:holewright:problem:{kind}", "title": title, "status": status}
    return JSONResponse(body | {"detail": detail} | more, status_code=status, media_type=MEDIA_TYPE)


def of_error(error: HolewrightError) -> JSONResponse:
    """Return the problem that an error of ours is.

    Parameters
    ----------
    error : HolewrightError
        The error.
    """
    status, kind, title = next(row[1:] for row in _KINDS if isinstance(error, row[0]))
    more: dict[str, Any] = {}
    if isinstance(error, InputError):
        if error.field == "id":
            status = 404
        more = {
            "field": error.field,
            "value": str(error.value),
            "accepted": error.accepted,
            "readings": list(error.readings) if isinstance(error, AmbiguousError) else [],
        }
    response = problem(status, kind, title, str(error), **more)
    if isinstance(error, TooManyTriesError):
        response.headers["retry-after"] = str(error.wait_s)
    return response


def add_handlers(app: FastAPI) -> None:
    """Make every error of an application a problem.

    Parameters
    ----------
    app : FastAPI
        The application.
    """

    def ours(request: Request, error: Exception) -> JSONResponse:
        assert isinstance(error, HolewrightError)
        return of_error(error)

    def of_shape(request: Request, error: Exception) -> JSONResponse:
        assert isinstance(error, RequestValidationError)
        first = error.errors()[0]
        place = [str(part) for part in first["loc"] if part not in ("body", "query", "path")]
        return problem(
            422,
            "shape",
            "The request has not the shape that is asked for",
            f"{'.'.join(place) or 'body'}: {first['msg']}",
            field=".".join(place) or "body",
            accepted=first["msg"],
        )

    def of_http(request: Request, error: Exception) -> JSONResponse:
        assert isinstance(error, HTTPException)
        return problem(error.status_code, "http", str(error.detail), str(error.detail))

    app.add_exception_handler(HolewrightError, ours)
    app.add_exception_handler(RequestValidationError, of_shape)
    app.add_exception_handler(HTTPException, of_http)
