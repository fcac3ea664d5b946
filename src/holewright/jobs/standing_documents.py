"""How things stand at the gauge, and what to check next, as plain JSON data."""

from __future__ import annotations

from holewright.jobs.documents import Document, job_head
from holewright.jobs.job import Job
from holewright.jobs.next_question import Question, Standing


def standing_document(
    job: Job, where: str, stands: Standing, question: Question | None
) -> Document:
    """Return how things stand at the gauge, and what is to be checked next."""
    return job_head("standing", job) | {
        "where": where,
        "checked": stands.checked,
        "good": stands.good,
        "bad": stands.bad,
        "unsure": stands.unsure,
        "inside_lower": stands.inside_lower,
        "enough": stands.enough,
        "text": stands.text,
        "next": None
        if question is None
        else {
            "hole": question.hole,
            "gauge": question.gauge,
            "use": question.use,
            "why": question.why,
        },
    }
