"""Jobs in the record book as people work on them: opened, made anew, planned, and a route taken."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Mapping
from dataclasses import dataclass, replace
from threading import Lock

from holewright.errors import InputError, NoAnswerError
from holewright.jobs.bench import Bench
from holewright.jobs.job import Job
from holewright.jobs.job_form import read_form
from holewright.jobs.keep_book import job_of, keep_job, set_stage, tool_room
from holewright.jobs.plan_hole import study_job
from holewright.jobs.write_program import write_program
from holewright.planning.make_plan import Study
from holewright.planning.plan import Plan
from holewright.program.program import Program
from holewright.records.book import Reader, RecordBook, Saved
from holewright.records.entries import JobEntry, PlanEntry, RevisionEntry, Stage
from holewright.shop.generic import generic_shop
from holewright.shop.shop import Shop

_REMEMBERED = 64
"""Revisions whose job and study are kept at hand. A revision never changes, so neither do they."""


@dataclass(frozen=True)
class KeptJob:
    """A job of the record book at its latest revision.

    Parameters
    ----------
    head : Saved
        Its entry, with name and stage.
    revision : Saved
        The revision.
    job : Job
        The job as the revision has it.
    study : Study
        Its plan, with the candidate behind it.
    taken : Saved, optional
        The plan that somebody took; None where nobody did yet.
    """

    head: Saved[JobEntry]
    revision: Saved[RevisionEntry]
    job: Job
    study: Study
    taken: Saved[PlanEntry] | None

    @property
    def id(self) -> int:
        """Its number in the book."""
        return self.head.id

    @property
    def stage(self) -> Stage:
        """How far it has come."""
        return self.head.entry.stage

    @property
    def plan(self) -> Plan:
        """The plan that counts: that which was taken, or else the study's own."""
        return self.taken.entry.plan if self.taken else self.study.plan


class _Memory:
    """Job and study of the revisions that were looked at last."""

    def __init__(self) -> None:
        self._known: OrderedDict[str, tuple[Job, Study]] = OrderedDict()
        self._lock = Lock()

    def of(self, revision: RevisionEntry) -> tuple[Job, Study]:
        with self._lock:
            if revision.key in self._known:
                self._known.move_to_end(revision.key)
                return self._known[revision.key]
        job = job_of(revision)
        found = (job, study_job(job))
        with self._lock:
            self._known[revision.key] = found
            while len(self._known) > _REMEMBERED:
                self._known.popitem(last=False)
        return found


_memory = _Memory()


def open_job(book: Reader, job_id: int) -> KeptJob:
    """Return a job of the book with its plan.

    Parameters
    ----------
    book : Reader
        The book.
    job_id : int
        Its number in the book.

    Raises
    ------
    InputError
        If there is none of that number.
    """
    head = book.get(JobEntry, job_id)
    revision = book.find(RevisionEntry, job_id=job_id)[-1]
    job, study = _memory.of(revision.entry)
    plans = book.find(PlanEntry, revision_id=revision.id)
    return KeptJob(head, revision, job, study, plans[-1] if plans else None)


def room_of(book: Reader, *, bench: Bench) -> Shop:
    """Return the tool room of the book; where it is bare, the built-in one helps out.

    Parameters
    ----------
    book : Reader
        The book.
    bench : Bench
        Clock.
    """
    shop = tool_room(book, name="tool room", bench=bench)
    usual = generic_shop()
    notes = list(shop.notes)
    for kind in ("machines", "holders", "drills", "reamers"):
        if not getattr(shop, kind):
            shop = replace(shop, **{kind: getattr(usual, kind)})
            notes.append(f"{kind}: none in the tool room, those of the built-in one taken")
    return replace(shop, notes=tuple(notes))


def new_job(
    book: RecordBook, said: Mapping[str, str], *, bench: Bench, by: str
) -> Saved[RevisionEntry]:
    """Write a new job down from the fields of a form.

    Parameters
    ----------
    book : RecordBook
        The book. A job that is given no name gets one of its own.
    said : mapping
        Field -> what was written, as in :func:`holewright.jobs.job_form.read_form`.
    bench : Bench
        Clock and versions.
    by : str
        Who writes it down.

    Raises
    ------
    InputError
        If a field can't be used, or the book has a job of that name.
    """
    form = read_form(said, room_of(book, bench=bench))
    job = form.job
    if said.get("name", "").strip():
        if book.find(JobEntry, name=job.name):
            raise InputError("name", job.name, "is the name of another job; give each its own")
    else:
        job = replace(job, name=_free_name(book, job.name))
    return keep_job(book, job, form.text, bench=bench, by=by, base=0)


def _free_name(book: Reader, name: str) -> str:
    taken = {saved.entry.name for saved in book.find(JobEntry)}
    names = (name, *(f"{name} ({i})" for i in range(2, len(taken) + 3)))
    return next(one for one in names if one not in taken)


def change_job(
    book: RecordBook,
    kept: KeptJob,
    said: Mapping[str, str],
    *,
    base: int,
    why: str,
    bench: Bench,
    by: str,
) -> Saved[RevisionEntry]:
    """Write a changed job down as a new revision; its name stays.

    Parameters
    ----------
    book : RecordBook
        The book.
    kept : KeptJob
        The job.
    said : mapping
        All fields of the form.
    base : int
        Number of the revision that the change was made on.
    why : str
        Why it changed.
    bench : Bench
        Clock and versions.
    by : str
        Who changed it.

    Raises
    ------
    InputError
        If a field can't be used.
    StaleError
        If somebody else has saved a revision after `base`.
    """
    form = read_form({**said, "name": ""}, room_of(book, bench=bench))
    job = replace(form.job, name=kept.head.entry.name)
    return keep_job(book, job, form.text, bench=bench, by=by, why=why, base=base)


def take_plan(
    book: RecordBook, kept: KeptJob, plan: Plan, *, bench: Bench, by: str
) -> Saved[PlanEntry]:
    """Write the plan down by which the holes are to be made; the job moves on to its route.

    Parameters
    ----------
    book : RecordBook
        The book.
    kept : KeptJob
        The job.
    plan : Plan
        The plan: that of the study, or with another route or setting.
    bench : Bench
        Clock and versions.
    by : str
        Who takes it.

    Raises
    ------
    NoAnswerError
        If the plan has no route.
    """
    if plan.route is None:
        raise NoAnswerError(f"there is no route to take. {plan.sentence}")
    saved = book.append(
        PlanEntry(
            at=bench.now(),
            by=by,
            revision_id=kept.revision.id,
            plan=plan,
            software=bench.version,
            data_version=bench.data_version,
        )
    )
    if kept.head.entry.stage is Stage.CALLOUT:
        set_stage(book, kept.head, Stage.ROUTE, why="route taken", bench=bench, by=by)
    return saved


def program_of(kept: KeptJob, *, despite_hold: bool = False) -> Program:
    """Return the program of a kept job; it stops between holes until the job is released.

    Parameters
    ----------
    kept : KeptJob
        The job.
    despite_hold : bool
        Whether to write it although the job is on hold; its header then says so.

    Raises
    ------
    NoAnswerError
        If there is no route, or the job is on hold and nobody said to write it nevertheless.
    """
    said = "the record book says so" if kept.stage is Stage.ON_HOLD else ""
    job = replace(kept.job, on_hold=kept.job.on_hold or said)
    return write_program(
        job, kept.plan, hold=kept.stage is not Stage.RELEASED, despite_hold=despite_hold
    )
