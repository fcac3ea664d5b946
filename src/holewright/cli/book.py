"""``holewright book``: the record book, in which what the shop learns stays."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from holewright.cli.door import GOOD, NO, answers
from holewright.cli.options import Book, By, Columns, Force, Json, Plain

if TYPE_CHECKING:
    from holewright.cli.output import Page
    from holewright.jobs.look_after_book import BookStatus
    from holewright.proof.verdict import Verdict

app = typer.Typer(
    no_args_is_help=True,
    help="Keep jobs, tools, readings and verdicts in a record book: a file or a database server.",
)


def _say(page: tuple[int | None, bool], sentences: list[str]) -> None:
    from holewright.cli.output import Page

    shown = Page(page[0], plain=page[1])
    for sentence in sentences:
        shown.say(sentence)


def _of_kind(name: str, number: int) -> str:
    """Return ``1 verdict`` or ``3 verdicts`` from the name of a table."""
    words = name.replace("_", " ")
    return f"{number:,} {words.removesuffix('s') if number == 1 else words}"


def _count(number: int, one: str, many: str = "") -> str:
    return f"{number:,} {one if number == 1 else many or one + 's'}"


@app.command()
@answers
def init(
    book: Book = None, as_json: Json = False, columns: Columns = None, plain: Plain = False
) -> int:
    """Make a record book where there is none."""
    from holewright.cli.output import print_json
    from holewright.jobs.documents import book_document
    from holewright.jobs.look_after_book import init_book

    where, made = init_book(book)
    if as_json:
        print_json(book_document("init", where, counts={"made": int(made)}))
    else:
        was = "Made" if made else "There is one already"
        _say((columns, plain), [f"{was}: {where}"])
    return GOOD


@app.command()
@answers
def status(
    book: Book = None,
    check: Annotated[
        bool,
        typer.Option("--check", help="Look for damage, and reach every verdict in it once more."),
    ] = False,
    as_json: Json = False,
    columns: Columns = None,
    plain: Plain = False,
) -> int:
    """Say where the book is, what it holds, and with --check whether it is sound.

    Damage, or a verdict that comes out otherwise today, ends with exit code 1.
    """
    from contextlib import closing

    from holewright.cli.output import Page, print_json
    from holewright.jobs.bench import open_bench
    from holewright.jobs.documents import book_document
    from holewright.jobs.look_after_book import book_status, open_at

    with closing(open_at(book)) as opened:
        found = book_status(opened, bench=open_bench(), check=check)
    if as_json:
        counts = dict(found.counts) | {"verdicts checked": found.checked}
        print_json(
            book_document(
                "status",
                found.where,
                counts=counts,
                problems=found.problems,
                overdue=found.overdue,
            )
        )
    else:
        _show_status(Page(columns, plain=plain), found, check=check)
    return NO if found.problems else GOOD


def _show_status(page: Page, found: BookStatus, *, check: bool) -> None:
    page.say(f"{found.where} (tables {found.tables_version})")
    page.gap()
    page.table(
        ("kind", "entries"),
        [(name.replace("_", " "), f"{count:,}") for name, count in found.counts],
        right=(1,),
    )
    if found.stages:
        stages = ", ".join(f"{count} {stage}" for stage, count in found.stages)
        page.say(f"Jobs: {stages}.")
    if found.overdue:
        page.heading("To be measured again")
        page.points(found.overdue)
    if found.problems:
        page.heading("Not sound")
        page.points(found.problems, mark="!")
    elif check:
        same = "" if not found.checked else " All of them come out the same."
        verdicts = _count(found.checked, "verdict")
        page.say(f"No damage found. Reached once more: {verdicts}.{same}")


@app.command()
@answers
def backup(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="The backup to write.")],
    book: Book = None,
    force: Force = False,
    as_json: Json = False,
    columns: Columns = None,
    plain: Plain = False,
) -> int:
    """Write the whole book to one file, read it back and check it.

    Others may go on writing in the book meanwhile.
    """
    from contextlib import closing

    from holewright.cli.output import print_json
    from holewright.jobs.bench import open_bench
    from holewright.jobs.documents import book_document
    from holewright.jobs.look_after_book import back_up, open_at

    with closing(open_at(book)) as opened:
        manifest = back_up(opened, file, bench=open_bench(), force=force)
        where = opened.where
    if as_json:
        print_json(book_document("backup", where, path=file, counts={"rows": manifest.rows}))
    else:
        _say(
            (columns, plain),
            [f"{_count(manifest.rows, 'row')} written to {file}, read back and found whole."],
        )
    return GOOD


@app.command()
@answers
def restore(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="The backup.")],
    book: Book = None,
    as_json: Json = False,
    columns: Columns = None,
    plain: Plain = False,
) -> int:
    """Fill an empty book from a backup; the book is made if there is none.

    A book that holds anything is left alone: give --book a new file or database.
    """
    from holewright.cli.output import print_json
    from holewright.jobs.documents import book_document
    from holewright.jobs.look_after_book import restore as restored

    where, manifest = restored(book, file)
    if as_json:
        print_json(book_document("restore", where, path=file, counts={"rows": manifest.rows}))
    else:
        _say(
            (columns, plain),
            [
                f"{_count(manifest.rows, 'row')} of {manifest.at:%Y-%m-%d %H:%M} restored to "
                f"{where}, read out again and found the same."
            ],
        )
    return GOOD


@app.command("import")
@answers
def import_(
    file: Annotated[
        Path,
        typer.Argument(
            metavar="FILE",
            help="Job or shop file (.toml), readings (.csv, .parquet, .qif), whole job (.json).",
        ),
    ],
    job: Annotated[
        str, typer.Option("--job", metavar="NAME", help="Job that readings belong to.")
    ] = "",
    run: Annotated[
        str,
        typer.Option(
            "--run", metavar="NAME", help="Run that they belong to; made if there is none."
        ),
    ] = "",
    column: Annotated[
        list[str] | None,
        typer.Option(
            "--column",
            metavar="OURS=THEIRS",
            help='What the file calls one of our columns: --column "size=Bore dia". Columns that '
            "are neither ours nor named so are then left out.",
            show_default=False,
        ),
    ] = None,
    unit: Annotated[
        list[str] | None,
        typer.Option(
            "--unit",
            metavar="OURS=UNIT",
            help="Unit of bare numbers in one of our columns: --unit size=in.",
            show_default=False,
        ),
    ] = None,
    gauge: Annotated[
        str,
        typer.Option(
            "--gauge", metavar="ID", help="Bore gauge of a QIF file that names only holes."
        ),
    ] = "",
    why: Annotated[
        str, typer.Option("--why", metavar="TEXT", help="Why a job has a new revision.")
    ] = "",
    judge: Annotated[
        bool,
        typer.Option(
            "--judge", help="Judge the readings of that job and run, and keep the verdict."
        ),
    ] = False,
    lot: Annotated[
        int | None,
        typer.Option(
            "--lot", min=1, metavar="N", help="Holes in the lot to judge.", show_default=False
        ),
    ] = None,
    by: By = None,
    book: Book = None,
    as_json: Json = False,
    columns: Columns = None,
    plain: Plain = False,
) -> int:
    """Read a job, a tool room or readings into the book, all of the file or nothing.

    With --judge a hold ends with exit code 1.
    """
    from contextlib import closing

    from holewright.cli.output import Page, print_json
    from holewright.cli.verdict import show_verdict
    from holewright.jobs.bench import open_bench
    from holewright.jobs.book_files import import_file
    from holewright.jobs.documents import book_document
    from holewright.jobs.import_readings import read_mapping
    from holewright.jobs.keep_book import job_of, latest_revision, whoami
    from holewright.jobs.keep_readings import judge_in_book
    from holewright.jobs.look_after_book import open_at

    bench, name = open_bench(), by or whoami()
    mapped = read_mapping(column or [], unit or [])
    verdict: Verdict | None = None
    with closing(open_at(book)) as opened:
        done = import_file(
            opened,
            file,
            job=job,
            run=run,
            mapped=mapped,
            gauge=gauge,
            why=why,
            bench=bench,
            by=name,
        )
        if judge:
            verdict = judge_in_book(opened, done.name, run=run, lot=lot, bench=bench, by=name)
            judged = job_of(latest_revision(opened, done.name).entry)
        where = opened.where
    if as_json:
        print_json(
            book_document(
                "import",
                where,
                path=file,
                job=done.name,
                revision=done.revision,
                counts=dict(done.counts),
                verdict=verdict,
            )
        )
    else:
        page = Page(columns, plain=plain)
        counts = ", ".join(_of_kind(sort, count) for sort, count in done.counts)
        revision = f", revision {done.revision}" if done.revision else ""
        page.say(f"{done.what} {done.name}{revision}{': ' + counts if counts else ''}.")
        if dict(done.counts).get("there already") and done.what == "readings":
            page.say(
                "The same rows in the same order are the same readings and aren't written twice. "
                "If these are other parts, give them a --run of their own."
            )
        if verdict is not None:
            page.gap()
            show_verdict(page, judged, verdict)
    return GOOD if verdict is None else _exit_code(verdict)


def _exit_code(verdict: Verdict) -> int:
    from holewright.proof.verdict import Decision

    return GOOD if verdict.decision is Decision.RELEASE else NO


@app.command("export")
@answers
def export(
    job: Annotated[str, typer.Argument(metavar="JOB", help="Name of the job.")],
    output: Annotated[
        Path,
        typer.Option(
            "--output",
            "-o",
            metavar="F",
            help="File to write: .csv, .parquet or .qif for the readings, .json for all that the "
            "book knows of the job, .toml for its job file.",
            show_default=False,
        ),
    ],
    run: Annotated[
        str, typer.Option("--run", metavar="NAME", help="Only the readings of this run.")
    ] = "",
    book: Book = None,
    force: Force = False,
    as_json: Json = False,
    columns: Columns = None,
    plain: Plain = False,
) -> int:
    """Write what the book has of a job to a file."""
    from contextlib import closing

    from holewright.cli.output import print_json
    from holewright.jobs.bench import open_bench
    from holewright.jobs.book_files import export_job
    from holewright.jobs.documents import book_document
    from holewright.jobs.look_after_book import open_at

    with closing(open_at(book)) as opened:
        count = export_job(opened, job, output, run=run, bench=open_bench(), force=force)
        where = opened.where
    if as_json:
        print_json(book_document("export", where, path=output, job=job, counts={"written": count}))
        return GOOD
    what = {".json": _count(count, "entry", "entries"), ".toml": "The job file"}
    written = what.get(output.suffix.lower(), _count(count, "reading"))
    _say((columns, plain), [f"{written} written to {output}."])
    return GOOD


@app.command()
@answers
def migrate(
    book: Book = None, as_json: Json = False, columns: Columns = None, plain: Plain = False
) -> int:
    """Bring the tables of a book up to date after an update of holewright. Back it up first."""
    from holewright.cli.output import print_json
    from holewright.jobs.documents import book_document
    from holewright.jobs.look_after_book import migrate as migrated

    where, before, now = migrated(book)
    if as_json:
        print_json(book_document("migrate", where, counts={"migrated": int(before != now)}))
    else:
        what = f"tables {now} already" if before == now else f"tables {before} brought to {now}"
        _say((columns, plain), [f"{where}: {what}."])
    return GOOD
