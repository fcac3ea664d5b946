"""Which term of a forecast matters most, and what would make it better known."""

from __future__ import annotations

from dataclasses import dataclass, replace

from holewright.sizing.forecast import Forecast
from holewright.uncertainty import SizeDistribution, Term

_WHAT_TO_DO = {
    "reamer": "measure the reamer",
    "runout": "indicate the runout at the lead and set it",
    "spring-back": "ream one test hole in this material",
    "fluid": "ream one test hole in this fluid",
    "built-up edge": "look at the edges after ten holes",
    "wear": "measure the first and the last hole of one reamer",
    "warmth": "measure the part's temperature right after the cut",
    "settings": "ream two test holes, at the usual setting and at this one",
    "lobing": "gauge a test hole with a pin and with three points",
    "offset": "measure a test hole and its reamer",
    "drilled size": "gauge five holes of this drill",
    "bored size": "measure before the last pass",
    "scatter": "measure ten holes in a row",
}


_TELLING = 0.005
"""Least cut of the spread worth saying. [-]"""


@dataclass(frozen=True)
class Sensitivity:
    """What one term does to the forecast.

    Parameters
    ----------
    term : str
        Name of the term.
    share_of_variance : float
        Its share of the variance of the size. [-]
    sd_without : float
        Spread of the size if all holes' common part of the term were known; what differs from
        hole to hole stays, since no knowledge takes it away. [mm]
    outside_without : float
        Share outside the limits then, at the same mean. [-]
    todo : str
        What would make it known.
    text : str
        The sentence.
    """

    term: str
    share_of_variance: float
    sd_without: float
    outside_without: float
    todo: str
    text: str


def sensitivities(forecast: Forecast) -> tuple[Sensitivity, ...]:
    """Return each uncertain term of a forecast, the most telling first.

    Parameters
    ----------
    forecast : Forecast
        Forecast with its terms and limits.

    Returns
    -------
    tuple of Sensitivity
        By what knowing it takes off the spread, most first; then by share of the variance.
    """
    found = [_of(forecast, term) for term in forecast.size.terms if term.sd > 0]
    return tuple(sorted(found, key=lambda s: (s.sd_without, -s.share_of_variance)))


def _of(forecast: Forecast, term: Term) -> Sensitivity:
    others = tuple(replace(t, sd=t.varies) if t is term else t for t in forecast.size.terms)
    without = SizeDistribution(others)
    lower, upper = forecast.limits.lower, forecast.limits.upper
    outside = 1 - without.inside(lower, upper)
    share = (term.sd / forecast.sd) ** 2
    todo = _WHAT_TO_DO.get(term.name, f"find out more about {term.name}")
    cut = 1 - without.sd / forecast.sd
    if cut < _TELLING:
        text = (
            f"{term.name[0].upper()}{term.name[1:]} differs from hole to hole. Knowing it does "
            f"not narrow the spread; only a better process does. To see how large it is, {todo}."
        )
    else:
        text = (
            f"{todo[0].upper()}{todo[1:]}: that alone takes {100 * cut:.0f} % off the spread, and "
            f"{100 * (1 - forecast.inside):.1f} % outside by forecast becomes "
            f"{100 * outside:.1f} %."
        )
    return Sensitivity(term.name, share, without.sd, outside, todo, text)
