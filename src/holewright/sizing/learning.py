"""A forecast corrected by the shop's own jobs: offset, scatter and drift.

Which part of the handbook's spread jobs share, and with whom, stands in the tables below: own
judgement, to be looked at again when many shops have kept their books.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from holewright.errors import OutOfRangeError
from holewright.sizing.forecast import Forecast
from holewright.sizing.history import Corrected, Deviation, Kin, hear
from holewright.uncertainty import SizeDistribution, Tag, Term

SHARED_BY: Mapping[str, Kin] = {
    "spring-back": Kin.MATERIAL,
    "fluid": Kin.COOLANT,
    "warmth": Kin.COOLANT,
    "wear": Kin.TOOL_KIND,
    "runout": Kin.MACHINE,
}
"""Term of the forecast -> with which jobs its error is shared. Others belong to the job alone."""

SETUP_SD = 0.001
"""One set-up differs from the next by as much as no term says. [mm] Own judgement."""

SCATTER_FACTOR = 1.5
"""How far off the forecast's scatter may be as a factor, one standard deviation. [-]"""
_SCATTER_PARTS = {Kin.MACHINE: 0.4, Kin.TOOL_KIND: 0.2, Kin.MATERIAL: 0.2}
_DRIFT_PARTS = {Kin.TOOL_KIND: 0.6, Kin.MATERIAL: 0.2}
"""Shares of the variance that jobs have in common; the rest is the job's own. [-]"""

HISTORY = "shop's history"
"""Name of the term that stands for what the shop's jobs corrected."""


@dataclass(frozen=True)
class Outcome:
    """An earlier job: what was forecast and what came.

    Parameters
    ----------
    job : str
        Its name.
    kin : mapping
        Its material, coolant, kind of reamer and machine.
    forecast : SizeDistribution
        What was forecast, by the handbook alone.
    mean, u_mean : float
        Mean size that came, and its standard uncertainty, gauges included. [mm]
    sd, u_log_sd : float, optional
        Scatter that came [mm], and the standard uncertainty of its logarithm [-].
    drift, u_drift : float, optional
        Change of size per hole, and its standard uncertainty. [mm/hole]
    drift_forecast : float
        What the handbook forecast of it. [mm/hole]
    u_drift_forecast : float
        And how surely. [mm/hole]
    """

    job: str
    kin: Mapping[Kin, str]
    forecast: SizeDistribution
    mean: float
    u_mean: float
    sd: float | None = None
    u_log_sd: float | None = None
    drift: float | None = None
    u_drift: float | None = None
    drift_forecast: float = 0.0
    u_drift_forecast: float = 0.0

    def __post_init__(self) -> None:
        if not self.u_mean > 0:
            raise OutOfRangeError(f"u_mean of {self.job}", self.u_mean, "more than 0")


@dataclass(frozen=True)
class Learned:
    """A forecast before and after hearing the shop.

    Parameters
    ----------
    prior, forecast : Forecast
        By the handbook; and corrected.
    offset : Corrected
        Hole less reamer, on the mean of the job. [mm]
    scatter : Corrected
        Logarithm of the scatter from hole to hole in mm. [-]
    drift : Corrected, optional
        Change of size per hole. [mm/hole]
    outcomes : int
        Earlier jobs that were heard. [-]
    """

    prior: Forecast
    forecast: Forecast
    offset: Corrected
    scatter: Corrected
    drift: Corrected | None
    outcomes: int


def learn(
    forecast: Forecast,
    kin: Mapping[Kin, str],
    past: Sequence[Outcome],
    *,
    job: str = "this job",
    drift: tuple[float, float] | None = None,
) -> Learned:
    """Return a forecast corrected by what earlier jobs of the shop gave.

    Parameters
    ----------
    forecast : Forecast
        By the handbook.
    kin : mapping
        Material, coolant, kind of reamer and machine of the job.
    past : sequence of Outcome
        Earlier jobs; the job itself isn't among them.
    job : str
        Its name.
    drift : tuple of float, optional
        Drift by the handbook and its standard uncertainty. [mm/hole]

    Returns
    -------
    Learned
        Prior and posterior. Without earlier jobs both are the same.

    Notes
    -----
    What all holes of the job share comes into one term, ``shop's history``: the corrected parts
    lean on each other and can't be added up one by one. What differs from hole to hole is
    scaled as a whole.
    """
    size = forecast.size
    reamer = _reamer(size)
    offset = hear(_offset(job, kin, size), size.mean - reamer.mean, [_came(one) for one in past])
    scattered = [one for one in past if one.sd and one.u_log_sd]
    scatter = hear(
        _scatter(job, kin),
        math.log(max(size.sd_between_holes, 1e-6)),
        [_scatter_came(one) for one in scattered],
    )
    drifted = [one for one in past if one.drift is not None and one.u_drift]
    corrected_drift = None
    if drift is not None:
        corrected_drift = hear(
            _drift(job, kin, drift[1]), drift[0], [_drift_came(one) for one in drifted]
        )
    return Learned(
        forecast,
        _corrected(forecast, reamer, offset, scatter) if offset.jobs or scatter.jobs else forecast,
        offset,
        scatter,
        corrected_drift,
        len(past),
    )


