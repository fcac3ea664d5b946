"""``holewright find``: from what is seen on a hole to what causes it."""

from __future__ import annotations

import sys
from contextlib import closing
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from holewright.cli.door import GOOD, answers, check_free
from holewright.cli.options import Book, By, Columns, Force, JobFile, Json, Plain, UnitChoice

if TYPE_CHECKING:
    from holewright.cli.output import Page
    from holewright.diagnosis.case import Case
    from holewright.diagnosis.facts import Fact
    from holewright.diagnosis.finding import Finding
    from holewright.jobs.find_fault import Trouble
    from holewright.jobs.job import Job


@answers
def find(
    job_file: JobFile,
    seen: Annotated[
        str | None,
        typer.Option(
            "--seen",
            "-s",
            metavar="WORD,…",
            help="What is seen, e.g. oversize,bell-mouth; asked for if left out.",
            show_default=False,
        ),
    ] = None,
    readings_file: Annotated[
        Path | None,
        typer.Option(
            "--readings",
            "-r",
            metavar="R.csv",
            help="Readings, holes in the order they were cut; columns depth, direction, by and "
            "minutes (after the cut) say where the error goes.",
            show_default=False,
        ),
    ] = None,
    said: Annotated[
        str | None,
        typer.Option(
            "--answers",
            "-a",
            metavar="TEST=ANSWER,…",
            help="Tests answered already: loupe=b, tir=12 um, tried=runout. Nothing is then asked.",
            show_default=False,
        ),
    ] = None,
    sheet_file: Annotated[
        Path | None,
        typer.Option(
            "--sheet",
            metavar="F.html",
            help="Write the tests as a list to print, one page.",
            show_default=False,
        ),
    ] = None,
    found: Annotated[
        str | None,
        typer.Option(
            "--found",
            metavar="CAUSE",
            help="What it turned out to be: kept in the record book, it shifts what is expected.",
            show_default=False,
        ),
    ] = None,
    book: Book = None,
    by: By = None,
    force: Force = False,
    unit: UnitChoice = None,
    as_json: Json = False,
    columns: Columns = None,
    plain: Plain = False,
) -> int:
    """Find the cause of a bad hole: causes in order, why, and the test that tells most.

    It asks test by test: type the key of an answer, a number where one is read; w why, s skip,
    u undo, x the remedy was tried in vain, q quit. With --answers or --json it asks nothing.
    """
    from holewright.cli.find_page import show_finding
    from holewright.cli.output import Page, print_json
    from holewright.jobs.fault_checks import read_checks
    from holewright.jobs.fault_documents import finding_document
    from holewright.jobs.find_fault import look_into, read_answers
    from holewright.jobs.jobfile import read_job

    if sheet_file is not None:
        check_free([sheet_file], force=force)
    job = read_job(job_file)
    job = replace(job, unit=unit or job.unit)
    page = Page(columns, plain=plain)
    asks = said is None and found is None and not as_json
    if seen is None:
        seen = _ask_seen(page) if asks else ""
    checks = read_checks(readings_file, job) if readings_file else ()
    trouble = look_into(job, seen, checks=checks, cases=_cases(book))
    walk = _Walk(trouble, page)
    heard, tried = read_answers(trouble, said or "")
    walk.heard, walk.tried = list(heard), list(tried)
    if asks and (sys.stdin.isatty() or not sys.stdin.closed):
        walk.go()
    finding = walk.finding()
    if sheet_file is not None:
        _write_sheet(job, finding, sheet_file)
    if found is not None:
        _keep(job, job_file, trouble, found, book, by)
    if as_json:
        print_json(finding_document(job, finding, str(sheet_file) if sheet_file else None))
        return GOOD
    if not asks:
        show_finding(page, finding)
    if sheet_file is not None:
        page.say(f"Test list: {sheet_file}")
    if found is not None:
        page.say("The case is kept in the record book.")
    return GOOD


def _ask_seen(page: Page) -> str:
    """Ask what is seen, with the list of words."""
    from holewright.diagnosis.symptoms import symptoms

    page.say("What is seen? Words with commas between them, the worst first.")
    page.table(("", "word", ""), [(s.code, s.key, s.name) for s in symptoms().values()])
    page.prompt("seen > ")
    return sys.stdin.readline().strip()


