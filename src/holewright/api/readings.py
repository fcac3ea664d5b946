"""Readings: what is asked at the gauge, an answer, and taking it back."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Header, Query
from pydantic import BaseModel, ConfigDict, Field

from holewright.api.asked import Gauger, Reader, TheDesk
from holewright.gauging.reading import Reading
from holewright.jobs.gauge_documents import answer_document, sheet_document
from holewright.jobs.gauge_holes import (
    TARGET,
    current_run,
    gauge_sheet,
    take_answer,
    take_back,
)
from holewright.jobs.kept_jobs import open_job
from holewright.records.entry import new_key

router = APIRouter(prefix="/jobs/{job_id}", tags=["readings"])

Run = Annotated[
    str, Query(max_length=80, description="Name of the run; empty: the one to go on with.")
]
Warmth = Annotated[
    float | None, Query(ge=-20, le=80, description="Temperature; by default the job's. [°C]")
]
Key = Annotated[
    str | None,
    Header(
        alias="Idempotency-Key",
        max_length=64,
        pattern=r"^[\x21-\x7e]+$",
        description="Name of the request, of the sender's making: sent again, it does nothing.",
    ),
]


class Answer(BaseModel):
    """What a pin or gauge said at a hole."""

    model_config = ConfigDict(extra="forbid", strict=True)

    hole: str = Field(min_length=1, max_length=40, description="Part and hole, such as 3-2.")
    gauge: str = Field(min_length=1, max_length=80, description="Its id in the tool room.")
    goes: bool | None = Field(None, description="For a pin: whether it went.")
    size_mm: float | None = Field(None, description="For a bore gauge: what it read. [mm]")
    depth_mm: float | None = Field(None, description="Depth of the check; null: full. [mm]")
    part_c: float = Field(20.0, description="Temperature of the part. [°C]")
    gauge_c: float = Field(20.0, description="Temperature of the gauge. [°C]")
    note: str = Field("", max_length=300)
    run: str = Field("", max_length=80, description="Empty: the run to go on with.")


@router.get("/gauge")
def sheet(
    job_id: int,
    desk: TheDesk,
    person: Reader,
    run: Run = "",
    target: Annotated[int, Query(ge=1, le=5000, description="Holes to gauge.")] = TARGET,
    part_c: Warmth = None,
    gauge_c: Warmth = None,
) -> dict[str, Any]:
    """Return what was asked at the gauge in a run, and what is next."""
    kept = open_job(desk.book, job_id)
    found = gauge_sheet(
        desk.book,
        kept,
        run or current_run(desk.book, kept),
        target=target,
        part_c=part_c,
        gauge_c=gauge_c,
    )
    return sheet_document(kept, found)


@router.post("/readings", status_code=201)
def answer(
    job_id: int, said: Answer, desk: TheDesk, person: Gauger, key: Key = None
) -> dict[str, Any]:
    """Write one answer down. When this is answered with 201, it is saved."""
    kept = open_job(desk.book, job_id)
    run = said.run or current_run(desk.book, kept)
    reading = Reading(
        hole=said.hole,
        gauge=said.gauge,
        goes=said.goes,
        size=said.size_mm,
        depth=said.depth_mm,
        part_c=said.part_c,
        gauge_c=said.gauge_c,
        note=said.note,
    )
    saved = take_answer(
        desk.book,
        kept,
        reading,
        run=run,
        key=key or new_key(),
        bench=desk.bench,
        by=person.name,
    )
    return answer_document(kept, saved, gauge_sheet(desk.book, kept, run))


@router.post("/readings/{reading_id}/taken-back", status_code=201)
def back(
    job_id: int, reading_id: int, desk: TheDesk, person: Gauger, key: Key = None
) -> dict[str, Any]:
    """Take an answer back. It stays in the book as taken back."""
    kept = open_job(desk.book, job_id)
    saved = take_back(
        desk.book, kept, reading_id, key=key or new_key(), bench=desk.bench, by=person.name
    )
    return {"document": "taken back", "id": saved.id, "takes_back": reading_id}
