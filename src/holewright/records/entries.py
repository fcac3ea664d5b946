"""What can stand in the record book: one frozen dataclass for each kind of entry.

    job ──< revision ──< run ──< reading >── reading that it corrects
                    ├──< plate ──┘
                    ├──< plan
                    └──< estimate (of readings) ──< verdict
    tool ──< measurement, holes cut, tool change >── run            job ──< note

Every entry has a key of its own, and who made it when. An entry that is sent twice under one
key stands once. Jobs, runs, plates and tools may change, each change a new version of the same
entry; everything else is written once and stays.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from enum import StrEnum
from typing import ClassVar

from holewright.gauging.estimate import Estimate
from holewright.gauging.reading import Reading
from holewright.planning.plan import Plan
from holewright.proof.verdict import Verdict
from holewright.records.entry import Entry
from holewright.records.plain import Json
from holewright.records.tool_entries import (
    HolesCutEntry,
    MeasurementEntry,
    ToolChangeEntry,
    ToolEntry,
)
from holewright.uncertainty import SizeDistribution


class Stage(StrEnum):
    """How far a job has come."""

    CALLOUT = "callout"
    ROUTE = "route"
    ON_TRIAL = "on trial"
    RELEASED = "released"
    ON_HOLD = "on hold"


@dataclass(frozen=True, kw_only=True)
class JobEntry(Entry):
    """A job, by its name; what is asked for stands in its revisions."""

    NAME = "jobs"
    UNIQUE = ("name",)
    CHANGES = True

    name: str
    stage: Stage = Stage.CALLOUT


@dataclass(frozen=True, kw_only=True)
class RevisionEntry(Entry):
    """One state of a job, never changed.

    Parameters
    ----------
    job_id : int
        The job.
    number : int
        1, 2, 3 …
    text : str
        The job file as it was written.
    document : Json
        The whole job as it was understood, its tool room included, as plain data.
    callout, part, revision, drawing : str
        What people look for.
    invented : bool
        Whether it is an invented example.
    software, data_version : str
        What understood it.
    why : str
        Why there is a new revision.
    """

    NAME = "revisions"
    REFERS: ClassVar[Mapping[str, str]] = {"job_id": "jobs"}
    UNIQUE = ("job_id", "number")

    job_id: int
    number: int
    text: str
    document: Json
    callout: str
    part: str = ""
    revision: str = ""
    drawing: str = ""
    invented: bool = False
    software: str = ""
    data_version: str = ""
    why: str = ""


@dataclass(frozen=True, kw_only=True)
class RunEntry(Entry):
    """Holes made in one go: which revision, on which machine, with which tools.

    Parameters
    ----------
    revision_id : int
        What was made.
    name : str
        Its name within the revision.
    machine_id, holder_id, drill_id, reamer_id : int, optional
        What it ran with, as far as it is known.
    ended : datetime, optional
        When it ended; `at` is when it was begun.
    note : str
        Free text.
    """

    NAME = "runs"
    REFERS: ClassVar[Mapping[str, str]] = {
        "revision_id": "revisions",
        "machine_id": "tools",
        "holder_id": "tools",
        "drill_id": "tools",
        "reamer_id": "tools",
    }
    UNIQUE = ("revision_id", "name")
    CHANGES = True

    revision_id: int
    name: str
    machine_id: int | None = None
    holder_id: int | None = None
    drill_id: int | None = None
    reamer_id: int | None = None
    ended: datetime | None = None
    note: str = ""


@dataclass(frozen=True, kw_only=True)
class PlateEntry(Entry):
    """A test plate: its layout and what was seen on it, as plain data."""

    NAME = "plates"
    REFERS: ClassVar[Mapping[str, str]] = {"revision_id": "revisions", "run_id": "runs"}
    UNIQUE = ("revision_id", "name")
    CHANGES = True

    revision_id: int
    name: str
    payload: Json
    run_id: int | None = None


@dataclass(frozen=True, kw_only=True)
class ReadingEntry(Entry):
    """A reading as it was taken, or what stands in place of one that was wrong.

    Parameters
    ----------
    revision_id : int
        Revision that the hole was made to.
    reading : Reading, optional
        What pin or gauge said; None takes back the reading that is corrected.
    run_id, plate_id : int, optional
        Run or plate that the hole belongs to.
    cut : int, optional
        Holes that the reamer had cut, this one included.
    corrects_id : int, optional
        The reading that this one stands in place of.
    why : str
        Why that one was wrong.
    """

    NAME = "readings"
    REFERS: ClassVar[Mapping[str, str]] = {
        "revision_id": "revisions",
        "run_id": "runs",
        "plate_id": "plates",
        "corrects_id": "readings",
    }

    revision_id: int
    reading: Reading | None
    run_id: int | None = None
    plate_id: int | None = None
    cut: int | None = None
    corrects_id: int | None = None
    why: str = ""


@dataclass(frozen=True, kw_only=True)
class PlanEntry(Entry):
    """A plan, with its forecast."""

    NAME = "plans"
    REFERS: ClassVar[Mapping[str, str]] = {"revision_id": "revisions"}

    revision_id: int
    plan: Plan
    software: str = ""
    data_version: str = ""


@dataclass(frozen=True, kw_only=True)
class EstimateEntry(Entry):
    """An estimate, and the readings it was made of.

    Parameters
    ----------
    revision_id : int
        Revision whose limits, tool room and material it was made with.
    reading_ids : tuple of int
        The readings, in their order.
    estimate : Estimate
        The size that came.
    run_id, plate_id : int, optional
        Run or plate that it is about; None: the whole revision.
    clearance : float
        By how much a hole was taken to be larger than a pin that goes. [mm]
    causes : Json
        Hole -> cause -> value, where size was explained by causes.
    forecast : SizeDistribution, optional
        The forecast that was heard together with the readings.
    lot_unchecked : int, optional
        Holes not yet checked that it spoke of. [-]
    software, data_version : str
        What made it.
    """

    NAME = "estimates"
    REFERS: ClassVar[Mapping[str, str]] = {
        "revision_id": "revisions",
        "run_id": "runs",
        "plate_id": "plates",
    }

    revision_id: int
    reading_ids: tuple[int, ...]
    estimate: Estimate
    run_id: int | None = None
    plate_id: int | None = None
    clearance: float = 0.0
    causes: Json = field(default_factory=dict)
    forecast: SizeDistribution | None = None
    lot_unchecked: int | None = None
    software: str = ""
    data_version: str = ""


@dataclass(frozen=True, kw_only=True)
class VerdictEntry(Entry):
    """A verdict, and what it was reached with beside the estimate.

    Parameters
    ----------
    estimate_id : int
        The estimate judged. What was asked for and the lot stand in the verdict.
    verdict : Verdict
        Release or hold.
    guard : float
        Factor on the gauges' uncertainty that it was reached with. [-]
    pass_anyway : tuple of str
        Holes that somebody asked to pass whatever the gauge said.
    software, data_version : str
        What reached it.
    """

    NAME = "verdicts"
    REFERS: ClassVar[Mapping[str, str]] = {"estimate_id": "estimates"}

    estimate_id: int
    verdict: Verdict
    guard: float
    pass_anyway: tuple[str, ...] = ()
    software: str = ""
    data_version: str = ""


@dataclass(frozen=True, kw_only=True)
class NoteEntry(Entry):
    """A note on a job."""

    NAME = "notes"
    REFERS: ClassVar[Mapping[str, str]] = {"job_id": "jobs", "run_id": "runs"}

    job_id: int
    text: str
    run_id: int | None = None


KINDS: Mapping[str, type[Entry]] = {
    kind.NAME: kind
    for kind in (
        JobEntry,
        RevisionEntry,
        ToolEntry,
        MeasurementEntry,
        RunEntry,
        HolesCutEntry,
        PlateEntry,
        ReadingEntry,
        PlanEntry,
        EstimateEntry,
        VerdictEntry,
        ToolChangeEntry,
        NoteEntry,
    )
}
"""Name -> kind, each after those that it refers to."""
