"""What keeps the share of good holes from being known better, by what each would be worth."""

from __future__ import annotations

from collections.abc import Sequence

from holewright.callout.callout import Limits
from holewright.gauging.binomial import clopper_pearson
from holewright.gauging.count_holes import Counts, best_bounds, count_at_best, count_holes
from holewright.gauging.limit_pins import choose_pins
from holewright.gauging.reading_interval import HoleSize
from holewright.reasons import Reason
from holewright.shop.shop import Shop
from holewright.uncertainty import Known
from holewright.units import Unit, format_both, format_small

MANY = 10
"""How many times the holes are thought to be checked, to see what more holes are worth. [-]"""


def limits_of_knowledge(
    holes: Sequence[HoleSize],
    shop: Shop,
    limits: Limits,
    *,
    material_alpha: Known | float,
    confidence: float = 0.95,
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
    material_alpha : Known or float
        Thermal expansion of the part. [1/K]
    confidence : float
        One-sided confidence of the bound. [-]
    unit : Unit
        Unit that sentences say first.

    Returns
    -------
    tuple of Reason
        Ranked by how far the exact binomial bound would rise if that one cause were gone:
        ten times the holes, pins of known size, or a pin between. `value` is the bound now
        and `limit` the bound then. Causes that have no such price come last.
    """
    n = len(holes)
    now = count_holes(holes, limits)
    surest = count_at_best(holes, limits)
    bound = _bound(now.good, n, confidence)

    causes: list[tuple[float, Reason]] = []
    more = _bound(now.good * MANY, n * MANY, confidence)
    causes.append((more - bound, _few_holes(now, n, bound, more, confidence)))
    if surest.unsure < now.unsure:
        then = _bound(surest.good, n, confidence)
        causes.append((then - bound, _pins(now, surest, bound, then, unit, shop, limits)))
    if surest.unsure:
        then = _bound(now.good + surest.unsure, n, confidence)
        causes.append((then - bound, _no_pin_between(holes, limits, surest, bound, then, unit)))
    causes.sort(key=lambda cause: -cause[0])
    last = [_one_kind(holes), _temperature(holes, shop, limits, material_alpha, unit)]
    return (*(reason for gain, reason in causes if gain > 0), *(r for r in last if r is not None))


def _bound(good: int, n: int, confidence: float) -> float:
    return float(clopper_pearson(good, n, confidence, two_sided=False)[0])


def _few_holes(now: Counts, n: int, bound: float, more: float, confidence: float) -> Reason:
    text = (
        f"Too few holes: {now.good} good of {n} show at least {bound:.1%} inside at "
        f"{confidence:.0%} confidence. The same picture on {MANY * n} holes would show {more:.1%}."
    )
    return Reason("too-few-holes", text, bound, more, unit="share")


def _pins(
    now: Counts,
    surest: Counts,
    bound: float,
    then: float,
    unit: Unit,
    shop: Shop,
    limits: Limits,
) -> Reason:
    undecided = now.unsure - surest.unsure
    choice = choose_pins(limits, shop.pins, unit=unit)
    faults = [r.text for r in choice.reasons if r.code.startswith("not-a-valid")]
    text = (
        f"The pins themselves: {undecided} holes are unsure only because a pin may be off its "
        f"mark. Calibrated, these pins could show up to {then:.1%} inside, not {bound:.1%}. "
        f"More holes with pins as they are would not help. {' '.join(faults)}"
    ).strip()
    return Reason("pin-uncertainty", text, bound, then, unit="share")


def _no_pin_between(
    holes: Sequence[HoleSize],
    limits: Limits,
    surest: Counts,
    bound: float,
    then: float,
    unit: Unit,
) -> Reason:
    cells = [best_bounds(h) for h in holes if not h.contradicts]
    across_low = sum(low < limits.lower <= high for low, high in cells)
    across_high = sum(low <= limits.upper < high for low, high in cells)
    where = [
        f"{count} holes may lie on either side of {format_both(limit, unit)}"
        for count, limit in ((across_low, limits.lower), (across_high, limits.upper))
        if count
    ]
    text = (
        f"No pin between: {surest.unsure} holes were not decided by the sizes they were checked "
        f"with{' (' + ', '.join(where) + ')' if where else ''}. A pin at the limit would "
        f"decide them; if all were good, {then:.1%} would be shown."
    )
    return Reason("no-pin-between", text, bound, then, unit="share")


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
