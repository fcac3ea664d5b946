"""Frozen dataclasses as plain JSON data and back, without loss.

A number comes back as the same number: floats are written in the fewest digits that read back
to the same float, and infinite bounds as ``"inf"`` and ``"-inf"``, which JSON has no number for.
A field that was added to a document later takes its default when an older document is read. A
field that isn't part of a document's equality is no part of it, and isn't kept.
"""

from __future__ import annotations

import dataclasses
import json
import math
import types
import typing
from collections.abc import Callable, Mapping
from datetime import date, datetime
from enum import Enum
from functools import cache
from typing import Any, TypeVar

import numpy as np

from holewright.errors import InputError

T = TypeVar("T")
Json = dict[str, Any]
"""Plain JSON data: an object whose values are JSON values."""

_NUMBERS = {"inf": math.inf, "-inf": -math.inf}


def to_plain(value: object) -> Any:
    """Return a document, or a value in one, as plain JSON data.

    Parameters
    ----------
    value : object
        A dataclass, or what its fields may hold: text, numbers, booleans, enumerations,
        dates, tuples, dataclasses and plain JSON data.

    Raises
    ------
    InputError
        If it holds something else, or a number that isn't one.

    Examples
    --------
    >>> from holewright.callout.callout import Limits
    >>> to_plain(Limits(8.0, float("inf")))
    {'lower': 8.0, 'upper': 'inf'}
    """
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        kept = (f.name for f in dataclasses.fields(value) if f.compare)
        return {name: to_plain(getattr(value, name)) for name in kept}
    if isinstance(value, np.generic):
        value = value.item()
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, float):
        return _plain_float(value)
    if value is None or isinstance(value, (str, int)):
        return value
    if isinstance(value, (datetime, date)):
        return value.isoformat()
    if isinstance(value, (tuple, list)):
        return [to_plain(item) for item in value]
    if isinstance(value, Mapping):
        return {str(key): to_plain(item) for key, item in value.items()}
    raise InputError("value", repr(value), "can't be kept in the record book")


def _plain_float(value: float) -> float | str:
    if math.isnan(value):
        raise InputError("number", value, "must be a number to be kept in the record book")
    return value if math.isfinite(value) else f"{value}"


def canonical(data: object) -> str:
    """Return plain JSON data as text; equal data gives equal text.

    Parameters
    ----------
    data : object
        As :func:`to_plain` returns it.
    """
    return json.dumps(
        data, ensure_ascii=False, sort_keys=True, separators=(",", ":"), allow_nan=False
    )


def from_plain(kind: type[T], data: object, field: str = "") -> T:
    """Return the document that plain JSON data describes.

    Parameters
    ----------
    kind : type
        The dataclass to make.
    data : object
        As :func:`to_plain` gave it.
    field : str
        Name of the data in an error.

    Returns
    -------
    T
        Equal to the document that was written.

    Raises
    ------
    InputError
        If the data aren't those of that document; the field is named by its path.
    """
    hint: Any = kind
    made: T = _reader(hint)(data, field or kind.__name__)
    return made


Reader = Callable[[Any, str], Any]


@cache
def _reader(hint: Any) -> Reader:
    """Return a function that reads a value of a type."""
    origin, arguments = typing.get_origin(hint), typing.get_args(hint)
    if origin in (typing.Union, types.UnionType):
        return _optional(arguments)
    if origin is tuple:
        return _tuple(arguments)
    if hint is Any or origin is dict or hint is dict:
        return lambda data, field: data
    if dataclasses.is_dataclass(hint):
        return _dataclass(hint)
    if isinstance(hint, type) and issubclass(hint, Enum):
        return _enum(hint)
    if hint in (date, datetime):
        return _date(hint)
    if hint in _SCALARS:
        return _SCALARS[hint]
    raise TypeError(f"{hint} can't be read from plain data")


def _wrong(data: object, field: str, wanted: str) -> InputError:
    text = repr(data)
    return InputError(field, text if len(text) <= 60 else text[:57] + "...", f"must be {wanted}")


def _float(data: Any, field: str) -> float:
    if isinstance(data, str) and data in _NUMBERS:
        return _NUMBERS[data]
    if isinstance(data, bool) or not isinstance(data, (int, float)) or not math.isfinite(data):
        raise _wrong(data, field, "a number")
    return data


def _int(data: Any, field: str) -> int:
    if isinstance(data, bool) or not isinstance(data, int):
        raise _wrong(data, field, "a whole number")
    return data


def _bool(data: Any, field: str) -> bool:
    if not isinstance(data, bool):
        raise _wrong(data, field, "true or false")
    return data


def _str(data: Any, field: str) -> str:
    if not isinstance(data, str):
        raise _wrong(data, field, "a text")
    return data


_SCALARS: dict[Any, Reader] = {float: _float, int: _int, bool: _bool, str: _str}


def _date(hint: Any) -> Reader:
    def read(data: Any, field: str) -> Any:
        try:
            return hint.fromisoformat(data)
        except (TypeError, ValueError):
            raise _wrong(data, field, "a date such as 2025-03-31, or with its time") from None

    return read


def _enum(hint: type[Enum]) -> Reader:
    def read(data: Any, field: str) -> Any:
        try:
            return hint(data)
        except ValueError:
            words = ", ".join(str(one.value) for one in hint)
            raise _wrong(data, field, f"one of: {words}") from None

    return read


def _optional(arguments: tuple[Any, ...]) -> Reader:
    (inner,) = [one for one in arguments if one is not type(None)]
    read = _reader(inner)
    return lambda data, field: None if data is None else read(data, field)


def _tuple(arguments: tuple[Any, ...]) -> Reader:
    many = len(arguments) == 2 and arguments[1] is Ellipsis
    readers = [_reader(one) for one in (arguments[:1] if many else arguments)]

    def read(data: Any, field: str) -> tuple[Any, ...]:
        if not isinstance(data, list) or not (many or len(data) == len(readers)):
            raise _wrong(data, field, "a list" if many else f"a list of {len(readers)}")
        each = readers * len(data) if many else readers
        return tuple(
            read_one(item, f"{field}[{i}]")
            for i, (read_one, item) in enumerate(zip(each, data, strict=True))
        )

    return read


def _dataclass(hint: Any) -> Reader:
    hints = typing.get_type_hints(hint)
    fields = {f.name: f for f in dataclasses.fields(hint) if f.compare}
    needed = {
        name
        for name, f in fields.items()
        if f.default is dataclasses.MISSING and f.default_factory is dataclasses.MISSING
    }
    readers: dict[str, Reader] = {}

    def read(data: Any, field: str) -> Any:
        if not isinstance(data, dict):
            raise _wrong(data, field, f"the fields of {hint.__name__}")
        if unknown := data.keys() - fields.keys():
            raise InputError(
                f"{field}.{min(unknown)}",
                "a field",
                "is not known to this version of holewright; a newer one wrote it",
            )
        if missing := needed - data.keys():
            raise InputError(f"{field}.{min(missing)}", "not given", "must be there")
        values = {}
        for name, item in data.items():
            if name not in readers:
                readers[name] = _reader(hints[name])
            values[name] = readers[name](item, f"{field}.{name}")
        return hint(**values)

    return read
