"""Two ways to expect how far a hole comes out from its reamer; they compete.

One adds up causes, most of them judgement. The other reads what the standard for reamers takes
for granted: that a new reamer anywhere in its make band makes a good H7 hole. Neither is a
measurement. Both are shown, and one measured test hole outweighs the two.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from holewright.callout.limits import hole_limits
from holewright.reference.tables import cite
from holewright.sizing.forecast import Forecast
from holewright.sizing.make_limits import reamer_make_limits
from holewright.uncertainty import Shape, SizeDistribution, Tag, Term

_CLASS = "H7"
"""The tolerance class that reamers are commonly made for."""


@dataclass(frozen=True)
class Hypothesis:
    """One way to expect the offset, hole less reamer.

    Parameters
    ----------
    name : str
        ``causes`` or ``standard``.
    offset, sd : float
        Mean offset and its standard uncertainty for one hole. [mm]
    low, high : float
        Where 95 % of the holes are expected; for the standard, the range that it allows. [mm]
    forecast : Forecast
        The size that follows from it with this reamer.
    source : str
        What it rests on.
    """

    name: str
    offset: float
    sd: float
    low: float
    high: float
    forecast: Forecast
    source: str


def standard_offset(diameter: float) -> tuple[float, float]:
    """Return the offsets, hole less reamer, for which the standard's reamers are made.

    Parameters
    ----------
    diameter : float
        Nominal diameter, up to 500. [mm]

    Returns
    -------
    tuple of float
        Least and greatest: the smallest reamer must not make the smallest H7 hole too small,
        nor the largest the largest too large. [mm]

    Raises
    ------
    OutOfRangeError
        If ISO 286-1 has no H7 at that diameter.

    References
    ----------
    .. [1] ISO 522:1975, read backwards; derived here.

    Examples
    --------
    At 10 mm, where reamers for H7 are made 10.006 to 10.012:

    >>> [round(1000 * one, 1) for one in standard_offset(10.0)]
    [-6.0, 3.0]
    """
    hole = hole_limits(diameter, _CLASS)
    made = reamer_make_limits(hole)
    return hole.lower - made.lower, hole.upper - made.upper


def hypotheses(forecast: Forecast, diameter: float) -> tuple[Hypothesis, Hypothesis] | None:
    """Return both ways to expect the offset, the forecast's own first.

    Parameters
    ----------
    forecast : Forecast
        Forecast of a reamed hole, with a term named ``reamer``.
    diameter : float
        Nominal diameter. [mm]

    Returns
    -------
    tuple of Hypothesis or None
        By causes, and by the standard; None where no reamer is in the forecast.

    Notes
    -----
    The standard's range is taken as rectangular, for one hole of a set-up nobody knows. It was
    meant for wet reaming of steel with the tools of its time.
    """
    reamer = next((t for t in forecast.size.terms if t.name == "reamer"), None)
    if reamer is None:
        return None
    offset = forecast.mean - reamer.mean
    sd = math.sqrt(max(forecast.sd**2 - reamer.sd**2, 0.0))
    causes = Hypothesis(
        "causes",
        offset,
        sd,
        offset - 1.96 * sd,
        offset + 1.96 * sd,
        forecast,
        "the causes one by one, most of them " + cite("own-judgement"),
    )
    low, high = standard_offset(diameter)
    spread = (high - low) / math.sqrt(12)
    source = cite("iso-522") + f"; read backwards from {_CLASS}"
    term = Term(
        "offset",
        (low + high) / 2,
        spread,
        Tag.STANDARD,
        source,
        "a new reamer anywhere in its make band makes a good H7 hole",
        shape=Shape.RECTANGULAR,
    )
    by_standard = Forecast(SizeDistribution((reamer, term)), forecast.limits)
    standard = Hypothesis("standard", term.mean, spread, low, high, by_standard, source)
    return causes, standard


def disagree(causes: Hypothesis, standard: Hypothesis) -> bool:
    """Return whether the causes put the mean where the standard's reamers would make bad holes.

    Parameters
    ----------
    causes, standard : Hypothesis
        Both, as :func:`hypotheses` gives them.
    """
    return not standard.low <= causes.offset <= standard.high
