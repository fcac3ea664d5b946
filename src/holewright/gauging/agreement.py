"""Whether people with go/no-go pins agree: with each other, and with the truth."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import ndtri

from holewright.errors import NoAnswerError, OutOfRangeError
from holewright.gauging.binomial import clopper_pearson
from holewright.reasons import Reason
from holewright.shares import share_as_asked, share_at_most

Floats = NDArray[np.float64]

LOPSIDED = 0.9
"""Share of one answer above which kappa collapses whatever the agreement. Own judgement. [-]"""

FEWEST_PARTS = 50
"""Fewest parts of a go/no-go study. Common practice. [-]"""

MISSES = 0.02
"""Greatest share of bad parts that may be called good. Common practice. [-]"""

FALSE_ALARMS = 0.05
"""Greatest share of good parts that may be called bad. Common practice. [-]"""


@dataclass(frozen=True)
class Kappa:
    """Agreement beyond chance.

    Parameters
    ----------
    kappa : float
        1 for full agreement, 0 for that of chance. [-]
    se : float
        Its standard error. [-]
    se_chance : float
        Its standard error were there no agreement but chance. [-]
    interval : tuple of float
        Two-sided interval, kappa ± z se. [-]
    agreed, by_chance : float
        Share of agreement seen, and expected by chance. [-]
    n : int
        Parts judged. [-]
    """

    kappa: float
    se: float
    se_chance: float
    interval: tuple[float, float]
    agreed: float
    by_chance: float
    n: int


@dataclass(frozen=True)
class AgainstTruth:
    """How a go/no-go check does against parts of known size.

    Parameters
    ----------
    misses : float
        Share of bad parts called good. [-]
    misses_upper : float
        Its one-sided upper bound. [-]
    false_alarms : float
        Share of good parts called bad. [-]
    false_alarms_upper : float
        Its one-sided upper bound. [-]
    right : float
        Share of all parts called right. [-]
    warnings : tuple of Reason
        What is wrong with the study or with the check.
    """

    misses: float
    misses_upper: float
    false_alarms: float
    false_alarms_upper: float
    right: float
    warnings: tuple[Reason, ...]


def cohen_kappa(table: ArrayLike, confidence: float = 0.95) -> Kappa:
    r"""Return Cohen's kappa of two people who judged the same parts.

    .. math:: \kappa = \frac{p_o - p_e}{1 - p_e}, \qquad p_e = \sum_i p_{i\cdot}\, p_{\cdot i}

    Parameters
    ----------
    table : array_like
        Square table of counts: how often the one said i and the other j. [-]
    confidence : float
        Two-sided confidence, between 0 and 1. [-]

    Returns
    -------
    Kappa
        With its large-sample standard errors.

    Raises
    ------
    OutOfRangeError
        If the table isn't square, holds a negative count or none at all.
    NoAnswerError
        If both always gave one same answer: agreement and chance can't be told apart.

    Notes
    -----
    See :func:`agreement_warnings`: kappa says little when nearly all parts are good.

    References
    ----------
    .. [1] Cohen, J. (1960), Educational and Psychological Measurement 20(1), 37-46.
       doi:10.1177/001316446002000104.
    .. [2] Fleiss, J. L.; Cohen, J.; Everitt, B. S. (1969), "Large sample standard errors of
       kappa and weighted kappa", Psychological Bulletin 72(5), 323-327.
       doi:10.1037/h0028106.

    Examples
    --------
    >>> round(cohen_kappa([[44, 6], [3, 97]]).kappa, 3)
    0.863
    """
    p, n = _square(table)
    rows, columns = p.sum(axis=1), p.sum(axis=0)
    agreed, chance = float(np.trace(p)), float(rows @ columns)
    if not chance < 1:
        raise NoAnswerError(
            "Both gave one and the same answer for every part: put parts near and beyond the "
            "limits into the study."
        )
    kappa = (agreed - chance) / (1 - chance)
    both = rows[:, np.newaxis] + columns[np.newaxis, :]
    on = np.diag(p) * (1 - (rows + columns) * (1 - kappa)) ** 2
    # Off the diagonal: what the one calls i and the other j weighs with column i and row j.
    cross = columns[:, np.newaxis] + rows[np.newaxis, :]
    off = (p * cross**2).sum() - (np.diag(p) * np.diag(cross) ** 2).sum()
    variance = on.sum() + (1 - kappa) ** 2 * off - (kappa - chance * (1 - kappa)) ** 2
    se = float(np.sqrt(max(variance, 0.0) / n)) / (1 - chance)
    chance_variance = chance + chance**2 - float((rows * columns * np.diag(both)).sum())
    # One person with always one answer: 0 but for rounding.
    se_chance = float(np.sqrt(max(chance_variance, 0.0) / n)) / (1 - chance)
    reach = _z(confidence) * se
    return Kappa(kappa, se, se_chance, (kappa - reach, kappa + reach), agreed, chance, n)


def fleiss_kappa(counts: ArrayLike, confidence: float = 0.95) -> Kappa:
    r"""Return Fleiss' kappa of several people who judged the same parts.

    .. math::
        \kappa = \frac{\bar{P} - \bar{P}_e}{1 - \bar{P}_e}, \qquad
        P_i = \frac{\sum_j n_{ij}^2 - m}{m (m-1)}, \qquad
        \bar{P}_e = \sum_j p_j^2

    Parameters
    ----------
    counts : array_like
        Shape (parts, answers): how many of the m people gave each answer. [-]
    confidence : float
        Two-sided confidence, between 0 and 1. [-]

    Returns
    -------
    Kappa
        Standard error over parts by the jackknife; `se_chance` from the closed form.

    Raises
    ------
    OutOfRangeError
        If a count is negative, there are fewer than 2 parts or people, or the number of
        people differs from part to part.
    NoAnswerError
        If everybody gave one and the same answer for every part.

    References
    ----------
    .. [1] Fleiss, J. L. (1971), "Measuring nominal scale agreement among many raters",
       Psychological Bulletin 76(5), 378-382. doi:10.1037/h0031619.
    .. [2] Fleiss, J. L.; Nee, J. C. M.; Landis, J. R. (1979), "Large sample variance of kappa in
       the case of different sets of raters", Psychological Bulletin 86(5), 974-977.
       doi:10.1037/0033-2909.86.5.974.
    """
    c = np.asarray(counts, dtype=float)
    if c.ndim != 2 or c.shape[0] < 2 or not (c >= 0).all():
        raise OutOfRangeError("counts", f"of shape {c.shape}", "(parts, answers), 0 or more each")
    people = c.sum(axis=1)
    if not (people == people[0]).all() or people[0] < 2:
        raise OutOfRangeError("people", people.min(), "the same for each part, and at least 2")
    m, n = float(people[0]), c.shape[0]
    each = ((c**2).sum(axis=1) - m) / (m * (m - 1))
    shares = c.sum(axis=0) / (n * m)
    agreed, chance = float(each.mean()), float((shares**2).sum())
    if not chance < 1:
        raise NoAnswerError(
            "Everybody gave one and the same answer for every part: put parts near and beyond the "
            "limits into the study."
        )
    kappa = (agreed - chance) / (1 - chance)
    # Jackknife: kappa without each part in turn.
    others = (c.sum(axis=0) - c) / ((n - 1) * m)
    agreed_others = (each.sum() - each) / (n - 1)
    chance_others = (others**2).sum(axis=1)
    with np.errstate(divide="ignore", invalid="ignore"):
        left_out = (agreed_others - chance_others) / (1 - chance_others)
    spread = left_out - left_out.mean()
    se = float(np.sqrt((n - 1) / n * (spread**2).sum()))
    q = 1 - shares
    total = float((shares * q).sum())
    odd = float((shares * q * (q - shares)).sum())
    se_chance = float(np.sqrt(2 * (total**2 - odd) / (n * m * (m - 1)))) / total
    reach = _z(confidence) * se
    return Kappa(kappa, se, se_chance, (kappa - reach, kappa + reach), agreed, chance, n)


def against_truth(table: ArrayLike, confidence: float = 0.95) -> AgainstTruth:
    """Return how often a go/no-go check is wrong, and in which way.

    Parameters
    ----------
    table : array_like
        ``[[bad called bad, bad called good], [good called bad, good called good]]``, counts of
        judgements on parts of known size. [-]
    confidence : float
        One-sided confidence of each bound, between 0 and 1. [-]

    Returns
    -------
    AgainstTruth
        Misses, false alarms and warnings.

    Raises
    ------
    OutOfRangeError
        If the table isn't 2 × 2 of counts, or a row of it is empty.

    Notes
    -----
    A miss sends a bad part on; a false alarm scraps a good one. The bounds take judgements
    as independent; repeats on the same few parts are not, and prove less.
    """
    p, _ = _square(table)
    if p.shape != (2, 2):
        raise OutOfRangeError("table", f"of shape {p.shape}", "2 × 2: bad and good parts")
    counts = np.asarray(table, dtype=float)
    bad, good = counts.sum(axis=1)
    for name, value in (("bad parts", bad), ("good parts", good)):
        if not value > 0:
            raise OutOfRangeError(name, int(value), "at least 1: both kinds must be in the study")
    missed, alarmed = counts[0, 1], counts[1, 0]
    _, upper_missed = clopper_pearson(missed, bad, confidence, two_sided=False)
    _, upper_alarmed = clopper_pearson(alarmed, good, confidence, two_sided=False)
    found = AgainstTruth(
        misses=float(missed / bad),
        misses_upper=float(upper_missed),
        false_alarms=float(alarmed / good),
        false_alarms_upper=float(upper_alarmed),
        right=float(np.trace(p)),
        warnings=(),
    )
    warnings = [*agreement_warnings(table)]
    if found.misses > MISSES:
        warnings.append(
            Reason(
                "misses",
                f"{100 * found.misses:.1f} % of bad parts were called good, and up to "
                f"{share_at_most(found.misses_upper)} can't be ruled out; "
                f"{share_as_asked(MISSES)} is the usual bar.",
                found.misses,
                MISSES,
                "share",
            )
        )
    elif found.misses_upper > MISSES:
        warnings.append(
            Reason(
                "misses-not-shown",
                f"Few misses were seen, but {bad:.0f} bad parts leave up to "
                f"{share_at_most(found.misses_upper)} open; {share_as_asked(MISSES)} is the usual "
                f"bar.",
                found.misses_upper,
                MISSES,
                "share",
            )
        )
    if found.false_alarms > FALSE_ALARMS:
        warnings.append(
            Reason(
                "false-alarms",
                f"{100 * found.false_alarms:.1f} % of good parts were called bad; "
                f"{share_as_asked(FALSE_ALARMS)} is the usual bar.",
                found.false_alarms,
                FALSE_ALARMS,
                "share",
            )
        )
    return AgainstTruth(
        found.misses,
        found.misses_upper,
        found.false_alarms,
        found.false_alarms_upper,
        found.right,
        tuple(warnings),
    )


def agreement_warnings(table: ArrayLike) -> tuple[Reason, ...]:
    """Return why the kappa of a study may not mean what it seems to.

    Parameters
    ----------
    table : array_like
        Square table of counts, as for :func:`cohen_kappa`. [-]

    Raises
    ------
    OutOfRangeError
        If the table isn't square, holds a negative count or none at all.
    """
    p, n = _square(table)
    warnings = []
    share = float(((p.sum(axis=0) + p.sum(axis=1)) / 2).max())
    if share > LOPSIDED:
        warnings.append(
            Reason(
                "nearly-all-alike",
                f"{100 * share:.0f} % of the answers are the same. Then kappa collapses even "
                f"where people "
                "agree: take parts near the limits, about half of them bad.",
                share,
                LOPSIDED,
                "share",
            )
        )
    if n < FEWEST_PARTS:
        warnings.append(
            Reason(
                "few-parts",
                f"{n} parts were judged; under {FEWEST_PARTS} the interval of kappa is too wide to "
                "say much.",
                float(n),
                float(FEWEST_PARTS),
                "parts",
            )
        )
    return tuple(warnings)


def _square(table: ArrayLike) -> tuple[Floats, int]:
    """Return a checked table as shares, and its count."""
    c = np.asarray(table, dtype=float)
    if c.ndim != 2 or c.shape[0] != c.shape[1] or c.shape[0] < 2:
        raise OutOfRangeError("table", f"of shape {c.shape}", "square")
    if not (c >= 0).all() or not c.sum() > 0:
        raise OutOfRangeError("table", c.min(), "of counts, 0 or more, and not all 0")
    return c / c.sum(), int(c.sum())


def _z(confidence: float) -> float:
    if not 0 < confidence < 1:
        raise OutOfRangeError("confidence", confidence, "between 0 and 1")
    return float(ndtri((1 + confidence) / 2))
