"""The port of the record book: what every book can do, wherever it keeps its entries."""

from __future__ import annotations

from contextlib import AbstractContextManager
from dataclasses import dataclass
from typing import Generic, Protocol, TypeVar

from holewright.records.entry import Entry

E = TypeVar("E", bound=Entry)


@dataclass(frozen=True)
class Saved(Generic[E]):
    """An entry as it stands in the book.

    Parameters
    ----------
    id : int
        Its number in this book; a later entry of a kind has a higher one.
    entry : Entry
        The entry.
    version : int
        1, and one more with each change.
    """

    id: int
    entry: E
    version: int = 1


class Reader(Protocol):
    """Looks things up."""

    def get(self, kind: type[E], id: int) -> Saved[E]:
        """Return the entry of that id.

        Raises
        ------
        InputError
            If there is none.
        """

    def find(self, kind: type[E], /, **equal: object) -> tuple[Saved[E], ...]:
        """Return the entries whose fields have these values, in the order they were written."""

    def last(self, kind: type[E], /, **equal: object) -> Saved[E] | None:
        """Return the entry with these values that was written last; None if there is none."""


class Writer(Reader, Protocol):
    """Looks things up and writes them down."""

    def append(self, entry: E) -> Saved[E]:
        """Write an entry down and return it; once it is returned, it is saved.

        An entry whose key is there already isn't written again: the one that is there comes
        back.

        Raises
        ------
        InputError
            If it breaks a rule of the book, or its key is that of another entry.
        """

    def change(self, saved: Saved[E], entry: E) -> Saved[E]:
        """Write a new version of an entry that may change.

        Raises
        ------
        StaleError
            If somebody else has changed it since `saved` was read. Nothing is overwritten.
        InputError
            If entries of its kind don't change, or the new one breaks a rule of the book.
        """


class RecordBook(Writer, Protocol):
    """A record book."""

    def together(self) -> AbstractContextManager[Writer]:
        """Return a writer whose entries are saved together when the block ends, or not at all."""

    def close(self) -> None:
        """Give back what the book holds open."""
