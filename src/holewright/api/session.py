"""A session for a program: sign in once, send the token with every request."""

from __future__ import annotations

from typing import Any

from fastapi import APIRouter, Request
from pydantic import BaseModel, ConfigDict, Field

from holewright.api.asked import Reader, TheDesk

router = APIRouter(prefix="/session", tags=["session"])


class SignIn(BaseModel):
    """A name, and the password of a role."""

    model_config = ConfigDict(extra="forbid", strict=True)

    name: str = Field(min_length=1, max_length=60, description="Written down with what it does.")
    password: str = Field(min_length=1, max_length=200)


@router.post("", status_code=201)
def sign_in(said: SignIn, request: Request, desk: TheDesk) -> dict[str, Any]:
    """Return a token, to be sent as ``Authorization: Bearer TOKEN``; it is good for a shift."""
    address = request.client.host if request.client else "unknown"
    person = desk.door.let_in(said.name, said.password, address)
    session, note = desk.sessions.begin(person)
    return {
        "document": "session",
        "token": note,
        "name": session.person.name,
        "role": str(session.person.role),
    }


@router.delete("", status_code=204)
def sign_out(request: Request, desk: TheDesk, person: Reader) -> None:
    """End the session."""
    desk.sessions.end(request.state.session)
