"""Ppk when the forecast and the readings are heard together."""

from __future__ import annotations

from holewright.callout.callout import Limits
from holewright.gauging.posterior import Posterior, quantile
from holewright.proof.capability import performance


def ppk_of_draws(drawn: Posterior, limits: Limits, confidence: float = 0.95) -> tuple[float, float]:
    """Return the median Ppk of a posterior, and what it is at least.

    Parameters
    ----------
    drawn : Posterior
        Draws of mean and scatter given forecast and readings.
    limits : Limits
        Limits of size. [mm]
    confidence : float
        One-sided probability of the bound, between 0 and 1. [-]

    Returns
    -------
    ppk, lower : tuple of float
        Median, and the quantile at ``1 - confidence``. [-]

    Notes
    -----
    Of holes to come under the conditions that were forecast, normal and without trend. As good
    as the forecast it starts from: where readings are few, it is mostly the forecast.
    """
    each = performance(drawn.mean, drawn.sd, limits.lower, limits.upper).ppk
    return quantile(each, drawn.weight, 0.5), quantile(each, drawn.weight, 1 - confidence)
