"""Hear the forecast and the readings together: what each says, and both."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from scipy.special import ndtr

from holewright.errors import NoAnswerError
from holewright.gauging.estimate import WithForecast
from holewright.gauging.posterior import DRAWS, posterior, prior_of
from holewright.gauging.reading import Reading
from holewright.gauging.size_model import model_of
from holewright.jobs.job import Job
from holewright.jobs.plan_hole import forecast
from holewright.jobs.take_readings import estimate_size, sizes_of
from holewright.proof.posterior_ppk import ppk_of_draws

FEW_DRAWS = 400
"""Effective draws below which the ends of the intervals aren't to be trusted: a tail of 2.5 % then
rests on fewer than ten. Own judgement. [-]"""


@dataclass(frozen=True)
class Heard:
    """Forecast, readings, and both together.

    Parameters
    ----------
    prior_mean, prior_u, prior_sd : float
        The forecast: mean of a set of holes, its standard uncertainty, and the scatter from
        hole to hole. [mm]
    prior_inside : float
        Share inside by the forecast alone. [-]
    both : WithForecast
        What both say together.
    ppk, ppk_lower : float
        Ppk of both: median, and what it is at least at the confidence of the estimate. [-]
    trusted : bool
        Whether enough draws stand behind the ends of the intervals.
    of_draws : int
        Draws in all, of which those in `both` count. [-]
    """

    prior_mean: float
    prior_u: float
    prior_sd: float
    prior_inside: float
    both: WithForecast
    ppk: float
    ppk_lower: float
    trusted: bool
    of_draws: int = DRAWS


def hear_forecast(job: Job, readings: Sequence[Reading], *, lot: int | None = None) -> Heard:
    """Return what forecast and readings say together.

    Parameters
    ----------
    job : Job
        The job; its plan gives the forecast.
    readings : sequence of Reading
        What was gauged.
    lot : int, optional
        Holes in the lot, for the most that may be outside among those not checked. [-]

    Raises
    ------
    NoAnswerError
        If no size can be forecast, no hole has a usable reading, or forecast and readings are
        too far apart to be put together.

    Notes
    -----
    The forecast speaks of the process as it was planned. Where the readings are many it hardly
    matters; where they are few the answer is mostly the forecast, and no release is based on it.
    """
    foretold = forecast(job)
    checked = len({reading.hole for reading in readings})
    unchecked = None if lot is None else max(lot - checked, 0)
    estimate = estimate_size(job, readings, forecast=foretold.size, lot_unchecked=unchecked)
    sizes, _ = sizes_of(job, readings)
    model = model_of(sizes)
    if model is None or estimate.with_forecast is None:
        raise NoAnswerError("No hole has a usable reading: the forecast stands alone.")
    limits, prior = job.gauged_limits, prior_of(foretold.size)
    ppk, lower = ppk_of_draws(posterior(model, prior), limits, estimate.confidence)
    whole = math.hypot(prior.u_mean, prior.sd)
    below = float(ndtr((limits.lower - prior.mean) / whole))
    above = float(ndtr((prior.mean - limits.upper) / whole))
    return Heard(
        prior_mean=prior.mean,
        prior_u=prior.u_mean,
        prior_sd=prior.sd,
        prior_inside=max(0.0, 1 - below - above),
        both=estimate.with_forecast,
        ppk=ppk,
        ppk_lower=lower,
        trusted=estimate.with_forecast.draws >= FEW_DRAWS,
    )
