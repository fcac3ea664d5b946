"""The life of tools as the record book has it."""

from __future__ import annotations

from holewright.errors import InputError
from holewright.gauging.reading import Reading
from holewright.jobs.keep_book import latest_revision
from holewright.jobs.keep_readings import holding_readings
from holewright.jobs.life_file import ToolReadings, by_tool
from holewright.records.book import Reader
from holewright.records.entries import RunEntry
from holewright.records.tool_entries import ToolEntry


def life_in_book(book: Reader, job: str) -> tuple[ToolReadings, ...]:
    """Return the readings of a job's latest revision, tool by tool.

    Parameters
    ----------
    book : Reader
        The book.
    job : str
        Name of the job.

    Returns
    -------
    tuple of ToolReadings
        A tool is the reamer of a run, or the run itself where no reamer is named.

    Raises
    ------
    InputError
        If the book has no such job, or none of its readings says how many holes were cut.
    """
    revision = latest_revision(book, job)
    runs = {run.id: run for run in book.find(RunEntry, revision_id=revision.id)}
    rows: list[tuple[str, int, Reading]] = []
    for saved in holding_readings(book, revision):
        entry = saved.entry
        if entry.reading is None or entry.cut is None:
            continue
        run = runs.get(entry.run_id) if entry.run_id is not None else None
        name = ""
        if run is not None:
            reamer = run.entry.reamer_id
            named = book.get(ToolEntry, reamer).entry.name if reamer is not None else ""
            name = named or run.entry.name
        rows.append((name, entry.cut, entry.reading))
    if not rows:
        raise InputError(
            "readings",
            f"of {job}",
            "must say how many holes the reamer had cut: import them with a column cut",
        )
    return by_tool(rows)
