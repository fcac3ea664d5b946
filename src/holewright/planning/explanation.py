"""One number of a route, explained: the parts from which ``why`` builds its answers."""

from __future__ import annotations

from dataclasses import dataclass

from holewright.planning.point import Point
from holewright.uncertainty import Known, Tag


@dataclass(frozen=True)
class Explanation:
    """One number, explained.

    Parameters
    ----------
    name : str
        What it can be asked for by.
    what : str
        What it is, in words.
    formula : str
        In symbols of the standards.
    value : float
        Its value. [`unit`]
    unit : str
        Its unit.
    inputs : tuple of (str, Known)
        Each input with its unit in the name, its tag and its source.
    source : str
        Where the formula comes from, and what it does not say.
    """

    name: str
    what: str
    formula: str
    value: float
    unit: str
    inputs: tuple[tuple[str, Known], ...]
    source: str


def from_shop(value: float, source: str = "tool room") -> Known:
    """Return a value of the tool room."""
    return Known(value, Tag.DEFAULT, source)


def computed(value: float, source: str) -> Known:
    """Return a value computed here, with the name it can be asked for by."""
    return Known(value, Tag.COMPUTED, source)


def setting(point: Point, name: str) -> Known:
    """Return speed or feed of a candidate, with the source of its start values."""
    start = point.candidates.starts[point.index[1]]
    return Known(point.at(name), start.tag, start.source)
