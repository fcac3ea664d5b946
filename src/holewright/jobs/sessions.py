"""Who is signed in: a signed note that the browser keeps, and the token that guards forms."""

from __future__ import annotations

import hashlib
import hmac
import secrets
import threading
from collections import OrderedDict
from dataclasses import dataclass

from itsdangerous import BadSignature, URLSafeTimedSerializer

from holewright.jobs.people import Person, Role

SHIFT_S = 12 * 3600
"""How long somebody stays signed in. [s]"""

_SIGNED_OUT = 4096
"""Signed-out sessions remembered, until their time is over anyway. [-]"""


@dataclass(frozen=True)
class Session:
    """Somebody who is signed in.

    Parameters
    ----------
    id : str
        Its own name.
    person : Person
        Who.
    csrf : str
        What a form of theirs must carry.
    """

    id: str
    person: Person
    csrf: str


class Sessions:
    """Writes and reads the notes.

    Parameters
    ----------
    secret : str
        Signs them.
    """

    def __init__(self, secret: str) -> None:
        self._secret = secret.encode()
        self._notes = URLSafeTimedSerializer(
            secret, salt="holewright session", signer_kwargs={"digest_method": hashlib.sha256}
        )
        self._out: OrderedDict[str, None] = OrderedDict()
        self._lock = threading.Lock()

    def _session(self, id: str, person: Person) -> Session:
        csrf = hmac.new(self._secret, f"form {id}".encode(), hashlib.sha256).hexdigest()
        return Session(id, person, csrf)

    def begin(self, person: Person) -> tuple[Session, str]:
        """Return a new session, and the note for the browser.

        Parameters
        ----------
        person : Person
            Who is signed in.
        """
        session = self._session(secrets.token_urlsafe(18), person)
        data = {"id": session.id, "name": person.name, "role": str(person.role)}
        return session, str(self._notes.dumps(data))

    def read(self, note: str) -> Session | None:
        """Return the session of a note; None if it isn't ours, is too old or was ended.

        Parameters
        ----------
        note : str
            What the browser sent.
        """
        try:
            data = self._notes.loads(note, max_age=SHIFT_S)
            session = self._session(data["id"], Person(data["name"], Role(data["role"])))
        except (BadSignature, KeyError, TypeError, ValueError):
            return None
        with self._lock:
            return None if session.id in self._out else session

    def end(self, session: Session) -> None:
        """End a session: its note is good no longer, whoever has a copy.

        Parameters
        ----------
        session : Session
            The session.
        """
        with self._lock:
            self._out[session.id] = None
            while len(self._out) > _SIGNED_OUT:
                self._out.popitem(last=False)
