"""What every entry of the record book has."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import ClassVar
from uuid import uuid4


def new_key() -> str:
    """Return a key that no other entry has, in this book or any other."""
    return uuid4().hex


@dataclass(frozen=True, kw_only=True)
class Entry:
    """What every entry has.

    Parameters
    ----------
    at : datetime
        When it was made, with its time zone.
    by : str
        Who made it.
    key : str
        Its own name across all books, up to 64 characters. A request that is sent again sends
        the same key, and so does not write a second entry.
    """

    NAME: ClassVar[str]
    """Name of the kind, and of its table."""
    REFERS: ClassVar[Mapping[str, str]] = {}
    """Field that holds an id -> name of the kind that it is the id of."""
    UNIQUE: ClassVar[tuple[str, ...]] = ()
    """Fields that only one entry may have so."""
    CHANGES: ClassVar[bool] = False
    """Whether the entry may change."""

    at: datetime
    by: str
    key: str = field(default_factory=new_key)
