"""Options that several commands share, each declared once."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, TypeAlias

import typer

from holewright.units import Unit

JobFile: TypeAlias = Annotated[
    Path, typer.Argument(metavar="JOB.toml", help="The job file.", show_default=False)
]
JobFiles: TypeAlias = Annotated[
    list[Path],
    typer.Argument(
        metavar="JOB.toml...",
        help="The job file; several for one part with several hole features.",
        show_default=False,
    ),
]
ReadingsFile: TypeAlias = Annotated[
    Path,
    typer.Option(
        "--readings",
        "-r",
        metavar="R.csv",
        help="What pins and bore gauge said, hole by hole.",
        show_default=False,
    ),
]
Json: TypeAlias = Annotated[
    bool, typer.Option("--json", help="Print the JSON document instead of the page for people.")
]
UnitChoice: TypeAlias = Annotated[
    Unit | None,
    typer.Option(
        "--unit",
        "-u",
        metavar="mm|in",
        help="Unit shown first; by default that of the print.",
        show_default=False,
    ),
]
PrintUnit: TypeAlias = Annotated[
    Unit | None,
    typer.Option(
        "--unit",
        "-u",
        metavar="mm|in",
        help="Unit of the print, where the callout doesn't say it.",
        show_default=False,
    ),
]
Columns: TypeAlias = Annotated[
    int | None,
    typer.Option(
        "--columns",
        metavar="N",
        min=60,
        max=240,
        help="Width of the page; by default that of the terminal, and 80 in a pipe.",
        show_default=False,
    ),
]
Plain: TypeAlias = Annotated[
    bool, typer.Option("--plain", help="Write ASCII only, for terminals that show nothing else.")
]
Force: TypeAlias = Annotated[
    bool, typer.Option("--force", help="Overwrite files that are already there.")
]
WithForecast: TypeAlias = Annotated[
    bool,
    typer.Option(
        "--with-forecast",
        help="Hear the forecast of the plan together with the readings, and show each and both.",
    ),
]
Book: TypeAlias = Annotated[
    str | None,
    typer.Option(
        "--book",
        metavar="FILE|URL",
        help="The record book: a file, or postgresql://user@server/database. By default that of "
        "HOLEWRIGHT_BOOK, or book.db in your data folder.",
        show_default=False,
    ),
]
By: TypeAlias = Annotated[
    str | None,
    typer.Option(
        "--by",
        metavar="NAME",
        help="Who writes it down; by default the name you are logged in by.",
        show_default=False,
    ),
]
