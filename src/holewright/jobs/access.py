"""The shop's passwords: one for each role, kept as argon2 hashes, and a limit on wrong tries."""

from __future__ import annotations

import json
import os
import secrets
import threading
import time
from collections import OrderedDict, deque
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path

import platformdirs

from holewright.errors import BookError, InputError, NotAllowedError
from holewright.jobs.people import Person, Role

VARIABLE = "HOLEWRIGHT_ACCESS"
"""Environment variable that names the file of the passwords."""

SHORTEST, LONGEST = 8, 200
"""Characters of a password. [-]"""

TRIES, TRIES_OF_ALL = 5, 60
"""Wrong passwords that one address, and all together, may give within :data:`WITHIN_S`. [-]"""

WITHIN_S = 300.0
_ADDRESSES = 4096
"""Addresses remembered; beyond that the oldest is forgotten. [-]"""


def access_file(chosen: str | None = None, environment: Mapping[str, str] = os.environ) -> Path:
    """Return the file that holds the passwords.

    Parameters
    ----------
    chosen : str, optional
        File that the person gave; it wins over the environment.
    environment : mapping
        Holds ``HOLEWRIGHT_ACCESS``, perhaps. Without either, it is in the user's own folder.
    """
    text = chosen or environment.get(VARIABLE)
    if text:
        return Path(text).expanduser()
    return Path(platformdirs.user_config_dir("holewright", appauthor=False)) / "access.json"


@dataclass(frozen=True)
class Access:
    """What the file holds.

    Parameters
    ----------
    secret : str
        Signs the sessions.
    hashes : mapping
        Role -> argon2 hash of its password.
    """

    secret: str
    hashes: Mapping[Role, str] = field(default_factory=dict)


def read_access(path: Path) -> Access:
    """Return what the file holds; it is made, without passwords, where there is none.

    Parameters
    ----------
    path : Path
        The file.

    Raises
    ------
    BookError
        If it can't be read or isn't such a file.
    """
    if not path.exists():
        fresh = Access(secrets.token_urlsafe(32))
        _write(path, fresh)
        return fresh
    try:
        data = json.loads(path.read_text("utf-8"))
        hashes = {Role(role): str(one) for role, one in data["passwords"].items()}
        return Access(str(data["secret"]), hashes)
    except (OSError, ValueError, KeyError, TypeError, AttributeError):
        raise BookError(
            f"The file of the passwords, {path}, can't be read. Move it away, then set them anew: "
            "holewright serve --set-password planner"
        ) from None


def _write(path: Path, access: Access) -> None:
    data = {
        "secret": access.secret,
        "passwords": {str(role): one for role, one in access.hashes.items()},
    }
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        new = path.with_name(f"{path.name}.{secrets.token_hex(4)}")
        # Only its owner may read it, from its first byte on.
        with os.fdopen(os.open(new, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "w") as file:
            json.dump(data, file, indent=1)
        new.replace(path)
    except OSError as error:
        raise BookError(f"The file of the passwords, {path}, can't be written: {error}") from None


def set_password(path: Path, role: Role, password: str) -> None:
    """Set the password of a role; everybody who is signed in signs in anew.

    Parameters
    ----------
    path : Path
        The file.
    role : Role
        The role.
    password : str
        Its password.

    Raises
    ------
    InputError
        If it is too short or too long, or another role has the same.
    """
    if not SHORTEST <= len(password) <= LONGEST:
        raise InputError(
            "password", "as given", f"must have from {SHORTEST} to {LONGEST} characters"
        )
    access = read_access(path)
    for other, known in access.hashes.items():
        if other is not role and _fits(known, password):
            raise InputError("password", "as given", f"is that of the {other}; take another")
    from argon2 import PasswordHasher

    hashes = {**access.hashes, role: PasswordHasher().hash(password)}
    _write(path, Access(secrets.token_urlsafe(32), hashes))


def _fits(known: str, password: str) -> bool:
    from argon2 import PasswordHasher
    from argon2.exceptions import InvalidHashError, VerificationError

    try:
        return PasswordHasher().verify(known, password)
    except (VerificationError, InvalidHashError):
        return False


class TooManyTriesError(NotAllowedError):
    """Too many wrong passwords came from there; the message says how long to wait.

    Parameters
    ----------
    wait_s : float
        Seconds until the next try.
    """

    def __init__(self, wait_s: float) -> None:
        self.wait_s = max(1, round(wait_s))
        super().__init__(f"Too many wrong passwords. Try again in {self.wait_s} seconds.")


class Tries:
    """Wrong tries of late, by address and of all together.

    Parameters
    ----------
    clock : callable
        Returns seconds that never go back.
    """

    def __init__(self, clock: Callable[[], float] = time.monotonic) -> None:
        self._clock = clock
        self._of_all: deque[float] = deque(maxlen=TRIES_OF_ALL)
        self._by_address: OrderedDict[str, deque[float]] = OrderedDict()
        self._lock = threading.Lock()

    def take(self, address: str) -> None:
        """Count a try that is about to be made, as wrong until :meth:`forget` says otherwise.

        Raises
        ------
        TooManyTriesError
            If there were too many already. This one isn't made, then.
        """
        with self._lock:
            now = self._clock()
            own = self._by_address.setdefault(address, deque(maxlen=TRIES))
            self._by_address.move_to_end(address)
            for tries in (own, self._of_all):
                if len(tries) == tries.maxlen and now - tries[0] < WITHIN_S:
                    raise TooManyTriesError(WITHIN_S - (now - tries[0]))
            own.append(now)
            self._of_all.append(now)
            while len(self._by_address) > _ADDRESSES:
                self._by_address.popitem(last=False)

    def forget(self, address: str) -> None:
        """Forget the wrong tries of an address: the right password came."""
        with self._lock:
            own = self._by_address.pop(address, None)
            if own and self._of_all and self._of_all[-1] == own[-1]:
                self._of_all.pop()


class Door:
    """Lets people in by the password of a role.

    Parameters
    ----------
    access : Access
        The passwords.
    tries : Tries, optional
        Counts the wrong ones.
    """

    def __init__(self, access: Access, tries: Tries | None = None) -> None:
        self._access = access
        self._tries = tries or Tries()
        self._one_at_a_time = threading.Lock()

    def let_in(self, name: str, password: str, address: str) -> Person:
        """Return who comes in.

        Parameters
        ----------
        name : str
            Name or initials, to be written down with what they do.
        password : str
            Password of a role.
        address : str
            Where they come from.

        Raises
        ------
        InputError
            If the name can't be written down.
        TooManyTriesError
            If too many wrong passwords came from there.
        NotAllowedError
            If it is the password of no role.
        """
        name = " ".join(name.split())
        if not name or len(name) > 60 or not name.isprintable():
            raise InputError("name", name[:60] or "blank", "must be a name or initials")
        self._tries.take(address)
        # A hash takes tens of milliseconds and much memory, on purpose: one at a time.
        with self._one_at_a_time:
            fits = [
                role
                for role, known in self._access.hashes.items()
                if len(password) <= LONGEST and _fits(known, password)
            ]
        if not fits:
            raise NotAllowedError("This is no password of the shop.")
        self._tries.forget(address)
        return Person(name, fits[0])
