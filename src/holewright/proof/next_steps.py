"""What would settle a verdict that holds: another look, another pin, or how many more holes."""

from __future__ import annotations

import math

from holewright.callout.callout import Limits
from holewright.errors import NoAnswerError
from holewright.gauging.estimate import Estimate, HoleInterval
from holewright.proof.capability import ppk_needed
from holewright.proof.conformance import ROUNDING
from holewright.proof.sampling import holes_needed, holes_needed_in_lot, outside_allowed
from holewright.proof.tally import Tally
from holewright.proof.verdict import Demands, NextStep
from holewright.proof.wording import holes, named, share_as_asked
from holewright.units import Unit, format_size

MOST_FOR_PPK = 100_000
"""More holes than this are not worth naming to show a Ppk."""


def next_steps(
    estimate: Estimate,
    found: Tally,
    limits: Limits,
    asked: Demands,
    lot: int | None,
    ppk: float | None,
    unit: Unit,
    k: float,
) -> tuple[NextStep, ...]:
    """Return what would settle it, best first.

    Parameters
    ----------
    estimate : Estimate
        The size that came, with its contradictions.
    found : Tally
        Its holes, sorted.
    limits : Limits
        Limits of size. [mm]
    asked : Demands
        What is asked for.
    lot : int, optional
        Size of the lot, if a lot is judged. [-]
    ppk : float, optional
        Ppk of the holes, if there is one. [-]
    unit : Unit
        Unit in which sentences write sizes.
    k : float
        Guard factor. [-]
    """
    steps: list[NextStep] = []
    if estimate.contradictions:
        what = "; ".join(c.text.rstrip(".") for c in estimate.contradictions)
        steps.append(
            NextStep(
                f"Gauge again where readings contradict each other ({what}): clean hole and pin, "
                "same temperature, and mike the pin."
            )
        )
    if found.bad:
        steps.append(_contain(found, lot))
    if found.unsure:
        steps.extend(_better_pins(found, limits, asked, unit, k))
    step = _more_holes(found, asked, lot)
    if step is not None:
        steps.append(step)
    if asked.ppk is not None:
        steps.append(_more_for_ppk(found, asked.ppk, asked.confidence, ppk))
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


def _better_pins(
    found: Tally, limits: Limits, asked: Demands, unit: Unit, k: float
) -> list[NextStep]:
    """Return which pins would settle the unsure holes, one step for each limit."""
    steps = []
    useless = found.unsure / found.n > 1 - asked.inside
    more = " A hundred more holes with the same pins would not help." if useless else ""
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
            why = f"the pin's own uncertainty reaches over the {side} limit"
        elif all(math.isinf(getattr(h, side)) for h in mine):
            why = f"no reading bounds it at the {side} limit"
        else:
            why = f"the pins used leave the {side} limit inside the bracket"
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


def _more_holes(found: Tally, asked: Demands, lot: int | None) -> NextStep | None:
    """Return how many more holes, all good, would show the share; None where none would."""
    sure = f"{share_as_asked(asked.confidence)} sure"
    not_good = found.not_good
    try:
        if lot is not None:
            allowed = outside_allowed(lot, asked.inside)
            need = holes_needed_in_lot(lot, allowed, asked.confidence, not_good)
        else:
            need = holes_needed(asked.inside, asked.confidence, not_good)
    except NoAnswerError:
        return None
    more = need - found.n
    if more <= 0 or found.bad:
        # With a hole outside the process is not as it should be: count anew once it is mended.
        return None
    proviso = f", the {found.unsure} unsure staying so" if found.unsure else ""
    if lot is not None:
        text = (
            f"Gauge {more:,} more of the lot, taken at random: all good{proviso}, they show that "
            f"at most {allowed:,} of {lot:,} are outside, {sure}."
        )
    else:
        text = (
            f"Gauge {more:,} more: all good{proviso}, they show {share_as_asked(asked.inside)} "
            f"inside, {sure}."
        )
    return NextStep(text, holes=more)


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
