"""Reads a file of readings: which pin went into which hole, which size was read."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

from holewright.errors import AmbiguousError, InputError
from holewright.gauging.reading import Reading
from holewright.jobs.csv_rows import read_rows
from holewright.jobs.fields import (
    Fields,
    length,
    optional,
    refuse,
    required,
    temperature,
    text,
)
from holewright.jobs.tool_rows import read_unit
from holewright.shop.pin import BoreGauge, Pin
from holewright.shop.shop import Shop
from holewright.units import Unit, mm_from, read_length, read_number

COLUMNS = ("hole", "gauge", "result", "size", "unit", "depth", "part_temp", "gauge_temp", "note")
GOES = ("goes", "go", "g", "yes", "in")
DOES_NOT_GO = (
    "does not go",
    "doesn't go",
    "does-not-go",
    "no-go",
    "no go",
    "nogo",
    "not go",
    "n",
    "no",
)
_RESULT = 'must be "goes" or "does not go" (also go, no-go, g, n)'
_SAME_SIZE = 1e-6
"""Marked sizes closer than this are one. [mm]"""
_ROWS_NAMED = 10


class _Gauges:
    """The pins and bore gauges of a shop, to be found as people name them."""

    def __init__(self, shop: Shop) -> None:
        self._all: tuple[Pin | BoreGauge, ...] = (*shop.pins, *shop.bore_gauges)
        self._by_id = {gauge.id.lower(): gauge for gauge in self._all}
        self._pins = shop.pins
        self._found: dict[str, Pin | BoreGauge] = {}

    def find(self, written: str) -> Pin | BoreGauge:
        """Return the gauge of that id, or the only pin of that marked size."""
        key = " ".join(written.lower().split())
        if key not in self._found:
            self._found[key] = self._by_id.get(key) or self._by_size(written)
        return self._found[key]

    def _by_size(self, written: str) -> Pin:
        sizes = _possible_sizes(written)
        same = [pin for pin in self._pins if any(abs(pin.marked - mm) < _SAME_SIZE for mm in sizes)]
        if len(same) == 1:
            return same[0]
        if same:
            ids = tuple(pin.id for pin in same)
            raise AmbiguousError(
                "gauge",
                written,
                f"fits more than one pin; write one of {', '.join(ids)}",
                readings=ids,
            )
        raise InputError("gauge", written, f"is not in the tool room; {self._nearest(sizes)}")

    def _nearest(self, sizes: tuple[float, ...]) -> str:
        if not self._all:
            return "it lists no pins and no bore gauges"
        if not self._pins or not sizes:
            return f"known are {', '.join(gauge.id for gauge in self._all[-5:])}"
        near = sorted(self._pins, key=lambda pin: min(abs(pin.marked - mm) for mm in sizes))[:4]
        ids = [pin.id for pin in sorted(near, key=lambda pin: pin.marked)]
        return f"nearest pins are {', '.join(ids)}"


def _possible_sizes(written: str) -> tuple[float, ...]:
    """Return the sizes in mm that a text can name: a bare number is tried in both units."""
    try:
        return (read_length(written),)
    except AmbiguousError:
        number = read_number(written)
        return tuple(mm_from(number, unit) for unit in Unit)
    except InputError:
        return ()


def find_gauge(shop: Shop, name: str) -> Pin | BoreGauge:
    """Return the gauge that a person names: by its id, or a pin by its marked size.

    Parameters
    ----------
    shop : Shop
        The tool room.
    name : str
        What was typed.

    Raises
    ------
    InputError
        If there is none, or more than one.
    """
    return _Gauges(shop).find(name)


def read_readings(
    path: str | Path, shop: Shop, *, part_c: float = 20.0, gauge_c: float = 20.0
) -> tuple[Reading, ...]:
    """Return the readings of a CSV file.

    Columns are ``hole``, ``gauge`` and ``result`` (goes, does not go) or ``size``; and, if
    wanted, ``unit``, ``depth``, ``part_temp``, ``gauge_temp``, ``note``. Commas, semicolons
    or tabs between the cells; lines that start with # are comments.

    Parameters
    ----------
    path : str or Path
        The file.
    shop : Shop
        The tool room: a gauge is named by its id, or a pin by its marked size.
    part_c, gauge_c : float
        Temperatures where a row doesn't say. [°C]

    Returns
    -------
    tuple of Reading
        In the order of the file. The same check twice is two readings.

    Raises
    ------
    InputError
        For the first row that can't be used, with its line and column; it also says which
        other rows can't.
    """
    found, wrong = collect_readings(path, shop, part_c=part_c, gauge_c=gauge_c)
    if wrong:
        raise first_of(wrong)
    return tuple(reading for _, reading in found)


def collect_readings(
    path: str | Path,
    shop: Shop,
    *,
    part_c: float = 20.0,
    gauge_c: float = 20.0,
    more: Sequence[str] = (),
    renamed: Mapping[str, str] | None = None,
    prepare: Callable[[Fields], Fields] = lambda fields: fields,
    wanted: Callable[[Fields], bool] = lambda fields: True,
) -> tuple[list[tuple[Fields, Reading]], list[InputError]]:
    """Return the readings of a CSV file with the fields of their rows, and what is wrong.

    Parameters
    ----------
    path : str or Path
        The file, as for :func:`read_readings`.
    shop : Shop
        The tool room.
    part_c, gauge_c : float
        Temperatures where a row doesn't say. [°C]
    more : sequence of str
        Columns that the file may have beside those of a reading.
    renamed : mapping, optional
        Column as the file calls it -> column that is known.
    prepare : callable
        Changes the fields of a row before they are read.
    wanted : callable
        Whether a row is a reading; others are left out.

    Returns
    -------
    found : list of (Fields, Reading)
        Rows that can be used, in the order of the file.
    wrong : list of InputError
        One for each row that can't be, with line and column.

    Raises
    ------
    InputError
        If the file can't be read at all.
    """
    columns = (*COLUMNS, *more)
    rows, wrong = read_rows(Path(path), "readings", "reading", columns, renamed=renamed)
    gauges = _Gauges(shop)
    found: list[tuple[Fields, Reading]] = []
    for row in rows:
        try:
            fields = prepare(row)
            if not wanted(fields):
                continue
            found.append((fields, _reading(fields, gauges, part_c, gauge_c)))
        except InputError as error:
            wrong.append(error)
    return found, wrong


def first_of(wrong: list[InputError]) -> InputError:
    """Return the first error of the file, with the lines of the others.

    Parameters
    ----------
    wrong : list of InputError
        At least one, each with its place.
    """
    lines = sorted(
        (error.where.line if error.where and error.where.line else 0, i)
        for i, error in enumerate(wrong)
    )
    first = wrong[lines[0][1]]
    others = [str(line) for line, _ in lines[1:]]
    if others:
        named = ", ".join(others[:_ROWS_NAMED]) + (", …" if len(others) > _ROWS_NAMED else "")
        many = "1 more row" if len(others) == 1 else f"{len(others)} more rows"
        first.accepted += f" ({many} can't be used either: line {named})"
        first.args = (str(first),)
    return first


def _reading(fields: Fields, gauges: _Gauges, part_c: float, gauge_c: float) -> Reading:
    fields = read_unit(fields)
    hole = required(fields, "hole", text, "A1")
    written = required(fields, "gauge", text, "8.01")
    try:
        gauge = gauges.find(written)
    except InputError as error:
        raise error.at(fields.place("gauge")) from None
    goes, size = _answer(fields, gauge)
    return Reading(
        hole=hole,
        gauge=gauge.id,
        goes=goes,
        size=size,
        depth=optional(fields, "depth", length, None),
        part_c=optional(fields, "part_temp", temperature, part_c),
        gauge_c=optional(fields, "gauge_temp", temperature, gauge_c),
        where=fields.place("gauge"),
        note=optional(fields, "note", text, ""),
    )


def _answer(fields: Fields, gauge: Pin | BoreGauge) -> tuple[bool | None, float | None]:
    """Return whether a pin goes, or the size that a bore gauge showed."""
    if isinstance(gauge, Pin):
        if "size" in fields.values:
            refuse(fields, "size", f"belongs to a bore gauge; {gauge.id} is a pin: fill in result")
        return required(fields, "result", _goes, "goes"), None
    if "result" in fields.values:
        refuse(fields, "result", f"belongs to a pin; {gauge.id} gives a number: fill in size")
    return None, required(fields, "size", length, "8.004 mm")


def _goes(fields: Fields, key: str) -> bool:
    word = " ".join(text(fields, key).lower().replace("_", " ").split())
    if word not in GOES + DOES_NOT_GO:
        refuse(fields, key, _RESULT)
    return word in GOES
