"""What the readings allow to say, a verdict written down, a release, and why a number is so."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated, Any

from fastapi import APIRouter, Query
from pydantic import BaseModel, ConfigDict, Field

from holewright.api.asked import Planner, Reader, TheDesk
from holewright.jobs.documents import head
from holewright.jobs.explain import explain_number, names_of
from holewright.jobs.judge_run import (
    back_on_trial,
    judge_now,
    keep_verdict,
    put_on_hold,
    release,
)
from holewright.jobs.kept_jobs import open_job
from holewright.jobs.proof_documents import estimate_document, verdict_document
from holewright.jobs.settings_at import taken_point
from holewright.records.entries import EstimateEntry, VerdictEntry

router = APIRouter(prefix="/jobs/{job_id}", tags=["verdicts"])

Run = Annotated[str, Query(max_length=80, description="Name of a run; empty: all readings.")]
Lot = Annotated[int | None, Query(ge=1, le=10_000_000, description="Holes in the lot.")]


class Judge(BaseModel):
    """Which readings to judge, and of how many holes."""

    model_config = ConfigDict(extra="forbid", strict=True)

    run: str = Field("", max_length=80)
    lot: int | None = Field(None, ge=1, le=10_000_000)


class Step(StrEnum):
    """Where a person can move a job."""

    RELEASE = "release"
    HOLD = "hold"
    TRIAL = "trial"


class Move(Judge):
    """A release, a hold, or back on trial."""

    to: Annotated[Step, Field(strict=False)]
    why: str = Field("", max_length=500, description="Must be said for a hold and a trial.")


@router.get("/estimate")
def estimate(job_id: int, desk: TheDesk, person: Reader, run: Run = "") -> dict[str, Any]:
    """Return the size that came. Nothing is written down."""
    kept = open_job(desk.book, job_id)
    return estimate_document(
        kept.job, judge_now(desk.book, kept, run=run, bench=desk.bench).estimate
    )


@router.get("/verdict")
def verdict(
    job_id: int, desk: TheDesk, person: Reader, run: Run = "", lot: Lot = None
) -> dict[str, Any]:
    """Return what the readings allow to say. Nothing is written down."""
    kept = open_job(desk.book, job_id)
    return verdict_document(
        kept.job, judge_now(desk.book, kept, run=run, lot=lot, bench=desk.bench).verdict
    )


@router.post("/verdict", status_code=201)
def keep(job_id: int, said: Judge, desk: TheDesk, person: Planner) -> dict[str, Any]:
    """Write a verdict down, with the readings that it was made of."""
    kept = open_job(desk.book, job_id)
    saved = keep_verdict(
        desk.book, kept, run=said.run, lot=said.lot, bench=desk.bench, by=person.name
    )
    return verdict_document(kept.job, saved.entry.verdict) | {"id": saved.id}


@router.post("/stage", status_code=201)
def move(job_id: int, said: Move, desk: TheDesk, person: Planner) -> dict[str, Any]:
    """Release a job, put it on hold, or back on trial. A person does that; no verdict does."""
    kept = open_job(desk.book, job_id)
    if said.to is Step.RELEASE:
        release(desk.book, kept, run=said.run, lot=said.lot, bench=desk.bench, by=person.name)
    else:
        act = put_on_hold if said.to is Step.HOLD else back_on_trial
        act(desk.book, kept, why=said.why, bench=desk.bench, by=person.name)
    return head("stage") | {"job": job_id, "stage": str(open_job(desk.book, job_id).stage)}


@router.get("/why/{name}")
def why(job_id: int, name: str, desk: TheDesk, person: Reader) -> dict[str, Any]:
    """Return why a number is what it is: formula, inputs with their tags, source."""
    kept = open_job(desk.book, job_id)
    saved = desk.book.last(EstimateEntry, revision_id=kept.revision.id)
    judged = desk.book.last(VerdictEntry, estimate_id=saved.id) if saved else None
    found = explain_number(
        name[:60],
        job=kept.job,
        plan=kept.plan,
        point=taken_point(kept),
        estimate=saved.entry.estimate if saved else None,
        verdict=judged.entry.verdict if judged else None,
    )
    return head("why") | {
        "name": found.name,
        "what": found.what,
        "formula": found.formula,
        "value": found.value,
        "unit": found.unit,
        "inputs": [
            {
                "name": name,
                "value": known.value,
                "u": known.u,
                "tag": str(known.tag),
                "source": known.source,
            }
            for name, known in found.inputs
        ],
        "source": found.source,
        "names": list(names_of()),
    }
