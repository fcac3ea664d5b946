"""Which readings hold: those that nobody has corrected, and the corrections."""

from __future__ import annotations

from collections.abc import Iterable

from holewright.gauging.reading import Reading
from holewright.records.book import Saved
from holewright.records.entries import ReadingEntry


def in_force(written: Iterable[Saved[ReadingEntry]]) -> tuple[Saved[ReadingEntry], ...]:
    """Return the readings that hold.

    Parameters
    ----------
    written : iterable of Saved
        Everything that was written down, e.g. of a run, with all corrections.

    Returns
    -------
    tuple of Saved
        Without those that were corrected or taken back. A correction stands at the place of
        the reading that was wrong.
    """
    entries = sorted(written, key=lambda saved: saved.id)
    corrected = {saved.entry.corrects_id for saved in entries}
    place: dict[int | None, int] = {}
    for saved in entries:
        place[saved.id] = place.get(saved.entry.corrects_id, saved.id)
    holding = [s for s in entries if s.id not in corrected and s.entry.reading is not None]
    return tuple(sorted(holding, key=lambda saved: place[saved.id]))


def readings_of(holding: Iterable[Saved[ReadingEntry]]) -> tuple[Reading, ...]:
    """Return what pins and gauges said, for the gauging room.

    Parameters
    ----------
    holding : iterable of Saved
        Readings, none of them a taking back.
    """
    return tuple(saved.entry.reading for saved in holding if saved.entry.reading is not None)
