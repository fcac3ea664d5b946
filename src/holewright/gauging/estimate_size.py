"""From readings to an Estimate: the size that came, as far as the readings tell."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from scipy.special import ndtr

from holewright.callout.callout import Limits
from holewright.errors import InputError, NoAnswerError
from holewright.gauging.binomial import clopper_pearson
from holewright.gauging.count_holes import count_holes, shown_of, size_kind
from holewright.gauging.degenerate import Degenerate, find_degenerate, sd_upper
from holewright.gauging.estimate import Estimate, HoleInterval, WithForecast
from holewright.gauging.fit_check import FitCheck, check_fit, holes_apart
from holewright.gauging.interval_fit import IntervalFit, no_fit_sentence
from holewright.gauging.knowledge import limits_of_knowledge
from holewright.gauging.posterior import (
    most_outside,
    posterior,
    prior_of,
    quantile,
    share_inside,
)
from holewright.gauging.profile import mean_interval, outside_interval, rim, sd_interval
from holewright.gauging.reading import Reading
from holewright.gauging.reading_interval import HoleSize, hole_sizes
from holewright.gauging.shared_pins import fit_model
from holewright.gauging.size_model import Causes, SizeModel, model_of
from holewright.gauging.two_groups import hint_of_two_groups
from holewright.reasons import Reason
from holewright.shares import share_as_asked
from holewright.shop.shop import Shop
from holewright.uncertainty import Known, SizeDistribution
from holewright.units import Unit, format_small

NEGLIGIBLE_SHARE = 0.02
"""Share of the tolerance below which temperature doesn't move a bound. Common practice. [-]"""

FIT_FROM = 30
"""Fewest holes whose fitted distribution may speak for tails that nobody saw: ISO 22514-3. [-]"""


@dataclass(frozen=True)
class _Asked:
    """What an estimate was asked for, passed around together."""

    limits: Limits
    confidence: float
    unit: Unit
    causes: Causes | None


