"""Gauge holes one by one: which hole and pin is next and why, the answer, and taking it back."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from holewright.callout.callout import Limits
from holewright.errors import InputError
from holewright.gauging.count_holes import Shown, shown_of
from holewright.gauging.reading import Reading
from holewright.gauging.reading_interval import HoleSize
from holewright.jobs.bench import Bench
from holewright.jobs.gauge_asks import Ask, asks_at
from holewright.jobs.job import Job
from holewright.jobs.keep_book import open_run, set_stage
from holewright.jobs.keep_readings import correct_reading
from holewright.jobs.kept_jobs import KeptJob
from holewright.jobs.take_readings import sizes_of
from holewright.reasons import Reason
from holewright.records.book import Reader, RecordBook, Saved
from holewright.records.entries import JobEntry, ReadingEntry, RunEntry, Stage
from holewright.records.in_force import in_force, readings_of
from holewright.units import format_both

FIRST_RUN = "trial 1"
TARGET = 30
"""Holes of a trial, unless somebody asks for another number. Common practice, no source."""

_MOST_HOLES = 5000
_FAR = 0.5
"""A bore-gauge value further from the zone than this is a slip of the pen. [mm]"""

_SAID = {Shown.INSIDE: "inside", Shown.OUTSIDE: "outside", Shown.NEITHER: "not shown"}


@dataclass(frozen=True)
class GaugedHole:
    """A hole with its answers.

    Parameters
    ----------
    name : str
        Part and hole, such as ``3-2``.
    answers : tuple of Saved
        Readings that hold, in the order in which they were taken.
    said : str
        ``inside``, ``outside``, ``not shown``, or ``open`` while nothing was asked.
    """

    name: str
    answers: tuple[Saved[ReadingEntry], ...] = ()
    said: str = "open"


@dataclass(frozen=True)
class GaugeSheet:
    """A run at the gauge: what was asked, and what is next.

    Parameters
    ----------
    run : str
        Name of the run.
    runs : tuple of str
        All runs of this revision.
    asks : tuple of Ask
        What is asked at each hole, in order; the next only where the answer before allows it.
    reasons : tuple of Reason
        What to know about these gauges.
    warmth : Reason, optional
        What warmth costs here; None where it costs nothing.
    per_part : int
        Holes of one part.
    target : int
        Holes to gauge in this run.
    holes : tuple of GaugedHole
        Those that were begun, in the order in which they come.
    next_hole : str
        The hole that comes next; empty when all are done.
    next_ask : Ask, optional
        What to ask there.
    last : Saved, optional
        The answer that an undo would take back.
    """

    run: str
    runs: tuple[str, ...]
    asks: tuple[Ask, ...]
    reasons: tuple[Reason, ...]
    warmth: Reason | None
    per_part: int
    target: int
    holes: tuple[GaugedHole, ...]
    next_hole: str
    next_ask: Ask | None
    last: Saved[ReadingEntry] | None

    @property
    def done(self) -> int:
        """Holes of the target that were begun. [-]"""
        order = set(_order(self.per_part, self.target))
        return sum(hole.name in order and hole.said != "open" for hole in self.holes)

    def count(self, said: str) -> int:
        """Return how many holes are said to be so."""
        return sum(hole.said == said for hole in self.holes)


def gauge_sheet(
    book: Reader,
    kept: KeptJob,
    run: str = FIRST_RUN,
    *,
    target: int = TARGET,
    part_c: float | None = None,
    gauge_c: float | None = None,
) -> GaugeSheet:
    """Return a run at the gauge as it stands.

    Parameters
    ----------
    book : Reader
        The book.
    kept : KeptJob
        The job.
    run : str
        Name of the run; it need not have begun.
    target : int
        Holes to gauge in it. [-]
    part_c, gauge_c : float, optional
        Temperatures of part and gauges; None: those that the job is planned with. [°C]

    Raises
    ------
    InputError
        If `target` can't be.
    """
    if not 1 <= target <= _MOST_HOLES:
        raise InputError("target", target, f"must be from 1 to {_MOST_HOLES} holes")
    job = kept.job
    runs = book.find(RunEntry, revision_id=kept.revision.id)
    found = [one for one in runs if one.entry.name == run]
    written = in_force(book.find(ReadingEntry, run_id=found[0].id)) if found else ()
    part_c = job.part_c if part_c is None else part_c
    asked = asks_at(job, part_c, job.part_c if gauge_c is None else gauge_c)
    asks = asked.asks
    holes = _holes(job, written)
    by_name = {hole.name: hole for hole in holes}
    order = list(_order(len(job.holes), target))
    next_hole, next_ask = _next(order, by_name, asks)
    places = {name: place for place, name in enumerate(order)}
    return GaugeSheet(
        run=run,
        runs=tuple(one.entry.name for one in runs),
        asks=asks,
        reasons=asked.reasons,
        warmth=asked.warmth,
        per_part=len(job.holes),
        target=target,
        holes=tuple(sorted(holes, key=lambda h: places.get(h.name, len(order)))),
        next_hole=next_hole,
        next_ask=next_ask,
        last=max(written, key=lambda saved: saved.id, default=None),
    )


def current_run(book: Reader, kept: KeptJob) -> str:
    """Return the run to go on with: the last one of this revision, or the first there will be.

    Parameters
    ----------
    book : Reader
        The book.
    kept : KeptJob
        The job.
    """
    last = book.last(RunEntry, revision_id=kept.revision.id)
    return last.entry.name if last else FIRST_RUN


def _order(per_part: int, target: int) -> Sequence[str]:
    return [f"{i // per_part + 1}-{i % per_part + 1}" for i in range(target)]


def _holes(job: Job, written: Sequence[Saved[ReadingEntry]]) -> list[GaugedHole]:
    answers: dict[str, list[Saved[ReadingEntry]]] = {}
    for saved in written:
        if saved.entry.reading is not None:
            answers.setdefault(saved.entry.reading.hole, []).append(saved)
    sizes, _ = sizes_of(job, readings_of(written))
    return [
        GaugedHole(size.hole, tuple(answers[size.hole]), _said(size, job.gauged_limits))
        for size in sizes
    ]


def _said(size: HoleSize, limits: Limits) -> str:
    return "contradicts" if size.contradicts else _SAID[shown_of(size, limits)]


def _next(
    order: Sequence[str], holes: dict[str, GaugedHole], asks: Sequence[Ask]
) -> tuple[str, Ask | None]:
    for name in order:
        ask = _open_ask(holes.get(name), asks)
        if ask is not None:
            return name, ask
    return "", None


def _open_ask(hole: GaugedHole | None, asks: Sequence[Ask]) -> Ask | None:
    """Return the first question still to be asked at a hole; None when it is settled."""
    if hole is not None and hole.said in ("inside", "outside"):
        return None  # shown already, by whatever was used
    answered: dict[str, Reading] = {}
    for saved in hole.answers if hole else ():
        if saved.entry.reading is not None:
            answered[saved.entry.reading.gauge] = saved.entry.reading
    for ask in asks:
        reading = answered.get(ask.gauge)
        if reading is None:
            return ask
        if ask.use == "GO" and not reading.goes:
            return None  # too small, or not shown to be large enough: NO-GO would tell nothing
    return None


def take_answer(
    book: RecordBook,
    kept: KeptJob,
    reading: Reading,
    *,
    run: str = FIRST_RUN,
    key: str,
    bench: Bench,
    by: str,
) -> Saved[ReadingEntry]:
    """Write one answer down. The same key again writes nothing twice.

    Parameters
    ----------
    book : RecordBook
        The book. Once this returns, the answer is saved.
    kept : KeptJob
        The job; its first answer puts it on trial.
    reading : Reading
        What the pin or gauge said.
    run : str
        Name of the run; it is begun if there is none of that name.
    key : str
        Name of the answer, of the asker's making.
    bench : Bench
        Clock.
    by : str
        Who gauged.

    Raises
    ------
    InputError
        If the gauge isn't in the tool room, doesn't give that sort of answer, or the size
        can't be that of this hole.
    """
    check_reading(kept.job, reading)
    with book.together() as writer:
        opened = open_run(writer, kept.revision, run, bench=bench, by=by)
        saved = writer.append(
            ReadingEntry(
                at=bench.now(),
                by=by,
                key=key,
                revision_id=kept.revision.id,
                run_id=opened.id,
                reading=reading,
            )
        )
    head = book.get(JobEntry, kept.id)
    if head.entry.stage in (Stage.CALLOUT, Stage.ROUTE):
        set_stage(book, head, Stage.ON_TRIAL, why="first hole gauged", bench=bench, by=by)
    return saved


def check_reading(job: Job, reading: Reading) -> None:
    """Refuse an answer that can't be.

    Parameters
    ----------
    job : Job
        The job, with its tool room.
    reading : Reading
        What the pin or gauge said.

    Raises
    ------
    InputError
        If the gauge isn't in the tool room, doesn't give that sort of answer, or the size or
        a temperature can't be.
    """
    pins = {pin.id for pin in job.shop.pins}
    gauges = {gauge.id for gauge in job.shop.bore_gauges}
    if reading.gauge not in pins | gauges:
        raise InputError("gauge", reading.gauge, "must be a pin or gauge of the tool room")
    if reading.gauge in pins and reading.goes is None:
        raise InputError("gauge", reading.gauge, "is a pin: say whether it goes, not a size")
    if reading.gauge in gauges and reading.size is None:
        raise InputError("gauge", reading.gauge, "reads sizes: give the size that it showed")
    limits = job.gauged_limits
    if reading.size is not None and not (
        limits.lower - _FAR <= reading.size <= limits.upper + _FAR
    ):
        raise InputError(
            "size",
            format_both(reading.size, job.unit),
            f"must lie near {format_both(job.callout.nominal, job.unit)}; read the gauge again",
        )
    for name in ("part_c", "gauge_c"):
        if not -20 <= getattr(reading, name) <= 80:
            raise InputError(name, getattr(reading, name), "must be from -20 to 80 °C")


def take_back(
    book: RecordBook, kept: KeptJob, reading_id: int, *, key: str, bench: Bench, by: str
) -> Saved[ReadingEntry]:
    """Take an answer back; it stays in the book as taken back. The same key again does nothing.

    Parameters
    ----------
    book : RecordBook
        The book.
    kept : KeptJob
        The job that it must belong to.
    reading_id : int
        The answer's number in the book.
    key : str
        Name of this request.
    bench : Bench
        Clock.
    by : str
        Who takes it back.

    Raises
    ------
    InputError
        If there is no such answer in this job, or it was taken back by somebody else.
    """
    for done in book.find(ReadingEntry, key=key):
        return done
    wrong = book.get(ReadingEntry, reading_id)
    if wrong.entry.revision_id != kept.revision.id:
        raise InputError("reading", reading_id, "must be one of this job")
    with book.together() as writer:
        return correct_reading(
            writer, wrong, None, why="taken back at the gauge", bench=bench, by=by, key=key
        )
