"""Jobs: the shop floor, a new job, a changed one, its plan, window and program."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Query
from pydantic import BaseModel, ConfigDict, Field

from holewright.api.asked import Planner, Reader, TheDesk
from holewright.jobs.documents import (
    callout_data,
    head,
    limits_document,
    plan_document,
    program_document,
    reason_data,
)
from holewright.jobs.job_form import TABLE_OF, said_in
from holewright.jobs.kept_jobs import KeptJob, change_job, new_job, open_job, program_of, take_plan
from holewright.jobs.read_limits import read_limits
from holewright.jobs.settings_at import setting_at, window_for
from holewright.jobs.shop_floor import PAGE, floor_rows
from holewright.sheets.window_svg import name_of
from holewright.units import Unit

router = APIRouter(tags=["jobs"])

_FIELDS = ", ".join(TABLE_OF)


class JobFields(BaseModel):
    """A job by named fields, each as a person writes it."""

    model_config = ConfigDict(extra="forbid", strict=True)

    fields: dict[str, str] = Field(
        description=f"Any of: {_FIELDS}. callout and material must be there.", max_length=60
    )


class JobChange(JobFields):
    """All fields of a job as they are to be, and which revision they were made from."""

    base: int = Field(description="Number of the revision that the change was made on.")
    why: str = Field("", max_length=500)


class Setting(BaseModel):
    """A speed and a feed to go on with; both null: those of the plan."""

    model_config = ConfigDict(extra="forbid", strict=True)

    v_c_m_min: float | None = Field(None, gt=0, description="Cutting speed. [m/min]")
    f_mm_rev: float | None = Field(None, gt=0, description="Feed. [mm/rev]")


Speed = Annotated[float | None, Query(gt=0, description="Cutting speed. [m/min]")]
Feed = Annotated[float | None, Query(gt=0, description="Feed. [mm/rev]")]


@router.get("/limits")
def limits(
    person: Reader,
    callout: Annotated[str, Query(max_length=500, description="As on the print.")],
    unit: Annotated[Unit | None, Query(description="Of the print, where it isn't said.")] = None,
    standard: Annotated[str | None, Query(max_length=40)] = None,
) -> dict[str, Any]:
    """Return what a callout means: limits, make limits of a reamer, GO and NO-GO."""
    return limits_document(read_limits(callout, unit=unit, standard=standard))


@router.get("/jobs")
def jobs(
    desk: TheDesk,
    person: Reader,
    search: Annotated[str, Query(max_length=200)] = "",
    page: Annotated[int, Query(ge=1, le=10_000)] = 1,
) -> dict[str, Any]:
    """Return a page of the jobs, the newest first."""
    rows, count = floor_rows(desk.book, search=search, page=page)
    return head("jobs") | {
        "count": count,
        "page": page,
        "per_page": PAGE,
        "jobs": [
            {
                "id": row.id,
                "name": row.name,
                "part": row.part,
                "callout": row.callout,
                "stage": str(row.stage),
                "invented": row.invented,
                "last_mean_mm": row.last_mean,
                "last_said": row.last_said,
                "holes_left": row.holes_left,
                "changed": row.changed.isoformat(),
            }
            for row in rows
        ],
    }


def _job(kept: KeptJob) -> dict[str, Any]:
    return head("job") | {
        "id": kept.id,
        "name": kept.head.entry.name,
        "stage": str(kept.stage),
        "revision": kept.revision.entry.number,
        "callout": callout_data(kept.job.callout),
        "fields": said_in(kept.revision.entry.text),
        "defaults": list(kept.job.defaults),
        "invented": kept.job.invented,
    }


@router.post("/jobs", status_code=201)
def make(said: JobFields, desk: TheDesk, person: Planner) -> dict[str, Any]:
    """Write a new job down."""
    saved = new_job(desk.book, said.fields, bench=desk.bench, by=person.name)
    return _job(open_job(desk.book, saved.entry.job_id))


@router.get("/jobs/{job_id}")
def job(job_id: int, desk: TheDesk, person: Reader) -> dict[str, Any]:
    """Return a job at its latest revision."""
    return _job(open_job(desk.book, job_id))


@router.post("/jobs/{job_id}/revisions", status_code=201)
def change(job_id: int, said: JobChange, desk: TheDesk, person: Planner) -> dict[str, Any]:
    """Write a changed job down as a new revision."""
    kept = open_job(desk.book, job_id)
    change_job(
        desk.book,
        kept,
        said.fields,
        base=said.base,
        why=said.why,
        bench=desk.bench,
        by=person.name,
    )
    return _job(open_job(desk.book, job_id))


@router.get("/jobs/{job_id}/plan")
def plan(job_id: int, desk: TheDesk, person: Reader) -> dict[str, Any]:
    """Return the plan that counts: the one taken, else the first choice."""
    kept = open_job(desk.book, job_id)
    return plan_document(kept.job, kept.plan) | {"taken": kept.taken is not None}


@router.post("/jobs/{job_id}/plan", status_code=201)
def take(job_id: int, said: Setting, desk: TheDesk, person: Planner) -> dict[str, Any]:
    """Take the route of the plan, at its own or at another speed and feed."""
    kept = open_job(desk.book, job_id)
    chosen = kept.study.plan
    if said.v_c_m_min is not None or said.f_mm_rev is not None:
        chosen = setting_at(kept, said.v_c_m_min, said.f_mm_rev).plan
    take_plan(desk.book, kept, chosen, bench=desk.bench, by=person.name)
    return plan_document(kept.job, chosen) | {"taken": True}


@router.get("/jobs/{job_id}/window")
def window(job_id: int, desk: TheDesk, person: Reader) -> dict[str, Any]:
    """Return the window of speed and feed with the limits that bound it."""
    kept = open_job(desk.book, job_id)
    found = window_for(kept)
    return head("window") | {
        "job": kept.id,
        "v_c_m_min": found.v_c.tolist(),
        "f_mm_rev": found.f.tolist(),
        "allowed": found.allowed.tolist(),
        "chosen": list(found.chosen),
        "closed_by": list(found.closed_by),
        "borders": [
            {
                "code": border.code,
                "name": name_of(border.code),
                "text": border.text,
                "lines": [line.tolist() for line in border.lines],
            }
            for border in found.borders
        ],
    }


@router.get("/jobs/{job_id}/window/point")
def point(
    job_id: int, desk: TheDesk, person: Reader, v_c: Speed = None, f: Feed = None
) -> dict[str, Any]:
    """Return what comes of a speed and a feed."""
    found = setting_at(open_job(desk.book, job_id), v_c, f)
    at = found.point.at
    return head("setting") | {
        "v_c_m_min": at("v_c"),
        "n_1_min": at("n"),
        "f_mm_rev": at("f"),
        "v_f_mm_min": at("v_f"),
        "chip_by_tooth_mm": list(found.by_tooth),
        "torque_nm": at("torque") / 1000,
        "power_w": at("power"),
        "time_s": at("time_s"),
        "life_holes": at("life"),
        "cost": at("cost"),
        "outside": at("outside"),
        "broken": [reason_data(reason) for reason in found.broken],
        "nearest": {"code": found.nearest[0], "factor": found.nearest[1]}
        if found.nearest
        else None,
    }


@router.get("/jobs/{job_id}/program")
def program(
    job_id: int, desk: TheDesk, person: Reader, despite_hold: bool = False
) -> dict[str, Any]:
    """Return the program of the plan that counts. It stops between holes until released.

    Of a job on hold it is refused, unless `despite_hold` says that it is wanted nevertheless.
    """
    kept = open_job(desk.book, job_id)
    return program_document(kept.job, program_of(kept, despite_hold=despite_hold), None)
