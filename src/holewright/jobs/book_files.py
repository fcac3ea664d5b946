"""The record book to files and back: what a file is follows from the ending of its name."""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path
from typing import IO
from uuid import NAMESPACE_OID, uuid5

from holewright.errors import InputError
from holewright.jobs.bench import Bench
from holewright.jobs.import_readings import Mapped, import_readings
from holewright.jobs.job import Job
from holewright.jobs.jobfile import read_job
from holewright.jobs.keep_book import (
    find_job,
    job_of,
    keep_job,
    keep_tool_room,
    latest_revision,
)
from holewright.jobs.keep_readings import find_run, holding_readings, keep_readings
from holewright.jobs.shopfile import read_shop
from holewright.jobs.text_files import read_text
from holewright.jobs.toml_lines import parse_toml
from holewright.proof.verdict import Decision
from holewright.records.book import Reader, Saved
from holewright.records.entries import (
    EstimateEntry,
    ReadingEntry,
    RevisionEntry,
    RunEntry,
    VerdictEntry,
)
from holewright.records.exchange.csv_out import readings_csv
from holewright.records.exchange.parquet import write_parquet
from holewright.records.exchange.qif_write import write_qif
from holewright.records.exchange.rows import reading_rows
from holewright.records.exchange.whole_job import job_data, take_job
from holewright.records.in_force import readings_of
from holewright.records.new_file import new_file
from holewright.records.sql import SqlBook

ENDINGS = (".csv", ".parquet", ".json", ".qif", ".toml")


@dataclass(frozen=True)
class Imported:
    """What was read in.

    Parameters
    ----------
    what : str
        ``job``, ``tool room``, ``readings`` or ``whole job``.
    name : str
        Name of the job or tool room.
    counts : tuple of (str, int)
        How many of each sort, in words.
    revision : int, optional
        Number of the job's revision that it belongs to.
    """

    what: str
    name: str
    counts: tuple[tuple[str, int], ...]
    revision: int | None = None


def import_file(
    book: SqlBook,
    path: Path,
    *,
    job: str = "",
    run: str = "",
    mapped: Mapped | None = None,
    gauge: str = "",
    why: str = "",
    bench: Bench,
    by: str,
) -> Imported:
    """Read a file into the book, all of it or nothing.

    Parameters
    ----------
    book : SqlBook
        The book.
    path : Path
        A job file or shop file (toml), a whole job (json), or readings (csv, parquet, qif).
    job : str
        Job that readings belong to.
    run : str
        Run that readings belong to; made if there is none of that name.
    mapped : Mapped, optional
        Columns and units of a CSV file.
    gauge : str
        Bore gauge of a QIF file that names only holes.
    why : str
        Why a job has a new revision.
    bench : Bench
        Clock and versions.
    by : str
        Who reads it in.

    Returns
    -------
    Imported
        What it was.

    Raises
    ------
    InputError
        If the file or something in it can't be used. Then nothing of it is kept.
    """
    ending = path.suffix.lower()
    if ending == ".toml":
        return _import_toml(book, path, why, bench, by)
    if ending == ".json":
        return _import_whole_job(book, path)
    if not job:
        raise InputError("job", "not given", "must say which job the readings belong to: --job")
    revision = latest_revision(book, job)
    rows = import_readings(path, job_of(revision.entry).shop, mapped=mapped, gauge=gauge)
    kept = keep_readings(book, revision, rows, run=run, bench=bench, by=by)
    counts = (("new", len(kept.new)), ("there already", kept.there))
    return Imported("readings", job, counts, revision.entry.number)


def _import_toml(book: SqlBook, path: Path, why: str, bench: Bench, by: str) -> Imported:
    text = read_text(path, "job or shop file")
    if "hole" in parse_toml(text, str(path)).data:
        job = read_job(path)
        saved = keep_job(book, job, text, bench=bench, by=by, why=why)
        return Imported("job", job.name, (), saved.entry.number)
    shop = read_shop(path)
    kept = keep_tool_room(book, shop, bench=bench, by=by)
    counts = (("new", kept.new), ("changed", kept.changed), ("measured", kept.measured))
    return Imported("tool room", shop.name, counts)


