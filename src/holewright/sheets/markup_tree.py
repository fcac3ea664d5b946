"""Reads a sheet of ours back as a tree: well-formed HTML with our own few classes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from html.parser import HTMLParser

_VOID = {"br", "col", "meta", "link", "img", "hr", "input"}


@dataclass
class Element:
    """An element; its children are elements and texts."""

    tag: str
    attributes: dict[str, str]
    children: list[Element | str] = field(default_factory=list)
    source: str = ""

    @property
    def classes(self) -> set[str]:
        """Its classes."""
        return set(self.attributes.get("class", "").split())

    def elements(self, tag: str = "") -> list[Element]:
        """Return its children that are elements, all or of one tag."""
        found = [child for child in self.children if isinstance(child, Element)]
        return [child for child in found if not tag or child.tag == tag]

    def first(self, tag: str) -> Element | None:
        """Return the first element of a tag anywhere below, or None."""
        return next((e for e in self.below() if e.tag == tag), None)

    def below(self) -> Iterator[Element]:
        """Yield every element below, in order."""
        for child in self.elements():
            yield child
            yield from child.below()

    def text(self) -> str:
        """Return its text, white space folded."""
        parts = [c if isinstance(c, str) else c.text() for c in self.children]
        return " ".join(" ".join(parts).split())


class _Reader(HTMLParser):
    def __init__(self, source: str) -> None:
        super().__init__(convert_charrefs=True)
        self.root = Element("root", {})
        self._open = [self.root]
        self._source = source
        self._svg_from: int | None = None
        self._lines = [0]
        for line in source.split("\n"):
            self._lines.append(self._lines[-1] + len(line) + 1)

    def _offset(self) -> int:
        line, column = self.getpos()
        return self._lines[line - 1] + column

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        element = Element(tag, {name: value or "" for name, value in attrs})
        self._open[-1].children.append(element)
        if tag == "svg":
            self._svg_from = self._offset()
        if tag not in _VOID:
            self._open.append(element)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self._open[-1].children.append(Element(tag, {name: value or "" for name, value in attrs}))

    def handle_endtag(self, tag: str) -> None:
        while len(self._open) > 1:
            closed = self._open.pop()
            if tag == "svg" and closed.tag == "svg" and self._svg_from is not None:
                closed.source = self._source[self._svg_from : self._offset()] + "</svg>"
                self._svg_from = None
            if closed.tag == tag:
                return

    def handle_data(self, data: str) -> None:
        self._open[-1].children.append(data)


def read_tree(html: str) -> Element:
    """Return a sheet as a tree.

    Parameters
    ----------
    html : str
        A sheet that holewright wrote; pictures keep their source text in ``source``.

    Returns
    -------
    Element
        Its root.
    """
    reader = _Reader(html)
    reader.feed(html)
    reader.close()
    return reader.root
