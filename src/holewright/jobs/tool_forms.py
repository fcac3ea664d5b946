"""The tool room by hand: list it, add to it from a form or a CSV file, measure, take out."""

from __future__ import annotations

import tempfile
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

from holewright.errors import InputError, Where
from holewright.jobs import gauge_rows, machine_rows, tool_rows
from holewright.jobs.bench import Bench
from holewright.jobs.csv_rows import read_rows
from holewright.jobs.fields import Fields
from holewright.jobs.keep_book import KeptTools, holes_cut, keep_tools
from holewright.records.book import Reader, RecordBook, Saved
from holewright.records.tool_entries import (
    MeasurementEntry,
    Quantity,
    ToolEntry,
    ToolKind,
    ToolState,
)
from holewright.records.tool_room import Tool, as_measured, tool_of
from holewright.units import Unit, read_length

_ROWS: Mapping[ToolKind, tuple[Callable[[Fields], Tool], tuple[str, ...]]] = {
    ToolKind.MACHINE: (machine_rows.machine, machine_rows.MACHINE_KEYS),
    ToolKind.HOLDER: (machine_rows.holder, machine_rows.HOLDER_KEYS),
    ToolKind.DRILL: (tool_rows.drill, tool_rows.DRILL_KEYS),
    ToolKind.REAMER: (tool_rows.reamer, tool_rows.REAMER_KEYS),
    ToolKind.PIN: (gauge_rows.pin, gauge_rows.PIN_KEYS),
    ToolKind.BORE_GAUGE: (gauge_rows.bore_gauge, gauge_rows.BORE_GAUGE_KEYS),
}
"""Kind of tool -> what reads one of it, and the fields that it has."""

_LONGEST = 200
SHOWN = 60
"""Tools of one kind on a page; of more, those nearest to the size asked for. [-]"""


@dataclass(frozen=True)
class ToolRow:
    """One tool as the tool room lists it.

    Parameters
    ----------
    saved : Saved
        Its entry.
    tool : Machine, Holder, Drill, Reamer, Pin or BoreGauge
        The tool, as it was measured last.
    measured : MeasurementEntry, optional
        That measurement.
    overdue : bool
        Whether it was to be measured again by now.
    """

    saved: Saved[ToolEntry]
    tool: Tool
    measured: MeasurementEntry | None
    overdue: bool


def fields_of(kind: ToolKind) -> tuple[str, ...]:
    """Return the fields that a tool of a kind has, as a CSV file heads them."""
    return _ROWS[kind][1]


def size_of(tool: Tool) -> float | None:
    """Return the diameter of a tool that has one. [mm]"""
    marked = getattr(tool, "marked", None)
    DC = getattr(tool, "DC", None)
    return float(marked) if marked is not None else float(DC.value) if DC is not None else None


def tool_rows_of(
    book: Reader, kind: ToolKind, *, near: float | None = None, bench: Bench
) -> tuple[tuple[ToolRow, ...], int]:
    """Return tools of a kind, and how many of it there are in all.

    Parameters
    ----------
    book : Reader
        The book.
    kind : ToolKind
        The kind.
    near : float, optional
        Those nearest to this size are listed. [mm]
    bench : Bench
        Clock.

    Returns
    -------
    rows : tuple of ToolRow
        Up to :data:`SHOWN`, by size and name.
    count : int
        Tools of that kind, those that are gone left out. [-]
    """
    tools = [
        saved
        for saved in book.find(ToolEntry, kind=kind)
        if saved.entry.state is not ToolState.GONE
    ]
    made = [(saved, tool_of(saved.entry)) for saved in tools]
    if near is not None:
        made.sort(key=lambda pair: abs((size_of(pair[1]) or 0.0) - near))
    shown = sorted(made[:SHOWN], key=lambda pair: (size_of(pair[1]) or 0.0, pair[0].entry.name))
    today = bench.now().date()
    return tuple(_row(book, saved, tool, today) for saved, tool in shown), len(made)


def _row(book: Reader, saved: Saved[ToolEntry], tool: Tool, today: date) -> ToolRow:
    last = book.last(MeasurementEntry, tool_id=saved.id)
    entry = last.entry if last else None
    overdue = entry is not None and entry.due is not None and entry.due < today
    return ToolRow(saved, as_measured(tool, [entry] if entry else []), entry, overdue)


def cut_by(book: Reader, saved: Saved[ToolEntry]) -> int:
    """Return how many holes a tool has cut, as far as anybody wrote down."""
    return holes_cut(book, saved)


def _fields(kind: ToolKind, said: Mapping[str, str], unit: Unit | None) -> Fields:
    values = {}
    for key, written in said.items():
        if key not in fields_of(kind):
            raise InputError("field", key[:40], f"is not known of a {kind}")
        if len(written) > _LONGEST:
            raise InputError(key, written[:40] + " …", f"must have up to {_LONGEST} characters")
        if written.strip():
            values[key] = written.strip()
    if kind is ToolKind.MACHINE and "coolants" in values:
        split = [part.strip() for part in str(values["coolants"]).split("\n") if part.strip()]
        return Fields(str(kind), {**values, "coolants": split}, _nowhere, unit)
    return Fields(str(kind), values, _nowhere, unit)


def _nowhere(key: str) -> Where:
    return Where("form")


