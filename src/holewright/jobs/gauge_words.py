"""What a person types at the gauge: goes, does not go, a size, and the few words around them."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from holewright.errors import InputError
from holewright.jobs.readingsfile import DOES_NOT_GO, GOES
from holewright.units import Unit, read_length, read_temperature

HELP = (
    ("g", "goes, by hand, full length (or to the depth that is set)"),
    ("n", "does not go"),
    ("8.0095", "size that the bore gauge shows"),
    ("u", "undo: take the last answer back"),
    ("s", "skip this check"),
    ("h 3-2", "go on with this hole"),
    ("p 8.01", "take this pin or gauge instead"),
    ("d 12", "checks reach to this depth; d alone: full length"),
    ("t 21 20.5", "part is at 21 °C, gauges at 20.5 °C; t 21: both"),
    ("q", "quit; everything shown as saved is saved"),
)
"""What can be typed, with what it does."""


class Act(StrEnum):
    """What was meant."""

    GOES = "goes"
    STOPS = "does not go"
    SIZE = "size"
    UNDO = "undo"
    SKIP = "skip"
    HOLE = "hole"
    GAUGE = "gauge"
    DEPTH = "depth"
    WARMTH = "temperatures"
    HELP = "help"
    QUIT = "quit"


@dataclass(frozen=True)
class Said:
    """What was typed, understood.

    Parameters
    ----------
    act : Act
        What was meant.
    name : str
        Hole or gauge that was named.
    size : float, optional
        Size or depth; None where `act` is depth: full length. [mm]
    part_c, gauge_c : float
        Temperatures. [°C]
    """

    act: Act
    name: str = ""
    size: float | None = None
    part_c: float = 20.0
    gauge_c: float = 20.0


_SHORT = {
    "u": Act.UNDO,
    "undo": Act.UNDO,
    "s": Act.SKIP,
    "skip": Act.SKIP,
    "q": Act.QUIT,
    "quit": Act.QUIT,
    "?": Act.HELP,
    "help": Act.HELP,
}
_NAMING = {"h": Act.HOLE, "hole": Act.HOLE, "p": Act.GAUGE, "pin": Act.GAUGE, "gauge": Act.GAUGE}
_ACCEPTED = "must be g, n, a size, or one of u s h p d t q; type ? for what they do"


def read_said(text: str, unit: Unit) -> Said:
    """Return what was typed at the gauge.

    Parameters
    ----------
    text : str
        The line.
    unit : Unit
        What a bare length is in.

    Raises
    ------
    InputError
        If it is none of the words, or a number in it can't be read.
    """
    line = " ".join(text.split())
    word = line.lower()
    if word in GOES:
        return Said(Act.GOES)
    if word in DOES_NOT_GO:
        return Said(Act.STOPS)
    if word in _SHORT:
        return Said(_SHORT[word])
    first, _, rest = line.partition(" ")
    first, rest = first.lower(), rest.strip()
    if first in _NAMING:
        if not rest:
            raise InputError(first, "nothing", "must be followed by a name")
        return Said(_NAMING[first], name=rest)
    if first in ("d", "depth"):
        return Said(Act.DEPTH, size=_positive(rest, unit, "depth") if rest else None)
    if first in ("t", "temp"):
        return _warmth(rest)
    if not line or line[0] not in "0123456789.,":
        raise InputError("answer", line or "nothing", _ACCEPTED)
    return Said(Act.SIZE, size=_positive(line, unit, "size"))


def _positive(text: str, unit: Unit, field: str) -> float:
    value = read_length(text, unit, field)
    if not value > 0:
        raise InputError(field, text, "must be a length of more than 0")
    return value


def _warmth(text: str) -> Said:
    """Return temperatures from ``21``, ``21 20.5`` or ``72 F 70 F``."""
    words: list[str] = []
    for word in text.upper().replace("°", " ").split():
        if word in ("C", "F") and words:
            words[-1] += word
        else:
            words.append(word)
    if len(words) not in (1, 2):
        raise InputError("temperatures", text or "nothing", "must be one or two, such as t 21 20.5")
    part, gauge = (read_temperature(word, "temperature") for word in (words[0], words[-1]))
    return Said(Act.WARMTH, part_c=part, gauge_c=gauge)
