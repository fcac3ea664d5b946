"""A record book that lives as long as the program: for tests, and for trying things out."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from holewright.errors import InputError, StaleError
from holewright.records.book import E, Saved, Writer
from holewright.records.entry import Entry
from holewright.records.rules import check_change, check_entry, check_fields, check_sent_again


class MemoryBook:
    """A :class:`~holewright.records.book.RecordBook` that keeps its entries in memory."""

    def __init__(self) -> None:
        self._shelves: dict[type[Entry], list[Saved[Any]]] = {}
        self._lock = threading.RLock()

    def _shelf(self, kind: type[E]) -> list[Saved[E]]:
        return self._shelves.setdefault(kind, [])

    def get(self, kind: type[E], id: int) -> Saved[E]:
        """Return the entry of that id."""
        shelf = self._shelf(kind)
        if not 1 <= id <= len(shelf):
            raise InputError("id", id, f"must be that of an entry in {kind.NAME}")
        return shelf[id - 1]

    def find(self, kind: type[E], /, **equal: object) -> tuple[Saved[E], ...]:
        """Return the entries whose fields have these values, in the order they were written."""
        check_fields(kind, equal)
        return tuple(
            saved
            for saved in self._shelf(kind)
            if all(getattr(saved.entry, name) == value for name, value in equal.items())
        )

    def last(self, kind: type[E], /, **equal: object) -> Saved[E] | None:
        """Return the entry with these values that was written last; None if there is none."""
        found = self.find(kind, **equal)
        return found[-1] if found else None

    def append(self, entry: E) -> Saved[E]:
        """Write an entry down and return it."""
        with self._lock:
            kind = type(entry)
            for there in self.find(kind, key=entry.key):
                check_sent_again(there.entry, entry)
                return there
            check_entry(entry, self)
            shelf = self._shelf(kind)
            saved = Saved(len(shelf) + 1, entry)
            shelf.append(saved)
            return saved

    def change(self, saved: Saved[E], entry: E) -> Saved[E]:
        """Write a new version of an entry that may change."""
        with self._lock:
            check_change(saved, entry)
            now = self.get(type(entry), saved.id)
            if now.version != saved.version:
                raise StaleError(f"{entry.NAME}, entry {saved.id}", saved.version, now.version)
            check_entry(entry, self, saved.id)
            changed = Saved(saved.id, entry, saved.version + 1)
            self._shelf(type(entry))[saved.id - 1] = changed
            return changed

    @contextmanager
    def together(self) -> Iterator[Writer]:
        """Return a writer whose entries are saved together when the block ends, or not at all."""
        with self._lock:
            before = {kind: list(shelf) for kind, shelf in self._shelves.items()}
            try:
                yield self
            except BaseException:
                self._shelves = before
                raise

    def close(self) -> None:
        """Do nothing: there is nothing to give back."""
