"""Enters readings one by one and says each that is saved, until somebody ends it: a child
process of test_book_saved.py."""

from __future__ import annotations

import sys

from record_book_samples import begin

from holewright.records.address import book_address
from holewright.records.schema import open_book


def enter(address: str) -> None:
    """Enter readings without end."""
    begun = begin(open_book(book_address(address)))
    number = 0
    while True:
        number += 1
        saved = begun.book.append(begun.reading(f"A{number}", key=f"tablet-{number}"))
        print(saved.entry.key, flush=True)


if __name__ == "__main__":
    enter(sys.argv[1])
