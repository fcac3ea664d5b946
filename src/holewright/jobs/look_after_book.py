"""Look after the record book: make it, open it, see how it is, back it up, restore it."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from pathlib import Path

from holewright.errors import HolewrightError
from holewright.jobs.bench import Bench
from holewright.jobs.keep_book import tool_room
from holewright.jobs.keep_readings import recheck
from holewright.records.address import book_address, shown
from holewright.records.backup import Manifest, damage, restore_backup, write_backup
from holewright.records.entries import KINDS, JobEntry, VerdictEntry
from holewright.records.schema import HEAD, create_book, migrate_book, open_book
from holewright.records.sql import SqlBook


def open_at(chosen: str | None) -> SqlBook:
    """Return the book that a person chose, or the usual one.

    Parameters
    ----------
    chosen : str, optional
        File or URL; None: that of ``HOLEWRIGHT_BOOK``, or the one in the user's data folder.

    Raises
    ------
    BookError
        If there is none, or it can't be opened.
    """
    return open_book(book_address(chosen))


def init_book(chosen: str | None) -> tuple[str, bool]:
    """Make a book where there is none.

    Parameters
    ----------
    chosen : str, optional
        As for :func:`open_at`.

    Returns
    -------
    where : str
        Where it is.
    made : bool
        Whether it was made; False if there was one already.
    """
    url = book_address(chosen)
    return shown(url), create_book(url)


def migrate(chosen: str | None) -> tuple[str, str | None, str]:
    """Bring the tables of a book up to date.

    Parameters
    ----------
    chosen : str, optional
        As for :func:`open_at`.

    Returns
    -------
    where : str
        Where it is.
    before, now : str
        Migrations that it had had, and has had now.
    """
    url = book_address(chosen)
    return shown(url), migrate_book(url), HEAD


@dataclass(frozen=True)
class BookStatus:
    """How a book is.

    Parameters
    ----------
    where : str
        Where it is.
    tables_version : str
        Migration that its tables have had last.
    counts : tuple of (str, int)
        Entries of each kind.
    stages : tuple of (str, int)
        Jobs at each stage.
    overdue : tuple of str
        Gauges whose calibration is overdue.
    checked : int
        Verdicts that were reached once more; 0 where that wasn't asked for.
    problems : tuple of str
        What is wrong with it.
    """

    where: str
    tables_version: str
    counts: tuple[tuple[str, int], ...]
    stages: tuple[tuple[str, int], ...]
    overdue: tuple[str, ...]
    checked: int
    problems: tuple[str, ...]


def book_status(book: SqlBook, *, bench: Bench, check: bool = False) -> BookStatus:
    """Return how a book is.

    Parameters
    ----------
    book : SqlBook
        The book.
    bench : Bench
        Clock.
    check : bool
        Whether to let the database look for damage, read every row, and reach every verdict
        once more.
    """
    problems = list(damage(book)) if check else []
    checked = 0
    if check:
        for saved in book.find(VerdictEntry):
            checked += 1
            try:
                again = recheck(book, saved)
            except HolewrightError as error:
                problems.append(f"verdict {saved.id} can't be reached again: {error}")
                continue
            if not again.same:
                problems.append(
                    f"verdict {saved.id} ({again.kept.decision}, {again.software}) comes out "
                    f"otherwise ({again.again.decision}): {', '.join(again.differs[:3])}"
                )
    stages = Counter(str(job.entry.stage) for job in book.find(JobEntry))
    return BookStatus(
        where=book.where,
        tables_version=HEAD,
        counts=tuple((name, book.count(kind)) for name, kind in KINDS.items()),
        stages=tuple(stages.items()),
        overdue=tool_room(book, name="tool room", bench=bench).notes,
        checked=checked,
        problems=tuple(problems),
    )


def back_up(book: SqlBook, path: Path, *, bench: Bench, force: bool = False) -> Manifest:
    """Write a backup that was read back and checked.

    Parameters
    ----------
    book : SqlBook
        The book.
    path : Path
        File to write.
    bench : Bench
        Clock and version.
    force : bool
        Whether a file of that name may be overwritten.
    """
    software = f"holewright {bench.version}"
    return write_backup(book, path, at=bench.now(), software=software, force=force)


def restore(chosen: str | None, path: Path) -> tuple[str, Manifest]:
    """Fill an empty book from a backup; it is made if there is none.

    Parameters
    ----------
    chosen : str, optional
        As for :func:`open_at`.
    path : Path
        The backup.

    Returns
    -------
    where : str
        Where the book is.
    manifest : Manifest
        What was restored.
    """
    url = book_address(chosen)
    create_book(url)
    book = open_book(url)
    try:
        return shown(url), restore_backup(path, book)
    finally:
        book.close()
