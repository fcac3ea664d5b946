"""Takes checked values out of a table of a TOML file or a row of a CSV file.

Each reader takes the fields and a key, and names the place where a value is wrong:

    wall = optional(hole, "wall", length, None)
"""

from __future__ import annotations

import difflib
import math
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum
from typing import Any, NoReturn, TypeVar

from holewright.errors import InputError, Where
from holewright.units import Unit, read_length, read_number, read_quantity, read_temperature

T = TypeVar("T")
D = TypeVar("D")
E = TypeVar("E", bound=StrEnum)

_LONGEST = 10_000.0
"""No length in a shop of precision holes is above this. [mm]"""
_LARGEST = 1e9
_YES = {"yes": True, "true": True, "y": True, "1": True}
_NO = {"no": False, "false": False, "n": False, "0": False}


@dataclass(frozen=True)
class Fields:
    """Named values from one place.

    Parameters
    ----------
    name : str
        What they describe: ``hole``, ``reamer``.
    values : mapping
        Key -> value as written; a blank cell of a CSV file is left out.
    place : callable
        Key -> where it stands; for a key that isn't there, where it should.
    unit : Unit, optional
        What a bare length is in; None: it must say.
    """

    name: str
    values: Mapping[str, Any]
    place: Callable[[str], Where]
    unit: Unit | None = None


def option(name: str, written: str, unit: Unit | None = None) -> Fields:
    """Return an option of the command line as fields, to be read as a field of a file is.

    Parameters
    ----------
    name : str
        Name of the option, and key of the field.
    written : str
        Its value as it was typed.
    unit : Unit, optional
        What a bare length is in.
    """
    return Fields("option", {name: written}, lambda key: Where(f"option --{key}"), unit)


def nearest(name: str, known: Iterable[str]) -> str:
    """Return a hint to the known names nearest to an unknown one, or all of them."""
    names = list(known)
    lower = {n.lower(): n for n in names}
    near = difflib.get_close_matches(name.lower(), list(lower), n=2, cutoff=0.55)
    if near:
        return f"did you mean {' or '.join(lower[n] for n in near)}?"
    return f"known are {', '.join(names)}"


def refuse_unknown(fields: Fields, known: Iterable[str]) -> None:
    """Raise an error for the first key that isn't known.

    Raises
    ------
    InputError
        With the nearest known keys.
    """
    names = list(known)
    for key in fields.values:
        if key not in names:
            raise InputError(
                "key",
                key,
                f"is not known in {fields.name}; {nearest(key, names)}",
                fields.place(key),
            )


def refuse(fields: Fields, key: str, accepted: str) -> NoReturn:
    """Raise an error for the value of a key."""
    raise InputError(key, fields.values.get(key, "not given"), accepted, fields.place(key))


def required(fields: Fields, key: str, reader: Callable[[Fields, str], T], example: str) -> T:
    """Return a value that must be there.

    Raises
    ------
    InputError
        If it is not, with an example of what to write.
    """
    if key not in fields.values:
        refuse(fields, key, f"must be there in {fields.name}, such as {example}")
    return reader(fields, key)


def optional(fields: Fields, key: str, reader: Callable[[Fields, str], T], default: D) -> T | D:
    """Return a value, or the default where the key is not there."""
    return reader(fields, key) if key in fields.values else default


def placed(fields: Fields, key: str, read: Callable[[str], T]) -> T:
    """Return what `read` makes of the text of a key; an error of its own gets the place."""
    try:
        return read(text(fields, key))
    except InputError as error:
        raise error.at(fields.place(key)) from None


def text(fields: Fields, key: str) -> str:
    """Return a text that is not empty. A number stands for its digits."""
    value = fields.values[key]
    if isinstance(value, bool) or not isinstance(value, (str, int, float)):
        refuse(fields, key, "must be a text in quotes")
    if not str(value).strip():
        refuse(fields, key, "must not be empty; leave the key out if it isn't known")
    return str(value).strip()


