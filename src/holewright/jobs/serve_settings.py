"""How pages are to be served."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True)
class ServeSettings:
    """How pages are to be served.

    Parameters
    ----------
    book : str, optional
        File or URL of the record book; None: the usual one.
    access : Path
        File of the passwords.
    lan : bool
        Whether to the network, with a password; otherwise to this computer only, without.
    hosts : tuple of str
        Names under which browsers may ask, beside this computer's own.
    tls : bool
        Whether the connection is encrypted.
    """

    access: Path
    book: str | None = None
    lan: bool = False
    hosts: tuple[str, ...] = ()
    tls: bool = False
