"""Prints for people: plain sentences, tables that fit the page, ASCII where it must be."""

from __future__ import annotations

import json
import re
import sys
import textwrap
import unicodedata
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from typing import IO, TYPE_CHECKING, Any

if TYPE_CHECKING:
    from rich.console import Console, RenderableType

NARROW, USUAL, WIDE = 60, 80, 110
"""Least, usual and greatest width of a page; longer lines are hard to read."""

_ASCII = str.maketrans(
    {
        "Ø": "dia ",
        "⌀": "dia ",
        "µ": "u",
        "μ": "u",
        "×": "x",
        "·": "*",
        "±": "+/-",
        "−": "-",
        "–": "-",
        "—": "-",
        "≥": ">=",
        "≤": "<=",
        "→": "->",
        "…": "...",
        "°": "deg ",
        "²": "^2",
        "³": "^3",
        "“": '"',
        "”": '"',
        "‘": "'",
        "’": "'",
        "•": "*",
        "█": "#",
        "▉": "#",
        "▓": "#",
        "▒": ":",
        "░": ".",
        "─": "-",
        "━": "=",
        "│": "|",
        "┃": "|",
        "┆": ":",
        "┊": ":",
        "├": "+",
        "┤": "+",
        "┬": "+",
        "┴": "+",
        "┼": "+",
        "└": "+",
        "┘": "+",
        "┌": "+",
        "┐": "+",
        "▲": "^",
        "△": "^",
        "▼": "v",
        "▽": "v",
        "●": "o",
        "○": "o",
        "◆": "o",
    }
)


def ascii_text(text: str) -> str:
    """Return the text in ASCII: ``8 µm`` becomes ``8 um``; what has no like becomes ``?``."""
    bare = unicodedata.normalize("NFKD", text.replace(_GLUE, "\x00").translate(_ASCII))
    kept = "".join(character for character in bare if not unicodedata.combining(character))
    return kept.encode("ascii", "replace").decode("ascii").replace("\x00", _GLUE)


def needs_ascii(stream: IO[str]) -> bool:
    """Return whether the stream can't show what we write."""
    encoding = getattr(stream, "encoding", None) or "utf-8"
    try:
        "µ Ø × ≤ █ ─ ▐ ╪ ●".encode(encoding)
    except (LookupError, UnicodeEncodeError):
        return True
    return False


_GLUE = "\ue000"
"""Stands for a blank at which no line may break; turned into a blank when it is printed."""

_UNIT = r"(?:mm|µm|in|tenths|thou|m/min|sfm|°C|°F|%|s|min|bar|W|N)"
_BEFORE_UNIT = re.compile(rf"(?<=\d) (?={_UNIT}(?:[\s.,:;)/]|$))")


def glued(text: str) -> str:
    """Return the text with each number held to its unit, so that no line breaks between them."""
    return _BEFORE_UNIT.sub(_GLUE, text)


@contextmanager
def working(what: str) -> Iterator[Callable[[str], None]]:
    """Show on a terminal that work goes on, beside the page and never in it.

    Parameters
    ----------
    what : str
        What is being done.

    Yields
    ------
    callable
        Takes what is being done now.
    """
    from rich.console import Console

    with Console(file=sys.stderr).status(what, spinner="line") as status:
        yield status.update


class Page:
    """A page on the terminal.

    Parameters
    ----------
    columns : int, optional
        Its width; by default that of the terminal, and 80 in a pipe.
    plain : bool
        Whether to write ASCII only; it is also chosen where the terminal needs it.
    stream : file, optional
        Where to write; standard output by default.
    """

    def __init__(
        self, columns: int | None = None, *, plain: bool = False, stream: IO[str] | None = None
    ) -> None:
        from rich.console import Console

        self.stream = stream or sys.stdout
        self.plain = plain or needs_ascii(self.stream)
        self._console: Console = Console(
            file=self.stream, width=columns, highlight=False, markup=False, emoji=False
        )
        if columns is None:
            usual = self._console.width if self._console.is_terminal else USUAL
            self._console.width = max(NARROW, min(usual, WIDE))

    @property
    def columns(self) -> int:
        """Width of the page in characters."""
        return self._console.width

    def _fit(self, text: str) -> str:
        bound = glued(text)
        return ascii_text(bound) if self.plain else bound

    def _write(self, text: str) -> None:
        lines = text.replace(_GLUE, " ").split("\n")
        self.stream.write("\n".join(line.rstrip() for line in lines))

    def _show(self, renderable: RenderableType) -> None:
        with self._console.capture() as captured:
            self._console.print(renderable)
        self._write(captured.get())

    def _wrap(self, text: str, first: str, rest: str) -> None:
        wrapped = textwrap.fill(
            self._fit(text),
            self.columns,
            initial_indent=first,
            subsequent_indent=rest,
            break_on_hyphens=False,
        )
        self._write(f"{wrapped}\n")

    def gap(self) -> None:
        """Leave a line empty."""
        self._write("\n")

    def verdict(self, word: str, rest: str = "") -> None:
        """Print the word that is looked at first, in capitals, and what it is about."""
        from rich.text import Text

        line = Text(self._fit(word), style="bold reverse")
        if rest:
            line.append("  ", style="not reverse")
            line.append(self._fit(rest), style="not reverse not bold")
        self._show(line)

    def heading(self, text: str) -> None:
        """Print a heading with a line left empty above it."""
        from rich.text import Text

        self.gap()
        self._show(Text(self._fit(text), style="bold"))

    def say(self, text: str, indent: int = 0) -> None:
        """Print a paragraph, wrapped."""
        self._wrap(text, " " * indent, " " * indent)

    def prompt(self, text: str) -> None:
        """Write what an answer is typed behind, at once."""
        self._write(self._fit(text))
        self.stream.write(" " if text.endswith(" ") else "")
        self.stream.flush()

    def as_is(self, lines: Iterable[str]) -> None:
        """Print lines that are already laid out."""
        for line in lines:
            self._write((ascii_text(line) if self.plain else line) + "\n")

    def points(self, texts: Iterable[str], mark: str = "-") -> None:
        """Print a list; with mark ``1`` it is numbered."""
        for number, text in enumerate(texts, start=1):
            sign = f"{number}." if mark == "1" else mark
            self._wrap(text, f"{sign:>3} ", "    ")

    def table(
        self, header: Sequence[str], rows: Iterable[Sequence[str]], right: Sequence[int] = ()
    ) -> None:
        """Print a table without lines; `right` are the columns of numbers."""
        from rich.table import Table

        table = Table(
            box=None,
            show_header=any(header),
            header_style="",
            padding=(0, 2, 0, 0),
            pad_edge=False,
        )
        table.add_column("", width=1, no_wrap=True)
        for index, name in enumerate(header):
            table.add_column(
                self._fit(name), justify="right" if index in right else "left", overflow="fold"
            )
        for row in rows:
            table.add_row("", *(self._fit(cell) for cell in row))
        self._show(table)


def print_json(document: Mapping[str, Any]) -> None:
    """Print a JSON document, the same bytes on every terminal."""
    json.dump(document, sys.stdout, indent=2, ensure_ascii=True, allow_nan=False)
    sys.stdout.write("\n")
