"""What every command does with an answer and with an error.

Exit code 0: good. 1: the answer is no. 2: the input can't be used.
"""

from __future__ import annotations

import functools
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any, ParamSpec

import typer

from holewright.errors import AmbiguousError, HolewrightError, InputError, NoAnswerError

GOOD, NO, BAD_INPUT = 0, 1, 2

P = ParamSpec("P")


def answers(command: Callable[P, int]) -> Callable[P, None]:
    """Make a function that returns an exit code into a command that shows its errors."""

    @functools.wraps(command)
    def run(*args: P.args, **kwargs: P.kwargs) -> None:
        try:
            code = command(*args, **kwargs)
        except HolewrightError as error:
            code = _show_error(error, as_json=bool(kwargs.get("as_json")))
        except BrokenPipeError:
            raise
        except OSError as error:
            name = error.filename or "file"
            unread = InputError("file", name, f"can't be used: {error.strerror or error}")
            code = _show_error(unread, as_json=bool(kwargs.get("as_json")))
        raise typer.Exit(code)

    return run


def _show_error(error: HolewrightError, *, as_json: bool) -> int:
    from holewright.cli.output import ascii_text, needs_ascii, print_json

    lines = [f"holewright: {error}"]
    if isinstance(error, AmbiguousError) and error.readings:
        lines.append("Type one of these instead:")
        lines += [f"  {reading}" for reading in error.readings]
    text = "\n".join(lines)
    print(ascii_text(text) if needs_ascii(sys.stderr) else text, file=sys.stderr)
    if as_json:
        print_json(error_document(error))
    return NO if isinstance(error, NoAnswerError) else BAD_INPUT


def error_document(error: HolewrightError) -> dict[str, Any]:
    """Return an error as JSON data, for those who asked for JSON."""
    document: dict[str, Any] = {"document": "error", "version": 1, "text": str(error)}
    if isinstance(error, InputError):
        document |= {
            "field": error.field,
            "value": str(error.value),
            "accepted": error.accepted,
            "where": str(error.where) if error.where else None,
            "readings": list(error.readings) if isinstance(error, AmbiguousError) else [],
        }
    return document


def check_free(paths: list[Path], *, force: bool) -> None:
    """Raise an error if one of the files is there already and must not be overwritten."""
    for path in paths:
        if path.exists() and not force:
            raise InputError(
                "output file", path, "is there already; choose another name or add --force"
            )
