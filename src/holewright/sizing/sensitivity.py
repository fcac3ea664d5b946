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
    "scatter": "measure ten holes in a row",
}


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
        Spread of the size if the term were known exactly. [mm]
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
        By share of the variance, largest first.
    """
    found = [_of(forecast, term) for term in forecast.size.terms if term.sd > 0]
    return tuple(sorted(found, key=lambda s: -s.share_of_variance))


def _of(forecast: Forecast, term: Term) -> Sensitivity:
    others = tuple(replace(t, sd=0.0, varies=0.0) if t is term else t for t in forecast.size.terms)
    without = SizeDistribution(others)
    lower, upper = forecast.limits.lower, forecast.limits.upper
    outside = 1 - without.inside(lower, upper)
    share = (term.sd / forecast.sd) ** 2
    todo = _WHAT_TO_DO.get(term.name, f"find out more about {term.name}")
    cut = 1 - without.sd / forecast.sd
    text = (
        f"{todo[0].upper()}{todo[1:]}: that alone takes {cut:.0%} off the spread, and "
        f"{1 - forecast.inside:.1%} outside by forecast becomes {outside:.1%}."
    )
    return Sensitivity(term.name, share, without.sd, outside, todo, text)
