"""Reads readings out of a stranger's file: CSV with other columns and units, Parquet, QIF.

All rows are read before anything is kept. If one can't be used, none is.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime
from pathlib import Path

from holewright.errors import InputError, Where
from holewright.gauging.reading import Reading
from holewright.jobs.fields import Fields, nearest, optional, text, whole
from holewright.jobs.readingsfile import COLUMNS, collect_readings
from holewright.jobs.text_files import read_bytes
from holewright.records.exchange.csv_out import unguarded
from holewright.records.exchange.parquet import read_parquet
from holewright.records.exchange.qif_read import read_qif
from holewright.records.exchange.rows import ReadingRow
from holewright.shop.shop import Shop
from holewright.units import read_number

MORE = ("run", "cut", "at", "by")
"""Columns of a reading in the book beside those of a reading in a file."""
_LENGTHS = {"size": "a length unit such as mm, µm, in or thou", "depth": "a length unit"}
_TEMPERATURES = {"part_temp": "C or F", "gauge_temp": "C or F"}
_SHOWN = 20


@dataclass(frozen=True)
class Mapped:
    """How a stranger's file names its columns, and which units bare numbers in them have.

    Parameters
    ----------
    names : mapping
        Column as the file calls it -> column of ours.
    units : mapping
        Column of ours -> unit.
    """

    names: Mapping[str, str] = field(default_factory=dict)
    units: Mapping[str, str] = field(default_factory=dict)


def read_mapping(columns: Iterable[str], units: Iterable[str]) -> Mapped:
    """Return the mapping that a person wrote as ``size=Bore dia`` and ``size=in``.

    Parameters
    ----------
    columns : iterable of str
        Column of ours, ``=``, column as the file calls it.
    units : iterable of str
        Column of ours, ``=``, unit of bare numbers in it.

    Raises
    ------
    InputError
        If a column of ours isn't known, or something is missing.

    Examples
    --------
    >>> read_mapping(["size=Bore dia"], ["size=in"])
    Mapped(names={'Bore dia': 'size'}, units={'size': 'in'})
    """
    names = {}
    for ours, theirs in (_halves("column", written) for written in columns):
        if ours not in (known := (*COLUMNS, *MORE)):
            raise InputError("column", ours, f"is not known; {nearest(ours, known)}")
        names[theirs] = ours
    of = {}
    for ours, unit in (_halves("unit", written) for written in units):
        if ours not in (with_units := _LENGTHS | _TEMPERATURES):
            raise InputError("unit", ours, f"must be of one of: {', '.join(with_units)}")
        of[ours] = unit
    return Mapped(names, of)


def _halves(field: str, written: str) -> tuple[str, str]:
    ours, equals, theirs = written.partition("=")
    if not (ours.strip() and equals and theirs.strip()):
        raise InputError(field, written, "must be written as size=THEIRS, ours first")
    return ours.strip().lower(), theirs.strip()


def import_readings(
    path: str | Path, shop: Shop, *, mapped: Mapped | None = None, gauge: str = ""
) -> tuple[ReadingRow, ...]:
    """Return the readings of a file, by the ending of its name: csv, parquet, qif or xml.

    Parameters
    ----------
    path : str or Path
        The file.
    shop : Shop
        Tool room with the gauges.
    mapped : Mapped, optional
        Columns and units of a CSV file.
    gauge : str
        Bore gauge of a QIF file that names only holes.

    Raises
    ------
    InputError
        If the file or one of its rows can't be used; it names them all, by row and column.
    """
    path = Path(path)
    ending = path.suffix.lower()
    if ending == ".csv":
        return _from_csv(path, shop, mapped or Mapped())
    if mapped is not None and (mapped.names or mapped.units):
        raise InputError("column", path.name, "can only be mapped in a CSV file")
    if ending == ".parquet":
        rows = read_parquet(read_bytes(path, "readings"), str(path))
    elif ending in (".qif", ".xml"):
        found = read_qif(read_bytes(path, "readings"), str(path), gauge=gauge)
        rows = tuple(ReadingRow(reading) for reading in found)
    else:
        raise InputError("file", path, "must end in .csv, .parquet, .qif or .xml")
    _refuse(path, [error for row in rows for error in _wrong_gauge(row.reading, shop)])
    return rows


def _from_csv(path: Path, shop: Shop, mapped: Mapped) -> tuple[ReadingRow, ...]:
    def prepare(fields: Fields) -> Fields:
        values = {key: _with_unit(key, value, mapped) for key, value in fields.values.items()}
        return replace(fields, values=values)

    found, wrong = collect_readings(
        path, shop, more=MORE, renamed=mapped.names or None, prepare=prepare
    )
    rows = []
    for fields, reading in found:
        try:
            rows.append(_row(fields, reading))
        except InputError as error:
            wrong.append(error)
    _refuse(path, wrong)
    return tuple(rows)


def _with_unit(key: str, value: str, mapped: Mapped) -> str:
    """Return the text of a cell without a spreadsheet's apostrophe, and with its unit."""
    bare = unguarded(value)
    if key not in mapped.units:
        return bare
    try:
        read_number(bare)
    except InputError:
        return bare  # it says its unit itself, or is wrong: then that is said
    return f"{bare} {mapped.units[key]}"


def _row(fields: Fields, reading: Reading) -> ReadingRow:
    return ReadingRow(
        reading,
        run=optional(fields, "run", text, ""),
        cut=optional(fields, "cut", whole, None),
        at=optional(fields, "at", _moment, None),
        by=optional(fields, "by", text, ""),
    )


def _moment(fields: Fields, key: str) -> datetime:
    written = text(fields, key)
    try:
        moment = datetime.fromisoformat(written)
    except ValueError:
        moment = None
    if moment is None or moment.tzinfo is None:
        raise InputError(
            key, written, "must be a time with its zone: 2025-03-31T14:05+01:00", fields.place(key)
        )
    return moment


def _wrong_gauge(reading: Reading, shop: Shop) -> list[InputError]:
    """Return an error if the gauge isn't in the tool room, or is of the other kind."""
    gauges = shop.pins if reading.size is None else shop.bore_gauges
    if any(gauge.id == reading.gauge for gauge in gauges):
        return []
    kind = "pin" if reading.size is None else "bore gauge"
    ids = [gauge.id for gauge in gauges]
    hint = nearest(reading.gauge, ids) if len(ids) < _SHOWN else f"it has {len(ids)}"
    return [
        InputError(
            "gauge",
            reading.gauge,
            f"must be the id of a {kind} in the tool room; {hint}",
            reading.where,
        )
    ]


def _refuse(path: Path, wrong: Sequence[InputError]) -> None:
    """Raise one error that names every row that can't be used."""
    if not wrong:
        return
    lines = sorted(wrong, key=lambda error: (error.where and error.where.line) or 0)
    named = "\n".join(f"  {error}" for error in lines[:_SHOWN])
    rest = len(lines) - _SHOWN
    more = f"\n  and {rest} more" if rest > 0 else ""
    rows = "1 row" if len(lines) == 1 else f"{len(lines)} rows"
    raise InputError(
        "readings",
        rows,
        f"can't be used, so nothing was imported:\n{named}{more}",
        Where(str(path)),
    )
