"""Reads a shop file: the tool room as a person lists it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Protocol, TypeVar

from holewright.errors import InputError, Where
from holewright.jobs import gauge_rows, machine_rows, tool_rows
from holewright.jobs.csv_rows import read_rows
from holewright.jobs.fields import (
    Fields,
    nearest,
    number,
    optional,
    refuse,
    refuse_unknown,
    text,
    texts,
    yes,
)
from holewright.jobs.toml_lines import TomlFile, read_toml
from holewright.shop.drill import Drill
from holewright.shop.generic import generic_shop
from holewright.shop.pin import Pin
from holewright.shop.shop import Shop


class _Named(Protocol):
    """A thing of the tool room."""

    @property
    def id(self) -> str: ...


T = TypeVar("T", bound=_Named)

SHOP_KEYS = ("name", "unit", "gauge_alpha", "invented", "notes")
_CSV_KEYS = {
    "machines": ("machine", machine_rows.MACHINE_KEYS),
    "holders": ("holder", machine_rows.HOLDER_KEYS),
    "drills": ("drill", tool_rows.DRILL_KEYS),
    "reamers": ("reamer", tool_rows.REAMER_KEYS),
    "pins": ("pin", gauge_rows.PIN_KEYS),
    "bore_gauges": ("bore_gauge", gauge_rows.BORE_GAUGE_KEYS),
}
"""Key of [shop] that names a CSV file -> the table it stands for, and its columns."""
_TABLES = (*(table for table, _ in _CSV_KEYS.values()), "drill_set", "pin_set")
_STEEL_ALPHA = 11.5e-6


@dataclass(frozen=True)
class _Source:
    """A shop file and the folder that its CSV files lie in."""

    file: TomlFile
    folder: Path
    head: Fields

    def rows(self, table: str) -> Iterator[Fields]:
        """Yield the fields of each table of that name, then of each row of its CSV file."""
        entries = self.file.data.get(table, [])
        if not isinstance(entries, list) or not all(isinstance(one, dict) for one in entries):
            raise InputError(
                table,
                f"[{table}]",
                f"must be written with two brackets, [[{table}]], once for each",
                self.file.place(table),
            )
        for i, values in enumerate(entries):
            yield Fields(table, values, _placing(self.file, (table, i)), self.head.unit)
        for key, (name, columns) in _CSV_KEYS.items():
            if name == table and key in self.head.values:
                yield from self._csv_rows(key, columns)

    def _csv_rows(self, key: str, columns: tuple[str, ...]) -> Iterator[Fields]:
        path = self.folder / text(self.head, key)
        name, _ = _CSV_KEYS[key]
        try:
            rows, wrong = read_rows(path, key, name, columns, self.head.unit)
        except InputError as error:
            raise error.at(self.head.place(key)) from None
        if wrong:
            raise wrong[0]
        yield from rows


def _placing(file: TomlFile, path: tuple[str | int, ...]) -> Callable[[str], Where]:
    return lambda key: file.place(*path, key)


def read_shop(path: str | Path) -> Shop:
    """Return the tool room that a shop file lists.

    Parameters
    ----------
    path : str or Path
        A TOML file with ``[shop]`` and any of ``[[machine]]``, ``[[holder]]``,
        ``[[drill]]``, ``[[drill_set]]``, ``[[reamer]]``, ``[[pin]]``, ``[[pin_set]]`` and
        ``[[bore_gauge]]``. ``[shop]`` may name CSV files instead: ``drills = "drills.csv"``.

    Returns
    -------
    Shop
        The tool room. Where the file lists no machine, holder, drill or reamer, those of
        the built-in tool room are taken, and its `notes` say so.

    Raises
    ------
    InputError
        If the file can't be read, or a key is unknown or its value can't be used, with the
        line.
    """
    path = Path(path)
    source = _open(read_toml(path, "shop file"), path.parent)
    head = source.head
    notes = list(optional(head, "notes", texts, ()))
    built_in = generic_shop()
    if optional(head, "invented", yes, False):
        notes.append("this tool room is invented")

    def or_built_in(kind: str, found: tuple[T, ...], other: tuple[T, ...]) -> tuple[T, ...]:
        if found:
            return found
        notes.append(f"{kind}: the shop file lists none, those of the built-in tool room taken")
        return other

    drills = _each(source, "drill", tool_rows.drill)
    pins, taken = _pins(source)
    notes += taken
    return Shop(
        name=optional(head, "name", text, path.stem),
        machines=or_built_in(
            "machines", _each(source, "machine", machine_rows.machine), built_in.machines
        ),
        holders=or_built_in(
            "holders", _each(source, "holder", machine_rows.holder), built_in.holders
        ),
        drills=or_built_in("drills", _with_sets(source, drills), built_in.drills),
        reamers=or_built_in("reamers", _each(source, "reamer", tool_rows.reamer), built_in.reamers),
        pins=pins,
        bore_gauges=_each(source, "bore_gauge", gauge_rows.bore_gauge),
        gauge_alpha=_gauge_alpha(head),
        notes=tuple(notes),
    )


def _open(file: TomlFile, folder: Path) -> _Source:
    for key in file.data:
        if key != "shop" and key not in _TABLES:
            raise InputError(
                "table",
                key,
                f"is not known in a shop file; {nearest(key, ('shop', *_TABLES))}",
                file.place(key),
            )
    values = file.data.get("shop", {})
    if not isinstance(values, dict):
        raise InputError("shop", values, "must be a table, [shop]", file.place("shop"))
    head = Fields("[shop]", values, _placing(file, ("shop",)))
    refuse_unknown(head, (*SHOP_KEYS, *_CSV_KEYS))
    return _Source(file, folder, tool_rows.read_unit(head))


def _gauge_alpha(head: Fields) -> float:
    alpha = optional(head, "gauge_alpha", number, _STEEL_ALPHA)
    if not alpha < 1e-4:
        refuse(head, "gauge_alpha", "must be a thermal expansion per kelvin, such as 11.5e-6")
    return alpha


class _Ids:
    """The ids seen so far of one kind; each must be the only one."""

    def __init__(self, kind: str) -> None:
        self._kind = kind
        self._seen: set[str] = set()

    def add(self, id: str, fields: Fields) -> None:
        if id.lower() in self._seen:
            raise InputError(
                "id",
                id,
                f"must be the only {self._kind} of that name; give each its own id",
                fields.place("id"),
            )
        self._seen.add(id.lower())


def _each(source: _Source, table: str, make: Callable[[Fields], T]) -> tuple[T, ...]:
    """Return one thing for each entry, with its id unique."""
    ids, found = _Ids(table), []
    for fields in source.rows(table):
        thing = make(fields)
        ids.add(thing.id, fields)
        found.append(thing)
    return tuple(found)


def _with_sets(source: _Source, single: tuple[Drill, ...]) -> tuple[Drill, ...]:
    """Return single drills and drills of sets; a drill listed by itself stands for both."""
    found = {drill.id.lower(): drill for drill in single}
    for fields in source.rows("drill_set"):
        for drill in tool_rows.drill_set(fields):
            found.setdefault(drill.id.lower(), drill)
    return tuple(found.values())


def _pins(source: _Source) -> tuple[tuple[Pin, ...], tuple[str, ...]]:
    """Return all pins. A pin listed by itself stands for its twin in a set.

    Ids are marked sizes; where a plus and a minus pin share one, both get their sense.
    """
    taken: list[str] = []
    of_sets: dict[tuple[float, str], Pin] = {}
    for fields in source.rows("pin_set"):
        pins, assumed = gauge_rows.pins_of_set(fields)
        taken += assumed
        for pin in pins:
            if (pin.marked, pin.sense) in of_sets:
                raise InputError(
                    "first",
                    fields.values["first"],
                    f"overlaps an earlier set of {pin.sense} pins at {pin.id}",
                    fields.place("first"),
                )
            of_sets[pin.marked, pin.sense] = pin
    ids, single = _Ids("pin"), []
    for fields in source.rows("pin"):
        pin = gauge_rows.pin(fields)
        ids.add(f"{pin.id} {pin.sense}", fields)
        of_sets.pop((pin.marked, pin.sense), None)
        single.append(pin)
    found = sorted([*of_sets.values(), *single], key=lambda pin: (pin.marked, pin.sense))
    shared = Counter(pin.id.lower() for pin in found)
    return (
        tuple(
            replace(pin, id=f"{pin.id} {pin.sense}") if shared[pin.id.lower()] > 1 else pin
            for pin in found
        ),
        tuple(taken),
    )
