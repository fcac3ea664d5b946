"""Ask which plan tells good from poor, and what a plan lets through."""

from __future__ import annotations

from holewright.errors import OutOfRangeError
from holewright.jobs.answer import Answer, Curve, Figure
from holewright.jobs.ask_sampling import RANDOM
from holewright.proof.plans import (
    Plan,
    acceptance_probability,
    acceptance_probability_in_lot,
    average_outgoing_quality,
    oc_curve,
    quality_accepted,
    two_point_plan,
)
from holewright.proof.standard_plans import code_letter, standard_plan
from holewright.proof.variables_plan import k_plan
from holewright.shares import share_as_asked, share_at_least, share_at_most

_TELLING = (0.95, 0.50, 0.10)
"""Chances of passing at which a plan is described: for the maker, even, for the customer."""


def ask_plan(good: float, alpha: float, poor: float, beta: float) -> Answer:
    """Return the smallest plans that pass good quality and refuse poor quality.

    Parameters
    ----------
    good, poor : float
        Shares outside that should pass, and should not. [-]
    alpha, beta : float
        Greatest chances of refusing the one and of passing the other. [-]

    Raises
    ------
    OutOfRangeError
        If a share or a chance can't be.
    NoAnswerError
        If the two are too near to be told apart.
    """
    counted, measured = two_point_plan(good, alpha, poor, beta), k_plan(good, alpha, poor, beta)
    return Answer(
        "plan",
        _accept(counted),
        f"passes {share_as_asked(good)} outside, refuses {share_as_asked(poor)}",
        (
            f"By counting: check {counted.n:,}, accept when at most {counted.c} are outside.",
            f"By measuring: {measured.n:,} sizes, accept when the mean lies at least "
            f"{measured.k:.3f} standard deviations inside the limit. That holds for one limit and "
            f"normal sizes.",
        ),
        (
            Figure("n", "to check, counting", f"{counted.n:,}", counted.n, "holes"),
            Figure("c", "accept with at most", f"{counted.c}", counted.c, "holes"),
            Figure("n-measured", "to measure", f"{measured.n:,}", measured.n, "holes"),
            Figure("k", "accept from k", f"{measured.k:.4f}", measured.k),
            *_qualities(counted),
        ),
        f"Smallest acceptance number and sample that refuse {share_as_asked(good)} outside in at "
        f"most {share_as_asked(alpha)} of lots and pass {share_as_asked(poor)} in at most "
        f"{share_as_asked(beta)}; binomial, and the k method of ISO 3951-1 (noncentral t).",
        curve=_curve(counted),
    )


def ask_curve(n: int, c: int, *, lot: int | None = None) -> Answer:
    """Return what a plan lets through: its OC curve.

    Parameters
    ----------
    n, c : int
        Sample size and acceptance number. [-]
    lot : int, optional
        Size of the lot: then the curve is exact for it. [-]

    Raises
    ------
    OutOfRangeError
        If the plan isn't one, or the sample is larger than the lot.
    """
    if not 0 <= c < n:
        raise OutOfRangeError("c", c, f"from 0 to one less than the {n} checked")
    return _of_plan(
        "curve",
        Plan(n, c),
        lot,
        _accept(Plan(n, c)),
        f"lot of {lot:,}" if lot is not None else "a process, or a lot over ten times the sample",
    )


def ask_standard(lot: int, aql: float, level: str = "II") -> Answer:
    """Return the plan of ISO 2859-1, and what it lets through.

    Parameters
    ----------
    lot : int
        Size of the lot. [-]
    aql : float
        Acceptance quality limit, as tabled. [%]
    level : str
        General inspection level: I, II or III.

    Raises
    ------
    OutOfRangeError, InputError
        If the lot, the level or the AQL isn't tabled.
    """
    plan, letter = standard_plan(lot, aql, level), code_letter(lot, level)
    arrow = f", whose arrow points to {plan.letter}" if plan.letter != letter else ""
    if plan.n >= lot:
        return Answer(
            "standard",
            f"check all {lot:,}",
            f"letter {letter}, AQL {aql:g} %, level {level}",
            (f"The plan's sample is as large as the lot of {lot:,}: check every hole.",),
            (
                Figure("n", "to check", f"{plan.n:,}", plan.n, "holes"),
                Figure("c", "accept with at most", f"{plan.c}", plan.c, "holes"),
            ),
            _ISO_2859,
        )
    return _of_plan(
        "standard",
        plan,
        lot,
        _accept(plan),
        f"lot of {lot:,}: letter {letter}{arrow}, AQL {aql:g} %, level {level}",
        _ISO_2859,
    )


_ISO_2859 = (
    "ISO 2859-1 single sampling, normal inspection; its switching rules are part of its "
    "protection and are not worked here. "
)


def _of_plan(
    question: str, plan: Plan, lot: int | None, headline: str, about: str, by: str = ""
) -> Answer:
    """Return what a plan lets through."""
    customer = float(quality_accepted(plan.n, plan.c, 0.10))
    sentences = [
        f"Of lots with {share_at_least(customer)} outside one in ten still passes: that is what a "
        f"passed lot shows{', and not its AQL' if by else ''}.",
    ]
    figures = [
        Figure("n", "to check", f"{plan.n:,}", plan.n, "holes"),
        Figure("c", "accept with at most", f"{plan.c}", plan.c, "holes"),
        *_qualities(plan),
    ]
    if lot is not None:
        bad = round(lot * customer)
        passed = float(acceptance_probability_in_lot(plan.n, plan.c, bad, lot))
        sentences.append(
            f"Of this lot exactly: with {bad:,} of {lot:,} outside it passes in "
            f"{share_as_asked(round(passed, 3))} of cases."
        )
        worst = max(
            float(average_outgoing_quality(plan.n, plan.c, p, lot)) for p, _ in _points(plan)
        )
        figures.append(
            Figure(
                "outgoing-most",
                "most outside that leaves, refused lots sorted",
                share_at_most(worst),
                worst,
                "share",
            )
        )
    return Answer(
        question,
        headline,
        about,
        tuple(sentences),
        tuple(figures),
        f"{by}Binomial: for a process, or a lot over ten times the sample. {RANDOM}",
        curve=_curve(plan),
    )


def _accept(plan: Plan) -> str:
    """Return a plan in a few words."""
    on = "if all are good" if plan.c == 0 else f"with {plan.c} or fewer outside"
    return f"check {plan.n:,}, accept {on}"


def _qualities(plan: Plan) -> list[Figure]:
    """Return the shares outside that a plan passes with telling chances."""
    found = []
    for chance in _TELLING:
        share = float(quality_accepted(plan.n, plan.c, chance))
        found.append(
            Figure(
                f"passes-{100 * chance:.0f}",
                f"passes {100 * chance:.0f} lots in 100 with this outside",
                f"{100 * share:.3g} %",
                share,
                "share",
            )
        )
    return found


def _points(plan: Plan) -> list[tuple[float, float]]:
    drawn = oc_curve(plan)
    return list(zip(drawn.share_outside.tolist(), drawn.accepted.tolist(), strict=True))


def _curve(plan: Plan) -> Curve:
    """Return the OC curve of a plan with its telling points."""
    marks = []
    for chance in _TELLING:
        share = float(quality_accepted(plan.n, plan.c, chance))
        passed = float(acceptance_probability(plan.n, plan.c, share))
        words = f"{100 * share:.3g} % outside: passes {100 * chance:.0f} in 100"
        marks.append((share, passed, words))
    return Curve(
        "share of the lot outside", "chance that it passes", tuple(_points(plan)), tuple(marks)
    )