def estimate_size(
    readings: Sequence[Reading],
    shop: Shop,
    limits: Limits,
    *,
    material_alpha: Known | float,
    confidence: float = 0.95,
    clearance: float = 0.0,
    guard: float | None = None,
    causes: Causes | None = None,
    forecast: SizeDistribution | None = None,
    lot_unchecked: int | None = None,
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
    guard : float, optional
        Factor on a gauge's normal uncertainty that a hole must keep from its limits to be
        shown inside, as ISO 14253-1 asks; by default the quantile at `confidence`. [-]
    causes : mapping, optional
        Hole name -> cause name -> value, e.g. the feed it was cut with: what each does to
        size is fitted too.
    forecast : SizeDistribution, optional
        The size that was forecast; given, `with_forecast` says what both tell together.
    lot_unchecked : int, optional
        Holes of the lot that were not checked, for the most that may be outside. [-]
    unit : Unit
        Unit that sentences say first.

    Returns
    -------
    Estimate
        The estimate. Its bound on the share inside always exists.

    Raises
    ------
    InputError
        If there is no reading, a gauge isn't in the tool room, or a hole lacks a cause.

    Notes
    -----
    A hole is good only where its readings prove it with every pin at its worst; what isn't
    proved is unsure and counts as not good. The bound by counting is exact and needs no
    distribution (:func:`holewright.gauging.binomial.clopper_pearson`). The bound from the fit
    takes its place only where the fit has earned it: 30 holes or more, a shape that the
    readings could check and did not contradict, no hole that stands apart, no contradiction,
    no causes. The rule doesn't look at which of the two is larger. Both hold for holes
    picked at random from one steady process.
    """
    if not readings:
        raise InputError("readings", "none", "must hold at least one reading")
    asked = _Asked(limits, confidence, unit, causes)
    holes, contradictions = hole_sizes(
        readings,
        shop,
        material_alpha=material_alpha,
        confidence=confidence if guard is None else float(ndtr(guard)),
        clearance=clearance,
        negligible=NEGLIGIBLE_SHARE * limits.width,
        unit=unit,
    )
    counts = count_holes(holes, limits)
    n = len(holes)
    counted = float(clopper_pearson(counts.good, n, confidence, two_sided=False)[0])
    estimate = Estimate(
        n_holes=n,
        method=(
            f"{counts.good} of {n} holes shown inside the limits, every gauge at its worst; exact "
            f"binomial bound, unsure holes counted as not good."
        ),
        size_kind=size_kind(holes),
        holes=tuple(_interval(h, limits) for h in holes),
        good=counts.good,
        bad=counts.bad,
        unsure=counts.unsure,
        inside_lower=counted,
        inside_counted=counted,
        confidence=confidence,
        contradictions=contradictions,
    )
    model = model_of(holes, causes)
    check = None
    if model is not None:
        estimate, check = _with_fit(estimate, holes, model, asked)
        if forecast is not None:
            estimate = _with_forecast(estimate, model, forecast, lot_unchecked, asked)
    return replace(
        estimate,
        limits_of_knowledge=limits_of_knowledge(
            holes,
            shop,
            limits,
            estimate=estimate,
            model=model,
            shape_checked=check is not None and check.p is not None,
            material_alpha=material_alpha,
            unit=unit,
        ),
    )


def _interval(hole: HoleSize, limits: Limits) -> HoleInterval:
    """Return what the document keeps of a hole."""
    value, shown = hole.value, shown_of(hole, limits)
    if value is not None and not hole.contradicts:
        return HoleInterval(hole.hole, value.best, value.best, value.u, shown)
    return HoleInterval(hole.hole, hole.lower, hole.upper, shown=shown)


def _with_fit(
    estimate: Estimate, holes: Sequence[HoleSize], model: SizeModel, asked: _Asked
) -> tuple[Estimate, FitCheck | None]:
    """Return the estimate with mean, sd and shares, or with why there are none."""
    trouble = find_degenerate(model.rows, model.x)
    if trouble is not None:
        text = _no_fit(trouble, model, estimate, asked.unit)
        return replace(estimate, method=f"{estimate.method} {text}"), None
    try:
        fit = fit_model(model)
    except NoAnswerError as no_fit:
        return replace(estimate, method=f"{estimate.method} {no_fit}"), None
    limits = asked.limits
    around = rim(fit, asked.confidence)
    lower_rim = rim(fit, asked.confidence, two_sided=False)
    fitted = 1 - outside_interval(lower_rim, limits.lower, limits.upper)[1]
    least, most = outside_interval(around, limits.lower, limits.upper)
    below = float(ndtr((limits.lower - fit.mean) / fit.sd))
    above = float(ndtr((fit.mean - limits.upper) / fit.sd))
    check = check_fit(model, fit)
    apart = holes_apart(holes, fit, model, asked.causes, unit=asked.unit)
    groups = hint_of_two_groups(model.rows, fit, unit=asked.unit)
    earned = (
        check.holds
        and model.rows.n >= FIT_FROM
        and not apart
        and not estimate.contradictions
        and not model.causes
    )
    which = (
        "The bound on the share inside is that of the fitted normal distribution, by profile "
        "likelihood: its shape was checked."
        if earned
        else "The bound on the share inside is the counted one."
    )
    return (
        replace(
            estimate,
            method=(
                f"{estimate.method} Mean and spread: normal distribution fitted to intervals, each "
                f"gauge's own error shared by all holes it checked; profile likelihood. {which}"
            ),
            inside_lower=fitted if earned else estimate.inside_lower,
            inside_fitted=fitted,
            inside_interval=(1 - most, 1 - least),
            inside=max(0.0, 1 - below - above),
            below=below,
            above=above,
            mean=fit.mean,
            sd=fit.sd,
            mean_interval=mean_interval(around),
            sd_interval=sd_interval(around),
            remarks=(
                Reason("shape", check.text, check.p, 0.05, unit="p"),
                *apart,
                *((groups,) if groups else ()),
                *_effects(fit, asked.unit),
            ),
            fit=fit,
        ),
        check,
    )


def _effects(fit: IntervalFit, unit: Unit) -> list[Reason]:
    """Say what each cause does to size."""
    return [
        Reason(
            "effect",
            f"One more of {e.name} changes the size by {format_small(e.value, unit, signed=True)} "
            f"(standard error {format_small(e.se, unit)}).",
            e.value,
            e.se,
        )
        for e in fit.effects
    ]


def _no_fit(trouble: Degenerate, model: SizeModel, estimate: Estimate, unit: Unit) -> str:
    """Return why there is no fit and what can be said of the spread all the same."""
    text = no_fit_sentence(trouble)
    if model.causes or model.rows.exact.any() or trouble.lower > trouble.upper:
        return text
    most = sd_upper(model.rows, estimate.confidence)
    if math.isinf(most):
        return text
    return (
        f"{text} If sizes are normal and the pins true, their standard deviation is at most "
        f"{format_small(most, unit)} ({share_as_asked(estimate.confidence)}, approximate)."
    )


def _with_forecast(
    estimate: Estimate,
    model: SizeModel,
    forecast: SizeDistribution,
    lot_unchecked: int | None,
    asked: _Asked,
) -> Estimate:
    """Return the estimate with what forecast and readings say together."""
    drawn = posterior(model, prior_of(forecast))
    lower, upper = asked.limits.lower, asked.limits.upper
    inside = share_inside(drawn, lower, upper)
    tails = (1 - asked.confidence) / 2, (1 + asked.confidence) / 2
    w = drawn.weight

    return replace(
        estimate,
        with_forecast=WithForecast(
            mean=quantile(drawn.mean, w, 0.5),
            sd=quantile(drawn.sd, w, 0.5),
            mean_interval=(quantile(drawn.mean, w, tails[0]), quantile(drawn.mean, w, tails[1])),
            sd_interval=(quantile(drawn.sd, w, tails[0]), quantile(drawn.sd, w, tails[1])),
            inside=float(w @ inside),
            inside_interval=(quantile(inside, w, tails[0]), quantile(inside, w, tails[1])),
            outside_in_lot=None
            if lot_unchecked is None
            else most_outside(drawn, lower, upper, lot_unchecked, asked.confidence),
            draws=drawn.ess,
        ),
    )
