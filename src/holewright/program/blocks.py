"""Words, comments and blocks of ISO 6983-1.

Every length carries its decimal point: without one, many controls read the least increment.
Comments hold capitals, digits and a few signs, begin with a dash and have no parentheses:
so nothing a person types as a name can end the comment, or wake a control that obeys
comments which begin with one of its own words.

Blocks are made in one form; :func:`joined` gives the finished text the form that the
settings ask for.
"""

from __future__ import annotations

import math
import re
import textwrap
import unicodedata
from collections.abc import Iterable

from holewright.program.settings import (
    USUAL,
    CommentForm,
    DwellUnit,
    LineNumbers,
    Numbers,
    ProgramSettings,
)
from holewright.units import Unit, inches

TAPE = "%"
"""Begins and ends the program."""

_PLACES = {Unit.MM: 3, Unit.INCH: 4}
_FEED_PLACES = {Unit.MM: 1, Unit.INCH: 2}
_WIDTH = 80
_SPOKEN = {
    "Ø": " DIA ",
    "ø": " DIA ",
    "⌀": " DIA ",
    "±": "+/-",
    "°": " DEG",
    "×": "x",
    "–": "-",
    "—": "-",
    "−": "-",
    "_": "-",
    "µ": "u",
    "μ": "u",
    "’": "'",
    "ß": "ss",
    "%": " PCT",
    "&": " AND ",
    "<": " LESS THAN ",
    ">": " MORE THAN ",
    "≤": " AT MOST ",
    "≥": " AT LEAST ",
    ";": ",",
    "(": " - ",
}
_INCH_MARK = re.compile(r"(?<=[\d.])\s?[\"″]")
_NOT_PLAIN = re.compile(r"[^A-Z0-9 .,:+\-/=*']")
_LOOSE_STOP = re.compile(r" ([.,:])(?= |$)")
_TRAILING = re.compile(r"(\.\d*?)0+(?!\d)")
_BLOCK_NUMBERS = {
    LineNumbers.TENS: ((10, 9999), (1, 9999), (1, 99999)),
    LineNumbers.ONES: ((1, 9999), (1, 99999)),
    LineNumbers.NONE: (),
}


def decimals(mm: float, unit: Unit) -> str:
    """Return a length as the program writes it: 3 places in mm, 4 in inches.

    Parameters
    ----------
    mm : float
        Length, or feed per revolution. [mm]
    unit : Unit
        Unit of the program.

    Examples
    --------
    >>> decimals(7.9375, Unit.INCH), decimals(-0.0001, Unit.MM)
    ('0.3125', '0.000')
    """
    places = _PLACES[unit]
    text = f"{mm if unit is Unit.MM else inches(mm):.{places}f}"
    return text.lstrip("-") if float(text) == 0 else text


def length(letter: str, mm: float, unit: Unit) -> str:
    """Return a word for a length.

    Parameters
    ----------
    letter : str
        Address: X, Y, Z, R or Q.
    mm : float
        Length. [mm]
    unit : Unit
        Unit of the program.

    Examples
    --------
    >>> length("X", 25.4, Unit.INCH)
    'X1.0000'
    """
    return letter + decimals(mm, unit)


def place(xy: tuple[float, float], unit: Unit) -> str:
    """Return the X and Y words of a hole.

    Parameters
    ----------
    xy : tuple of float
        Its centre. [mm]
    unit : Unit
        Unit of the program.
    """
    return f"{length('X', xy[0], unit)} {length('Y', xy[1], unit)}"


def feed(v_f: float, unit: Unit) -> str:
    """Return the F word, with four digits that count even where the feed is slow.

    Parameters
    ----------
    v_f : float
        Feed speed [mm/min], or under G95 feed per revolution [mm], more than 0. [mm/min]
    unit : Unit
        Unit of the program.

    Examples
    --------
    >>> feed(955.0, Unit.MM), feed(1.2345, Unit.MM), feed(955.0, Unit.INCH)
    ('F955.0', 'F1.234', 'F37.60')
    """
    value = v_f if unit is Unit.MM else inches(v_f)
    places = max(_FEED_PLACES[unit], 3 - math.floor(math.log10(value)))
    return f"F{value:.{places}f}"


