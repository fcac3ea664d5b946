"""Words, comments and blocks of ISO 6983-1.

Every length carries its decimal point: without one, many controls read the least increment.
Comments hold capitals, digits and a few signs, begin with a dash and have no parentheses:
so nothing a person types as a name can end the comment, or wake a control that obeys
comments which begin with one of its own words.
"""

from __future__ import annotations

import math
import re
import textwrap
import unicodedata
from collections.abc import Iterable

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
_BLOCK_NUMBERS = ((10, 9999), (1, 9999), (1, 99999))


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
        Feed speed, more than 0. [mm/min]
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


def dwell(seconds: float) -> str:
    """Return the P word of a dwell.

    Parameters
    ----------
    seconds : float
        Time at depth. [s]
    """
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


def safe_start(unit: Unit) -> str:
    """Return the block that puts the control into a known state.

    Unit, absolute, plane X Y, no cutter radius, no cycle, feed by the minute, first zero.
    """
    return f"{'G21' if unit is Unit.MM else 'G20'} G90 G17 G40 G80 G94 G54"


def joined(blocks: Iterable[str]) -> str:
    """Return the program's text, its blocks numbered.

    Parameters
    ----------
    blocks : iterable of str
        Blocks without numbers. Comments and the tape sign get none.

    Notes
    -----
    Numbers go in tens up to N9999, or else in ones up to N99999. A program longer than that
    goes without: they help the eye, and no control needs them.
    """
    lines = list(blocks)
    count = sum(_is_numbered(line) for line in lines)
    step = next((s for s, top in _BLOCK_NUMBERS if s * count <= top), None)
    if step is not None:
        number = 0
        for i, line in enumerate(lines):
            if _is_numbered(line):
                number += step
                lines[i] = f"N{number} {line}"
    return "\n".join(lines) + "\n"


def _is_numbered(line: str) -> bool:
    return not line.startswith(("(", TAPE))
