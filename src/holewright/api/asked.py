"""Who asks through the API, and whether the request may change something."""

from __future__ import annotations

import secrets
from collections.abc import Callable
from typing import Annotated, TypeAlias

from fastapi import Depends, Request

from holewright.errors import NotAllowedError
from holewright.jobs.desk import Desk
from holewright.jobs.people import Person, Role, need

TOKEN = "x-csrf-token"
"""Header that a page of ours sends with every request that changes something."""


def _desk(request: Request) -> Desk:
    desk: Desk = request.app.state.desk
    return desk


def at_least(role: Role) -> Callable[[Request], Person]:
    """Return a dependency that lets only people of a role, or above, pass.

    Parameters
    ----------
    role : Role
        The role.
    """

    def check(request: Request) -> Person:
        person: Person = request.state.person
        need(person, role)
        if request.method not in ("GET", "HEAD") and request.state.by_cookie:
            token = request.headers.get(TOKEN, "")
            if not secrets.compare_digest(token.encode(), request.state.csrf.encode()):
                raise NotAllowedError("The page is out of date: load it anew.")
        return person

    return check


TheDesk: TypeAlias = Annotated[Desk, Depends(_desk)]
Reader: TypeAlias = Annotated[Person, Depends(at_least(Role.READER))]
Gauger: TypeAlias = Annotated[Person, Depends(at_least(Role.GAUGER))]
Planner: TypeAlias = Annotated[Person, Depends(at_least(Role.PLANNER))]
