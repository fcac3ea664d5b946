"""What the comments of a program say of its tools."""

from __future__ import annotations

import re
from dataclasses import dataclass

from holewright.errors import InputError
from holewright.units import Unit, mm_from

_COMMENT = re.compile(r"^[(;]\s*-?\s*(.*?)\)?\s*$")
_BEGINS = re.compile(r"T\d+ [A-Z-]+, ")
_TOOL = re.compile(r"T(\d+) ([A-Z-]+), (.+?), DIA (\d+\.\d+), N \d+")
_UNIT = re.compile(r"\bG2([01])\b")


@dataclass(frozen=True)
class ToolWords:
    """One line of the tool list.

    Parameters
    ----------
    number : int
        T word.
    kind : str
        What it does.
    name : str
        Its name.
    diameter : float
        Diameter that it cuts. [mm]
    """

    number: int
    kind: str
    name: str
    diameter: float


def program_unit(text: str) -> Unit:
    """Return the unit of a program's lengths.

    Parameters
    ----------
    text : str
        The program.

    Raises
    ------
    InputError
        If no block says G20 or G21.
    """
    for line in text.splitlines():
        match = None if line.startswith(("(", ";")) else _UNIT.search(line)
        if match is not None:
            return Unit.INCH if match[1] == "0" else Unit.MM
    raise InputError("unit", "none", "must be set by G20 or G21 in the program")


def tool_words(text: str) -> tuple[ToolWords, ...]:
    r"""Return what the comments of a program say of its tools, each operation once.

    Parameters
    ----------
    text : str
        A program as holewright writes it; of others nothing is found.

    Examples
    --------
    >>> tool_words("(- T2 REAM, R 8-C, DIA 8.009, N 480,)\nG21")[0].diameter
    8.009
    """
    said: list[str] = []
    for line in text.splitlines():
        match = _COMMENT.match(line)
        if match is None:
            said.append("")
        elif _BEGINS.match(match[1]) or not said:
            said.append(match[1])
        else:
            said[-1] += f" {match[1]}"  # folded
    found = [match.groups() for words in said if (match := _TOOL.match(words)) is not None]
    if not found:
        return ()
    unit = program_unit(text)
    return tuple(
        dict.fromkeys(
            ToolWords(int(number), kind.lower(), name, mm_from(float(diameter), unit))
            for number, kind, name, diameter in found
        )
    )
