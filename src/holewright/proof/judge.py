"""May the process, or the lot, be released: the rules and their verdict."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from holewright.callout.callout import Limits
from holewright.errors import InputError, OutOfRangeError
from holewright.gauging.estimate import Estimate
from holewright.proof.capability import performance
from holewright.proof.conformance import GUARD_FACTOR
from holewright.proof.fitted import ppk_from_intervals, ppk_of_sizes
from holewright.proof.next_steps import Question, next_steps
from holewright.proof.sampling import outside_allowed, outside_in_lot_upper, outside_upper
from holewright.proof.tally import Tally, tally
from holewright.proof.verdict import (
    CALIBRATION_OVERDUE,
    TEMPERATURE_GAP,
    Decision,
    Demands,
    NextStep,
    Verdict,
)
from holewright.proof.wording import holes, named
from holewright.reasons import Reason
from holewright.shares import share_as_asked, share_at_least
from holewright.units import Unit, format_small

CAUTIONS = (
    "Shown of size only: form, position, finish and depths that no gauge reached are not part "
    "of it.",
    "It speaks for holes made like those checked. A reamer wears: check to a plan until it is "
    "changed, and judge anew after a change of tool, holder, coolant or material.",
    "Stop the spindle before gauging. A person releases the process; this verdict is advice and "
    "does not replace the customer's own acceptance.",
)
"""What every verdict says beside its sentence."""

NO_EVIDENCE = (TEMPERATURE_GAP, CALIBRATION_OVERDUE)
"""Remarks of an estimate that hold a release by themselves."""


@dataclass(frozen=True)
class _Rule:
    """One rule applied: whether it is kept, and the reason that says so."""

    kept: bool
    reason: Reason


@dataclass(frozen=True)
class _Shown:
    """What is shown of the share inside: of all holes, and of the lot if there is one."""

    share: float
    by_counts: float
    by_fit: float | None
    outside_in_lot: int | None


def judge(
    estimate: Estimate,
    limits: Limits,
    *,
    demands: Demands | None = None,
    lot: int | None = None,
    pass_anyway: Collection[str] = (),
    k: float = GUARD_FACTOR,
    unit: Unit = Unit.MM,
) -> Verdict:
    """Return whether to release or to hold, why, and what would settle it.

    Parameters
    ----------
    estimate : Estimate
        The size that came.
    limits : Limits
        Limits of size. [mm]
    demands : Demands, optional
        What is asked for; the defaults of :class:`Demands` otherwise.
    lot : int, optional
        Size of the lot from which the holes were drawn at random. When it equals the number
        checked, all were. Without it the process that made them is judged. [-]
    pass_anyway : collection of str
        Holes that somebody asks to pass whatever the gauge says. Refused, unless the hole is
        proven inside.
    k : float
        Guard factor on the gauges' uncertainty, for holes of which the estimate doesn't say
        itself what is shown of them. [-]
    unit : Unit
        Unit in which sentences write sizes.

    Returns
    -------
    Verdict
        `because` lists every rule, those that hold it back first.

    Raises
    ------
    OutOfRangeError
        If more holes were checked than the lot has, or a demand is not between 0 and 1.
    InputError
        If `pass_anyway` names a hole that was not checked.

    Notes
    -----
    The rules: no contradiction; no hole shown outside; no failed hole waved through; the
    share inside shown at the confidence asked for; Ppk, where asked for, shown at it too.
    A hole of which nothing is proven counts as not good.

    Of the share inside the verdict says what the estimate says: the counted bound, exact and
    whatever the distribution, or the fitted one where that has earned it
    (:func:`holewright.gauging.estimate_size.estimate_size` has the rule). A lot may be shown
    by counting within it as well; having two chances there costs a little confidence.

    A gap of temperature too wide to be corrected, or a gauge whose calibration is overdue,
    holds too: the estimate says so among its remarks.
    """
    asked = demands if demands is not None else Demands()
    for name, value in (("inside", asked.inside), ("confidence", asked.confidence)):
        if not 0 < value < 1:
            raise OutOfRangeError(name, value, "between 0 and 1")
    sorted_holes = tally(estimate, limits, k)
    if lot is not None and sorted_holes.n > lot:
        raise OutOfRangeError("lot", lot, f"at least the {sorted_holes.n} holes checked")
    shown = _shown(estimate, sorted_holes, asked, lot)
    ppk, ppk_lower = _ppk(estimate, limits, asked, sorted_holes.guard)
    share_rule = _share_rule(sorted_holes, shown, asked, lot)
    ppk_rules = _ppk_rules(ppk, ppk_lower, asked)
    rules = [
        *_contradiction_rules(estimate),
        *_evidence_rules(estimate),
        *_failed_rules(estimate, sorted_holes, pass_anyway),
        share_rule,
        *ppk_rules,
    ]
    kept = all(rule.kept for rule in rules)
    steps = next_steps(
        estimate,
        sorted_holes,
        Question(limits, asked, lot, k, unit),
        share_shown=share_rule.kept,
        ppk=ppk,
        ppk_shown=all(rule.kept for rule in ppk_rules),
    )
    broken = [rule.reason for rule in rules if not rule.kept]
    because = (
        *broken,
        *(rule.reason for rule in rules if rule.kept),
        *_notes(sorted_holes, shown, asked, unit),
    )
    return Verdict(
        decision=Decision.RELEASE if kept else Decision.HOLD,
        sentence=_release(shown, asked, lot, sorted_holes) if kept else _hold(broken[0], steps),
        because=because,
        next=steps,
        inside_lower=shown.share,
        demands=asked,
        lot=lot,
        outside_in_lot_upper=shown.outside_in_lot,
        ppk=ppk,
        ppk_lower=ppk_lower,
        cautions=CAUTIONS,
    )


def _shown(estimate: Estimate, found: Tally, asked: Demands, lot: int | None) -> _Shown:
    if found.n == 0:
        return _Shown(0.0, 0.0, None, lot)
    by_counts = 1.0 - outside_upper(found.not_good, found.n, asked.confidence)
    in_lot = None
    if lot is not None:
        in_lot = outside_in_lot_upper(lot, found.n, found.not_good, asked.confidence)
        by_counts = 1.0 - in_lot / lot
    earned = estimate.bound_is_fitted and estimate.confidence >= asked.confidence
    by_fit = estimate.inside_fitted if earned and found.n != lot else None
    if by_fit is None:
        return _Shown(by_counts, by_counts, None, in_lot)
    return _Shown(max(by_counts, by_fit) if lot is not None else by_fit, by_counts, by_fit, in_lot)


def _sizes(estimate: Estimate) -> list[float]:
    """Return the sizes if every hole was measured, otherwise none."""
    measured = all(h.lower == h.upper for h in estimate.holes)
    return [h.lower for h in estimate.holes] if measured else []


def _drawn_in(limits: Limits, guard: float) -> Limits | None:
    """Return the limits less the guard band; None where nothing is left of them."""
    lower, upper = limits.lower + guard, limits.upper - guard
    return Limits(lower, upper) if lower < upper else None


def _ppk(
    estimate: Estimate, limits: Limits, asked: Demands, guard: float
) -> tuple[float | None, float | None]:
    sizes, guarded = _sizes(estimate), _drawn_in(limits, guard)
    if len(sizes) > 1 and len(set(sizes)) > 1:
        ppk, _ = ppk_of_sizes(sizes, limits, asked.confidence)
        lower = ppk_of_sizes(sizes, guarded, asked.confidence)[1] if guarded else None
        return ppk, lower
    if estimate.mean is None or estimate.sd is None:
        return None, None
    if estimate.mean_interval is None or estimate.sd_interval is None:
        return float(performance(estimate.mean, estimate.sd, limits.lower, limits.upper).ppk), None
    ppk, lower = ppk_from_intervals(
        estimate.mean, estimate.sd, estimate.mean_interval, estimate.sd_interval, limits
    )
    return ppk, lower if estimate.confidence >= asked.confidence else None


def _contradiction_rules(estimate: Estimate) -> list[_Rule]:
    return [
        _Rule(False, Reason(c.code, c.text, c.value, c.limit, c.unit))
        for c in estimate.contradictions
    ]


def _evidence_rules(estimate: Estimate) -> list[_Rule]:
    """Return what makes the readings themselves no evidence."""
    return [_Rule(False, r) for r in estimate.remarks if r.code in NO_EVIDENCE]


def _failed_rules(estimate: Estimate, found: Tally, pass_anyway: Collection[str]) -> list[_Rule]:
    count = float(found.bad)
    names = [h.hole for h in found.bad_holes]
    if found.bad:
        which = named(names) if names else holes(found.bad)
        outside = Reason(
            "holes-outside",
            f"{which[0].upper()}{which[1:]}: shown outside the limits, and none may be.",
            count,
            0.0,
            "holes",
        )
    else:
        outside = Reason("none-outside", "No hole was shown outside the limits.", 0.0, 0.0, "holes")
    rules = [_Rule(not found.bad, outside)]
    known = {h.hole for h in estimate.holes}
    for name in pass_anyway:
        if name not in known:
            raise InputError("pass_anyway", name, "must be a hole that was checked")
    failed = {*names, *(h.hole for h in found.unsure_holes)}
    refused = [name for name in pass_anyway if name in failed]
    if refused:
        text = (
            f"Asked to pass {named(refused)} although the gauge does not: refused. A failed gauge "
            "is not argued with; rework the hole, or get the customer's concession in writing."
        )
        rules.append(
            _Rule(False, Reason("pass-anyway-refused", text, float(len(refused)), 0.0, "holes"))
        )
    return rules


def _share_rule(found: Tally, shown: _Shown, asked: Demands, lot: int | None) -> _Rule:
    sure = f"{share_as_asked(asked.confidence)} sure"
    wanted = share_as_asked(asked.inside)
    if found.n == 0:
        reason = Reason("nothing-checked", "No hole has a usable reading.", 0.0, 1.0, "holes")
        return _Rule(False, reason)
    # A share asked for as 0.99 and one shown as 0.99 may differ in their last binary digit.
    kept = shown.share >= asked.inside - 1e-12
    if lot is not None and shown.outside_in_lot is not None:
        allowed = outside_allowed(lot, asked.inside)
        kept = shown.outside_in_lot <= allowed or (shown.by_fit or 0.0) >= asked.inside
        text = (
            f"Of the lot of {lot:,}, up to {shown.outside_in_lot:,} may be outside, {sure}; "
            f"{wanted} inside allows {allowed:,}."
        )
        if shown.by_fit is not None and shown.by_fit >= asked.inside:
            text += f" The fitted sizes show {share_at_least(shown.by_fit)} inside."
        code = "lot-shown" if kept else "lot-not-shown"
        return _Rule(kept, Reason(code, text, shown.share, asked.inside, "share"))
    if found.good == 0:
        text = f"Not one hole is shown to be inside; {wanted} is asked for."
    else:
        text = (
            f"{'At least' if kept else 'Only'} {share_at_least(shown.share)} of holes are shown to "
            f"be inside, {sure}; {wanted} is asked for."
        )
    code = "share-shown" if kept else "share-not-shown"
    return _Rule(kept, Reason(code, text, shown.share, asked.inside, "share"))


def _ppk_rules(ppk: float | None, lower: float | None, asked: Demands) -> list[_Rule]:
    if asked.ppk is None:
        return []
    sure = f"{share_as_asked(asked.confidence)} sure"
    if ppk is None or lower is None:
        text = (
            f"Ppk {asked.ppk:g} is asked for, and these readings allow no finite Ppk: they don't "
            "say how far the sizes spread."
        )
        return [_Rule(False, Reason("ppk-unknown", text, None, asked.ppk, "1"))]
    kept = lower >= asked.ppk
    text = (
        f"Ppk is {ppk:.2f}, and at least {lower - 0.005:.2f}, {sure}; {asked.ppk:g} is asked for."
    )
    code = "ppk-shown" if kept else "ppk-not-shown"
    return [_Rule(kept, Reason(code, text, lower, asked.ppk, "1"))]


def _notes(found: Tally, shown: _Shown, asked: Demands, unit: Unit) -> list[Reason]:
    """Return what was applied on the way and holds nothing back by itself."""
    notes = []
    if found.unsure:
        text = (
            f"{holes(found.unsure)} neither shown inside nor outside: counted as not good, since "
            "whoever releases has to prove it."
        )
        notes.append(Reason("unsure-count-as-not-good", text, float(found.unsure), 0.0, "holes"))
    if found.guard > 0:
        text = (
            f"Limits drawn in by up to {format_small(found.guard, unit)} for the gauges' own "
            "uncertainty (ISO 14253-1)."
        )
        notes.append(Reason("guard-band", text, found.guard, None, "mm"))
    if shown.by_fit is not None:
        text = (
            f"By counting alone {share_at_least(shown.by_counts)} is shown, by fitting a normal "
            f"distribution {share_at_least(shown.by_fit)}. The fit counts: the readings could "
            f"check its shape, and did not contradict it."
        )
        notes.append(Reason("counts-and-fit", text, shown.by_counts, shown.by_fit, "share"))
    notes.append(Reason("asked-by", f"Asked for by: {asked.source}.", asked.inside, None, "share"))
    return notes


def _release(shown: _Shown, asked: Demands, lot: int | None, found: Tally) -> str:
    sure = f"{share_as_asked(asked.confidence)} sure"
    if lot is not None and found.n == lot:
        return f"Release the lot: all {holes(lot)} were checked, and {found.good:,} are inside."
    if lot is not None and shown.outside_in_lot is not None:
        by_counts = shown.outside_in_lot <= outside_allowed(lot, asked.inside)
        if by_counts:
            most = f"at most {holes(shown.outside_in_lot)} of the {lot:,}"
            return f"Release the lot: {most} can be outside, {sure}."
    return f"Release: at least {share_at_least(shown.share)} of holes are inside, {sure}."


def _hold(first: Reason, steps: tuple[NextStep, ...]) -> str:
    text = first.text.rstrip(".")
    if not text.startswith("Ppk"):
        text = text[0].lower() + text[1:]
    if not steps:
        return f"Hold: {text}."
    return f"Hold: {text}. {steps[0].text}"
