"""Prints why a number is what it is: formula, inputs with their tags, source."""

from __future__ import annotations

from collections.abc import Sequence

from holewright.cli.output import Page
from holewright.planning.explanation import Explanation
from holewright.reference.tables import cite, sources
from holewright.uncertainty import Known


def show_why(page: Page, explained: Sequence[Explanation]) -> None:
    """Print explanations for people.

    Parameters
    ----------
    page : Page
        Where to.
    explained : sequence of Explanation
        What to print, in order.
    """
    for i, one in enumerate(explained):
        if i:
            page.gap()
        digits = 5 if one.unit in ("mm", "in") else 4
        said = f"{one.name} = {_number(one.value, digits)} {one.unit}"
        page.verdict(said.removesuffix(" -"), one.what)
        page.say(one.formula, indent=2)
        page.points(_input(name, known) for name, known in one.inputs)
        page.say(f"From: {one.source}.", indent=2)


def _input(name: str, known: Known) -> str:
    doubt = f" ± {_number(known.u, 2)}" if known.u else ""
    source = known.source
    said = f"; {cite(source) if source in sources() else source}" if source else ""
    return f"{name}: {_number(known.value)}{doubt} ({known.tag}{said})"


def _number(value: float, digits: int = 5) -> str:
    """Return a number to so many digits, and all that stand before the point."""
    return f"{value:.0f}" if abs(value) >= 10**digits else f"{value:.{digits}g}"
