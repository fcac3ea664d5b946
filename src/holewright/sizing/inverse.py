"""Questions asked backwards: what runout, what tolerance, what reamer size."""

from __future__ import annotations

from dataclasses import dataclass, replace

from scipy.optimize import brentq
from scipy.special import ndtri

from holewright.callout.callout import Limits
from holewright.errors import NoAnswerError, OutOfRangeError
from holewright.sizing.forecast import Forecast
from holewright.uncertainty import SizeDistribution


def _checked(inside: float) -> float:
    if not 0 < inside < 1:
        raise OutOfRangeError("inside", inside, "a share between 0 and 1")
    return inside


def runout_needed(forecast: Forecast, tir: float, inside: float) -> float:
    """Return the runout at which a share `inside` of the holes is forecast to be good.

    Parameters
    ----------
    forecast : Forecast
        Forecast at the runout `tir`, with a term named ``runout``.
    tir : float
        That runout, more than 0. [mm]
    inside : float
        Share asked for. [-]

    Returns
    -------
    float
        The greatest runout that gives it. [mm]

    Raises
    ------
    NoAnswerError
        If not even a reamer that runs dead true gives that share.
    OutOfRangeError
        If `inside` is no share, or `tir` not positive.

    Notes
    -----
    Mean and spread of the runout term are proportional to the runout, the share of it that
    reaches the size staying as it is.
    """
    _checked(inside)
    if not tir > 0:
        raise OutOfRangeError("tir", tir, "more than 0")

    def short(scale: float) -> float:
        return _with_runout(forecast, scale).inside - inside

    if short(0.0) < 0:
        raise NoAnswerError(
            f"even without any runout only {_with_runout(forecast, 0.0).inside:.1%} would be "
            f"inside; something else must change first"
        )
    high = 1.0
    while short(high) > 0:
        high *= 2
    low = 0.0
    return tir * float(brentq(short, low, high, xtol=1e-9))


def _with_runout(forecast: Forecast, scale: float) -> Forecast:
    terms = tuple(
        replace(t, mean=t.mean * scale, sd=t.sd * scale, varies=t.varies * scale)
        if t.name == "runout"
        else t
        for t in forecast.size.terms
    )
    return replace(forecast, size=SizeDistribution(terms))


def tolerance_needed(forecast: Forecast, inside: float) -> Limits:
    """Return the tightest limits about the forecast that hold a share `inside` of the holes.

    Parameters
    ----------
    forecast : Forecast
        Forecast.
    inside : float
        Share asked for. [-]

    Returns
    -------
    Limits
        Limits centred on the forecast mean: the tolerance that would make it easy. [mm]
    """
    reach = float(ndtri((1 + _checked(inside)) / 2)) * forecast.sd
    return Limits(forecast.mean - reach, forecast.mean + reach)


@dataclass(frozen=True)
class ReamerWanted:
    """The reamer to order, by this forecast.

    Parameters
    ----------
    diameter : float
        Diameter that puts most holes inside. [mm]
    inside : float
        Share inside with it. [-]
    offset : float
        Hole less reamer, by the forecast or as measured. [mm]
    """

    diameter: float
    inside: float
    offset: float


def reamer_wanted(forecast: Forecast, measured_offset: float | None = None) -> ReamerWanted:
    """Return the reamer diameter that puts most holes inside.

    Parameters
    ----------
    forecast : Forecast
        Forecast with a term named ``reamer``.
    measured_offset : float, optional
        Hole less reamer as a test cut showed it; by default that of the forecast. [mm]

    Returns
    -------
    ReamerWanted
        Diameter, the share inside and the offset used.

    Raises
    ------
    NoAnswerError
        If the forecast has no reamer in it.
    """
    now = next((t for t in forecast.size.terms if t.name == "reamer"), None)
    if now is None:
        raise NoAnswerError("the forecast has no reamer in it")
    offset = forecast.mean - now.mean if measured_offset is None else measured_offset
    diameter = forecast.limits.middle - offset
    terms = tuple(
        replace(t, mean=t.mean + forecast.limits.middle - forecast.mean) if t is now else t
        for t in forecast.size.terms
    )
    inside = replace(forecast, size=SizeDistribution(terms)).inside
    return ReamerWanted(diameter, inside, offset)


def worn(forecast: Forecast, factor: float = 2.0) -> Forecast:
    """Return the forecast for the end of the reamer's life.

    Parameters
    ----------
    forecast : Forecast
        Forecast with a term named ``wear``, averaged over the reamer's holes.
    factor : float
        Wear at the end over its average: 2 where it grows evenly. [-]
    """
    terms = tuple(
        replace(t, mean=t.mean * factor, sd=t.sd * factor, varies=0.0) if t.name == "wear" else t
        for t in forecast.size.terms
    )
    return replace(forecast, size=SizeDistribution(terms))
