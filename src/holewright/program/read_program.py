"""The ReadProgram document: a program as its own text tells it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from holewright.program.backplot import read_back
from holewright.program.collision import Clash, ToolShape, clashes
from holewright.program.fixture import OPEN, Fixture
from holewright.program.motion_time import SectionTime, section_time
from holewright.program.moves import Section
from holewright.program.settings import DwellUnit
from holewright.program.tool_words import ToolWords, program_unit, tool_words
from holewright.shop.machine import Machine
from holewright.units import Unit


@dataclass(frozen=True)
class ReadProgram:
    """A program read back from its text.

    Parameters
    ----------
    name : str
        Job, or file.
    text : str
        The program.
    unit : Unit
        Unit of its words.
    sections : tuple of Section
        The tool path. [mm]
    tools : tuple of ToolWords
        What its comments say of its tools.
    fixture : Fixture
        What stands in the way.
    machine : Machine
        Whose speeds the times are reckoned with.
    times : tuple of SectionTime
        Where the time goes, tool by tool.
    clashes : tuple of Clash
        Whatever it would hit.
    invented : bool
        Whether the job is an invented example.
    own_machine : bool
        Whether the machine is that of the job; otherwise it is a usual one.
    """

    name: str
    text: str
    unit: Unit
    sections: tuple[Section, ...]
    tools: tuple[ToolWords, ...]
    fixture: Fixture
    machine: Machine
    times: tuple[SectionTime, ...]
    clashes: tuple[Clash, ...]
    invented: bool = False
    own_machine: bool = True

    def diameter(self, tool: int) -> float:
        """Return the largest diameter that the comments name for a tool; 0 for none. [mm]"""
        return max((t.diameter for t in self.tools if t.number == tool), default=0.0)

    def does(self, tool: int) -> str:
        """Return what a tool does, in words; its T word where the comments don't say."""
        kinds = dict.fromkeys(t.kind for t in self.tools if t.number == tool)
        return " and ".join(kinds) or f"T{tool}"


def read_program(
    text: str,
    name: str,
    machine: Machine,
    *,
    dwell_unit: DwellUnit = DwellUnit.SECONDS,
    fixture: Fixture = OPEN,
    shapes: Mapping[int, ToolShape] | None = None,
    invented: bool = False,
    own_machine: bool = True,
) -> ReadProgram:
    """Return a program as its text tells it.

    Parameters
    ----------
    text : str
        A program in the words that holewright writes.
    name : str
        Job, or file.
    machine : Machine
        For the times.
    dwell_unit : DwellUnit
        What P of a dwell is in.
    fixture : Fixture
        What stands in the way.
    shapes : mapping of int to ToolShape, optional
        Tools in their holders by T word.
    invented : bool
        Whether the job is an invented example.
    own_machine : bool
        Whether the machine is that of the job.

    Raises
    ------
    InputError
        If a block has a word that isn't known here, or lacks one that it needs. The line is
        named.
    """
    sections = read_back(text, dwell_unit=dwell_unit)
    return ReadProgram(
        name=name,
        text=text,
        unit=program_unit(text),
        sections=sections,
        tools=tool_words(text),
        fixture=fixture,
        machine=machine,
        times=tuple(section_time(section, machine) for section in sections),
        clashes=clashes(sections, shapes or {}, fixture),
        invented=invented,
        own_machine=own_machine,
    )
