"""The command ``holewright``: one file for each of its commands."""

from __future__ import annotations

from typing import Annotated

import typer

from holewright.cli.ask import ask
from holewright.cli.backplot import backplot, time
from holewright.cli.book import app as book_app
from holewright.cli.demo import demo
from holewright.cli.estimate import estimate
from holewright.cli.find import find
from holewright.cli.forecast import forecast
from holewright.cli.form import form
from holewright.cli.gauge import gauge
from holewright.cli.holes import holes
from holewright.cli.life import life
from holewright.cli.limits import limits
from holewright.cli.pins import pins
from holewright.cli.plan import plan
from holewright.cli.plate import plate
from holewright.cli.program import program
from holewright.cli.sampling import app as sampling_app
from holewright.cli.serve import serve
from holewright.cli.sheet import sheet
from holewright.cli.study import study
from holewright.cli.verdict import verdict
from holewright.cli.window import window

app = typer.Typer(
    name="holewright",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"]},
    epilog="Exit code 0: good. 1: the answer is no. 2: the input can't be used. "
    "The advice moves no machine: a person approves every value.",
)


def _version(wanted: bool) -> None:
    if wanted:
        from holewright.jobs.bench import software_version

        typer.echo(f"holewright {software_version()}")
        raise typer.Exit


@app.callback()
def door(
    version: Annotated[
        bool,
        typer.Option("--version", callback=_version, is_eager=True, help="Print the version."),
    ] = False,
) -> None:
    """Carry one precision hole from the drawing to a proven process: drill, ream, gauge with pins.

    Start with a callout (limits), or with a job file (plan).
    Every command prints a page for people, or with --json a document.
    """


for command in (
    limits,
    plan,
    ask,
    window,
    form,
    forecast,
    holes,
    program,
    backplot,
    time,
    pins,
    gauge,
    estimate,
    verdict,
    find,
    plate,
    life,
    study,
    sheet,
    demo,
    serve,
):
    app.command()(command)
app.add_typer(sampling_app, name="sampling")
app.add_typer(book_app, name="book")


def run() -> None:
    """Run the command line."""
    app()
