"""Tools over their life in the record book: holes cut, a change, and when the next one is due."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from holewright.errors import InputError, NoAnswerError
from holewright.gauging.reading import Reading
from holewright.jobs.bench import Bench
from holewright.jobs.follow_tools import Lives, follow_tools
from holewright.jobs.gauge_holes import FIRST_RUN
from holewright.jobs.keep_book import holes_cut, open_run
from holewright.jobs.kept_jobs import KeptJob
from holewright.jobs.life_file import by_tool
from holewright.planning.plan import OperationKind
from holewright.records.book import Reader, RecordBook, Saved
from holewright.records.entries import ReadingEntry, RunEntry
from holewright.records.in_force import in_force
from holewright.records.tool_entries import (
    HolesCutEntry,
    ToolChangeEntry,
    ToolEntry,
    ToolKind,
    ToolState,
)

_NAME = re.compile(r"(\d{1,7})-(\d{1,4})")
_MOST = 10_000_000


@dataclass(frozen=True)
class KeptTool:
    """The reamer of a job and what the book knows of its life.

    Parameters
    ----------
    name : str
        The reamer by its name in the tool room; empty where the route has none.
    saved : Saved, optional
        Its entry; None where the tool room doesn't list it.
    cut : int
        Holes that it has cut, as far as anybody wrote down. [-]
    life : float, optional
        Holes that it is expected to make. [-]
    """

    name: str
    saved: Saved[ToolEntry] | None
    cut: int
    life: float | None


def _reamers(book: Reader) -> dict[int, Saved[ToolEntry]]:
    return {saved.id: saved for saved in book.find(ToolEntry, kind=ToolKind.REAMER)}


def _planned(kept: KeptJob) -> tuple[str, float | None]:
    route = kept.plan.route
    steps = [op for op in route.operations if op.kind is OperationKind.REAM] if route else []
    if not steps:
        return "", None
    life = dict(steps[-1].numbers).get("life [holes]")
    return steps[-1].tool, life.value if life else None


def tool_now(book: Reader, kept: KeptJob) -> KeptTool:
    """Return the reamer that is in the machine: that of the last run, else that of the route.

    Parameters
    ----------
    book : Reader
        The book.
    kept : KeptJob
        The job.
    """
    planned, life = _planned(kept)
    name = planned
    tools = _reamers(book)
    for run in reversed(book.find(RunEntry, revision_id=kept.revision.id)):
        if run.entry.reamer_id is not None and run.entry.reamer_id in tools:
            name = tools[run.entry.reamer_id].entry.name
            break
    saved = next((one for one in tools.values() if one.entry.name == name), None)
    if name != planned:
        usual = {reamer.id: reamer.life_holes.value for reamer in kept.job.shop.reamers}
        life = usual.get(name)
    return KeptTool(name, saved, holes_cut(book, saved) if saved else 0, life)


def lives_of(book: Reader, kept: KeptJob, *, next_holes: int | None = None) -> Lives:
    """Return when to change each tool, from the readings of all runs of a revision.

    A hole's place in the life of its tool is what was written down with it; else it follows
    from its name, part and hole, counted on from run to run of the same tool.

    Parameters
    ----------
    book : Reader
        The book.
    kept : KeptJob
        The job.
    next_holes : int, optional
        Holes of the next run. [-]

    Raises
    ------
    NoAnswerError
        If too little was gauged to follow a tool.
    """
    planned, _ = _planned(kept)
    tools = _reamers(book)
    runs = book.find(RunEntry, revision_id=kept.revision.id)
    written = in_force(book.find(ReadingEntry, revision_id=kept.revision.id))
    rows: list[tuple[str, int, Reading]] = []
    before: dict[str, int] = {}
    for run_id in [*(run.id for run in runs), None]:
        run = next((one for one in runs if one.id == run_id), None)
        reamer = tools.get(run.entry.reamer_id or 0) if run else None
        tool = reamer.entry.name if reamer else planned
        offset = before.get(tool, 0)
        for saved in written:
            if saved.entry.run_id == run_id and saved.entry.reading is not None:
                cut = saved.entry.cut or _place(kept, saved.entry.reading.hole, offset)
                if cut:
                    prefix = f"{run.entry.name}: " if run and len(runs) > 1 else ""
                    reading = replace(saved.entry.reading, hole=prefix + saved.entry.reading.hole)
                    rows.append((tool, cut, reading))
                    before[tool] = max(before.get(tool, 0), cut)
    if not rows:
        raise NoAnswerError(
            "Nothing was gauged yet whose place in the life of the reamer is known. Gauge holes "
            "of the first parts, and some of the last ones, and look again."
        )
    return follow_tools(kept.job, by_tool(rows), next_holes=next_holes)


def _place(kept: KeptJob, hole: str, offset: int) -> int | None:
    """Return how many holes were cut at a hole, by its name: part and hole of the part."""
    match = _NAME.fullmatch(hole)
    if match is None:
        return None
    each = len(kept.job.holes)
    part, number = int(match[1]), int(match[2])
    return offset + (part - 1) * each + number if 1 <= number <= each else None


def count_holes(
    book: RecordBook, kept: KeptJob, holes: str, *, bench: Bench, by: str, key: str
) -> Saved[HolesCutEntry]:
    """Write down how many more holes the reamer in the machine has cut.

    Parameters
    ----------
    book : RecordBook
        The book.
    kept : KeptJob
        The job.
    holes : str
        How many, as it was written.
    bench : Bench
        Clock.
    by : str
        Who counts.
    key : str
        Name of the request: the same again counts nothing twice.

    Raises
    ------
    InputError
        If it is no number of holes.
    NoAnswerError
        If the tool room doesn't list the reamer.
    """
    tool = _listed(book, kept)
    number = read_holes(holes, "holes")
    return book.append(HolesCutEntry(at=bench.now(), by=by, key=key, tool_id=tool.id, holes=number))


def read_holes(text: str, field: str) -> int:
    """Return a number of holes as it was written.

    Parameters
    ----------
    text : str
        As it was written.
    field : str
        Name of the field.

    Raises
    ------
    InputError
        If it is none.
    """
    bare = text.strip().replace(",", "").replace(" ", "")
    if not bare.isdecimal() or not 1 <= int(bare[:12]) <= _MOST:
        raise InputError(field, text.strip()[:40] or "blank", "must be a number of holes")
    return int(bare)


def _listed(book: Reader, kept: KeptJob) -> Saved[ToolEntry]:
    tool = tool_now(book, kept)
    if tool.saved is None:
        raise NoAnswerError(
            f"{tool.name or 'The reamer'} is not listed in the tool room, so nobody counts for it. "
            "Add it there first."
        )
    return tool.saved


def reamers_like(book: Reader, kept: KeptJob) -> tuple[str, ...]:
    """Return the reamers in use that are near the size of a job, by name.

    Parameters
    ----------
    book : Reader
        The book.
    kept : KeptJob
        The job.
    """
    sizes = {reamer.id: reamer.DC.value for reamer in kept.job.shop.reamers}
    reach = 5 * kept.job.callout.limits.width
    middle = kept.job.callout.limits.middle
    return tuple(
        saved.entry.name
        for saved in _reamers(book).values()
        if saved.entry.state is ToolState.IN_USE
        and abs(sizes.get(saved.entry.name, middle) - middle) <= reach
    )


def change_tool(
    book: RecordBook,
    kept: KeptJob,
    *,
    put_in: str,
    why: str,
    worn: bool,
    bench: Bench,
    by: str,
) -> Saved[RunEntry]:
    """Write down that the reamer was changed; the run with the new one begins.

    Parameters
    ----------
    book : RecordBook
        The book.
    kept : KeptJob
        The job.
    put_in : str
        The reamer put in, by its name in the tool room.
    why : str
        Why the old one was taken out.
    worn : bool
        Whether the old one is used up.
    bench : Bench
        Clock.
    by : str
        Who changed it.

    Raises
    ------
    InputError
        If there is no such reamer, or nobody says why.
    NoAnswerError
        If the tool room doesn't list the one taken out.
    """
    if not why.strip():
        raise InputError("why", "blank", "must say why: worn, broken, size near the limit …")
    out = _listed(book, kept)
    new = next((one for one in _reamers(book).values() if one.entry.name == put_in), None)
    if new is None or new.entry.state is not ToolState.IN_USE:
        raise InputError("put_in", put_in[:80] or "blank", "must be a reamer that is in use")
    cut = holes_cut(book, out)
    runs = book.find(RunEntry, revision_id=kept.revision.id)
    number = len(runs) + 1
    with book.together() as writer:
        last = runs[-1] if runs else open_run(writer, kept.revision, FIRST_RUN, bench=bench, by=by)
        if last.entry.reamer_id is None:
            last = writer.change(last, replace(last.entry, reamer_id=out.id))
        writer.append(
            ToolChangeEntry(
                at=bench.now(),
                by=by,
                run_id=last.id,
                out_id=out.id,
                in_id=new.id,
                holes=cut,
                why=why.strip()[:300],
            )
        )
        writer.change(last, replace(last.entry, ended=bench.now()))
        if worn and new.id != out.id:
            writer.change(out, replace(out.entry, state=ToolState.WORN))
        return writer.append(
            RunEntry(
                at=bench.now(),
                by=by,
                revision_id=kept.revision.id,
                name=f"{new.entry.name}, run {number}",
                reamer_id=new.id,
            )
        )
