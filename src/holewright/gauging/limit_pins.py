"""Which pins prove that a hole is inside its limits: the ideal ones, and the best in the drawer."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from holewright.callout.callout import Limits
from holewright.errors import OutOfRangeError
from holewright.gauging.pin_size import TrueSize, pin_size
from holewright.reasons import Reason
from holewright.shop.pin import Pin
from holewright.shop.pins import GRADES, class_tolerance
from holewright.units import Unit, format_both, format_small

GRADES_COARSE_FIRST = tuple(reversed(GRADES))


SHARE_FOR_EACH = 0.05
"""The 10 % rule: a tenth of the product tolerance for both gauges together. [-]"""

TINY = 1e-9
"""Room for the rounding of decimal sizes. [mm]"""


@dataclass(frozen=True)
class IdealPins:
    """GO and NO-GO by the 10 % rule.

    Parameters
    ----------
    grade : str
        Coarsest class whose tolerance is within 5 % of the hole's; empty if even XXX isn't.
    go : float
        Size to mark GO, a plus pin: the hole's lower limit. [mm]
    no_go : float
        Size to mark NO-GO, a minus pin: the hole's upper limit. [mm]
    tolerance : float
        Tolerance of each; of XXX where no class is good enough. [mm]
    reasons : tuple of Reason
        What to know about it.
    """

    grade: str
    go: float
    no_go: float
    tolerance: float
    reasons: tuple[Reason, ...] = ()


@dataclass(frozen=True)
class PinChoice:
    """The best GO and NO-GO among the pins that are there.

    Parameters
    ----------
    go, no_go : Pin, optional
        None where no pin there can prove that limit.
    ideal_go, ideal_no_go : float
        Sizes to mark on ideal ones: GO plus, NO-GO minus. [mm]
    grade : str
        Class that the 10 % rule asks for; empty where none is fine enough.
    reasons : tuple of Reason
        Why a pin can't serve, which would, and what the choice costs.
    """

    go: Pin | None
    no_go: Pin | None
    ideal_go: float
    ideal_no_go: float
    grade: str
    reasons: tuple[Reason, ...]


def ideal_pins(limits: Limits, *, unit: Unit = Unit.MM) -> IdealPins:
    """Return GO and NO-GO for a hole by the 10 % rule.

    Parameters
    ----------
    limits : Limits
        Limits of size of the hole. [mm]
    unit : Unit
        Unit that sentences say first.

    Returns
    -------
    IdealPins
        Class and sizes.

    Raises
    ------
    OutOfRangeError
        If the limits are the wrong way round, or outside the table of classes.

    Notes
    -----
    GO carries its tolerance to plus from the lower limit, NO-GO to minus from the upper one,
    so that no bad hole is passed: at worst the gauges refuse good holes within a tenth of the
    tolerance. That holds for holes of perfect form and pins without wear.

    References
    ----------
    .. [1] ASME B89.1.5 for the classes; the 10 % rule is common practice and not in it.

    Examples
    --------
    .2500 +.0005/-0 asks for class XX:

    >>> ideal_pins(Limits(6.35, 6.3627)).grade
    'XX'
    """
    if not limits.lower < limits.upper:
        raise OutOfRangeError("lower limit", limits.lower, f"below the upper, {limits.upper}")
    allowed = SHARE_FOR_EACH * limits.width
    for grade in GRADES_COARSE_FIRST:
        tolerance = max(float(class_tolerance(grade, d)) for d in (limits.lower, limits.upper))
        if tolerance <= allowed + TINY:
            return IdealPins(grade, limits.lower, limits.upper, tolerance)
    share = 2 * tolerance / limits.width
    reason = Reason(
        "no-class-fine-enough",
        f"A tolerance of {format_small(limits.width, unit)} leaves "
        f"{format_small(allowed, unit)} for each pin; no class is that fine. Two XXX pins would "
        f"take {100 * share:.0f} % of the tolerance: measure with a calibrated instrument, or "
        f"have the pins calibrated.",
        value=tolerance,
        limit=allowed,
    )
    return IdealPins("", limits.lower, limits.upper, tolerance, (reason,))


def choose_pins(limits: Limits, pins: Sequence[Pin], *, unit: Unit = Unit.MM) -> PinChoice:
    """Return the best GO and NO-GO among pins that are there.

    Parameters
    ----------
    limits : Limits
        Limits of size of the hole. [mm]
    pins : sequence of Pin
        The pins that are there; may be empty.
    unit : Unit
        Unit that sentences say first.

    Returns
    -------
    PinChoice
        A GO that goes proves the hole isn't below its lower limit; a NO-GO that does not go
        proves it isn't above its upper limit. Of several, those that refuse least of the
        good holes.

    Raises
    ------
    OutOfRangeError
        If the limits are the wrong way round, or a size is outside the table of classes.
    InputError
        If a pin has neither class nor calibration.
    """
    ideal = ideal_pins(limits, unit=unit)
    reasons = list(ideal.reasons)
    near = [(p, pin_size(p)) for p in pins if _is_near(p, limits)]
    # A GO beyond the middle of the zone, or a NO-GO below it, leaves no room for the other.
    go = min(
        (
            (p, s)
            for p, s in near
            if s.smallest() >= limits.lower - TINY and s.largest() <= limits.middle + TINY
        ),
        key=lambda pair: (pair[1].largest(), pair[1].u, pair[0].id),
        default=None,
    )
    no_go = max(
        (
            (p, s)
            for p, s in near
            if s.largest() <= limits.upper + TINY and s.smallest() >= limits.middle - TINY
        ),
        key=lambda pair: (pair[1].smallest(), -pair[1].u, pair[0].id),
        default=None,
    )
    for chosen, name, limit, marked, word in (
        (go, "GO", limits.lower, ideal.go, "plus"),
        (no_go, "NO-GO", limits.upper, ideal.no_go, "minus"),
    ):
        reasons += _not_valid(near, name, limit, limits, unit)
        if chosen is None:
            grade = ideal.grade or "XXX"
            reasons.append(
                Reason(
                    f"missing-{name.lower()}",
                    f"No pin here proves the {'lower' if name == 'GO' else 'upper'} limit of "
                    f"{format_both(limit, unit)}. Get a {word} pin marked "
                    f"{format_both(marked, unit)}, class {grade}, or have one calibrated.",
                    limit=limit,
                )
            )
    for chosen, name in ((go, "GO"), (no_go, "NO-GO")):
        if chosen is not None:
            reasons += _cost(chosen, name, limits, ideal.grade, unit)
    return PinChoice(
        go[0] if go else None,
        no_go[0] if no_go else None,
        ideal.go,
        ideal.no_go,
        ideal.grade,
        tuple(reasons),
    )


def _is_near(pin: Pin, limits: Limits) -> bool:
    """Return whether a pin could have to do with this hole at all."""
    reach = 2 * limits.width
    return limits.lower - reach <= pin.marked <= limits.upper + reach


def _not_valid(
    near: Sequence[tuple[Pin, TrueSize]], name: str, limit: float, limits: Limits, unit: Unit
) -> list[Reason]:
    """Say of each pin marked with the limit itself why it can't serve, where it can't."""
    reasons = []
    for pin, size in near:
        if abs(pin.marked - limit) > TINY + 0.02 * limits.width:
            continue
        if name == "GO" and size.smallest() < limit - TINY:
            worst, proves, better = size.smallest(), "over", "plus"
        elif name == "NO-GO" and size.largest() > limit + TINY:
            worst, proves, better = size.largest(), "under", "minus"
        else:
            continue
        kind = (
            f"calibrated at {format_both(size.best, unit)}"
            if pin.calibrated
            else f"{pin.sense.value} {pin.grade}"
        )
        reasons.append(
            Reason(
                f"not-a-valid-{name.lower()}",
                f"Pin {pin.id} ({kind}) may be {format_both(worst, unit)}: as {name} it proves "
                f"only that the hole is {proves} that, not {proves} {format_both(limit, unit)}. "
                f"Not a valid {name}. A {better} pin of that size would be, or this one "
                f"calibrated at {'or above' if name == 'GO' else 'or below'} the limit.",
                value=worst,
                limit=limit,
            )
        )
    return reasons


def _cost(
    chosen: tuple[Pin, TrueSize], name: str, limits: Limits, grade: str, unit: Unit
) -> list[Reason]:
    """Say what share of the tolerance a pin may cost, where that is over its 5 %."""
    pin, size = chosen
    lost = size.largest() - limits.lower if name == "GO" else limits.upper - size.smallest()
    share = lost / limits.width
    if share <= SHARE_FOR_EACH + 1e-6:
        return []
    what = f"class {grade}" if grade else "a calibrated pin"
    return [
        Reason(
            f"{name.lower()}-costs-tolerance",
            f"{name} {pin.id} may refuse good holes in {format_small(lost, unit)} of the "
            f"tolerance, {100 * share:.0f} % of it; the 10 % rule allows 5 %. "
            f"{what[0].upper()}{what[1:]} at the limit would cost less.",
            value=lost,
            limit=SHARE_FOR_EACH * limits.width,
        )
    ]
