"""Life of the reamer, test plates, fault finding, the program read back, and the tool room."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Query
from pydantic import BaseModel, ConfigDict, Field

from holewright.api.asked import Gauger, Planner, Reader, TheDesk
from holewright.errors import InputError
from holewright.jobs.back_plot import read_back_job
from holewright.jobs.documents import head
from holewright.jobs.fault_checks import Check
from holewright.jobs.fault_documents import finding_document
from holewright.jobs.find_fault import find_fault
from holewright.jobs.keep_cases import cases_in
from holewright.jobs.keep_readings import holding_readings
from holewright.jobs.kept_jobs import open_job
from holewright.jobs.kept_life import change_tool, lives_of
from holewright.jobs.kept_plates import plate_for
from holewright.jobs.life_documents import life_document
from holewright.jobs.plate_documents import plate_document
from holewright.jobs.program_documents import backplot_document, time_document
from holewright.jobs.tool_forms import add_tool, fields_of, size_of, tool_rows_of
from holewright.records.tool_entries import ToolKind

router = APIRouter()


class Change(BaseModel):
    """A reamer taken out, and the one put in."""

    model_config = ConfigDict(extra="forbid", strict=True)

    put_in: str = Field(max_length=200, description="The reamer put in, by its name.")
    why: str = Field(max_length=500)
    worn: bool = Field(False, description="Whether the old one is used up.")


class PlateAsked(BaseModel):
    """What a test plate is to vary."""

    model_config = ConfigDict(extra="forbid", strict=True)

    vary: str = Field("", max_length=1200, description="A factor with its levels on each line.")
    order: str = Field("", max_length=20, description="blocks, rows or random.")
    a_row: str = Field("", max_length=3, description="Holes a row; empty: as many as it takes.")
    see: str = Field("", max_length=40, description="Difference to be seen, such as 3 µm.")


class Seen(BaseModel):
    """What is wrong with the hole, and what was tested so far."""

    model_config = ConfigDict(extra="forbid", strict=True)

    seen: list[str] = Field(max_length=24, description="Codes or names of what is seen.")
    answers: str = Field("", max_length=2000, description="test=answer, parted by commas.")


class ToolSaid(BaseModel):
    """A tool by named fields, each as a person writes it."""

    model_config = ConfigDict(extra="forbid", strict=True)

    fields: dict[str, str] = Field(max_length=60)


@router.get("/jobs/{job_id}/life", tags=["life"])
def life(
    job_id: int,
    desk: TheDesk,
    person: Reader,
    next_holes: Annotated[int | None, Query(ge=1, le=10_000_000)] = None,
) -> dict[str, Any]:
    """Return size against holes cut, when to change, and what the next run risks."""
    kept = open_job(desk.book, job_id)
    return life_document(lives_of(desk.book, kept, next_holes=next_holes))


@router.post("/jobs/{job_id}/tool-changes", status_code=201, tags=["life"])
def tool_changed(job_id: int, said: Change, desk: TheDesk, person: Gauger) -> dict[str, Any]:
    """Write down that the reamer was changed; the run with the new one begins."""
    kept = open_job(desk.book, job_id)
    run = change_tool(
        desk.book,
        kept,
        put_in=said.put_in,
        why=said.why,
        worn=said.worn,
        bench=desk.bench,
        by=person.name,
    )
    return head("tool change") | {"job": kept.id, "run": run.entry.name, "put_in": said.put_in}


@router.post("/jobs/{job_id}/plate", tags=["plate"])
def plate(job_id: int, asked: PlateAsked, desk: TheDesk, person: Reader) -> dict[str, Any]:
    """Return a test plate laid out. Nothing is written down."""
    kept = open_job(desk.book, job_id)
    paths: dict[str, str | None] = dict.fromkeys(("program", "sheet", "results"))
    return plate_document(plate_for(kept, asked.model_dump()), paths)


@router.post("/jobs/{job_id}/finding", tags=["fault finding"])
def finding(job_id: int, said: Seen, desk: TheDesk, person: Reader) -> dict[str, Any]:
    """Return what causes it, in order, and the test that tells most. Nothing is written down."""
    kept = open_job(desk.book, job_id)
    readings = holding_readings(desk.book, kept.revision)
    checks = [Check(r.entry.reading, by=r.entry.by) for r in readings if r.entry.reading]
    found = find_fault(
        kept.job, said.seen, checks=checks, answers=said.answers, cases=cases_in(desk.book)
    )
    return finding_document(kept.job, found)


@router.get("/jobs/{job_id}/backplot", tags=["program"])
def backplot(job_id: int, desk: TheDesk, person: Reader) -> dict[str, Any]:
    """Return the program as its own text reads: tools, holes, depths, feeds, clashes."""
    kept = open_job(desk.book, job_id)
    return backplot_document(read_back_job([(kept.job, kept.plan)]), None)


@router.get("/jobs/{job_id}/time", tags=["program"])
def time(job_id: int, desk: TheDesk, person: Reader) -> dict[str, Any]:
    """Return where the time of a part goes."""
    kept = open_job(desk.book, job_id)
    return time_document(read_back_job([(kept.job, kept.plan)]))


def _kind(word: str) -> ToolKind:
    try:
        return ToolKind(word)
    except ValueError:
        known = ", ".join(ToolKind)
        raise InputError("kind", word[:40], f"must be one of {known}") from None


@router.get("/tools/{kind}", tags=["tool room"])
def tools(
    kind: str,
    desk: TheDesk,
    person: Reader,
    near_mm: Annotated[float | None, Query(gt=0, le=500, description="Those nearest. [mm]")] = None,
) -> dict[str, Any]:
    """Return tools of a kind, up to sixty, and the fields that such a tool has."""
    rows, count = tool_rows_of(desk.book, _kind(kind), near=near_mm, bench=desk.bench)
    return head("tools") | {
        "kind": kind,
        "count": count,
        "fields": list(fields_of(_kind(kind))),
        "tools": [
            {
                "id": row.saved.id,
                "name": row.saved.entry.name,
                "size_mm": size_of(row.tool),
                "measured": row.measured is not None,
                "overdue": row.overdue,
            }
            for row in rows
        ],
    }


@router.post("/tools/{kind}", status_code=201, tags=["tool room"])
def new_tool(kind: str, said: ToolSaid, desk: TheDesk, person: Planner) -> dict[str, Any]:
    """Write a tool down."""
    try:
        tool = add_tool(desk.book, _kind(kind), said.fields, bench=desk.bench, by=person.name)
    except InputError as error:
        # "id" alone names what an address asks for, and would be answered with "not found".
        raise InputError(f"fields.{error.field}", error.value, error.accepted) from error
    return head("tool") | {"kind": kind, "name": tool.id, "size_mm": size_of(tool)}
