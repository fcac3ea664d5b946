"""The Program document."""

from __future__ import annotations

from dataclasses import dataclass

from holewright.units import Unit


@dataclass(frozen=True)
class Program:
    """An ISO 6983 program.

    Parameters
    ----------
    text : str
        The program, ASCII, lines ending in a line feed.
    unit : Unit
        Unit of its words.
    holes : tuple of (float, float)
        Hole centres in the order they are made. [mm]
    seconds : tuple of (str, float)
        Time by operation for one part, tool change apart. [s]
    cautions : tuple of str
        The cautions that its header carries.
    """

    text: str
    unit: Unit
    holes: tuple[tuple[float, float], ...]
    seconds: tuple[tuple[str, float], ...]
    cautions: tuple[str, ...]
