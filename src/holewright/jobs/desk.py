"""The desk that a door works at while it is open: the record book, the clock, who is let in."""

from __future__ import annotations

from dataclasses import dataclass

from holewright.errors import BookError
from holewright.jobs.access import Door, read_access
from holewright.jobs.bench import Bench, open_bench
from holewright.jobs.look_after_book import init_book, open_at
from holewright.jobs.serve_settings import ServeSettings
from holewright.jobs.sessions import Sessions
from holewright.records.sql import SqlBook


@dataclass(frozen=True)
class Desk:
    """What pages and API work with.

    Parameters
    ----------
    book : SqlBook
        The record book, open.
    bench : Bench
        Clock and versions.
    sessions : Sessions
        Who is signed in.
    door : Door
        Lets people in.
    """

    book: SqlBook
    bench: Bench
    sessions: Sessions
    door: Door


def open_desk(settings: ServeSettings) -> Desk:
    """Return the desk; a record book that isn't there yet is made.

    Parameters
    ----------
    settings : ServeSettings
        Which book, and where the passwords are.

    Raises
    ------
    BookError
        If the book can't be opened, or it is to be served to the network without a password.
    """
    access = read_access(settings.access)
    if settings.lan and not access.hashes:
        raise BookError(
            "To serve pages to the network takes a password. Set one first: "
            "holewright serve --set-password planner"
        )
    init_book(settings.book)
    return Desk(open_at(settings.book), open_bench(), Sessions(access.secret), Door(access))
