"""The largest doubts about a forecast, each with the cheapest test that settles it."""

from __future__ import annotations

from dataclasses import dataclass

from holewright.sizing.forecast import Forecast
from holewright.uncertainty import Tag, Term

_TESTS = {
    "reamer": "Mike the reamer just behind its lead, across opposite lands, and enter what it "
    "measures; the label says less.",
    "runout": "With the reamer in the spindle, turn it by hand and indicate it at the lead. "
    "Clean and turn it in the holder, or change the holder, until the runout is small.",
    "spring-back": "Ream three holes in a block of the same material with the same wall, and "
    "gauge them: hole less reamer is the offset to plan with.",
    "fluid": "Check the concentration, then ream three holes in scrap with the coolant of the "
    "job and gauge them before the part goes on.",
    "built-up edge": "Look at the edge with a loupe after five holes. Welded metal, or a size "
    "that jumps up and falls back, shows it: richer coolant, or another speed as a test.",
    "wear": "Gauge the first and the last hole of one reamer's run; their difference sets when "
    "to change it.",
    "warmth": "Take the temperature of the part straight after reaming and again when it is "
    "gauged, and let it stand until it is as warm as the pin.",
    "settings": "Ream three holes at the planned speed and feed and three at a fifth less, in "
    "scrap, and gauge both: sources disagree on which way the size goes.",
    "drilled size": "Drill five holes in scrap with this drill, and gauge them at both ends: what "
    "a drill leaves differs from drill to drill.",
    "bored size": "Measure before the last pass, set the head by what it says, and gauge the "
    "first hole before the rest is bored.",
    "lobing": "Gauge a test hole with a pin and with a bore gauge of three points: a pin that "
    "feels small where the gauge reads large shows lobes. Then feed more, or leave less stock.",
    "scatter": "Gauge ten holes in a row with pins one step apart: their spread is the scatter "
    "of this set-up.",
}
_ANY_TEST = "Ream three holes in scrap of the same material and gauge them before the part goes on."


@dataclass(frozen=True)
class Risk:
    """One doubt about the size that will come.

    Parameters
    ----------
    term : Term
        The cause, as the forecast has it.
    share : float
        Its part of the variance of the forecast. [-]
    test : str
        What settles it.
    """

    term: Term
    share: float
    test: str


def largest_risks(forecast: Forecast, count: int = 3) -> tuple[Risk, ...]:
    """Return the terms that spread the forecast most, with the test that settles each.

    Parameters
    ----------
    forecast : Forecast
        Size that will come.
    count : int
        How many at most.

    Returns
    -------
    tuple of Risk
        The largest first; terms without spread are left out.
    """
    variance = forecast.sd**2
    return tuple(
        Risk(term, term.sd**2 / variance, _test_of(term))
        for term in forecast.sources[:count]
        if term.sd > 0
    )


def _test_of(term: Term) -> str:
    if term.name == "reamer" and term.tag is Tag.MEASURED:
        return (
            "Measured already: mike it again with a finer instrument, or gauge the first hole, "
            "before the rest is reamed."
        )
    return _TESTS.get(term.name, _ANY_TEST)