def _reamer(size: SizeDistribution) -> Term:
    """Return the term of the tool's own diameter; one of size 0 where the forecast has none."""
    none = Term("reamer", 0.0, 0.0, Tag.ASSUMED, "no tool in this forecast")
    return next((term for term in size.terms if term.name == "reamer"), none)


def _common(term: Term) -> float:
    """Return the part of a term's spread that all holes of a set-up share. [mm]"""
    return math.sqrt(max(term.sd**2 - term.varies**2, 0.0))


def _offset(job: str, kin: Mapping[Kin, str], size: SizeDistribution) -> Deviation:
    spreads = dict.fromkeys(Kin, 0.0)
    own = SETUP_SD**2
    for term in size.terms:
        if term.name == "reamer":
            continue
        shared = SHARED_BY.get(term.name)
        if shared is None:
            own += _common(term) ** 2
        else:
            spreads[shared] = math.hypot(spreads[shared], _common(term))
    return Deviation(job, kin, spreads, math.sqrt(own))


def _came(one: Outcome) -> Deviation:
    # That a reamer isn't known better than its label is noise here, not something to learn.
    reamer = _reamer(one.forecast)
    return replace(
        _offset(one.job, one.kin, one.forecast),
        value=one.mean - one.forecast.mean,
        u=math.hypot(one.u_mean, reamer.sd),
    )


def _parts(job: str, kin: Mapping[Kin, str], total: float, parts: Mapping[Kin, float]) -> Deviation:
    spreads = {name: total * math.sqrt(parts.get(name, 0.0)) for name in Kin}
    return Deviation(job, kin, spreads, total * math.sqrt(1 - math.fsum(parts.values())))


def _scatter(job: str, kin: Mapping[Kin, str]) -> Deviation:
    return _parts(job, kin, math.log(SCATTER_FACTOR), _SCATTER_PARTS)


def _scatter_came(one: Outcome) -> Deviation:
    assert one.sd is not None
    assert one.u_log_sd is not None
    return replace(
        _scatter(one.job, one.kin),
        value=math.log(one.sd / max(one.forecast.sd_between_holes, 1e-6)),
        u=one.u_log_sd,
    )


def _drift(job: str, kin: Mapping[Kin, str], total: float) -> Deviation:
    return _parts(job, kin, total, _DRIFT_PARTS)


def _drift_came(one: Outcome) -> Deviation:
    assert one.drift is not None
    assert one.u_drift is not None
    return replace(
        _drift(one.job, one.kin, one.u_drift_forecast),
        value=one.drift - one.drift_forecast,
        u=one.u_drift,
    )


def _corrected(forecast: Forecast, reamer: Term, offset: Corrected, scatter: Corrected) -> Forecast:
    """Return the forecast with one term for what all holes share, and its scatter scaled."""
    wider = math.exp(scatter.mean - scatter.prior_mean)
    terms = []
    for term in forecast.size.terms:
        if term.name == "reamer":
            terms.append(term)
            continue
        varies = term.varies * wider
        terms.append(replace(term, sd=varies, varies=varies))
    jobs = f"{offset.jobs} earlier job{'s' if offset.jobs != 1 else ''} of this shop"
    terms.append(
        Term(
            HISTORY,
            offset.mean - offset.prior_mean,
            offset.sd,
            Tag.COMPUTED,
            f"{jobs}, and the handbook's spreads",
            "what all holes of the job share, corrected by how earlier jobs came out",
        )
    )
    return Forecast(SizeDistribution(tuple(terms)), forecast.limits)
