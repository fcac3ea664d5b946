"""Test plates at a page: asked for in a form, read in when they come back, kept in the book."""

from __future__ import annotations

import tempfile
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from holewright.errors import InputError
from holewright.jobs.bench import Bench
from holewright.jobs.cut_plate import cut_plate, read_plate
from holewright.jobs.job import Job
from holewright.jobs.kept_jobs import KeptJob
from holewright.jobs.plate_documents import plate_result_document
from holewright.jobs.plate_file import read_plate_file
from holewright.jobs.plate_request import USUAL, PlateRequest, read_factors
from holewright.jobs.plate_steps import CutPlate
from holewright.plate.layout import Order
from holewright.plate.plate import PlateResult
from holewright.records.book import Reader, RecordBook, Saved
from holewright.records.entries import PlateEntry
from holewright.units import read_length

_MOST_A_ROW = 200


@dataclass(frozen=True)
class CameBack:
    """A plate that came back.

    Parameters
    ----------
    result : PlateResult
        What it showed.
    saved : Saved
        How the book keeps it.
    """

    result: PlateResult
    saved: Saved[PlateEntry]


def read_request(said: Mapping[str, str], job: Job) -> PlateRequest:
    """Return what a form asks of a plate.

    Parameters
    ----------
    said : mapping
        vary (a factor with its levels on each line), order, a_row, see.
    job : Job
        The job.

    Raises
    ------
    InputError
        If a field can't be used.
    """
    lines = [line.strip() for line in said.get("vary", "").splitlines() if line.strip()]
    if len(lines) > 6 or any(len(line) > 200 for line in lines):
        raise InputError("vary", f"{len(lines)} lines", "must be up to 6 short lines")
    order = said.get("order", "") or str(Order.BLOCKS)
    if order not in {str(one) for one in Order}:
        raise InputError("order", order[:20], "must be blocks, rows or random")
    a_row, see = said.get("a_row", "").strip(), said.get("see", "").strip()
    if a_row and not (a_row.isdecimal() and len(a_row) < 4 and 1 <= int(a_row) <= _MOST_A_ROW):
        raise InputError("a_row", a_row[:20], f"must be from 1 to {_MOST_A_ROW} holes")
    return PlateRequest(
        factors=read_factors(lines, job) if lines else USUAL,
        order=Order(order),
        a_row=int(a_row) if a_row else None,
        see=_see(see, job) if see else None,
    )


def _see(text: str, job: Job) -> float:
    see = read_length(text, job.unit, "see")
    if not see > 0:
        raise InputError("see", text, "must be a length of more than 0")
    return see


def plate_for(kept: KeptJob, said: Mapping[str, str]) -> CutPlate:
    """Return the plate that a form asks for.

    Parameters
    ----------
    kept : KeptJob
        The job.
    said : mapping
        As in :func:`read_request`.
    """
    return cut_plate(kept.job, read_request(said, kept.job))


def plates_of(book: Reader, kept: KeptJob) -> tuple[Saved[PlateEntry], ...]:
    """Return the plates of a job that came back, the newest first.

    Parameters
    ----------
    book : Reader
        The book.
    kept : KeptJob
        The job.
    """
    return book.find(PlateEntry, revision_id=kept.revision.id)[::-1]


def take_plate_back(
    book: RecordBook, kept: KeptJob, content: bytes, name: str, *, bench: Bench, by: str
) -> CameBack:
    """Read what came back from the machine, say what it showed, and keep both.

    Parameters
    ----------
    book : RecordBook
        The book.
    kept : KeptJob
        The job.
    content : bytes
        The filled-in file.
    name : str
        Its name, for errors only.
    bench : Bench
        Clock.
    by : str
        Who brings it.

    Raises
    ------
    InputError
        For the first row that can't be used, with its line.
    """
    job = kept.job
    with tempfile.TemporaryDirectory(prefix="holewright-") as folder:
        path = Path(folder) / "plate.csv"
        path.write_bytes(content)
        try:
            came = read_plate_file(path, job.shop, job.unit, part_c=job.part_c)
        except InputError as error:
            if error.where is not None:
                error.where = replace(error.where, source=name)
            if str(path) in str(error.value):
                error.value = name
            raise
    result = read_plate(job, came)
    number = len(plates_of(book, kept)) + 1
    payload = {
        "file": content.decode("utf-8-sig", errors="replace").replace("\0", ""),
        "result": plate_result_document(job, result),
    }
    entry = PlateEntry(
        at=bench.now(),
        by=by,
        revision_id=kept.revision.id,
        name=f"plate {number}",
        payload=payload,
    )
    return CameBack(result, book.append(entry))
