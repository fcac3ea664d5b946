"""What would settle a verdict that holds: another look, another pin, or how many more holes."""

from __future__ import annotations

import math
from dataclasses import dataclass

from holewright.callout.callout import Limits
from holewright.errors import NoAnswerError
from holewright.gauging.estimate import Estimate, HoleInterval
from holewright.proof.capability import ppk_needed
from holewright.proof.conformance import ROUNDING
from holewright.proof.fitted import FIT_FROM
from holewright.proof.sampling import holes_needed, holes_needed_in_lot, outside_allowed
from holewright.proof.tally import Tally
from holewright.proof.verdict import CALIBRATION_OVERDUE, TEMPERATURE_GAP, Demands, NextStep
from holewright.proof.wording import holes, named
from holewright.shares import share_as_asked
from holewright.units import Unit, format_size

MOST_FOR_PPK = 100_000
"""More holes than this are not worth naming to show a Ppk."""


@dataclass(frozen=True)
class Question:
    """What is asked of the holes.

    Parameters
    ----------
    limits : Limits
        Limits of size. [mm]
    asked : Demands
        What is demanded.
    lot : int, optional
        Size of the lot, if a lot is judged. [-]
    k : float
        Guard factor. [-]
    unit : Unit
        Unit in which sentences write sizes.
    """

    limits: Limits
    asked: Demands
    lot: int | None
    k: float
    unit: Unit


def next_steps(
    estimate: Estimate,
    found: Tally,
    question: Question,
    *,
    share_shown: bool,
    ppk: float | None,
    ppk_shown: bool,
) -> tuple[NextStep, ...]:
    """Return what would settle it, best first.

    Parameters
    ----------
    estimate : Estimate
        The size that came, with its contradictions.
    found : Tally
        Its holes, sorted.
    question : Question
        What is asked of them.
    share_shown, ppk_shown : bool
        Whether share inside and Ppk are shown already, or not asked for.
    ppk : float, optional
        Ppk of the holes, if there is one. [-]
    """
    steps: list[NextStep] = []
    if estimate.contradictions:
        what = " ".join(c.text for c in estimate.contradictions)
        steps.append(
            NextStep(
                "Gauge again where readings contradict each other: clean hole and pin, let both "
                f"come to one temperature, and mike the pin. {what}"
            )
        )
    if found.bad:
        steps.append(_contain(found, question.lot))
    steps.extend(_mend_evidence(estimate))
    hopeless = found.n > 0 and found.unsure / found.n > 1 - question.asked.inside
    if found.unsure:
        pin_is_limit = any(r.code == "pin-uncertainty" for r in estimate.limits_of_knowledge)
        steps.extend(_better_pins(found, question, hopeless and not share_shown, pin_is_limit))
    # With a hole outside the process is not as it should be: count anew once it is mended.
    if not share_shown and not found.bad:
        more = _more_holes(found, question, hopeless)
        steps.extend(more)
        if any(step.holes and step.holes > FIT_FROM for step in more) and not _measured(estimate):
            steps.append(_measure_instead())
    if not ppk_shown and question.asked.ppk is not None:
        steps.append(_more_for_ppk(found, question.asked.ppk, question.asked.confidence, ppk))
    return tuple(steps)


def _contain(found: Tally, lot: int | None) -> NextStep:
    which = named([h.hole for h in found.bad_holes]) if found.bad_holes else holes(found.bad)
    if lot is not None and found.n == lot:
        return NextStep(
            f"Set {which} aside as nonconforming. All were checked: the {found.good:,} shown "
            "inside can go on as a lot of their own."
        )
    return NextStep(
        f"Set {which} aside as nonconforming, and gauge every hole made since the last good check. "
        "Find the cause, then start a new check of the process."
    )


def _mend_evidence(estimate: Estimate) -> list[NextStep]:
    """Return what makes evidence of readings that are none as they stand."""
    steps = []
    codes = {r.code for r in estimate.remarks}
    if TEMPERATURE_GAP in codes:
        steps.append(
            NextStep(
                "Let part and gauges lie together until both have one temperature, best 20 °C, and "
                "gauge again. Don't pass a hole on a reading corrected that far."
            )
        )
    overdue = [r.text.partition(":")[0] for r in estimate.remarks if r.code == CALIBRATION_OVERDUE]
    if overdue:
        steps.append(
            NextStep(
                f"Have calibrated before the release: {', '.join(overdue)}. If its size has moved, "
                "reckon the readings anew with what it measures."
            )
        )
    return steps


