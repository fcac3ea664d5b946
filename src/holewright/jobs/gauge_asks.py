"""What is asked at each hole, by the pins that prove its limits at the warmth of part and pins."""

from __future__ import annotations

from dataclasses import dataclass

from holewright.callout.callout import Limits
from holewright.gauging.limit_pins import PinChoice, choose_pins
from holewright.jobs.job import Job
from holewright.reasons import Reason
from holewright.shop.pin import Pin
from holewright.units import format_both, format_small

REFERENCE_C = 20.0


@dataclass(frozen=True)
class Ask:
    """One question at a hole.

    Parameters
    ----------
    gauge : str
        Pin or bore gauge, by its name in the tool room.
    use : str
        ``GO``, ``NO-GO`` or ``size``.
    why : str
        Why it is asked, and what the answer shows.
    """

    gauge: str
    use: str
    why: str


@dataclass(frozen=True)
class Asks:
    """What is asked at each hole, and what to know about it.

    Parameters
    ----------
    asks : tuple of Ask
        In order; the next only where the answer before allows it.
    reasons : tuple of Reason
        What to know about these gauges.
    warmth : Reason, optional
        What warmth costs here; None where it costs nothing.
    """

    asks: tuple[Ask, ...]
    reasons: tuple[Reason, ...]
    warmth: Reason | None


def asks_at(job: Job, part_c: float, gauge_c: float) -> Asks:
    """Return what to ask at each hole: both pins, or else its size.

    A pin is chosen by what it proves of the hole at 20 °C, so a warm part of another metal
    may ask for another pin, or for none.

    Parameters
    ----------
    job : Job
        The job, with its tool room.
    part_c, gauge_c : float
        Temperatures of part and gauges. [°C]
    """
    pins, unit = job.shop.pins, job.unit
    limits = job.gauged_limits
    shift = job.callout.nominal * (
        job.material.alpha.value * (part_c - REFERENCE_C)
        - job.shop.gauge_alpha * (gauge_c - REFERENCE_C)
    )
    choice = choose_pins(
        Limits(limits.lower + shift, limits.upper + shift) if shift else limits, pins, unit=unit
    )
    warmth = None
    if shift:
        cold = choose_pins(limits, pins, unit=unit)
        warmth = _lost(job, cold, choice, shift, part_c, gauge_c)
    return Asks(_asks(job, choice), choice.reasons, warmth)


def _lost(
    job: Job, cold: PinChoice, warm: PinChoice, shift: float, part_c: float, gauge_c: float
) -> Reason | None:
    """Return what warmth costs, where a pin that proves a limit at 20 °C does so no more."""
    lost = [
        (pin, name)
        for pin, other, name in (
            (cold.go, warm.go, "lower"),
            (cold.no_go, warm.no_go, "upper"),
        )
        if pin is not None and other is None
    ]
    if not lost:
        return None
    pin, name = lost[0]
    return Reason(
        "warmth-costs-pin",
        f"With the part at {part_c:.3g} °C and gauges at {gauge_c:.3g} °C, pin {pin.id} does not "
        f"prove the {name} limit: the hole stands {format_small(abs(shift), job.unit)} "
        f"{'wider' if shift > 0 else 'narrower'} than at 20 °C beside the pins. Let part and pins "
        "lie together until both are at 20 °C, or read sizes off.",
        value=shift,
        limit=0.0,
    )


def _asks(job: Job, choice: PinChoice) -> tuple[Ask, ...]:
    asks = []
    if choice.go is not None:
        asks.append(_go(job, choice.go))
    if choice.no_go is not None:
        asks.append(_no_go(job, choice.no_go))
    if len(asks) < 2 and job.shop.bore_gauges:
        # A pin for one limit alone would leave the hole open all the same.
        missing = "pins prove neither limit" if not asks else "pins prove one of the limits only"
        why = f"Here {missing}, so the size is read off."
        return (Ask(job.shop.bore_gauges[0].id, "size", why),)
    return tuple(asks)


def _go(job: Job, pin: Pin) -> Ask:
    limit = format_both(job.gauged_limits.lower, job.unit)
    return Ask(
        pin.id,
        "GO",
        f"It proves {limit} or more. If it goes, full length and by hand, the hole is not too "
        "small.",
    )


def _no_go(job: Job, pin: Pin) -> Ask:
    limit = format_both(job.gauged_limits.upper, job.unit)
    return Ask(
        pin.id,
        "NO-GO",
        f"It proves {limit} or less. If it does not go, from either end, the hole is not too "
        "large.",
    )
