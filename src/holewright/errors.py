"""The one family of exceptions.

    HolewrightError
    ├── InputError            a value that a person or a file gave can't be used
    │   ├── AmbiguousError    it can be read in more than one way, so we ask
    │   └── OutOfRangeError   a number outside the range in which a formula holds
    ├── NoAnswerError         the input is sound, but no finite answer exists
    ├── BookError             the record book can't be opened, or isn't sound
    ├── StaleError            somebody else saved a newer one first; nothing was overwritten
    └── NotAllowedError       who asks may not do this

A message names the field, the value as it was written, what would be accepted, and where.
The same parts are attributes, so that a door can say them again in its own way.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True)
class Where:
    """The place a value was read from.

    Parameters
    ----------
    source : str
        File name, or what else the text came from, e.g. ``callout``.
    line : int, optional
        Line, counted from 1.
    column : str, optional
        Name of the column of a CSV file, or position in a short text.
    """

    source: str
    line: int | None = None
    column: str | None = None

    def __str__(self) -> str:
        """Return the place as a person would say it."""
        line = f", line {self.line}" if self.line is not None else ""
        column = f", column {self.column}" if self.column is not None else ""
        return f"{self.source}{line}{column}"


class HolewrightError(Exception):
    """Anything that holewright itself reports as wrong."""


class InputError(HolewrightError):
    """A value that a person or a file gave can't be used.

    Parameters
    ----------
    field : str
        Name of the field, as the person who wrote it would know it.
    value : object
        The value as it was written.
    accepted : str
        What would have been accepted, as the end of a sentence: ``must be more than 0``.
    where : Where, optional
        File and line, or row and column.
    """

    def __init__(
        self, field: str, value: object, accepted: str, where: Where | None = None
    ) -> None:
        self.field = field
        self.value = value
        self.accepted = accepted
        self.where = where
        super().__init__(str(self))

    def __str__(self) -> str:
        """Return the one-line message."""
        place = f"{self.where}: " if self.where else ""
        return f"{place}{self.field} = {self.value}: {self.accepted}"

    def at(self, where: Where) -> InputError:
        """Return the same error with its place, unless it already knows a place."""
        if self.where is not None:
            return self
        self.where = where
        self.args = (str(self),)
        return self


class AmbiguousError(InputError):
    """A value that can be read in more than one way: the person must say which.

    Parameters
    ----------
    field, value, accepted, where
        As in :class:`InputError`.
    readings : sequence of str
        The ways in which the value can be read, each ready to be typed instead.
    """

    def __init__(
        self,
        field: str,
        value: object,
        accepted: str,
        where: Where | None = None,
        *,
        readings: Sequence[str] = (),
    ) -> None:
        self.readings = tuple(readings)
        super().__init__(field, value, accepted, where)


class OutOfRangeError(InputError):
    """A number outside the range in which a formula or a table holds."""

    def __init__(
        self, field: str, value: object, accepted: str, where: Where | None = None
    ) -> None:
        super().__init__(field, value, f"must be {accepted}", where)


class NoAnswerError(HolewrightError):
    """The input is sound, but no finite answer exists; the message says what can be said."""


class BookError(HolewrightError):
    """The record book can't be opened, or isn't sound; the message says what to do."""


class NotAllowedError(HolewrightError):
    """Who asks may not do this; the message says who may."""


class StaleError(HolewrightError):
    """Somebody else saved first. Nothing was overwritten and nothing of this was saved.

    Parameters
    ----------
    what : str
        What was to be saved, e.g. ``plate 2``.
    mine, theirs : int
        Version that the change was made on, and the version in the book now.
    """

    def __init__(self, what: str, mine: int, theirs: int) -> None:
        self.what = what
        self.mine = mine
        self.theirs = theirs
        super().__init__(
            f"{what}: somebody else saved version {theirs} while you worked on version {mine}. "
            f"Nothing was overwritten: open it anew, make your change again and save."
        )
