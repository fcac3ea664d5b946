"""Reads a page back: its text without marks, and whether every element is closed."""

from __future__ import annotations

import re
from html.parser import HTMLParser

_VOID = {"meta", "br", "col", "hr", "img", "input", "link"}


class _Page(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.parts: list[str] = []
        self.wrong: list[str] = []
        self.tags: set[str] = set()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.add(tag)
        if tag not in _VOID:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        if not self.open or self.open.pop() != tag:
            self.wrong.append(tag)

    def handle_data(self, data: str) -> None:
        if "style" not in self.open:
            self.parts.append(data)


def _read(page: str) -> _Page:
    reader = _Page()
    reader.feed(page)
    reader.close()
    return reader


def text_of(page: str) -> str:
    """Return what a person reads, blanks made single."""
    return re.sub(r"\s+", " ", " ".join(_read(page).parts)).replace(" ,", ",")


def tags_of(page: str) -> set[str]:
    """Return the elements used."""
    return _read(page).tags


def unclosed(page: str) -> list[str]:
    """Return elements that are closed wrongly or not at all."""
    reader = _read(page)
    return reader.wrong + reader.open
