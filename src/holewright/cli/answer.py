"""Prints the answer to a single question, or writes its curve to a file."""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, TypeAlias

import typer

from holewright.cli.door import GOOD, check_free

if TYPE_CHECKING:
    from holewright.cli.output import Page
    from holewright.jobs.answer import Answer

Plot: TypeAlias = Annotated[
    Path | None,
    typer.Option(
        "--plot",
        metavar="F.svg",
        help="Write the picture to this file, in black and white.",
        show_default=False,
    ),
]


def give(
    answer: Answer,
    *,
    as_json: bool,
    columns: int | None,
    plain: bool,
    plot: Path | None = None,
    force: bool = False,
) -> int:
    """Show an answer as a page or as JSON, write its curve if asked, and return the exit code."""
    from holewright.cli.output import Page, print_json
    from holewright.jobs.answer_documents import answer_document

    if plot is not None:
        check_free([plot], force=force)
        plot.write_text(_curve(answer), encoding="utf-8")
    if as_json:
        print_json(answer_document(answer))
    else:
        page = Page(columns, plain=plain)
        show_answer(page, answer)
        if plot is not None:
            page.gap()
            page.say(f"Picture: {plot}")
    return GOOD


def show_answer(page: Page, answer: Answer) -> None:
    """Print an answer for people: what it means, the numbers, then how it was reckoned."""
    page.verdict(_capitals(answer.headline), answer.about)
    for sentence in answer.sentences:
        page.say(sentence)
    if answer.warnings:
        page.heading("Beware")
        page.points((str(reason) for reason in answer.warnings), mark="!")
    page.heading("Numbers")
    page.table(("", ""), [(figure.words, figure.said) for figure in answer.figures])
    page.heading("How it was reckoned")
    page.say(answer.method)


def _capitals(words: str) -> str:
    """Return words in capitals; units and symbols such as µm and s stay as they are."""
    return re.sub(r"(?<![\wµ])(?!(?:mm|in)\b)[a-z]{2,}", lambda found: found[0].upper(), words)


def _curve(answer: Answer) -> str:
    from holewright.errors import InputError
    from holewright.sheets.line_plot import Line, LinePlot, line_plot_svg

    curve = answer.curve
    if curve is None:
        raise InputError("plot", answer.question, "is not a question whose answer is a curve")
    return line_plot_svg(
        LinePlot(
            f"{answer.headline}, {answer.about}",
            curve.x_words,
            curve.y_words,
            (Line(curve.points),),
            curve.marks,
            x_scale=curve.x_scale,
            y_from=0.0,
        )
    )
