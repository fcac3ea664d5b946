"""Ask what a sample means, how many holes to check, and what a plan lets through."""

from __future__ import annotations

import math

from holewright.jobs.answer import Answer, Figure
from holewright.proof.capability import ppk_from_counts
from holewright.proof.sample_statement import plates_statement, say_sample
from holewright.proof.sampling import (
    holes_needed,
    holes_needed_in_lot,
    lot_statement,
    outside_allowed,
    outside_upper,
)
from holewright.proof.tolerance_interval import one_sided_factor
from holewright.proof.wording import holes
from holewright.shares import share_as_asked, share_at_least, share_at_most

RANDOM = (
    "Holds for holes drawn at random; the first holes of a lot, or holes of one plate, are not a "
    "random sample."
)
MEASURED = 30
"""Sizes for the comparison with measuring: the fewest that ISO 22514-3 lets speak. [-]"""


def ask_lot(
    lot: int,
    checked: int,
    bad: int = 0,
    *,
    inside: float = 0.99,
    confidence: float = 0.95,
    holes_a_part: int = 1,
) -> Answer:
    """Return what a sample says of the lot that it was drawn from.

    Parameters
    ----------
    lot, checked, bad : int
        Items of the lot, checked, and found outside; parts where `holes_a_part` is over 1. [-]
    inside : float
        Share that somebody would like to claim. [-]
    confidence : float
        One-sided confidence. [-]
    holes_a_part : int
        Holes of each part, all of them gauged on the parts checked. [-]

    Raises
    ------
    OutOfRangeError
        If the counts, the share or the confidence can't be.
    """
    said = lot_statement(lot, checked, bad, confidence)
    process = outside_upper(bad, checked, confidence)
    _, ppk = ppk_from_counts(bad, checked, confidence)
    what = "holes" if holes_a_part == 1 else "parts"
    sentences = [say_sample(lot, checked, bad, confidence, inside=inside)]
    figures = [
        Figure(
            "outside-upper",
            f"most {what} of the lot outside",
            f"{said.outside_upper:,} of {lot:,}",
            said.outside_upper,
            what,
        ),
        Figure(
            "unchecked-outside-upper",
            f"of these, among the {what} not checked",
            f"{said.unchecked_outside_upper:,} of {lot - checked:,}",
            said.unchecked_outside_upper,
            what,
        ),
        Figure(
            "inside-lower",
            "least share of the lot inside",
            share_at_least(said.inside_lower),
            said.inside_lower,
            "share",
        ),
        Figure(
            "process-outside-upper",
            "most of the process outside",
            share_at_most(process),
            process,
            "share",
        ),
        Figure(
            "ppk-lower",
            "Ppk that such a count stands for, at least",
            f"{math.floor(100 * float(ppk)) / 100:.2f}",
            float(ppk),
        ),
    ]
    if holes_a_part > 1:
        plates = plates_statement(lot, checked, holes_a_part, bad, confidence)
        sentences[0] = sentences[0].replace(" holes were checked", " parts were checked")
        sentences.append(
            f"Holes of one part are alike: {checked * holes_a_part:,} holes on {checked:,} parts "
            f"count as {checked:,}. At worst {plates.holes_outside_upper:,} of the "
            f"{lot * holes_a_part:,} holes are outside, all of those on a bad part."
        )
        figures.insert(
            1,
            Figure(
                "holes-outside-upper",
                "most holes of the lot outside",
                f"{plates.holes_outside_upper:,} of {lot * holes_a_part:,}",
                plates.holes_outside_upper,
                "holes",
            ),
        )
    found = "all good" if bad == 0 else f"{bad:,} outside"
    return Answer(
        "lot",
        f"at most {said.outside_upper:,} of {lot:,} outside",
        f"{checked:,} of {lot:,} {what} checked, {found}, {share_as_asked(confidence)} sure",
        tuple(sentences),
        tuple(figures),
        "Exact: hypergeometric in whole numbers for the lot, Clopper-Pearson for the process. "
        f"{RANDOM}",
    )


def ask_need(
    inside: float, confidence: float = 0.95, *, lot: int | None = None, most_bad: int = 2
) -> Answer:
    """Return how many holes must be checked to show a share inside.

    Parameters
    ----------
    inside : float
        Share to be shown. [-]
    confidence : float
        One-sided confidence. [-]
    lot : int, optional
        Size of the lot; without it a process. [-]
    most_bad : int
        Up to how many bad holes among them the answer goes. [-]

    Raises
    ------
    OutOfRangeError
        If a share, the confidence or a count can't be.
    NoAnswerError
        If counting alone would take more holes than anybody gauges.
    """
    wanted, sure = share_as_asked(inside), f"{share_as_asked(confidence)} sure"
    allowed = outside_allowed(lot, inside) if lot is not None else None
    needs = []
    for bad in range(most_bad + 1):
        if lot is None or allowed is None:
            needs.append(holes_needed(inside, confidence, bad))
        elif bad <= allowed:
            needs.append(holes_needed_in_lot(lot, allowed, confidence, bad))
    k = float(one_sided_factor(MEASURED, inside, confidence)) if inside > 0.5 else None
    of = f" of the lot of {lot:,}" if lot is not None else ""
    sentences = [f"Check {needs[0]:,}{of}, all good: then {wanted} inside is shown, {sure}."]
    if lot is not None and allowed is not None:
        sentences.append(f"{wanted} of {lot:,} allows {holes(allowed)} outside.")
    if k is not None:
        sentences.append(
            f"Or measure: {MEASURED} sizes whose mean lies at least {math.ceil(100 * k) / 100:.2f} "
            f"standard deviations inside a limit show {wanted} on its side, as far as sizes are "
            f"normal and nothing drifts."
        )
    figures = [
        Figure(
            f"checked-with-{bad}-bad",
            f"to check, {'all good' if bad == 0 else f'{bad} of them not good'}",
            f"{need:,}",
            need,
            "holes",
        )
        for bad, need in enumerate(needs)
    ]
    if k is not None:
        figures.append(
            Figure(
                "k-of-30-sizes",
                f"standard deviations to a limit, of {MEASURED} sizes",
                f"{math.ceil(100 * k) / 100:.2f}",
                k,
            )
        )
    return Answer(
        "need",
        f"check {needs[0]:,}, all good",
        f"to show {wanted} inside, {sure}{f', lot of {lot:,}' if lot is not None else ''}",
        tuple(sentences),
        tuple(figures),
        "By counting: exact, whatever the distribution of sizes. By measuring: exact one-sided "
        f"factor of ISO 16269-6. {RANDOM}",
    )
