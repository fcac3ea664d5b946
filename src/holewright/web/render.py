"""Fills the templates of the pages; every text is escaped, only pictures of ours are not."""

from __future__ import annotations

from functools import cache
from typing import Any

from fastapi import Request
from fastapi.responses import HTMLResponse
from jinja2 import Environment, PackageLoader, StrictUndefined

from holewright.jobs.bench import software_version
from holewright.jobs.people import Role
from holewright.sheets.words import source_words
from holewright.units import Unit
from holewright.web.shown import Shown, figures, percent, seconds

UNIT_COOKIE = "unit"
_YEAR = 31_536_000
"""How long a tablet remembers its unit. [s]"""


@cache
def environment() -> Environment:
    """Return the environment of the templates."""
    found = Environment(
        loader=PackageLoader("holewright", "web/templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    found.filters |= {
        "percent": percent,
        "seconds": seconds,
        "figures": figures,
        "source_words": source_words,
    }
    found.globals["version"] = software_version()
    return found


def shown_unit(request: Request, usual: Unit = Unit.MM) -> Unit:
    """Return the unit that comes first on a page.

    Parameters
    ----------
    request : Request
        It may say ``?unit=in``, and its cookie what was chosen before.
    usual : Unit
        That of the print, where nobody chose.
    """
    wanted = request.query_params.get("unit") or request.cookies.get(UNIT_COOKIE) or ""
    return Unit(wanted) if wanted in {str(unit) for unit in Unit} else usual


def page(
    request: Request, template: str, *, unit: Unit = Unit.MM, status: int = 200, **parts: Any
) -> HTMLResponse:
    """Return a page.

    Parameters
    ----------
    request : Request
        What was asked.
    template : str
        Name of the template, never from outside.
    unit : Unit
        Unit of the print.
    status : int
        Status of the answer.
    **parts : object
        What the template shows.
    """
    first = shown_unit(request, unit)
    person = request.state.person
    text = (
        environment()
        .get_template(template)
        .render(
            request=request,
            path=request.url.path,
            person=person,
            may_gauge=person is not None and person.may(Role.GAUGER),
            may_plan=person is not None and person.may(Role.PLANNER),
            signs_in=request.state.signs_in,
            csrf=request.state.csrf,
            q=Shown(first),
            unit=first,
            **parts,
        )
    )
    response = HTMLResponse(text, status_code=status)
    if request.query_params.get("unit") == str(first):
        response.set_cookie(UNIT_COOKIE, str(first), max_age=_YEAR, samesite="lax", httponly=True)
    return response
