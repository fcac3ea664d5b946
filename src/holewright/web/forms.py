"""Reads forms: who sends them, whether they come from a page of ours, and what they say."""

from __future__ import annotations

import secrets
from collections.abc import AsyncIterator, Callable, Mapping
from typing import Annotated, TypeAlias

from fastapi import Depends, Request
from starlette.datastructures import FormData, UploadFile

from holewright.errors import AmbiguousError, HolewrightError, InputError, NotAllowedError
from holewright.jobs.desk import Desk
from holewright.jobs.people import Person, Role, need

MOST_FIELDS = 200


def desk_of(request: Request) -> Desk:
    """Return the desk that the pages work at."""
    desk: Desk = request.app.state.desk
    return desk


def person_of(request: Request) -> Person:
    """Return who asks."""
    person: Person = request.state.person
    return person


def at_least(role: Role) -> Callable[[Request], Person]:
    """Return a dependency that lets only people of a role, or above, pass."""

    def check(request: Request) -> Person:
        person = person_of(request)
        need(person, role)
        return person

    return check


async def read_form(request: Request) -> AsyncIterator[FormData]:
    """Return a form that one of our own pages sent; a file that it carries is closed at the end.

    Parameters
    ----------
    request : Request
        Its form carries the token that the page was given.

    Raises
    ------
    NotAllowedError
        If it carries none, or another.
    """
    async with request.form(max_files=1, max_fields=MOST_FIELDS) as form:
        token = form.get("csrf")
        if not isinstance(token, str) or not secrets.compare_digest(
            token.encode(), request.state.csrf.encode()
        ):
            raise NotAllowedError(
                "The form did not come from this page as it stands now. Load the page anew and "
                "send it once more."
            )
        yield form


Form: TypeAlias = Annotated[FormData, Depends(read_form)]
TheDesk: TypeAlias = Annotated[Desk, Depends(desk_of)]
Reader: TypeAlias = Annotated[Person, Depends(at_least(Role.READER))]
Gauger: TypeAlias = Annotated[Person, Depends(at_least(Role.GAUGER))]
Planner: TypeAlias = Annotated[Person, Depends(at_least(Role.PLANNER))]


def texts(form: FormData) -> dict[str, str]:
    """Return the fields of a form that are text, without the token."""
    return {key: value for key, value in form.items() if isinstance(value, str) and key != "csrf"}


def upload(form: FormData, field: str) -> UploadFile | None:
    """Return the file that a form carries; None if nobody chose one."""
    found = form.get(field)
    return found if isinstance(found, UploadFile) and found.filename else None


def said_wrong(error: HolewrightError, fields: Mapping[str, str]) -> dict[str, dict[str, object]]:
    """Return what is wrong by field, for the place beside it; what has no field is under ``form``.

    Parameters
    ----------
    error : HolewrightError
        The error.
    fields : mapping
        Fields of the form.
    """
    if not isinstance(error, InputError):
        return {"form": {"text": str(error), "readings": ()}}
    readings = error.readings if isinstance(error, AmbiguousError) else ()
    field = error.field if error.field in fields else "form"
    text = str(error) if field == "form" else f"{error.value}: {error.accepted}"
    return {field: {"text": text, "readings": readings}}
