"""Writes docs/reference/cli.md and json.md from the code: ``python docs/make_reference.py``.

A test fails when the pages are not what this writes.
"""

from __future__ import annotations

import inspect
from collections.abc import Iterator
from enum import Enum
from pathlib import Path
from typing import Any, get_args

from typer.main import get_command

from holewright.cli.main import app
from holewright.jobs.document_keys import DOCUMENTS

REFERENCE = Path(__file__).parent / "reference"
MADE = "<!-- Made by docs/make_reference.py; change the code, not this page. -->"

DOCUMENT_OF = {
    "limits": "`holewright limits CALLOUT --json`",
    "plan": "`holewright plan JOB.toml --json`",
    "why": "`holewright plan JOB.toml --why NUMBER --json`",
    "window": "`holewright window JOB.toml --json`",
    "form": "`holewright form JOB.toml --json`",
    "forecast": "`holewright forecast JOB.toml --json`",
    "program": "`holewright program JOB.toml --json`",
    "backplot": "`holewright backplot JOB.toml --json`",
    "time": "`holewright time JOB.toml --json`",
    "holes": "`holewright holes PART.step --json`",
    "estimate": "`holewright estimate JOB.toml --readings R.csv --json`",
    "verdict": "`holewright verdict JOB.toml --readings R.csv --json`",
    "plate": "`holewright plate JOB.toml --json`",
    "plate-result": "`holewright plate JOB.toml --results R.csv --json`",
    "life": "`holewright life JOB.toml --readings R.csv --json`",
    "finding": "`holewright find JOB.toml --seen WORD --json`",
    "pins": "`holewright pins JOB.toml --json`",
    "standing": "`holewright gauge JOB.toml --json`",
    "answer": "`holewright study`, `ask` and any `sampling`, with `--json`",
    "sheet": "`holewright sheet JOB.toml --json`",
    "demo": "`holewright demo --json`",
    "book": "any `holewright book` command with `--json`",
    "error": "any command with `--json` whose input can't be used, or has no answer",
}


def cli_page() -> str:
    """Return the page about the command line."""
    group: Any = get_command(app)
    lines = [
        MADE,
        "",
        "# Commands",
        "",
        _prose(group.help),
        "",
        "Exit code 0: good. 1: the answer is no (do not ream, hold, no program, no finite answer).",
        "2: the input can't be used; one message on standard error names field, value, what would",
        "be accepted and where.",
    ]
    for name, command in _commands(group):
        arguments = [p for p in command.params if p.param_type_name == "argument"]
        options = [p for p in command.params if p.param_type_name == "option"]
        usage = " ".join(["holewright", name, *(p.metavar for p in arguments), "[OPTIONS]"])
        lines += ["", f"## {name}", "", f"    {usage}", "", _prose(command.help), ""]
        lines += ["| | |", "|---|---|"]
        lines += [f"| `{p.metavar}` | {_cell(p.help)} |" for p in arguments]
        lines += [f"| {_flags(p)} | {_cell(p.help)}{_default(p)} |" for p in options]
    return "\n".join(lines) + "\n"


def _commands(group: Any) -> Iterator[tuple[str, Any]]:
    """Yield each command with its whole name: those of a group in place of the group."""
    for name, command in group.commands.items():
        if hasattr(command, "commands"):
            yield from ((f"{name} {inner}", one) for inner, one in _commands(command))
        else:
            yield name, command


def _flags(parameter: Any) -> str:
    names = ", ".join(f"`{flag}`" for flag in parameter.opts)
    return names if parameter.is_flag else f"{names} `{_cell(_takes(parameter))}`"


def _takes(parameter: Any) -> str:
    """Return what an option takes: its own word for it, its choices, or N for a number."""
    if parameter.metavar:
        return str(parameter.metavar)
    annotation = parameter.type_descriptor.annotation
    kind = (get_args(annotation) or (annotation,))[0]
    return "|".join(map(str, kind)) if issubclass(kind, Enum) else "N"


def _default(parameter: Any) -> str:
    if parameter.required:
        return " Needed."
    if parameter.is_flag or parameter.default is None:
        return ""
    return f" Default: `{parameter.default}`."


def _prose(text: str) -> str:
    return inspect.cleandoc(text)


def _cell(text: str) -> str:
    return text.replace("|", "\\|")


def json_page() -> str:
    """Return the page about the JSON documents."""
    return "\n".join(_json_lines()) + "\n"


def _json_lines() -> Iterator[str]:
    yield MADE
    yield ""
    yield "# JSON documents"
    yield ""
    yield "Lengths are in mm whatever the unit of the print, and their keys end in `_mm`. A number"
    yield "that does not exist is `null`; there is no NaN and no infinity. `a.b` is key b in object"
    yield "a, and `a[].b` is key b of each item of list a. Shares run from 0 to 1."
    for kind, keys in DOCUMENTS.items():
        yield ""
        yield f"## {kind}"
        yield ""
        yield f"From {DOCUMENT_OF[kind]}."
        yield ""
        yield "| key | type | unit | meaning |"
        yield "|---|---|---|---|"
        for key in keys:
            yield f"| `{key.path}` | {key.type} | {key.unit} | {_cell(key.meaning)} |"


def main() -> None:
    """Write both pages."""
    REFERENCE.mkdir(exist_ok=True)
    (REFERENCE / "cli.md").write_text(cli_page(), encoding="utf-8")
    (REFERENCE / "json.md").write_text(json_page(), encoding="utf-8")


if __name__ == "__main__":
    main()
