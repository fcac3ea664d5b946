"""Which check comes next at the gauge, what it would show, and how things stand."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass

from holewright.errors import NoAnswerError
from holewright.gauging.advice import WORTH, advise
from holewright.gauging.count_holes import TINY, Shown, shown_of
from holewright.gauging.pin_size import TrueSize, as_hole_at_20, pin_size
from holewright.gauging.reading import Reading
from holewright.gauging.reading_interval import HoleSize
from holewright.jobs.gauge_asks import Ask, asks_at
from holewright.jobs.job import Job
from holewright.jobs.release import judge
from holewright.jobs.take_readings import estimate_size, sizes_of
from holewright.proof.verdict import Decision
from holewright.proof.wording import holes as count_of
from holewright.shares import share_as_asked, share_at_least
from holewright.shop.pin import Pin

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
    part_c: float = 20.0,
    gauge_c: float = 20.0,
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
    part_c, gauge_c : float
        Temperatures of part and gauges now: they decide which pin proves what. [°C]

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
    sizes, _ = sizes_of(job, readings)
    begun = {size.hole: size for size in sizes}
    bench = _Bench(job, part_c, gauge_c, asks_at(job, part_c, gauge_c).asks)
    for name in dict.fromkeys([*([first] if first else []), *reversed(begun), *holes]):
        size = begun.get(name)
        if size is not None:
            asks: Iterable[Question] = _settling(bench, size)
            used = {mark.reading.gauge for mark in (*size.goes, *size.stops, *size.sizes)}
        elif name in holes or name == first:
            asks, used = _beginning(bench, name, readings), set()
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
    sizes, reasons = sizes_of(job, own)
    if reasons:
        return " ".join(str(reason) for reason in reasons)
    shown = shown_of(sizes[0], job.gauged_limits) if sizes else Shown.NEITHER
    if shown is Shown.NEITHER:
        return f"Hole {hole}: not settled yet."
    return f"Hole {hole}: shown {shown}."


@dataclass(frozen=True)
class _Bench:
    """The job at the gauge: how warm part and gauges are, and what is asked at each hole."""

    job: Job
    part_c: float
    gauge_c: float
    asks: tuple[Ask, ...]

    def ask(self, use: str) -> Ask | None:
        return next((ask for ask in self.asks if ask.use == use), None)

    def as_hole(self, pin: Pin) -> TrueSize:
        """Return the hole at 20 °C that a pin just fits, as warm as both are now."""
        return as_hole_at_20(
            pin_size(pin),
            part_c=self.part_c,
            gauge_c=self.gauge_c,
            part_alpha=self.job.material.alpha,
            gauge_alpha=self.job.shop.gauge_alpha,
        )


def _settling(bench: _Bench, size: HoleSize) -> Iterable[Question]:
    """Yield the checks that would settle a hole, the first to be made first."""
    limits = bench.job.gauged_limits
    if size.contradicts or shown_of(size, limits) is not Shown.NEITHER:
        return
    go, no_go = bench.ask("GO"), bench.ask("NO-GO")
    stopped = {mark.reading.gauge for mark in size.stops}
    gone = {mark.reading.gauge for mark in size.goes}
    too_small = go is not None and go.gauge in stopped
    too_large = no_go is not None and no_go.gauge in gone
    if size.lower < limits.lower - TINY:
        if too_small:
            yield from _shown_outside(bench, size.hole, lower=True)
        elif go is not None:
            yield _of(go, size.hole)
    if size.upper > limits.upper + TINY and not too_small:
        if too_large:
            yield from _shown_outside(bench, size.hole, lower=False)
        elif no_go is not None:
            yield _of(no_go, size.hole)
    if go is None or no_go is None or too_small or too_large:
        yield from _read_off(bench, size.hole)


def _beginning(bench: _Bench, hole: str, readings: Sequence[Reading]) -> Iterable[Question]:
    """Yield the checks with which a new hole may begin, the best one first."""
    telling = _most_telling(bench, readings)
    if telling is not None:
        why = "Its answer is expected to tell most of the share inside."
        yield Question(hole, telling, "", why)
    for ask in bench.asks:
        yield _of(ask, hole)


def _most_telling(bench: _Bench, readings: Sequence[Reading]) -> str | None:
    """Return the pin inside the zone that would tell most of the process; None if none would."""
    job, limits = bench.job, bench.job.gauged_limits
    inside = set()
    for pin in job.shop.pins:
        size = bench.as_hole(pin)
        if size.smallest() >= limits.lower - TINY and size.largest() <= limits.upper + TINY:
            inside.add(pin.id)
    try:
        advice = advise(
            readings, job.shop, limits, material_alpha=job.material.alpha, unit=job.unit
        )
    except NoAnswerError:
        return None
    return next((c.pin for c in advice.new_hole if c.bits > WORTH and c.pin in inside), None)


def _shown_outside(bench: _Bench, hole: str, *, lower: bool) -> Iterable[Question]:
    """Yield the check that would show a hole outside whose GO or NO-GO has failed."""
    limits = bench.job.gauged_limits
    sizes = [(pin.id, bench.as_hole(pin)) for pin in bench.job.shop.pins]
    if lower:
        beyond = [(s.largest(), name) for name, s in sizes if s.largest() <= limits.lower + TINY]
        why = "The GO did not go. If this does not go either, the hole is shown too small."
        found = max(beyond, default=None)
    else:
        beyond = [(s.smallest(), name) for name, s in sizes if s.smallest() >= limits.upper - TINY]
        why = "The NO-GO went. If this goes as well, the hole is shown too large."
        found = min(beyond, default=None)
    if found is not None:
        yield Question(hole, found[1], "", why)


def _read_off(bench: _Bench, hole: str) -> Iterable[Question]:
    """Yield the bore gauges, for where pins don't settle a hole."""
    for gauge in bench.job.shop.bore_gauges:
        yield Question(hole, gauge.id, "size", "Pins don't settle this hole: read its size off.")


def _of(ask: Ask, hole: str) -> Question:
    return Question(hole, ask.gauge, ask.use, ask.why)
