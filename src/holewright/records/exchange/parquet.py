"""Readings as Parquet, for those who reckon further with them. Needs ``holewright[parquet]``."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from io import BytesIO
from typing import IO, Any

from holewright.errors import BookError, InputError, Where
from holewright.gauging.reading import Reading
from holewright.records.exchange.rows import ReadingRow

_NEEDED = ("hole", "gauge")


def _pyarrow() -> Any:
    try:
        import pyarrow
        import pyarrow.parquet
    except ModuleNotFoundError:
        raise BookError("Parquet files need pyarrow: install holewright[parquet].") from None
    return pyarrow


def _schema(pyarrow: Any, about: Mapping[str, str]) -> Any:
    text, real = pyarrow.string(), pyarrow.float64()
    return pyarrow.schema(
        [
            pyarrow.field("hole", text, nullable=False),
            pyarrow.field("gauge", text, nullable=False),
            ("goes", pyarrow.bool_()),
            ("size_mm", real),
            ("depth_mm", real),
            ("part_c", real),
            ("gauge_c", real),
            ("note", text),
            ("run", text),
            ("cut", pyarrow.int64()),
            ("at", pyarrow.timestamp("us", tz="UTC")),
            ("by", text),
        ],
        metadata=dict(about),
    )


def write_parquet(file: IO[bytes], rows: Iterable[ReadingRow], about: Mapping[str, str]) -> None:
    """Write readings as Parquet.

    Parameters
    ----------
    file : file
        Where to write.
    rows : iterable of ReadingRow
        The readings.
    about : mapping
        What the file's metadata say: job, callout, software.

    Raises
    ------
    BookError
        If pyarrow isn't installed.
    """
    pyarrow = _pyarrow()
    data = [
        {
            "hole": row.reading.hole,
            "gauge": row.reading.gauge,
            "goes": row.reading.goes,
            "size_mm": row.reading.size,
            "depth_mm": row.reading.depth,
            "part_c": float(row.reading.part_c),
            "gauge_c": float(row.reading.gauge_c),
            "note": row.reading.note,
            "run": row.run,
            "cut": row.cut,
            "at": row.at,
            "by": row.by,
        }
        for row in rows
    ]
    table = pyarrow.Table.from_pylist(data, schema=_schema(pyarrow, about))
    pyarrow.parquet.write_table(table, file)


def read_parquet(raw: bytes, source: str) -> tuple[ReadingRow, ...]:
    """Return the readings of a Parquet file.

    Parameters
    ----------
    raw : bytes
        The file.
    source : str
        Its name, for errors.

    Returns
    -------
    tuple of ReadingRow
        In the order of the file.

    Raises
    ------
    InputError
        If it isn't such a file, or a row can't be used, with row and column.
    BookError
        If pyarrow isn't installed.
    """
    pyarrow = _pyarrow()
    try:
        table = pyarrow.parquet.read_table(BytesIO(raw))
    except (pyarrow.ArrowException, OSError) as error:
        raise InputError("file", source, f"must be a Parquet file: {error}") from None
    known = _schema(pyarrow, {})
    for field in table.schema:
        if field.name not in known.names:
            raise InputError(
                "column", field.name, f"is not known; known are {', '.join(known.names)}"
            )
    for name in _NEEDED:
        if name not in table.schema.names:
            raise InputError("column", name, "must be there", Where(source))
    try:
        table = table.cast(pyarrow.schema([known.field(name) for name in table.schema.names]))
    except (pyarrow.ArrowException, ValueError) as error:
        raise InputError("columns", source, f"must have the types of a reading: {error}") from None
    return tuple(
        _row(values, Where(source, number)) for number, values in enumerate(table.to_pylist(), 1)
    )


def _row(values: Mapping[str, Any], where: Where) -> ReadingRow:
    for name in _NEEDED:
        if not values[name]:
            raise InputError(name, "blank", "must be there", Where(where.source, where.line, name))

    def temperature(name: str) -> float:
        value = values.get(name)
        return 20.0 if value is None else float(value)

    return ReadingRow(
        Reading(
            hole=values["hole"],
            gauge=values["gauge"],
            goes=values.get("goes"),
            size=values.get("size_mm"),
            depth=values.get("depth_mm"),
            part_c=temperature("part_c"),
            gauge_c=temperature("gauge_c"),
            where=where,
            note=values.get("note") or "",
        ),
        run=values.get("run") or "",
        cut=values.get("cut"),
        at=values.get("at"),
        by=values.get("by") or "",
    )
