"""``holewright gauge``: hole by hole at the gauge, each answer saved at once."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from holewright.cli.door import BAD_INPUT, GOOD, answers
from holewright.cli.options import Book, By, Columns, JobFile, Json, Plain, UnitChoice

if TYPE_CHECKING:
    from holewright.cli.output import Page
    from holewright.gauging.reading import Reading
    from holewright.jobs.gauge_words import Said
    from holewright.jobs.job import Job
    from holewright.jobs.next_question import Question
    from holewright.jobs.readings_log import Log

KEYS = "gnusq?"
"""Keys that answer at once at a terminal, without Enter."""


@answers
def gauge(
    job_file: JobFile,
    readings_file: Annotated[
        Path | None,
        typer.Option(
            "--readings",
            "-r",
            metavar="R.csv",
            help="Write the answers to this file, a line each; without it they go into the record "
            "book. A file or run that is there is gone on with.",
            show_default=False,
        ),
    ] = None,
    holes: Annotated[
        int, typer.Option("--holes", "-n", min=1, max=5000, metavar="N", help="Holes to gauge.")
    ] = 30,
    lot: Annotated[
        int | None,
        typer.Option(
            "--lot",
            min=1,
            metavar="N",
            help="Holes in the lot; without it the process is judged.",
            show_default=False,
        ),
    ] = None,
    run: Annotated[
        str, typer.Option("--run", metavar="NAME", help="Run of the record book.")
    ] = "trial 1",
    book: Book = None,
    by: By = None,
    unit: UnitChoice = None,
    as_json: Json = False,
    columns: Columns = None,
    plain: Plain = False,
) -> int:
    """Gauge hole by hole: asks for the best next check and saves each answer at once.

    g goes, n does not go, a number is what the bore gauge shows; u undo, s skip, q quit, ? help.
    It goes on where it was left. With --json it asks nothing and prints what is next.
    """
    from dataclasses import replace

    from holewright.cli.output import Page, print_json
    from holewright.jobs.next_question import hole_names, next_question, standing
    from holewright.jobs.standing_documents import standing_document

    with _open(job_file, readings_file, book, run, by) as (job, log):
        job = replace(job, unit=unit or job.unit)
        names = hole_names(job, holes)
        if as_json:
            readings = log.readings()
            question = next_question(job, readings, names, part_c=job.part_c)
            stands = standing(job, readings, lot=lot)
            print_json(standing_document(job, log.where, stands, question))
            return GOOD
        walk = _Walk(job, log, names, lot, Page(columns, plain=plain), part_c=job.part_c)
        return walk.go()


@contextmanager
def _open(
    job_file: Path, readings_file: Path | None, book: str | None, run: str, by: str | None
) -> Iterator[tuple[Job, Log]]:
    """Open where the answers go: a file, or a run of the record book."""
    if readings_file is not None:
        from holewright.jobs.jobfile import read_job
        from holewright.jobs.readings_log import ReadingsLog

        job = read_job(job_file)
        yield job, ReadingsLog(readings_file, job.shop, job.unit, part_c=job.part_c)
        return
    from holewright.jobs.bench import open_bench
    from holewright.jobs.book_log import open_book_log
    from holewright.jobs.keep_book import whoami
    from holewright.jobs.look_after_book import init_book, open_at

    init_book(book)
    with closing(open_at(book)) as opened:
        yield open_book_log(opened, job_file, run, bench=open_bench(), by=by or whoami())


@dataclass
class _Walk:
    """A walk from hole to hole."""

    job: Job
    log: Log
    names: tuple[str, ...]
    lot: int | None
    page: Page
    part_c: float
    gauge_c: float = 20.0
    depth: float | None = None
    hole: str = ""
    """Hole that somebody wants to go on with."""
    gauge: str = ""
    """Gauge that somebody wants to use for the next check."""
    skipped: set[tuple[str, str]] = field(default_factory=set)
    refused: bool = False

    def go(self) -> int:
        """Ask until nothing is left, or somebody quits; return the exit code."""
        from holewright.errors import InputError
        from holewright.jobs.gauge_words import Act, read_said

        self._say(f"Answers go to {self.log.where}. Part {self.part_c:g} °C, gauges "
                  f"{self.gauge_c:g} °C. Stop the spindle before you gauge.")  # fmt: skip
        self._warn()
        while True:
            question = self._next()
            line = self._ask(question)
            if line is None:
                break
            try:
                said = read_said(line, self.job.unit)
                if said.act is Act.QUIT:
                    break
                self._do(said, question)
            except InputError as error:
                self.refused = True
                self._say(f"Not saved: {error}")
        self._say(f"Saved in {self.log.where}.")
        return BAD_INPUT if self.refused and not sys.stdin.isatty() else GOOD

    def _warn(self) -> None:
        """Say what pins can't do here, and what warmth costs."""
        from holewright.jobs.evidence import too_far_apart
        from holewright.jobs.gauge_asks import asks_at

        apart = too_far_apart(self.job, self.part_c, self.gauge_c)
        if apart:
            self.page.points([apart], mark="!")
        asks = asks_at(self.job, self.part_c, self.gauge_c)
        if not {"GO", "NO-GO"} <= {ask.use for ask in asks.asks}:
            self.page.points((str(reason) for reason in asks.reasons), mark="!")
        if asks.warmth is not None:
            self.page.points([str(asks.warmth)], mark="!")

    def _next(self) -> Question | None:
        """Say how things stand, and return what to ask."""
        from dataclasses import replace

        from holewright.jobs.next_question import next_question, standing

        readings = self.log.readings()
        self.page.gap()
        self._say(standing(self.job, readings, lot=self.lot).text)
        question = next_question(
            self.job,
            readings,
            self.names,
            skipped=self.skipped,
            first=self.hole,
            part_c=self.part_c,
            gauge_c=self.gauge_c,
        )
        if question is not None and self.gauge:
            return replace(question, gauge=self.gauge, use="", why="")
        return question

    def _ask(self, question: Question | None) -> str | None:
        """Print a question and return what was typed; None at the end of the input."""
        if question is None:
            self._say("Nothing is left to ask: all holes are settled or skipped.")
            prompt = "h hole, u undo, q quit > "
        else:
            if question.why:
                self._say(question.why)
            prompt = f"{self._words(question)} > "
        self.page.prompt(prompt)
        if not sys.stdin.isatty():
            line = sys.stdin.readline()
            self.page.gap()
            return line.strip() if line else None
        return _typed(self.page)

    def _words(self, question: Question) -> str:
        pin = any(pin.id == question.gauge for pin in self.job.shop.pins)
        use = f"{question.use} " if question.use in ("GO", "NO-GO") else ""
        depth = f" to depth {self.depth:g} mm" if self.depth is not None else ""
        what = f"{use}pin {question.gauge} goes{depth}? g/n" if pin else f"{question.gauge} reads"
        return f"Hole {question.hole}: {what}"

    def _do(self, said: Said, question: Question | None) -> None:
        """Do what was said."""
        from holewright.errors import InputError
        from holewright.jobs.gauge_words import HELP, Act

        match said.act:
            case Act.HELP:
                self.page.table(("", ""), HELP)
            case Act.UNDO:
                back = self.log.take_back()
                self._say(f"Taken back: {_said(back)}." if back else "There is nothing to undo.")
            case Act.HOLE:
                self.hole, self.gauge = said.name, ""
            case Act.GAUGE:
                self.gauge = self._known(said.name)
            case Act.DEPTH:
                self.depth = said.size
            case Act.WARMTH:
                self.part_c, self.gauge_c = said.part_c, said.gauge_c
                self._warn()
            case Act.SKIP if question is not None:
                self.skipped.add((question.hole, question.gauge))
                self.gauge = ""
            case Act.GOES | Act.STOPS | Act.SIZE if question is not None:
                self._save(said, question)
            case _:
                raise InputError(str(said.act), "no hole", "must have a hole: name one with h")

    def _known(self, name: str) -> str:
        from holewright.jobs.readingsfile import find_gauge

        return find_gauge(self.job.shop, name).id

    def _save(self, said: Said, question: Question) -> None:
        """Save an answer, and only then say so."""
        from holewright.gauging.reading import Reading
        from holewright.jobs.gauge_holes import check_reading
        from holewright.jobs.gauge_words import Act
        from holewright.jobs.next_question import said_of

        gauge = question.gauge
        if said.act is Act.SIZE:
            gauge = self._bore_gauge(gauge)
        reading = Reading(
            question.hole,
            gauge,
            goes=None if said.act is Act.SIZE else said.act is Act.GOES,
            size=said.size if said.act is Act.SIZE else None,
            depth=self.depth,
            part_c=self.part_c,
            gauge_c=self.gauge_c,
        )
        check_reading(self.job, reading)
        self.log.add(reading)
        self._say(f"Saved: {_said(reading)}.")
        self._say(said_of(self.job, self.log.readings(), question.hole))
        self.gauge = ""

    def _bore_gauge(self, asked: str) -> str:
        """Return the bore gauge that a number belongs to."""
        from holewright.errors import InputError

        known = [gauge.id for gauge in self.job.shop.bore_gauges]
        if asked in known:
            return asked
        if len(known) == 1:
            return known[0]
        accepted = f"must be chosen first, with p and one of {', '.join(known)}"
        raise InputError(
            "bore gauge", "not named", accepted if known else "is not in the tool room"
        )

    def _say(self, text: str) -> None:
        self.page.say(text)
        self.page.stream.flush()


def _said(reading: Reading) -> str:
    """Return a reading in words."""
    depth = f" at depth {reading.depth:g} mm" if reading.depth is not None else ""
    if reading.size is not None:
        return f"hole {reading.hole}, {reading.gauge} reads {reading.size:.4f} mm{depth}"
    said = "goes" if reading.goes else "does not go"
    return f"hole {reading.hole}, pin {reading.gauge} {said}{depth}"


def _typed(page: Page) -> str | None:
    """Return what was typed at a terminal: a key at once, or a line up to Enter."""
    try:
        key = typer.getchar()  # or all that was typed or scanned while nobody listened
        if (len(key) == 1 and key in KEYS) or key[1:].endswith(("\r", "\n")):
            page.as_is([key.strip()])
            return key.strip()
        if key in ("\r", "\n"):
            page.gap()
            return "?"
        if key in ("\x04", "\x1a"):
            return None
        page.prompt(key)
        return key + input()
    except (EOFError, KeyboardInterrupt):
        page.gap()
        return None
