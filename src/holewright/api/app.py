"""The API as one application. It is described at ``/api/v1/openapi.json``."""

from __future__ import annotations

from fastapi import FastAPI

from holewright.api import jobs, readings, session, shop_work, verdicts
from holewright.api.problems import add_handlers
from holewright.jobs.bench import software_version
from holewright.jobs.desk import Desk

PREFIX = "/api/v1"

_ABOUT = (
    "The same use cases as the pages. Lengths are in mm, whatever the unit of the print. Errors "
    "are problems of RFC 9457 with the members field, value, accepted and readings where a value "
    "can't be used. A request that changes something and is sent again under the same "
    "Idempotency-Key does nothing twice. Nothing here moves a machine."
)


def make_api(desk: Desk) -> FastAPI:
    """Return the API.

    Parameters
    ----------
    desk : Desk
        What it works with.
    """
    app = FastAPI(
        title="holewright",
        version=software_version(),
        description=_ABOUT,
        docs_url=None,  # both load their scripts from elsewhere
        redoc_url=None,
    )
    app.state.desk = desk
    for one in (session, jobs, readings, verdicts, shop_work):
        app.include_router(one.router)
    add_handlers(app)
    return app