def add_tool(
    book: RecordBook, kind: ToolKind, said: Mapping[str, str], *, bench: Bench, by: str
) -> Tool:
    """Write a tool down from the fields of a form.

    Parameters
    ----------
    book : RecordBook
        The book.
    kind : ToolKind
        What it is.
    said : mapping
        Field -> what was written; blank ones count as not given.
    bench : Bench
        Clock.
    by : str
        Who writes it down.

    Raises
    ------
    InputError
        If a field can't be used, or there is one of that name already.
    """
    try:
        tool = _ROWS[kind][0](_fields(kind, said, None))
    except InputError as error:
        error.where = None
        raise
    if book.find(ToolEntry, kind=kind, name=tool.id):
        raise InputError("id", tool.id, f"is the name of another {kind}; give each its own")
    keep_tools(book, (tool,), bench=bench, by=by)
    return tool


def add_pin_set(
    book: RecordBook, said: Mapping[str, str], *, bench: Bench, by: str
) -> tuple[KeptTools, tuple[str, ...]]:
    """Write a whole set of pins down.

    Parameters
    ----------
    book : RecordBook
        The book.
    said : mapping
        first, last, step, unit, sense, grade, missing.
    bench : Bench
        Clock.
    by : str
        Who writes it down.

    Returns
    -------
    kept : KeptTools
        How many were new.
    taken : tuple of str
        What was taken for what nobody said.
    """
    values = {key: text.strip() for key, text in said.items() if text.strip()}
    try:
        pins, taken = gauge_rows.pins_of_set(Fields("pin_set", values, _nowhere, None))
    except InputError as error:
        error.where = None
        raise
    return keep_tools(book, pins, bench=bench, by=by), taken


def import_tools(
    book: RecordBook,
    kind: ToolKind,
    content: bytes,
    name: str,
    *,
    unit: Unit | None,
    bench: Bench,
    by: str,
) -> KeptTools:
    """Read a CSV file of tools into the book, all of it or nothing.

    Parameters
    ----------
    book : RecordBook
        The book.
    kind : ToolKind
        What its rows are.
    content : bytes
        What the file holds.
    name : str
        Its name, for errors only.
    unit : Unit, optional
        What its bare lengths are in.
    bench : Bench
        Clock.
    by : str
        Who reads it in.

    Raises
    ------
    InputError
        For the first row that can't be used, with its line.
    """
    make, columns = _ROWS[kind]
    with tempfile.TemporaryDirectory(prefix="holewright-") as folder:
        path = Path(folder) / "upload.csv"
        path.write_bytes(content)
        try:
            rows, wrong = read_rows(path, f"{kind} list", str(kind), columns, unit)
            if wrong:
                raise wrong[0]
            tools = [make(row) for row in rows]
        except InputError as error:
            raise _of_upload(error, str(path), name) from None
    return keep_tools(book, tools, bench=bench, by=by)


def _of_upload(error: InputError, path: str, name: str) -> InputError:
    """Return an error that names the file as the person knows it, not where it lay."""
    if error.where is not None:
        error.where = replace(error.where, source=name)
    if path in str(error.value):
        error.value = name
    return error


def measure_tool(
    book: RecordBook,
    tool_id: int,
    said: Mapping[str, str],
    *,
    unit: Unit,
    bench: Bench,
    by: str,
) -> Saved[MeasurementEntry]:
    """Write down what was measured of a tool.

    Parameters
    ----------
    book : RecordBook
        The book.
    tool_id : int
        The tool.
    said : mapping
        value, u, certificate, due.
    unit : Unit
        What a bare length is in.
    bench : Bench
        Clock.
    by : str
        Who measured.

    Raises
    ------
    InputError
        If there is no such tool, it isn't measured, or a value can't be used.
    """
    entry = book.get(ToolEntry, tool_id).entry
    if entry.kind is ToolKind.BORE_GAUGE:
        raise InputError("value", entry.name, "is an instrument; its uncertainty is in its list")
    runout = entry.kind in (ToolKind.HOLDER, ToolKind.MACHINE)
    u = said.get("u", "").strip()
    return book.append(
        MeasurementEntry(
            at=bench.now(),
            by=by,
            tool_id=tool_id,
            quantity=Quantity.RUNOUT if runout else Quantity.SIZE,
            value=read_length(said.get("value", ""), unit, "value"),
            u=read_length(u, unit, "u") if u else tool_rows.MEASURED_U,
            certificate=said.get("certificate", "").strip()[:_LONGEST],
            due=_date(said.get("due", "")),
        )
    )


def _date(text: str) -> date | None:
    if not text.strip():
        return None
    try:
        return date.fromisoformat(text.strip())
    except ValueError:
        raise InputError("due", text[:40], "must be a date such as 2027-03-31") from None


def set_state(book: RecordBook, tool_id: int, state: str, *, version: int) -> Saved[ToolEntry]:
    """Say whether a tool can be used.

    Parameters
    ----------
    book : RecordBook
        The book.
    tool_id : int
        The tool.
    state : str
        in use, worn, broken or gone.
    version : int
        Version of its entry that the change was made on.

    Raises
    ------
    InputError
        If there is no such tool or state.
    StaleError
        If somebody else has changed it.
    """
    if state not in {str(one) for one in ToolState}:
        raise InputError("state", state[:40], "must be in use, worn, broken or gone")
    saved = replace(book.get(ToolEntry, tool_id), version=version)
    return book.change(saved, replace(saved.entry, state=ToolState(state)))
