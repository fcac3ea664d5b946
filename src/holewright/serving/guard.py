"""Stands before pages and API: who asks, from where, how much, and what a browser may do."""

from __future__ import annotations

import ipaddress
import json
from functools import partial
from urllib.parse import quote, urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.requests import cookie_parser
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from holewright.jobs.keep_book import whoami
from holewright.jobs.people import Person, Role
from holewright.jobs.serve_settings import ServeSettings
from holewright.jobs.sessions import SHIFT_S, Session, Sessions

COOKIE = "holewright"

MOST_BYTES, MOST_UPLOAD_BYTES = 200_000, 5_000_000
"""Largest body of a request, and of one that carries a file. [byte]"""

_HERE = ("localhost", "127.0.0.1", "[::1]")
_OPEN = ("/static/", "/sign-in", "/api/v1/session", "/api/v1/openapi.json")
"""What may be asked for before anybody signs in."""

_SAFE = ("GET", "HEAD", "OPTIONS")
_POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; "
    "connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)


class _TooMuchError(Exception):
    """The body is larger than it may be."""


class Guard:
    """Lets through what may pass, as a layer of ASGI.

    Parameters
    ----------
    app : ASGI application
        Pages and API.
    sessions : Sessions
        Who is signed in.
    settings : ServeSettings
        Whether to this computer only, and under which names.
    """

    def __init__(self, app: ASGIApp, sessions: Sessions, settings: ServeSettings) -> None:
        self._app = app
        self._sessions = sessions
        self._settings = settings
        self._hosts = {*_HERE, *(host.lower() for host in settings.hosts)}

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer a request, or hand it on."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        headers = Headers(scope=scope)
        path: str = scope["path"]
        if not self._may_be_called(headers.get("host", "")):
            await _refuse(send, 421, "This is not an address of this holewright.", path)
            return
        if scope["method"] not in _SAFE and not _from_here(headers):
            await _refuse(send, 403, "The request came from a page of another site.", path)
            return
        session, note = self._session_of(headers)
        scope.setdefault("state", {}).update(
            person=session.person if session else None,
            session=session,
            csrf=session.csrf if session else "",
            by_cookie=session is not None and not note and "authorization" not in headers,
            signs_in=self._settings.lan,
            cookie_for=partial(session_cookie, tls=self._settings.tls),
        )
        if session is None and not path.startswith(_OPEN):
            await _ask_to_sign_in(send, scope["method"], path)
            return
        most = MOST_BYTES
        if headers.get("content-type", "").startswith("multipart/form-data"):
            most = MOST_UPLOAD_BYTES
        length = headers.get("content-length", "0")
        if not length.isdecimal() or int(length) > most:
            await _refuse(send, 413, f"More than {most:,} bytes are not taken.", path)
            return
        await self._pass_on(scope, receive, send, most, note)

    async def _pass_on(
        self, scope: Scope, receive: Receive, send: Send, most: int, note: str
    ) -> None:
        taken, over = 0, False

        async def counted() -> Message:
            nonlocal taken, over
            message = await receive()
            taken += len(message.get("body", b""))
            if taken > most:
                over = True
                raise _TooMuchError
            return message

        async def guarded(message: Message) -> None:
            if over:  # what the application makes of the cut-off body is of no interest
                return
            if message["type"] == "http.response.start":
                self._add_headers(MutableHeaders(scope=message), scope["path"], note)
            await send(message)

        try:
            await self._app(scope, counted, guarded)
        except Exception:
            if not over:
                raise
        if over:
            await _refuse(send, 413, f"More than {most:,} bytes are not taken.", scope["path"])

    def _may_be_called(self, host: str) -> bool:
        name = urlsplit(f"//{host}").netloc.rpartition(":")
        bare = (name[0] if name[0] and name[2].isdecimal() else host).lower()
        if bare in self._hosts:
            return True
        if not self._settings.lan:
            return False
        try:  # in a shop's network the tablet asks by number
            ipaddress.ip_address(bare.strip("[]"))
        except ValueError:
            return False
        return True

    def _session_of(self, headers: Headers) -> tuple[Session | None, str]:
        """Return the session of a request, and a note to give to the browser if there is news."""
        kind, _, bearer = headers.get("authorization", "").partition(" ")
        if kind.lower() == "bearer":
            return self._sessions.read(bearer.strip()), ""
        note = cookie_parser(headers.get("cookie", "")).get(COOKIE, "")
        session = self._sessions.read(note) if note else None
        if session is None and not self._settings.lan:
            return self._sessions.begin(Person(whoami(), Role.PLANNER))
        return session, ""

    def _add_headers(self, headers: MutableHeaders, path: str, note: str) -> None:
        headers.setdefault("content-security-policy", _POLICY)  # a sheet has a stricter one
        headers["x-content-type-options"] = "nosniff"
        headers["x-frame-options"] = "DENY"
        headers["referrer-policy"] = "same-origin"
        headers["cross-origin-opener-policy"] = "same-origin"
        headers["cross-origin-resource-policy"] = "same-origin"
        headers["permissions-policy"] = "camera=(), microphone=(), geolocation=()"
        if self._settings.tls:
            headers["strict-transport-security"] = "max-age=31536000"
        if path.startswith("/static/"):
            headers["cache-control"] = "public, max-age=31536000, immutable"
        else:
            headers.setdefault("cache-control", "no-store")
        if note and not path.startswith(("/static/", "/api/")):
            headers.append("set-cookie", session_cookie(note, tls=self._settings.tls))


def session_cookie(note: str, *, tls: bool) -> str:
    """Return the header that gives a browser its note; an empty one takes it away.

    Parameters
    ----------
    note : str
        The note.
    tls : bool
        Whether the connection is encrypted; the note then goes over no other.
    """
    age = SHIFT_S if note else 0
    secure = "; Secure" if tls else ""
    return f"{COOKIE}={note}; Path=/; Max-Age={age}; HttpOnly; SameSite=Lax{secure}"


def _from_here(headers: Headers) -> bool:
    """Return whether a browser says that a page of ours sent the request; others say nothing."""
    site = headers.get("sec-fetch-site")
    if site is not None and site not in ("same-origin", "none"):
        return False
    origin = headers.get("origin")
    return origin is None or urlsplit(origin).netloc.lower() == headers.get("host", "").lower()


async def _ask_to_sign_in(send: Send, method: str, path: str) -> None:
    if path.startswith("/api/") or method not in _SAFE:
        await _refuse(send, 401, "Sign in first.", path)
        return
    to = f"/sign-in?next={quote(path)}"
    await send(
        {
            "type": "http.response.start",
            "status": 303,
            "headers": [(b"location", to.encode()), (b"cache-control", b"no-store")],
        }
    )
    await send({"type": "http.response.body", "body": b""})


async def _refuse(send: Send, status: int, words: str, path: str) -> None:
    """Send a refusal: a problem of RFC 9457 to a program, a line to a person."""
    if path.startswith("/api/"):
        kind = b"application/problem+json"
        problem = {"type": "about:blank", "title": words, "status": status, "detail": words}
        body = json.dumps(problem).encode()
    else:
        kind, body = b"text/plain; charset=utf-8", f"{words}\n".encode()
    headers = [
        (b"content-type", kind),
        (b"content-length", str(len(body)).encode()),
        (b"content-security-policy", b"default-src 'none'"),
        (b"x-content-type-options", b"nosniff"),
        (b"cache-control", b"no-store"),
    ]
    await send({"type": "http.response.start", "status": status, "headers": headers})
    await send({"type": "http.response.body", "body": body})
