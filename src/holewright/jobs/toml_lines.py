"""Reads a TOML file and remembers on which line each key stands."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from holewright.errors import InputError, Where
from holewright.jobs.text_files import read_text

Key = tuple[str | int, ...]
"""Path to a value: names, and a number for each table of an array of tables."""

_TOKEN = re.compile(
    r'"{3}(?:\\.|[^\\])*?"{3,5}'
    r"|'{3}.*?'{3,5}"
    r'|"(?:\\.|[^"\\\n])*"'
    r"|'[^'\n]*'"
    r"|\#[^\n]*"
    r"|[\[\]{}=.\n]"
    r"|[^\s\[\]{}=.\"'\#]+"
    r"|[^\S\n]+"
    r"|.",
    re.DOTALL,
)
_AT_LINE = re.compile(r"\(at line (\d+), column (\d+)\)")


@dataclass(frozen=True)
class TomlFile:
    """What a TOML file says, and where it says it.

    Parameters
    ----------
    source : str
        Name of the file.
    data : mapping
        Its tables.
    lines : mapping
        Path of a key -> line, counted from 1.
    """

    source: str
    data: Mapping[str, Any]
    lines: Mapping[Key, int]

    def place(self, *path: str | int) -> Where:
        """Return where a key stands, or the nearest table around it."""
        for end in range(len(path), 0, -1):
            if path[:end] in self.lines:
                return Where(self.source, self.lines[path[:end]])
        return Where(self.source)


def read_toml(path: Path, what: str) -> TomlFile:
    """Return a TOML file with its lines.

    Parameters
    ----------
    path : Path
        The file.
    what : str
        What it is, for an error: ``job file``.

    Raises
    ------
    InputError
        If it can't be read, isn't text, or isn't TOML.
    """
    return parse_toml(read_text(path, what), str(path))


def parse_toml(text: str, source: str) -> TomlFile:
    r"""Return TOML text with its lines.

    Parameters
    ----------
    text : str
        The text.
    source : str
        Name to use in an error.

    Raises
    ------
    InputError
        If it isn't TOML.

    Examples
    --------
    >>> str(parse_toml('[hole]\ncallout = "8 H7"', "job.toml").place("hole", "callout"))
    'job.toml, line 2'
    """
    try:
        data = tomllib.loads(text)
    except ValueError as error:  # TOMLDecodeError, or a whole number of thousands of digits
        raise _syntax_error(text, source, str(error)) from None
    except RecursionError:
        raise InputError("text", source, "must not nest its lists that deep") from None
    return TomlFile(source, data, _index(text))


def _syntax_error(text: str, source: str, message: str) -> InputError:
    found = _AT_LINE.search(message)
    lines = text.splitlines() or [""]
    line = min(int(found[1]), len(lines)) if found else len(lines)
    said = _AT_LINE.sub("", message).replace("(at end of document)", "").strip()
    return InputError(
        "text",
        lines[line - 1].strip() or "end of the file",
        f'must be TOML, such as callout = "8 H7"; {said[:1].lower()}{said[1:]}',
        Where(source, line, found[2] if found else None),
    )


def _index(text: str) -> dict[Key, int]:
    """Return the line of each table and key. The text is known to be TOML."""
    lines: dict[Key, int] = {}
    counts: dict[Key, int] = {}
    table: Key = ()
    words: list[str] = []
    in_value, depth, line = False, 0, 1
    for match in _TOKEN.finditer(text + "\n"):
        token = match[0]
        if in_value:
            depth += (token in "[{") - (token in "]}")
            in_value = not (token == "\n" and depth <= 0)
        elif token == "\n":
            if words:  # a header
                table = _table(words, counts)
                lines.setdefault(table, line)
                lines.setdefault(tuple(_names(words)), line)
            words = []
        elif token == "=":
            path = table
            for name in _names(words):
                path = (*path, name)
                lines.setdefault(path, line)
            words, in_value, depth = [], True, 0
        elif not token.isspace() and not token.startswith("#"):
            words.append(token)
        line += token.count("\n")
    return lines


def _table(words: list[str], counts: dict[Key, int]) -> Key:
    """Return the path of a header, and count it if it opens one more table of an array."""
    path: Key = ()
    names = _names(words)
    is_array = words[:2] == ["[", "["]
    for i, name in enumerate(names):
        path = (*path, name)
        if is_array and i == len(names) - 1:
            counts[path] = counts.get(path, 0) + 1
        if path in counts:
            path = (*path, counts[path] - 1)
    return path


def _names(words: list[str]) -> list[str]:
    """Return the names in a key or header, without quotes, dots and brackets."""
    return [
        str(tomllib.loads(f"name = {word}")["name"]) if word[0] in "\"'" else word
        for word in words
        if word not in "[]."
    ]
