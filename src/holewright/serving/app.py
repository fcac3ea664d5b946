"""The one application that is served: pages, API, and the guard before both."""

from __future__ import annotations

from starlette.types import ASGIApp

from holewright.api.app import PREFIX, make_api
from holewright.jobs.desk import open_desk
from holewright.jobs.serve_settings import ServeSettings
from holewright.serving.guard import Guard
from holewright.web.app import make_pages


def make_app(settings: ServeSettings) -> ASGIApp:
    """Return the application.

    Parameters
    ----------
    settings : ServeSettings
        What to serve, and to whom.

    Raises
    ------
    BookError
        If the record book can't be opened, or no password is set to serve it to the network.
    """
    desk = open_desk(settings)
    pages = make_pages(desk, settings)
    pages.mount(PREFIX, make_api(desk))
    return Guard(pages, desk.sessions, settings)
