"""Reads readings over the life of tools: which tool made a hole, and how many it had cut."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from holewright.errors import InputError
from holewright.gauging.reading import Reading
from holewright.jobs.fields import Fields, optional, refuse, text, whole
from holewright.jobs.readingsfile import collect_readings, first_of
from holewright.shop.shop import Shop

MORE = ("tool", "cut", "run", "at", "by")
"""Columns beside those of a reading; ``run``, ``at`` and ``by`` are those of the record book."""


@dataclass(frozen=True, eq=False)
class ToolReadings:
    """What was gauged of the holes of one tool.

    Parameters
    ----------
    tool : str
        The tool; empty where the file names none.
    readings : tuple of Reading
        The readings; a hole's name begins with its tool's where there are several.
    cut : dict
        Hole -> holes that the tool had cut, this one included. [-]
    """

    tool: str
    readings: tuple[Reading, ...]
    cut: dict[str, int]

    @property
    def last(self) -> int:
        """Holes cut at the last hole gauged. [-]"""
        return max(self.cut.values())


def read_life(path: str | Path, shop: Shop, *, part_c: float = 20.0) -> tuple[ToolReadings, ...]:
    """Return the readings of a file, tool by tool in the order in which they come.

    Parameters
    ----------
    path : str or Path
        The file: the columns of a file of readings, ``cut``, and ``tool`` where there are several.
    shop : Shop
        The tool room with the gauges.
    part_c : float
        Temperature of the part where a row doesn't say. [°C]

    Raises
    ------
    InputError
        For the first row that can't be used, with line and column.
    """
    found, wrong = collect_readings(path, shop, part_c=part_c, more=MORE)
    rows: list[tuple[str, int, Reading]] = []
    for fields, reading in found:
        try:
            rows.append((optional(fields, "tool", text, ""), _cut(fields), reading))
        except InputError as error:
            wrong.append(error)
    if wrong:
        raise first_of(wrong)
    return by_tool(rows)


def by_tool(rows: Sequence[tuple[str, int, Reading]]) -> tuple[ToolReadings, ...]:
    """Return readings put together by tool.

    Parameters
    ----------
    rows : sequence of (str, int, Reading)
        Tool, holes that it had cut, and the reading.

    Raises
    ------
    InputError
        If one hole of a tool has two numbers.
    """
    tools = list(dict.fromkeys(tool for tool, _, _ in rows))
    return tuple(_of_tool(tool, rows, several=len(tools) > 1) for tool in tools)


def _of_tool(tool: str, rows: Sequence[tuple[str, int, Reading]], *, several: bool) -> ToolReadings:
    readings: list[Reading] = []
    cut: dict[str, int] = {}
    for name, number, reading in rows:
        if name != tool:
            continue
        hole = f"{tool}: {reading.hole}" if several else reading.hole
        if cut.setdefault(hole, number) != number:
            raise InputError(
                "cut",
                number,
                f"must be {cut[hole]} as in another row of hole {reading.hole}",
                reading.where,
            )
        readings.append(replace(reading, hole=hole))
    return ToolReadings(tool, tuple(readings), cut)


def _cut(fields: Fields) -> int:
    if "cut" not in fields.values:
        refuse(fields, "cut", "must say how many holes the tool had cut, this one included")
    return whole(fields, "cut")
