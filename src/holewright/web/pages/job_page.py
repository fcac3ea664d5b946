"""What all pages of one job share: its head, its steps, its zone strip."""

from __future__ import annotations

from typing import Any

from fastapi import Request
from fastapi.responses import HTMLResponse

from holewright.gauging.estimate import Estimate
from holewright.jobs.kept_jobs import KeptJob
from holewright.records.entries import EstimateEntry
from holewright.web import pictures
from holewright.web.forms import desk_of
from holewright.web.render import page, shown_unit

STEPS = (
    ("Callout", "callout"),
    ("Route", "route"),
    ("Window", "window"),
    ("Program", "program"),
    ("Plate", "plate"),
    ("Gauge", "gauge"),
    ("Verdict", "verdict"),
    ("Life", "life"),
    ("Fault finding", "faults"),
)
"""Steps of a job, in the order in which the data goes through the house."""


def job_page(
    request: Request,
    kept: KeptJob,
    step: str,
    template: str,
    *,
    estimate: Estimate | None = None,
    status: int = 200,
    **parts: Any,
) -> HTMLResponse:
    """Return a page of a job.

    Parameters
    ----------
    request : Request
        What was asked.
    kept : KeptJob
        The job.
    step : str
        Step whose page it is.
    template : str
        Name of the template.
    estimate : Estimate, optional
        The size that came, for the zone strip; without it the last one in the book.
    status : int
        Status of the answer.
    **parts : object
        What the template shows.
    """
    if estimate is None:
        book = desk_of(request).book
        saved = book.last(EstimateEntry, revision_id=kept.revision.id)
        estimate = saved.entry.estimate if saved else None
    unit = shown_unit(request, kept.job.unit)
    return page(
        request,
        template,
        unit=kept.job.unit,
        status=status,
        kept=kept,
        step=step,
        steps=STEPS,
        estimate=estimate,
        strip=pictures.job_strip(kept.job, unit, kept.plan, estimate),
        **parts,
    )
