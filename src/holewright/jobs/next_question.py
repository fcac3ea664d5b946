"""Which check comes next at the gauge, what it would show, and how things stand."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass

from holewright.callout.callout import Limits
from holewright.errors import NoAnswerError
from holewright.gauging.advice import WORTH, advise
from holewright.gauging.count_holes import TINY
from holewright.gauging.estimate_size import NEGLIGIBLE_SHARE
from holewright.gauging.limit_pins import PinChoice, choose_pins
from holewright.gauging.pin_size import pin_size
from holewright.gauging.reading import Reading
from holewright.gauging.reading_interval import HoleSize, hole_sizes
from holewright.jobs.job import Job
from holewright.jobs.release import judge
from holewright.jobs.take_readings import estimate_size
from holewright.proof.verdict import Decision
from holewright.proof.wording import holes as count_of
from holewright.proof.wording import share_as_asked, share_at_least
from holewright.reasons import Reason
from holewright.shop.pin import Pin
from holewright.units import format_both

Check = tuple[str, str]
"""Name of a hole and of a gauge."""


@dataclass(frozen=True)
class Question:
    """One check to make.

    Parameters
    ----------
    hole, gauge : str
        Which hole, and which pin or bore gauge of the tool room.
    use : str
        ``GO``, ``NO-GO``, ``size`` or empty.
    why : str
        What its answer shows.
    """

    hole: str
    gauge: str
    use: str
    why: str


@dataclass(frozen=True)
class Standing:
    """How things stand after the readings so far.

    Parameters
    ----------
    checked, good, bad, unsure : int
        Holes with a reading, shown inside, shown outside, and neither.
    inside_lower : float
        Share inside that is shown. [-]
    enough : bool
        Whether what is asked for is shown.
    text : str
        All of it on one line, with what would help most.
    """

    checked: int
    good: int
    bad: int
    unsure: int
    inside_lower: float
    enough: bool
    text: str


def hole_names(job: Job, count: int) -> tuple[str, ...]:
    """Return the names of the first holes of a run, part by part: ``1-1``, ``1-2``.

    Parameters
    ----------
    job : Job
        The job, with the holes of one part.
    count : int
        How many. [-]
    """
    each = len(job.holes)
    return tuple(f"{i // each + 1}-{i % each + 1}" for i in range(count))


def next_question(
    job: Job,
    readings: Sequence[Reading],
    holes: Sequence[str],
    *,
    skipped: Collection[Check] = (),
    first: str = "",
) -> Question | None:
    """Return the check that comes next.

    Parameters
    ----------
    job : Job
        The job.
    readings : sequence of Reading
        The readings so far.
    holes : sequence of str
        Names of the holes to gauge, in their order.
    skipped : collection of (str, str)
        Checks that somebody passed over: hole and gauge.
    first : str
        Hole that somebody wants to go on with; empty for none.

    Returns
    -------
    Question or None
        None when nothing is left to ask.

    Notes
    -----
    A hole that was begun is settled first, by the pins that prove its open side; that is what
    a release counts. A new hole begins with the pin whose answer is expected to tell most of
    the share inside (:func:`holewright.gauging.next_pin.next_checks`) among those inside the
    zone: either answer of such a pin settles one side as well.
    """
    limits = job.gauged_limits
    sizes, _ = _sizes(job, readings)
    begun = {size.hole: size for size in sizes}
    choice = choose_pins(limits, job.shop.pins, unit=job.unit)
    for name in dict.fromkeys([*([first] if first else []), *reversed(begun), *holes]):
        size = begun.get(name)
        if size is not None:
            asks: Iterable[Question] = _settling(job, size, choice)
            used = {mark.reading.gauge for mark in (*size.goes, *size.stops, *size.sizes)}
        elif name in holes or name == first:
            asks, used = _beginning(job, name, readings, choice), set()
        else:
            continue
        for ask in asks:
            if ask.gauge not in used and (name, ask.gauge) not in skipped:
                return ask
    return None


def standing(job: Job, readings: Sequence[Reading], *, lot: int | None = None) -> Standing:
    """Return how things stand, on one line.

    Parameters
    ----------
    job : Job
        The job.
    readings : sequence of Reading
        The readings so far.
    lot : int, optional
        Holes in the lot, where a lot is to be judged. [-]
    """
    asked = job.demands
    wanted = f"{share_as_asked(asked.inside)} asked for, {share_as_asked(asked.confidence)} sure"
    if not readings:
        return Standing(0, 0, 0, 0, 0.0, False, f"No hole checked yet; {wanted}.")
    estimate = estimate_size(job, readings)
    verdict = judge(job, estimate, lot=lot)
    n = estimate.n_holes
    enough = verdict.decision is Decision.RELEASE
    counts = f"{estimate.good} inside, {estimate.bad} outside, {estimate.unsure} open"
    shown = f"at least {share_at_least(verdict.inside_lower)} shown ({wanted})"
    more = next((step.holes for step in verdict.next if step.holes), None)
    pins_limit = any(r.code == "pin-uncertainty" for r in estimate.limits_of_knowledge[:1])
    if enough:
        advice = "That is enough"
    elif estimate.contradictions:
        advice = "Gauge again where readings contradict"
    elif estimate.bad:
        advice = "Set the holes outside aside and find the cause"
    elif pins_limit:
        advice = "More holes would not help: the pins are the limit, calibrate them"
    elif more:
        advice = f"{more:,} more, all good, would show it"
    else:
        advice = "Settle the open holes first"
    text = f"{count_of(n)}: {counts}; {shown}. {advice}."
    return Standing(
        n, estimate.good, estimate.bad, estimate.unsure, verdict.inside_lower, enough, text
    )


def said_of(job: Job, readings: Sequence[Reading], hole: str) -> str:
    """Return what is known of one hole, in a sentence; its contradictions if it has any.

    Parameters
    ----------
    job : Job
        The job.
    readings : sequence of Reading
        The readings so far.
    hole : str
        Name of the hole.
    """
    own = [reading for reading in readings if reading.hole == hole]
    sizes, reasons = _sizes(job, own)
    if reasons:
        return " ".join(str(reason) for reason in reasons)
    size = sizes[0] if sizes else None
    limits = job.gauged_limits
    if size is None or not _is_settled(size, limits):
        return f"Hole {hole}: not settled yet."
    inside = size.lower >= limits.lower - TINY and size.upper <= limits.upper + TINY
    return f"Hole {hole}: shown {'inside' if inside else 'outside'}."


def _sizes(
    job: Job, readings: Sequence[Reading]
) -> tuple[tuple[HoleSize, ...], tuple[Reason, ...]]:
    return hole_sizes(
        readings,
        job.shop,
        material_alpha=job.material.alpha,
        confidence=job.demands.confidence,
        negligible=NEGLIGIBLE_SHARE * job.gauged_limits.width,
        unit=job.unit,
    )


def _settling(job: Job, size: HoleSize, choice: PinChoice) -> Iterable[Question]:
    """Yield the checks that would settle a hole, the first to be made first."""
    limits = job.gauged_limits
    if size.contradicts or _is_settled(size, limits):
        return
    too_small = choice.go is not None and any(m.reading.gauge == choice.go.id for m in size.stops)
    too_large = choice.no_go is not None and any(
        m.reading.gauge == choice.no_go.id for m in size.goes
    )
    if size.lower < limits.lower - TINY:
        if too_small:
            yield from _shown_outside(job, size.hole, lower=True)
        elif choice.go is not None:
            yield _go(job, size.hole, choice.go)
    if size.upper > limits.upper + TINY and not too_small:
        if too_large:
            yield from _shown_outside(job, size.hole, lower=False)
        elif choice.no_go is not None:
            yield _no_go(job, size.hole, choice.no_go)
    if choice.go is None or choice.no_go is None or too_small or too_large:
        yield from _read_off(job, size.hole)


def _beginning(
    job: Job, hole: str, readings: Sequence[Reading], choice: PinChoice
) -> Iterable[Question]:
    """Yield the checks with which a new hole may begin, the best one first."""
    telling = _most_telling(job, readings)
    if telling is not None:
        yield Question(
            hole, telling.id, "", "Its answer is expected to tell most of the share inside."
        )
    if choice.go is not None:
        yield _go(job, hole, choice.go)
    if choice.no_go is not None:
        yield _no_go(job, hole, choice.no_go)
    if choice.go is None or choice.no_go is None:
        yield from _read_off(job, hole)


def _most_telling(job: Job, readings: Sequence[Reading]) -> Pin | None:
    """Return the pin inside the zone that would tell most of the process; None if none would."""
    limits = job.gauged_limits
    inside = {
        pin.id: pin
        for pin in job.shop.pins
        if pin_size(pin).smallest() >= limits.lower - TINY
        and pin_size(pin).largest() <= limits.upper + TINY
    }
    try:
        advice = advise(
            readings, job.shop, limits, material_alpha=job.material.alpha, unit=job.unit
        )
    except NoAnswerError:
        return None
    return next(
        (inside[c.pin] for c in advice.new_hole if c.bits > WORTH and c.pin in inside), None
    )


def _is_settled(size: HoleSize, limits: Limits) -> bool:
    inside = size.lower >= limits.lower - TINY and size.upper <= limits.upper + TINY
    outside = size.upper <= limits.lower + TINY or size.lower >= limits.upper - TINY
    return inside or outside


def _go(job: Job, hole: str, pin: Pin) -> Question:
    limit = format_both(job.gauged_limits.lower, job.unit)
    return Question(
        hole,
        pin.id,
        "GO",
        f"It is {limit} or more: if it goes, by hand and full length, the hole is not too small.",
    )


def _no_go(job: Job, hole: str, pin: Pin) -> Question:
    limit = format_both(job.gauged_limits.upper, job.unit)
    return Question(
        hole,
        pin.id,
        "NO-GO",
        f"It is {limit} or less: if it does not go, from either end, the hole is not too large.",
    )


def _shown_outside(job: Job, hole: str, *, lower: bool) -> Iterable[Question]:
    """Yield the check that would show a hole outside whose GO or NO-GO has failed."""
    limits, pins = job.gauged_limits, job.shop.pins
    if lower:
        found = [p for p in pins if pin_size(p).largest() <= limits.lower + TINY]
        if found:
            pin = max(found, key=lambda p: pin_size(p).largest())
            why = "The GO did not go. If this does not go either, the hole is shown too small."
            yield Question(hole, pin.id, "", why)
        return
    found = [p for p in pins if pin_size(p).smallest() >= limits.upper - TINY]
    if found:
        pin = min(found, key=lambda p: pin_size(p).smallest())
        why = "The NO-GO went. If this goes as well, the hole is shown too large."
        yield Question(hole, pin.id, "", why)


def _read_off(job: Job, hole: str) -> Iterable[Question]:
    """Yield the bore gauges, for where pins don't settle a hole."""
    for gauge in job.shop.bore_gauges:
        yield Question(hole, gauge.id, "size", "Pins don't settle this hole: read its size off.")
