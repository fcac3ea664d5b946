"""From readings to an Estimate: the size that came, as far as the readings tell."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from scipy.special import ndtr

from holewright.callout.callout import Limits
from holewright.errors import InputError
from holewright.gauging.binomial import clopper_pearson
from holewright.gauging.count_holes import count_holes, rows_for_fit, size_kind
from holewright.gauging.degenerate import Degenerate, find_degenerate, sd_upper
from holewright.gauging.estimate import Estimate, HoleInterval
from holewright.gauging.interval_fit import fit_intervals, no_fit_sentence
from holewright.gauging.knowledge import limits_of_knowledge
from holewright.gauging.profile import mean_interval, rim, sd_interval
from holewright.gauging.reading import Reading
from holewright.gauging.reading_interval import HoleSize, hole_sizes
from holewright.gauging.rows import Rows
from holewright.shop.shop import Shop
from holewright.uncertainty import Known
from holewright.units import Unit, format_small

NEGLIGIBLE_SHARE = 0.02
"""Share of the tolerance below which temperature doesn't move a bound. Common practice. [-]"""


def estimate_size(
    readings: Sequence[Reading],
    shop: Shop,
    limits: Limits,
    *,
    material_alpha: Known | float,
    confidence: float = 0.95,
    clearance: float = 0.0,
    unit: Unit = Unit.MM,
) -> Estimate:
    """Return what the readings say of the size that came.

    Parameters
    ----------
    readings : sequence of Reading
        At least one.
    shop : Shop
        Tool room with the gauges named.
    limits : Limits
        Limits of size. [mm]
    material_alpha : Known or float
        Thermal expansion of the part. [1/K]
    confidence : float
        Confidence, over a half and below 1. [-]
    clearance : float
        By how much a hole must be larger than a pin for the pin to go, 0 or more. [mm]
    unit : Unit
        Unit that sentences say first.

    Returns
    -------
    Estimate
        The estimate. Its bound on the share inside always exists.

    Raises
    ------
    InputError
        If there is no reading, or a gauge isn't in the tool room.

    Notes
    -----
    A hole is good only where its readings prove it with every pin at its worst; what isn't
    proved is unsure and counts as not good in the bound. The bound is exact and needs no
    distribution (:func:`holewright.gauging.binomial.clopper_pearson`); it holds for holes
    picked at random from one steady process.
    """
    if not readings:
        raise InputError("readings", "none", "must hold at least one reading")
    holes, contradictions = hole_sizes(
        readings,
        shop,
        material_alpha=material_alpha,
        confidence=confidence,
        clearance=clearance,
        negligible=NEGLIGIBLE_SHARE * limits.width,
        unit=unit,
    )
    good, bad, unsure = count_holes(holes, limits)
    n = len(holes)
    lower, _ = clopper_pearson(good, n, confidence, two_sided=False)
    estimate = Estimate(
        n_holes=n,
        method=(
            f"{good} of {n} holes shown inside the limits, every gauge at its worst; exact "
            f"binomial bound, unsure holes counted as not good."
        ),
        size_kind=size_kind(holes),
        holes=tuple(_interval(h) for h in holes),
        good=good,
        bad=bad,
        unsure=unsure,
        inside_lower=float(lower),
        confidence=confidence,
        contradictions=contradictions,
        limits_of_knowledge=limits_of_knowledge(
            holes, shop, limits, material_alpha=material_alpha, confidence=confidence, unit=unit
        ),
    )
    rows = rows_for_fit(holes)
    return estimate if rows is None else _with_fit(estimate, rows, limits, unit)


def _interval(hole: HoleSize) -> HoleInterval:
    """Return what the document keeps of a hole."""
    value = hole.value
    if value is not None and not hole.contradicts:
        return HoleInterval(hole.hole, value.best, value.best, value.u)
    return HoleInterval(hole.hole, hole.lower, hole.upper)


def _with_fit(estimate: Estimate, rows: Rows, limits: Limits, unit: Unit) -> Estimate:
    """Return the estimate with mean, sd and shares, or with why there are none."""
    trouble = find_degenerate(rows)
    if trouble is not None:
        return replace(
            estimate, method=f"{estimate.method} {_no_fit(trouble, rows, estimate, unit)}"
        )
    fit = fit_intervals(rows.lower, rows.upper, rows.count)
    around = rim(fit, estimate.confidence)
    below = float(ndtr((limits.lower - fit.mean) / fit.sd))
    above = float(ndtr((fit.mean - limits.upper) / fit.sd))
    return replace(
        estimate,
        method=(
            f"{estimate.method} Mean and spread: normal distribution fitted to intervals by "
            f"maximum likelihood, profile-likelihood intervals, pins at their best estimate."
        ),
        inside=max(0.0, 1 - below - above),
        below=below,
        above=above,
        mean=fit.mean,
        sd=fit.sd,
        mean_interval=mean_interval(around),
        sd_interval=sd_interval(around),
    )


def _no_fit(trouble: Degenerate, rows: Rows, estimate: Estimate, unit: Unit) -> str:
    """Return why there is no fit and what can be said of the spread all the same."""
    text = no_fit_sentence(trouble)
    if rows.exact.any() or trouble.lower > trouble.upper:
        return text
    most = sd_upper(rows, estimate.confidence)
    if math.isinf(most):
        return text
    return (
        f"{text} If sizes are normal, their standard deviation is at most "
        f"{format_small(most, unit)} ({estimate.confidence:.0%}, approximate)."
    )
