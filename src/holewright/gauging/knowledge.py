"""What keeps the share of good holes from being known better, by what each would be worth."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from holewright.callout.callout import Limits
from holewright.errors import NoAnswerError
from holewright.gauging.binomial import clopper_pearson
from holewright.gauging.count_holes import count_at_best
from holewright.gauging.estimate import Estimate
from holewright.gauging.limit_pins import choose_pins
from holewright.gauging.profile import outside_interval, rim
from holewright.gauging.reading_interval import HoleSize
from holewright.gauging.shared_pins import fit_model
from holewright.gauging.size_model import SizeModel
from holewright.reasons import Reason
from holewright.shares import share_as_asked, share_at_least
from holewright.shop.shop import Shop
from holewright.uncertainty import Known
from holewright.units import Unit, format_both, format_small

MANY = 10
"""How many times the holes are thought to be checked, to see what more holes are worth. [-]"""

EXACT = 1e-4
"""Share of its uncertainty that a gauge is left with when it is thought exact. [-]"""


def limits_of_knowledge(
    holes: Sequence[HoleSize],
    shop: Shop,
    limits: Limits,
    *,
    estimate: Estimate,
    model: SizeModel | None,
    shape_checked: bool,
    material_alpha: Known | float,
    unit: Unit = Unit.MM,
) -> tuple[Reason, ...]:
    """Return what keeps the bound on the share inside low, the worst first.

    Parameters
    ----------
    holes : sequence of HoleSize
        What the readings prove of each hole.
    shop : Shop
        Tool room, for the pins that would do better.
    limits : Limits
        Limits of size. [mm]
    estimate : Estimate
        The estimate so far: its bound, counted or fitted, is the one held against.
    model : SizeModel, optional
        The model behind its fit.
    shape_checked : bool
        Whether the readings could check the shape of the distribution.
    material_alpha : Known or float
        Thermal expansion of the part. [1/K]
    unit : Unit
        Unit that sentences say first.

    Returns
    -------
    tuple of Reason
        Ranked by how far the bound would rise if that one cause were gone: ten times the
        holes, pins of known size, a pin between. `value` is the bound now and `limit` the
        bound then. Causes that have no such price come last.
    """
    fitted = estimate.inside_fitted is not None and estimate.inside_lower == estimate.inside_fitted
    causes: list[tuple[float, Reason]] = (
        _of_fit(estimate, model, shop, limits, unit)
        if fitted and model is not None
        else _of_counts(holes, estimate, shop, limits, unit)
    )
    if not fitted and estimate.inside_fitted is not None and not shape_checked:
        gain = estimate.inside_fitted - estimate.inside_lower
        causes.append((gain, _shape(estimate, limits, unit)))
    causes.sort(key=lambda cause: -cause[0])
    last = [_one_kind(holes), _temperature(holes, shop, limits, material_alpha, unit)]
    return (*(reason for gain, reason in causes if gain > 0), *(r for r in last if r is not None))


def _of_counts(
    holes: Sequence[HoleSize], estimate: Estimate, shop: Shop, limits: Limits, unit: Unit
) -> list[tuple[float, Reason]]:
    """Return what each cause costs the bound by counting."""
    n, confidence, now = estimate.n_holes, estimate.confidence, estimate.inside_lower
    good = estimate.good
    surest = count_at_best(holes, limits)
    more = _bound(MANY * good, MANY * n, confidence)
    found = [
        (
            more - now,
            Reason(
                "too-few-holes",
                f"Too few holes: {good} good of {n} show at least {share_at_least(now)} inside, "
                f"{share_as_asked(confidence)} sure. The same picture on {MANY * n} holes would "
                f"show {share_at_least(more)}.",
                now,
                more,
                unit="share",
            ),
        )
    ]
    undecided = estimate.unsure - surest.unsure
    if undecided > 0:
        then = _bound(surest.good, n, confidence)
        text = (
            f"The pins themselves: {undecided} of {n} holes are unsure only because a pin may be "
            f"off its mark. Calibrated, these pins could show up to {share_at_least(then)} "
            f"inside, not {share_at_least(now)}. More holes with pins as they are would not help."
            f"{_faults(shop, limits, unit)}"
        )
        found.append((then - now, Reason("pin-uncertainty", text, now, then, unit="share")))
    if surest.unsure:
        then = _bound(good + surest.unsure, n, confidence)
        text = (
            f"No pin between: {surest.unsure} of {n} holes can't be decided by the sizes they were "
            f"checked with.{_open_sides(holes, limits, unit)} If all were good, "
            f"{share_at_least(then)} would be shown."
        )
        found.append((then - now, Reason("no-pin-between", text, now, then, unit="share")))
    return found


def _of_fit(
    estimate: Estimate, model: SizeModel, shop: Shop, limits: Limits, unit: Unit
) -> list[tuple[float, Reason]]:
    """Return what each cause costs the bound from the fit."""
    now, n, confidence = estimate.inside_lower, estimate.n_holes, estimate.confidence
    rows = model.rows
    more = _fitted(
        replace(model, rows=replace(rows, count=rows.count * MANY)), limits, confidence, now
    )
    found = [
        (
            more - now,
            Reason(
                "too-few-holes",
                f"Too few holes: {n} holes show at least {share_at_least(now)} inside, "
                f"{share_as_asked(confidence)} sure. The same picture on {MANY * n} holes would "
                f"show {share_at_least(more)}.",
                now,
                more,
                unit="share",
            ),
        )
    ]
    if model.gauges:
        exact = _fitted(replace(model, u=model.u * EXACT), limits, confidence, now)
        worst = model.gauges[int(np.argmax(model.u))]
        text = (
            f"The pins themselves: each is off for all the holes it checks, and more holes don't "
            f"average that away. Calibrated, the same readings would show {share_at_least(exact)} "
            f"inside, not {share_at_least(now)}; the least known is {worst} (standard uncertainty "
            f"{format_small(float(model.u.max()), unit)}).{_faults(shop, limits, unit)}"
        )
        found.append((exact - now, Reason("pin-uncertainty", text, now, exact, unit="share")))
    return found


def _bound(good: int, n: int, confidence: float) -> float:
    return float(clopper_pearson(good, n, confidence, two_sided=False)[0])


def _fitted(model: SizeModel, limits: Limits, confidence: float, otherwise: float) -> float:
    """Return the bound that a changed model would show."""
    try:
        around = rim(fit_model(model), confidence, two_sided=False)
    except NoAnswerError:
        return otherwise
    return 1 - outside_interval(around, limits.lower, limits.upper)[1]


def _faults(shop: Shop, limits: Limits, unit: Unit) -> str:
    """Return what is wrong with the pins at the limits, as sentences after a space."""
    reasons = choose_pins(limits, shop.pins, unit=unit).reasons
    return "".join(f" {r.text}" for r in reasons if r.code.startswith("not-a-valid"))


def _open_sides(holes: Sequence[HoleSize], limits: Limits, unit: Unit) -> str:
    """Return how many holes lie open at which limit, as a sentence after a space."""
    known = [h for h in holes if not h.contradicts]
    low = sum(h.lower < limits.lower < h.upper for h in known)
    high = sum(h.lower < limits.upper < h.upper for h in known)
    sides = [
        f"{count} may lie on either side of {format_both(limit, unit)}"
        for count, limit in ((low, limits.lower), (high, limits.upper))
        if count
    ]
    return f" {' and '.join(sides)}: a pin there would decide them." if sides else ""


def _shape(estimate: Estimate, limits: Limits, unit: Unit) -> Reason:
    return Reason(
        "shape-unchecked",
        f"The shape of the distribution: these readings can't check that sizes are normal. If they "
        f"are, {share_at_least(estimate.inside_fitted or 0.0)} is shown. Calibrate the pins, or "
        f"check with one or two more near {format_both(limits.middle, unit)}.",
        estimate.inside_lower,
        estimate.inside_fitted,
        unit="share",
    )


def _one_kind(holes: Sequence[HoleSize]) -> Reason | None:
    pins = any(h.goes or h.stops for h in holes)
    values = any(h.sizes for h in holes)
    if pins and values:
        return Reason(
            "size-kinds-mixed",
            "Pins feel the largest cylinder that fits, a bore gauge a local size. On a lobed "
            "or tapered hole they differ; here they are taken as one size.",
        )
    if pins:
        return Reason(
            "one-size-kind",
            "Only pins were used: they feel the largest cylinder that fits. An oval, tapered or "
            "bell-mouthed hole can be over its upper limit where a pin can't feel it; check "
            "some holes with a bore gauge.",
        )
    if values:
        return Reason(
            "one-size-kind",
            "Only a bore gauge was used. A hole with an odd number of lobes reads full size on "
            "two points and refuses a pin; check some holes with a GO pin.",
        )
    return None


def _temperature(
    holes: Sequence[HoleSize],
    shop: Shop,
    limits: Limits,
    material_alpha: Known | float,
    unit: Unit,
) -> Reason | None:
    """Say what temperature may do: a degree unseen, or the uncertainty of a correction made."""
    marks = [m for h in holes for m in (*h.goes, *h.stops, *h.sizes)]
    alpha = material_alpha.value if isinstance(material_alpha, Known) else material_alpha
    degree = limits.middle * max(alpha, shop.gauge_alpha)
    worst = max((m.size.u_temperature for m in marks), default=0.0)
    if worst > 0:
        return Reason(
            "temperature",
            f"Temperature: sizes were reduced to 20 °C; that leaves a standard uncertainty of "
            f"{format_small(worst, unit)}. Let part and gauges lie together until both are at "
            f"20 °C.",
            worst,
            limits.width,
        )
    return Reason(
        "temperature",
        f"Temperature: part and gauges were taken as 20 °C. One degree between them is worth "
        f"{format_small(degree, unit)}.",
        degree,
        limits.width,
    )
