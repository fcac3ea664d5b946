"""Readings as CSV, safe to open in a spreadsheet.

A spreadsheet takes a cell that begins with ``=``, ``+``, ``-`` or ``@`` for a formula and
runs it. Such a text gets an apostrophe in front, which spreadsheets don't show; reading the
file back takes it off again.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable

from holewright.records.exchange.rows import ReadingRow

COLUMNS = (
    "hole",
    "gauge",
    "result",
    "size",
    "unit",
    "depth",
    "part_temp",
    "gauge_temp",
    "note",
    "run",
    "cut",
    "at",
    "by",
)
_FORMULA = ("=", "+", "-", "@", "\t", "\r")


def guarded(text: str) -> str:
    """Return a text that no spreadsheet runs.

    Parameters
    ----------
    text : str
        Any text. One that begins with an apostrophe before such a sign gets another, so that
        taking it off gives the same text again.

    Examples
    --------
    >>> guarded("=1+1"), guarded("A1"), unguarded(guarded("=1+1"))
    ("'=1+1", 'A1', '=1+1')
    """
    return f"'{text}" if text.lstrip("'").startswith(_FORMULA) else text


def unguarded(text: str) -> str:
    """Return the text that :func:`guarded` was given.

    Parameters
    ----------
    text : str
        Text of a cell.
    """
    return text[1:] if text.startswith("'") and text.lstrip("'").startswith(_FORMULA) else text


def readings_csv(rows: Iterable[ReadingRow]) -> str:
    """Return readings as CSV, lengths in mm and temperatures in °C.

    Parameters
    ----------
    rows : iterable of ReadingRow
        The readings.
    """
    text = io.StringIO(newline="")
    writer = csv.writer(text)
    writer.writerow(COLUMNS)
    for row in rows:
        reading = row.reading
        result = "" if reading.goes is None else "goes" if reading.goes else "does not go"
        writer.writerow(
            (
                guarded(reading.hole),
                guarded(reading.gauge),
                result,
                _number(reading.size),
                "mm",
                _number(reading.depth),
                _number(reading.part_c),
                _number(reading.gauge_c),
                guarded(_one_line(reading.note)),
                guarded(row.run),
                "" if row.cut is None else row.cut,
                row.at.isoformat() if row.at else "",
                guarded(row.by),
            )
        )
    return text.getvalue()


def _number(value: float | None) -> str:
    return "" if value is None else repr(float(value))


def _one_line(text: str) -> str:
    """Return a text on one line: shop programs read a CSV file line by line."""
    return " ".join(text.split())