def speed(n: float, n_max: float) -> str:
    """Return the S word in whole turns, never rounded up beyond what the machine has.

    Parameters
    ----------
    n : float
        Spindle speed. [1/min]
    n_max : float
        Greatest speed of the machine. [1/min]
    """
    return f"S{min(round(n), math.floor(n_max))}"


def dwell(seconds: float, unit: DwellUnit = DwellUnit.SECONDS) -> str:
    """Return the P word of a dwell.

    Parameters
    ----------
    seconds : float
        Time at depth. [s]
    unit : DwellUnit
        What the control takes P to be in.

    Examples
    --------
    >>> dwell(0.5), dwell(0.5, DwellUnit.MILLISECONDS)
    ('P0.500', 'P500')
    """
    if unit is DwellUnit.MILLISECONDS:
        return f"P{round(1000 * seconds)}"
    return f"P{seconds:.3f}"


def comment(text: str) -> list[str]:
    r"""Return the text as comment blocks of plain characters, folded at 80.

    Parameters
    ----------
    text : str
        Anything. What ISO 6983 can't write is said in words, or left out.

    Examples
    --------
    >>> comment("Plate (left)\nM30 ; Ø8 H7 ±0.1")
    ['(- PLATE - LEFT M30, DIA 8 H7 +/-0.1)']
    """
    text = _INCH_MARK.sub(" IN", text)
    for sign, words in _SPOKEN.items():
        text = text.replace(sign, words)
    decomposed = unicodedata.normalize("NFKD", text)
    letters = "".join(c for c in decomposed if not unicodedata.combining(c))
    plain = _LOOSE_STOP.sub(r"\1", " ".join(_NOT_PLAIN.sub(" ", letters.upper()).split()))
    return [f"(- {line})" for line in textwrap.wrap(plain, _WIDTH - 4, break_on_hyphens=False)]


def safe_start(unit: Unit, settings: ProgramSettings = USUAL) -> str:
    """Return the block that puts the control into a known state.

    Unit, absolute, plane X Y, no cutter radius, no cycle, feed mode, work offset.

    Parameters
    ----------
    unit : Unit
        Unit of the program.
    settings : ProgramSettings
        Feed mode and work offset.
    """
    length_word = "G21" if unit is Unit.MM else "G20"
    return f"{length_word} G90 G17 G40 G80 {settings.feed_mode} {settings.work_offset}"


def joined(blocks: Iterable[str], settings: ProgramSettings = USUAL) -> str:
    """Return the program's text in the form that the settings ask for.

    Parameters
    ----------
    blocks : iterable of str
        Blocks without numbers. Comments, O words and the tape sign get none.
    settings : ProgramSettings
        Line numbers, form of comments and of numbers.

    Notes
    -----
    Numbers go in tens up to N9999, or else in ones up to N99999. A program longer than that
    goes without: they help the eye, and no control needs them.
    """
    lines = [_formed(line, settings) for line in blocks]
    count = sum(_is_numbered(line) for line in lines)
    step = next((s for s, top in _BLOCK_NUMBERS[settings.line_numbers] if s * count <= top), None)
    if step is not None:
        number = 0
        for i, line in enumerate(lines):
            if _is_numbered(line):
                number += step
                skip = "/" * line.startswith("/")
                lines[i] = f"{skip}N{number} {line.removeprefix('/')}"
    return "\n".join(lines) + "\n"


def _is_numbered(line: str) -> bool:
    return not line.startswith(("(", ";", "O", TAPE))


def _formed(line: str, settings: ProgramSettings) -> str:
    """Return a block with its comment or its numbers in the form asked for."""
    if line.startswith("("):
        if settings.comments is CommentForm.SEMICOLON:
            return f"; {line[1:-1]}"
        return line
    return _TRAILING.sub(r"\1", line) if settings.numbers is Numbers.SHORT else line