def _better_pins(
    found: Tally, question: Question, hopeless: bool, pin_is_limit: bool
) -> list[NextStep]:
    """Return which pins would settle the unsure holes, one step for each limit."""
    limits, unit, k = question.limits, question.unit, question.k
    steps = []
    more = ""
    if hopeless:
        more = " A hundred more holes with the same pins would not help."
        if pin_is_limit:
            more = " A hundred more holes would not help: the pin is the limit; calibrate it."
    for side in ("lower", "upper"):
        mine = [h for h in found.unsure_holes if _open_at(h, limits, side, k)]
        if not mine:
            continue
        limit = getattr(limits, side)
        size = format_size(limit, unit)
        which = named([h.hole for h in mine])
        u = max(h.u for h in mine)
        if side == "lower":
            pin = f"a pin measured {size} or a little over"
            proof = "if it goes in, the hole is not too small"
        else:
            pin = f"a pin measured {size} or a little under"
            proof = "if it does not go in, the hole is not too large"
        if u > 0 and all(_only_guard(h, limits, side) for h in mine):
            why = f"the gauge's own uncertainty reaches over the {side} limit"
        elif all(math.isinf(getattr(h, side)) for h in mine):
            why = f"no reading bounds it at the {side} limit"
        else:
            why = f"the pins used, at their worst, leave the {side} limit inside the bracket"
        steps.append(
            NextStep(f"Check {which} with {pin}: {why}; {proof}.{more}", holes=0, gauge=pin[2:])
        )
        more = ""
    if not steps:
        steps.append(
            NextStep(
                f"Check the {holes(found.unsure)} of which nothing is proven with pins measured "
                f"nearer to the limits.{more}",
                holes=0,
            )
        )
    return steps


def _open_at(hole: HoleInterval, limits: Limits, side: str, k: float) -> bool:
    """Return whether what is known of a hole leaves this limit open."""
    g = k * hole.u
    if side == "lower":
        return hole.lower < limits.lower + g - ROUNDING
    return hole.upper > limits.upper - g + ROUNDING


def _only_guard(hole: HoleInterval, limits: Limits, side: str) -> bool:
    """Return whether a hole would pass at this limit, were the gauge exact."""
    if side == "lower":
        return hole.lower >= limits.lower - ROUNDING
    return hole.upper <= limits.upper + ROUNDING


def _more_holes(found: Tally, question: Question, hopeless: bool) -> list[NextStep]:
    """Return how many more holes, all good, would show the share; nothing where none would."""
    asked, lot = question.asked, question.lot
    sure = f"{share_as_asked(asked.confidence)} sure"
    # While too many are unsure only better pins help: count as if those had been good.
    not_good = 0 if hopeless else found.not_good
    allowed = outside_allowed(lot, asked.inside) if lot is not None else 0
    try:
        if lot is not None:
            need = holes_needed_in_lot(lot, allowed, asked.confidence, not_good)
        else:
            need = holes_needed(asked.inside, asked.confidence, not_good)
    except NoAnswerError:
        return []
    more = need - found.n
    if more <= 0:
        return []
    start = (
        f"Once those are shown good, gauge {more:,} more" if hopeless else f"Gauge {more:,} more"
    )
    unsure = f" and the {found.unsure} unsure left as they are" if found.unsure else ""
    proviso = "" if hopeless else unsure
    if lot is None:
        shows = f"{share_as_asked(asked.inside)} inside is shown, {sure}."
        return [NextStep(f"{start}: all good{proviso}, {shows}", holes=more)]
    shows = f"it is shown that at most {allowed:,} of {lot:,} are outside, {sure}."
    return [
        NextStep(f"{start}, drawn from the lot at random: all good{proviso}, {shows}", holes=more)
    ]


def _measured(estimate: Estimate) -> bool:
    """Return whether every hole has a size, and not only pins."""
    return bool(estimate.holes) and all(h.lower == h.upper for h in estimate.holes)


def _measure_instead() -> NextStep:
    """Return the cheaper way where counting takes many holes."""
    return NextStep(
        f"Or measure at least {FIT_FROM} holes with a bore gauge, over the life of a reamer: mean "
        "and spread show more than counting does, as far as the sizes are normal.",
        holes=FIT_FROM,
        gauge="bore gauge",
    )


def _more_for_ppk(found: Tally, target: float, confidence: float, ppk: float | None) -> NextStep:
    """Return how many sizes would show the Ppk asked for, if it stays as it is."""
    if ppk is None:
        return NextStep(
            "To show a Ppk, measure sizes with a bore gauge, or use pins fine enough that the "
            "holes fall into three or more steps.",
            gauge="bore gauge",
        )
    if ppk <= target or float(ppk_needed(target, MOST_FOR_PPK, confidence)) > ppk:
        return NextStep(
            f"Ppk is {ppk:.2f}: more holes will not show {target:g}. Centre the size or cut the "
            "spread first."
        )
    low, high = 1, MOST_FOR_PPK
    while high - low > 1:
        middle = (low + high) // 2
        if float(ppk_needed(target, middle, confidence)) <= ppk:
            high = middle
        else:
            low = middle
    more = max(0, high - found.n)
    if more == 0:
        return NextStep(
            f"Measured with a bore gauge, {high} holes at Ppk {ppk:.2f} would show {target:g}; "
            "pins leave more open.",
            holes=0,
            gauge="bore gauge",
        )
    return NextStep(
        f"Measure {more:,} more with a bore gauge: if Ppk stays at {ppk:.2f}, {high:,} sizes show "
        f"{target:g}.",
        holes=more,
        gauge="bore gauge",
    )