def texts(fields: Fields, key: str) -> tuple[str, ...]:
    """Return one text, or a list of them."""
    value = fields.values[key]
    if isinstance(value, str):
        return (value.strip(),)
    if not isinstance(value, list) or not all(isinstance(item, str) for item in value):
        refuse(fields, key, 'must be a text, or a list of texts such as ["a", "b"]')
    return tuple(item.strip() for item in value)


def yes(fields: Fields, key: str) -> bool:
    """Return true or false, or yes or no."""
    value = fields.values[key]
    if isinstance(value, bool):
        return value
    word = str(value).strip().lower()
    if word not in _YES | _NO:
        refuse(fields, key, "must be true or false")
    return word in _YES


def number(fields: Fields, key: str) -> float:
    """Return a number that is 0 or more."""
    value = fields.values[key]
    if isinstance(value, (bool, list, dict)):
        refuse(fields, key, "must be a number")
    exact = placed(fields, key, lambda written: read_number(written, key))
    if not 0 <= exact <= _LARGEST:
        refuse(fields, key, f"must be a number from 0 to {_LARGEST:.0f}")
    return float(exact)


def whole(fields: Fields, key: str) -> int:
    """Return a whole number, 1 or more."""
    value = number(fields, key)
    if value != int(value) or value < 1:
        refuse(fields, key, "must be a whole number, 1 or more")
    return int(value)


def length(fields: Fields, key: str) -> float:
    """Return a length of more than 0. [mm]"""
    value = length_or_zero(fields, key)
    if value <= 0:
        refuse(fields, key, "must be a length of more than 0")
    return value


def length_or_zero(fields: Fields, key: str) -> float:
    """Return a length of 0 or more. [mm]"""
    value = placed(fields, key, lambda written: read_length(written, fields.unit, key))
    if not 0 <= value <= _LONGEST:
        refuse(fields, key, f"must be a length from 0 to {_LONGEST:.0f} mm")
    return value


def day(fields: Fields, key: str) -> date:
    """Return a date, as TOML writes it or as text: ``2026-03-31``."""
    value = fields.values[key]
    if isinstance(value, date) and not isinstance(value, datetime):
        return value
    try:
        return date.fromisoformat(str(value).strip())
    except ValueError:
        refuse(fields, key, "must be a date such as 2026-03-31")


def temperature(fields: Fields, key: str) -> float:
    """Return a temperature at which a part can be gauged. [°C]"""
    value = placed(fields, key, lambda written: read_temperature(written, key))
    if not -50 <= value <= 150:
        refuse(fields, key, "must be a temperature from -50 to 150 °C")
    return value


def share(fields: Fields, key: str) -> float:
    """Return a share between 0 and 1, from ``0.995`` or ``99.5 %``. [-]"""
    written = text(fields, key)
    bare = written.rstrip("%").strip()
    value = float(placed(fields, key, lambda _: read_number(bare, key)))
    if written.endswith("%"):
        value /= 100
    if not 0 < value < 1:
        refuse(fields, key, 'must lie between 0 and 1, such as 0.99 or "99 %"')
    return value


def quantity(kind: str) -> Callable[[Fields, str], float]:
    """Return a reader for a kind of quantity that :func:`holewright.units.read_quantity` knows."""

    def read(fields: Fields, key: str) -> float:
        value = placed(fields, key, lambda written: read_quantity(written, kind, key))
        if not (math.isfinite(value) and 0 <= value <= _LARGEST):
            refuse(fields, key, "must be 0 or more")
        return value

    return read


def choice(kinds: type[E], synonyms: Mapping[str, E] | None = None) -> Callable[[Fields, str], E]:
    """Return a reader for one of the words of an enumeration, or a synonym of one."""
    words = {kind.value.lower(): kind for kind in kinds} | dict(synonyms or {})

    def read(fields: Fields, key: str) -> E:
        word = " ".join(text(fields, key).lower().replace("_", " ").split())
        if word not in words:
            names = ", ".join(kind.value for kind in kinds)
            refuse(fields, key, f"must be one of: {names}")
        return words[word]

    return read
