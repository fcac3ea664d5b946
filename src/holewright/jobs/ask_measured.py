"""Ask what measured sizes show: factors of tolerance intervals, and plans by variables."""

from __future__ import annotations

import math

import numpy as np

from holewright.errors import InputError
from holewright.jobs.answer import Answer, Curve, Figure
from holewright.proof.tolerance_interval import (
    holes_for_extremes,
    one_sided_factor,
    two_sided_factor,
)
from holewright.proof.variables_plan import k_acceptance_probability, quality_statistic
from holewright.shares import share_as_asked, share_at_least
from holewright.sheets.sizes import range_pair, size_pair
from holewright.units import Unit

NORMAL = (
    "Holds for normal sizes, exactly measured, without drift; pin intervals are no exact sizes."
)
_POINTS = 101


def ask_factors(
    n: int,
    share: float,
    confidence: float = 0.95,
    *,
    mean: float | None = None,
    sd: float | None = None,
    unit: Unit = Unit.MM,
) -> Answer:
    """Return the factors of tolerance intervals, and the interval of a mean and spread.

    Parameters
    ----------
    n : int
        Holes measured. [-]
    share : float
        Share of all holes to be held, over a half. [-]
    confidence : float
        Confidence. [-]
    mean, sd : float, optional
        Mean and standard deviation of the sizes, both or neither. [mm]
    unit : Unit
        Unit that sentences say first.

    Raises
    ------
    OutOfRangeError
        If a number is out of its range.
    InputError
        If only one of mean and sd is given.
    """
    _both_or_neither(mean, sd)
    k1, k2 = (float(f(n, share, confidence)) for f in (one_sided_factor, two_sided_factor))
    held, sure = share_as_asked(share), f"{share_as_asked(confidence)} sure"
    both, one = (holes_for_extremes(share, confidence, two_sided=t) for t in (True, False))
    sentences = [
        f"Mean ± {_up(k2)} s of {n:,} sizes holds {held} of all holes, {sure}.",
        f"On one side alone: mean + {_up(k1)} s, or mean - {_up(k1)} s.",
    ]
    figures = [
        Figure("k-one-sided", "factor of a one-sided limit", f"{k1:.4f}", k1),
        Figure("k-two-sided", "factor of a two-sided interval", f"{k2:.4f}", k2),
        Figure(
            "sizes-for-extremes-one",
            "sizes whose largest alone is such a limit, whatever the distribution",
            f"{one:,}",
            one,
            "holes",
        ),
        Figure(
            "sizes-for-extremes-both",
            "sizes whose smallest and largest enclose it, whatever the distribution",
            f"{both:,}",
            both,
            "holes",
        ),
    ]
    if mean is not None and sd is not None:
        low, high = mean - k2 * sd, mean + k2 * sd
        said = range_pair(low, high, unit)
        sentences.insert(0, f"{held} of all holes lie from {said}, {sure}.")
        figures.append(
            Figure("interval", "interval", said, mean, "mm", interval=(low, high)),
        )
    return Answer(
        "factors",
        f"mean ± {_up(k2)} s",
        f"{n:,} sizes, {held} of all holes, {sure}",
        tuple(sentences),
        tuple(figures),
        f"Exact factors of ISO 16269-6 (noncentral t; Wald and Wolfowitz's integral). {NORMAL}",
    )


def ask_k(
    n: int,
    k: float,
    *,
    mean: float | None = None,
    sd: float | None = None,
    lower: float | None = None,
    upper: float | None = None,
    unit: Unit = Unit.MM,
) -> Answer:
    """Return what a plan by variables lets through, and whether it accepts given sizes.

    Parameters
    ----------
    n : int
        Sizes measured. [-]
    k : float
        Acceptability constant. [-]
    mean, sd : float, optional
        Mean and standard deviation of the sizes, both or neither. [mm]
    lower, upper : float, optional
        Limits of size, at least one of them where there is a mean. [mm]
    unit : Unit
        Unit that sentences say first.

    Raises
    ------
    OutOfRangeError
        If a number is out of its range.
    InputError
        If mean, sd or every limit is missing.
    """
    fine = np.geomspace(1e-7, 0.7, 40 * _POINTS)
    passed = k_acceptance_probability(n, k, fine)
    sentences, figures, refused = [], [], False
    headline = f"measure {n:,}, accept from k = {k:g}"
    _both_or_neither(mean, sd)
    if mean is not None and sd is not None:
        if lower is None and upper is None:
            raise InputError("limits", "none given", "must be a lower limit, an upper, or both")
        q = float(
            quality_statistic(
                mean,
                sd,
                lower=-math.inf if lower is None else lower,
                upper=math.inf if upper is None else upper,
            )
        )
        refused = q < k
        said = "do not accept" if refused else "accept"
        headline = f"{said}: Q {q:.3f}, k {k:g}"
        sentences.append(
            f"The mean {size_pair(mean, unit)} lies {q:.3f} standard deviations inside the nearer "
            f"limit; the plan asks for {k:g}: {said}."
        )
        figures.append(
            Figure("q", "room to the nearer limit, in standard deviations", f"{q:.4f}", q)
        )
    marks = []
    for chance in (0.95, 0.50, 0.10):
        share = float(np.interp(-chance, -passed, fine))
        words = f"{100 * share:.3g} % outside: passes {100 * chance:.0f} in 100"
        marks.append((share, chance, words))
        figures.append(
            Figure(
                f"passes-{100 * chance:.0f}",
                f"passes {100 * chance:.0f} lots in 100 with this outside",
                f"{100 * share:.3g} %",
                share,
                "share",
            )
        )
    customer = marks[-1][0]
    sentences.append(
        f"Of lots with {share_at_least(customer)} beyond the limit one in ten still passes."
    )
    shares = np.linspace(1e-7, float(np.interp(-0.002, -passed, fine)), _POINTS)
    points = zip(shares.tolist(), k_acceptance_probability(n, k, shares).tolist(), strict=True)
    return Answer(
        "k",
        headline,
        f"plan by variables, {n:,} sizes",
        tuple(sentences),
        tuple(figures),
        f"k method, basis of the s method of ISO 3951-1; exact for one limit. {NORMAL}",
        curve=Curve(
            "share beyond the limit",
            "chance that it passes",
            tuple(points),
            tuple(marks),
        ),
        refused=refused,
    )


def _both_or_neither(mean: float | None, sd: float | None) -> None:
    if (mean is None) != (sd is None):
        missing = "sd" if sd is None else "mean"
        raise InputError(missing, "not given", "must be there where the other of the two is")


def _up(k: float) -> str:
    """Return a factor rounded up, so that it still holds what it says."""
    return f"{math.ceil(1000 * k - 1e-6) / 1000:.3f}"
