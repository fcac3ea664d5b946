"""The Program document, and the hole features that go into it."""

from __future__ import annotations

from dataclasses import dataclass

from holewright.planning.plan import Operation, Route
from holewright.program.collision import ToolShape
from holewright.program.motion_time import SectionTime
from holewright.program.settings import USUAL, ProgramSettings
from holewright.shop.coolant import Coolant
from holewright.units import Unit

Place = tuple[float, float]


@dataclass(frozen=True)
class Feature:
    """One hole feature of a part: where it is, and the route that makes it.

    Parameters
    ----------
    route : Route
        The operations. Those by hand become a stop, M0.
    positions : sequence of (float, float)
        Hole centres from the part zero, in any order. [mm]
    callout_text : str
        Callout, for the header.
    coolant : Coolant, optional
        Decides M8 (flood), M7 (mist) or none; M8 where it isn't given.
    """

    route: Route
    positions: tuple[Place, ...]
    callout_text: str
    coolant: Coolant | None = None


@dataclass(frozen=True)
class Step:
    """One operation of a program at its holes.

    Parameters
    ----------
    tool : int
        T word; 0 for a step by hand.
    operation : Operation
        What is done.
    holes : tuple of (float, float)
        Hole centres in order; none for a step by hand. [mm]
    """

    tool: int
    operation: Operation
    holes: tuple[Place, ...]


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
        Hole centres in the order in which they get their last tool. [mm]
    seconds : tuple of (str, float)
        Time by operation for one part, tool change apart. [s]
    cautions : tuple of str
        The cautions that its header carries.
    steps : tuple of Step
        Its operations in order.
    times : tuple of SectionTime
        Where the time goes, tool by tool.
    way : float
        Way from hole to hole, up over clamps and down again, all steps together. [mm]
    settings : ProgramSettings
        How it is written.
    shapes : tuple of (int, ToolShape)
        The tools that were checked for collisions, by T word.
    features : tuple of Feature
        What it makes.
    """

    text: str
    unit: Unit
    holes: tuple[Place, ...]
    seconds: tuple[tuple[str, float], ...]
    cautions: tuple[str, ...]
    steps: tuple[Step, ...] = ()
    times: tuple[SectionTime, ...] = ()
    way: float = 0.0
    settings: ProgramSettings = USUAL
    shapes: tuple[tuple[int, ToolShape], ...] = ()
    features: tuple[Feature, ...] = ()