def _cases(book: str | None) -> tuple[Case, ...]:
    """Return the shop's own cases; none where there is no book and nobody named one."""
    from holewright.errors import BookError
    from holewright.jobs.keep_cases import cases_in
    from holewright.jobs.look_after_book import open_at

    try:
        opened = open_at(book)
    except BookError:
        if book is not None:
            raise
        return ()
    with closing(opened):
        return cases_in(opened)


def _keep(
    job: Job, job_file: Path, trouble: Trouble, found: str, book: str | None, by: str | None
) -> None:
    from holewright.diagnosis.case import Case, find_cause
    from holewright.jobs.bench import open_bench
    from holewright.jobs.keep_book import whoami
    from holewright.jobs.keep_cases import keep_case
    from holewright.jobs.look_after_book import init_book, open_at

    case = Case(trouble.seen, find_cause(found), job.name)
    init_book(book)
    with closing(open_at(book)) as opened:
        text = job_file.read_text(encoding="utf-8")
        keep_case(opened, job, text, case, bench=open_bench(), by=by or whoami())


def _write_sheet(job: Job, finding: Finding, file: Path) -> None:
    from holewright.jobs.bench import open_bench
    from holewright.jobs.make_fault_sheet import make_fault_sheet

    file.parent.mkdir(parents=True, exist_ok=True)
    file.write_text(make_fault_sheet(job, finding, open_bench()), encoding="utf-8")


@dataclass
class _Walk:
    """A walk from test to test."""

    trouble: Trouble
    page: Page
    heard: list[Fact] = field(default_factory=list)
    tried: list[str] = field(default_factory=list)
    skipped: set[str] = field(default_factory=set)
    done: list[str] = field(default_factory=list)
    """What was done last, to be undone: ``answer``, ``tried`` or ``skip``."""
    skips: list[str] = field(default_factory=list)

    def finding(self) -> Finding:
        """Return what is known now, without the tests that were skipped."""
        now = self.trouble.find(self.heard, self.tried)
        return replace(now, next=tuple(t for t in now.next if t.test not in self.skipped))

    def go(self) -> None:
        """Ask until nothing is left to ask, or somebody quits."""
        from holewright.cli.find_page import ask_test, show_finding, show_short
        from holewright.errors import InputError

        show_short(self.page, self.finding())
        asked = ""
        while True:
            now = self.finding()
            if not now.next:
                self.page.say("No test that is left tells much more.")
                break
            if now.next[0].test != asked:
                asked = now.next[0].test
                prompt = ask_test(self.page, now)
            line = self._typed(prompt)
            if line is None or line.lower() in ("q", "quit"):
                break
            try:
                if self._do(line, now):
                    show_short(self.page, self.finding())
            except InputError as error:
                self.page.say(f"Not taken: {error}")
        show_finding(self.page, self.finding())

    def _typed(self, prompt: str) -> str | None:
        self.page.prompt(prompt)
        line = sys.stdin.readline()
        if not sys.stdin.isatty():
            self.page.gap()
        return line.strip() if line else None

    def _do(self, line: str, now: Finding) -> bool:
        """Do what was typed; return whether the ranking may have moved."""
        from holewright.cli.find_page import show_why

        word, test = line.lower(), now.next[0].test
        if word in ("w", "why"):
            show_why(self.page, now)
            return False
        if word in ("s", "skip", ""):
            self.skipped.add(test)
            self.skips.append(test)
            self.done.append("skip")
            return False
        if word in ("u", "undo"):
            return self._undo()
        if word in ("x", "tried"):
            self.tried.append(now.causes[0].cause)
            self.done.append("tried")
            return True
        self.heard.append(self.trouble.answer(test, line))
        self.done.append("answer")
        return True

    def _undo(self) -> bool:
        if not self.done:
            self.page.say("There is nothing to undo.")
            return False
        last = self.done.pop()
        if last == "skip":
            self.skipped.discard(self.skips.pop())
            return False
        if last == "answer":
            self.heard.pop()
        else:
            self.tried.pop()
        return True
