"""A run at the gauge as plain JSON data: for the tablet, and for programs."""

from __future__ import annotations

from typing import Any

from holewright.jobs.gauge_holes import GaugedHole, GaugeSheet
from holewright.jobs.kept_jobs import KeptJob
from holewright.records.book import Saved
from holewright.records.entries import ReadingEntry


def sheet_document(kept: KeptJob, sheet: GaugeSheet) -> dict[str, Any]:
    """Return a run at the gauge.

    Parameters
    ----------
    kept : KeptJob
        The job.
    sheet : GaugeSheet
        The run.
    """
    return {
        "document": "gauge",
        "job": kept.id,
        "revision": kept.revision.entry.number,
        "run": sheet.run,
        "runs": list(sheet.runs),
        "per_part": sheet.per_part,
        "target": sheet.target,
        "asks": [{"gauge": ask.gauge, "use": ask.use, "why": ask.why} for ask in sheet.asks],
        "holes": {hole.name: _hole(hole) for hole in sheet.holes},
        "next_hole": sheet.next_hole,
        "next_gauge": sheet.next_ask.gauge if sheet.next_ask else "",
        "reasons": [reason.text for reason in sheet.reasons],
        "warmth": sheet.warmth.text if sheet.warmth else None,
    }


def _hole(hole: GaugedHole) -> dict[str, Any]:
    return {"said": hole.said, "answers": [_answer(saved) for saved in hole.answers]}


def _answer(saved: Saved[ReadingEntry]) -> dict[str, Any]:
    reading = saved.entry.reading
    assert reading is not None  # what was taken back isn't among the answers that hold
    return {
        "id": saved.id,
        "key": saved.entry.key,
        "gauge": reading.gauge,
        "goes": reading.goes,
        "size_mm": reading.size,
        "by": saved.entry.by,
    }


def answer_document(kept: KeptJob, saved: Saved[ReadingEntry], sheet: GaugeSheet) -> dict[str, Any]:
    """Return an answer as it stands in the book, with what its hole is known to be now.

    Parameters
    ----------
    kept : KeptJob
        The job.
    saved : Saved
        The answer.
    sheet : GaugeSheet
        Its run.
    """
    name = saved.entry.reading.hole if saved.entry.reading else ""
    hole = next((one for one in sheet.holes if one.name == name), GaugedHole(name))
    return {
        "document": "answer",
        "job": kept.id,
        "id": saved.id,
        "key": saved.entry.key,
        "at": saved.entry.at.isoformat(),
        "hole": name,
        "said": hole.said,
        "inside": sheet.count("inside"),
        "outside": sheet.count("outside"),
    }
