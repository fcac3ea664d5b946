"""Why numbers are what they are, as plain JSON data, and all that can be asked of a plan."""

from __future__ import annotations

import math
from collections.abc import Sequence

from holewright.errors import NoAnswerError
from holewright.jobs.documents import Document, job_head
from holewright.jobs.explain import ROUTE_NAMES, explain_number, names_of
from holewright.jobs.job import Job
from holewright.jobs.plan_hole import study_job
from holewright.planning.explanation import Explanation

EVERYTHING = "all"


def why(job: Job, name: str) -> tuple[Explanation, ...]:
    """Return why a number of the plan is what it is; with ``all``, every number there is.

    Parameters
    ----------
    job : Job
        The job.
    name : str
        What is asked for.

    Raises
    ------
    InputError
        If there is no such number.
    NoAnswerError
        If it belongs to something that this plan doesn't have.
    """
    study = study_job(job)
    if name != EVERYTHING:
        return (explain_number(name, job=job, plan=study.plan, point=study.point),)
    found = []
    for one in (*ROUTE_NAMES, *(n for n in names_of() if n not in ROUTE_NAMES)):
        try:
            found.append(explain_number(one, job=job, plan=study.plan, point=study.point))
        except NoAnswerError:
            continue
    return tuple(found)


def why_document(job: Job, explained: Sequence[Explanation]) -> Document:
    """Return explanations as JSON data."""
    return job_head("why", job) | {
        "numbers": [
            {
                "name": one.name,
                "what": one.what,
                "formula": one.formula,
                "value": one.value if math.isfinite(one.value) else None,
                "unit": one.unit,
                "inputs": [
                    {
                        "name": name,
                        "value": known.value if math.isfinite(known.value) else None,
                        "u": known.u if math.isfinite(known.u) else None,
                        "tag": str(known.tag),
                        "source": known.source,
                    }
                    for name, known in one.inputs
                ],
                "source": one.source,
            }
            for one in explained
        ],
    }