def _import_whole_job(book: SqlBook, path: Path) -> Imported:
    try:
        data = json.loads(read_text(path, "whole job"))
    except (ValueError, RecursionError) as error:
        raise InputError("file", path, f"must be JSON: {error}") from None
    with book.together() as writer:
        counts = take_job(writer, data, str(path))
    names = [one["name"] for one in data["entries"] if one["entry"] == "jobs"]
    return Imported("whole job", ", ".join(names), tuple(counts.items()))


def export_job(
    book: SqlBook, name: str, path: Path, *, run: str = "", bench: Bench, force: bool = False
) -> int:
    """Write what the book has of a job to a file, whole or not at all.

    Parameters
    ----------
    book : SqlBook
        The book.
    name : str
        Name of the job.
    path : Path
        File to write. csv, parquet and qif carry the readings that hold, json everything the
        book knows of the job, toml the job file of its latest revision.
    run : str
        Only the readings of this run.
    bench : Bench
        Versions that the file names.
    force : bool
        Whether a file of that name may be overwritten.

    Returns
    -------
    int
        Readings in the file, or entries in the case of json, or 1 job file.

    Raises
    ------
    InputError
        If there is no such job or run, or the name of the file can't be used.
    """
    ending = path.suffix.lower()
    if ending not in ENDINGS:
        raise InputError("file", path, f"must end in one of {', '.join(ENDINGS)}")
    if run and ending in (".json", ".toml"):
        raise InputError("run", run, f"can't be taken out by itself in a {ending} file")
    revision = latest_revision(book, name)
    with new_file(path, book.engine.url, force=force) as file:
        if ending == ".toml":
            file.write(revision.entry.text.encode())
            return 1
        if ending == ".json":
            data = job_data(book, find_job(book, name))
            file.write(json.dumps(data, indent=1, allow_nan=False).encode())
            return len(data["entries"])
        return _write_readings(book, revision, run, ending, file, bench)


def _write_readings(
    book: Reader,
    revision: Saved[RevisionEntry],
    run_name: str,
    ending: str,
    file: IO[bytes],
    bench: Bench,
) -> int:
    run = find_run(book, revision, run_name) if run_name else None
    holding = holding_readings(book, revision, run)
    job = job_of(revision.entry)
    if ending == ".qif":
        file.write(_qif(book, revision, job, holding))
        return len(holding)
    runs = [run] if run else book.find(RunEntry, revision_id=revision.id)
    rows = reading_rows(holding, runs)
    if ending == ".csv":
        file.write(readings_csv(rows).encode())
    else:
        write_parquet(file, rows, _about(job, bench))
    return len(rows)


def _about(job: Job, bench: Bench) -> dict[str, str]:
    return {
        "job": job.name,
        "callout": job.callout.text,
        "lower_mm": repr(job.callout.limits.lower),
        "upper_mm": repr(job.callout.limits.upper),
        "software": f"holewright {bench.version}",
        "invented": "yes" if job.invented else "no",
    }


def _qif(
    book: Reader,
    revision: Saved[RevisionEntry],
    job: Job,
    holding: tuple[Saved[ReadingEntry], ...],
) -> bytes:
    keys = [revision.entry.key, *(saved.entry.key for saved in holding)]
    return write_qif(
        readings_of(holding),
        callout=job.callout,
        shop=job.shop,
        material_alpha=job.material.alpha,
        qpid=uuid5(NAMESPACE_OID, " ".join(keys)),
        status=_status(book, revision, holding),
    )


def _status(
    book: Reader, revision: Saved[RevisionEntry], holding: tuple[Saved[ReadingEntry], ...]
) -> str:
    """Return the status that the last verdict on just these readings gives them."""
    ids = tuple(saved.id for saved in holding)
    for estimate in reversed(book.find(EstimateEntry, revision_id=revision.id)):
        if estimate.entry.reading_ids == ids:
            for verdict in reversed(book.find(VerdictEntry, estimate_id=estimate.id)):
                if verdict.entry.verdict.decision is Decision.RELEASE:
                    return "PASS"
                return "FAIL" if estimate.entry.estimate.bad else "UNKNOWN"
    return "NOT_CALCULATED"
