"""One reading as files carry it: what was read, of which run, by whom and when."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime

from holewright.gauging.reading import Reading
from holewright.records.book import Saved
from holewright.records.entries import ReadingEntry, RunEntry


@dataclass(frozen=True)
class ReadingRow:
    """One reading in a file.

    Parameters
    ----------
    reading : Reading
        What pin or gauge said.
    run : str
        Name of its run; empty for none.
    cut : int, optional
        Holes that the reamer had cut, this one included.
    at : datetime, optional
        When it was written down, where the file says.
    by : str
        By whom, where the file says.
    """

    reading: Reading
    run: str = ""
    cut: int | None = None
    at: datetime | None = None
    by: str = ""


def reading_rows(
    holding: Iterable[Saved[ReadingEntry]], runs: Iterable[Saved[RunEntry]]
) -> tuple[ReadingRow, ...]:
    """Return readings of the book as files carry them.

    Parameters
    ----------
    holding : iterable of Saved
        Readings that hold, from :func:`holewright.records.in_force.in_force`.
    runs : iterable of Saved
        The runs that they belong to.
    """
    names: Mapping[int | None, str] = {run.id: run.entry.name for run in runs}
    return tuple(
        ReadingRow(
            saved.entry.reading,
            names.get(saved.entry.run_id, ""),
            saved.entry.cut,
            saved.entry.at,
            saved.entry.by,
        )
        for saved in holding
        if saved.entry.reading is not None
    )
