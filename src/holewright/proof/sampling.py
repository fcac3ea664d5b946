"""What holes that were checked say of the holes that were not."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import comb

from holewright.errors import NoAnswerError, OutOfRangeError
from holewright.gauging.binomial import clopper_pearson

LARGEST_LOT = 1_000_000
"""Lots are counted in whole numbers, exactly; beyond this size that takes too long."""

MOST_HOLES = 10_000_000
"""More holes than anybody gauges: a demand that needs them is refused."""


@dataclass(frozen=True)
class LotStatement:
    """What a sample says of the lot that it was drawn from.

    Parameters
    ----------
    lot, checked, bad : int
        Items in the lot, items checked, items found outside.
    outside_upper : int
        Most items of the whole lot that may be outside, those found included.
    unchecked_outside_upper : int
        Most of the items not checked that may be outside.
    confidence : float
        Confidence of both, one-sided. [-]
    """

    lot: int
    checked: int
    bad: int
    outside_upper: int
    unchecked_outside_upper: int
    confidence: float

    @property
    def inside_lower(self) -> float:
        """Least share of the lot that is inside. [-]"""
        return 1.0 - self.outside_upper / self.lot


def outside_upper(bad: int, checked: int, confidence: float = 0.95) -> float:
    """Return the largest share outside that the process may have.

    Parameters
    ----------
    bad : int
        Holes found outside (or not shown inside). [-]
    checked : int
        Holes checked, at least 1. [-]
    confidence : float
        One-sided confidence, between 0 and 1. [-]

    Returns
    -------
    float
        Clopper-Pearson upper bound; ``1 - (1 - confidence)**(1 / checked)`` when `bad` is 0.
        [-]

    Raises
    ------
    OutOfRangeError
        If the counts or the confidence can't be.

    Notes
    -----
    Exact, and without any assumption on the spread of sizes; valid for holes that are a fair
    sample of what the process makes. Thirty good holes in a row from one fresh reamer say
    nothing of its last hole.

    References
    ----------
    .. [1] Clopper, C. J.; Pearson, E. S. (1934), Biometrika 26(4), 404-413.
       doi:10.1093/biomet/26.4.404.

    Examples
    --------
    >>> round(outside_upper(0, 30), 4)
    0.095
    """
    _check_counts(bad, checked, confidence)
    return float(clopper_pearson(bad, checked, confidence, two_sided=False)[1])


def holes_needed(inside: float, confidence: float = 0.95, bad: int = 0) -> int:
    """Return how many holes must be checked to show a share inside.

    Parameters
    ----------
    inside : float
        Share of holes inside to be shown, between 0 and 1. [-]
    confidence : float
        One-sided confidence, between 0 and 1. [-]
    bad : int
        Holes among them that are outside (or not shown inside). [-]

    Returns
    -------
    int
        Smallest number checked, `bad` of which are not good, that shows it. [-]

    Raises
    ------
    OutOfRangeError
        If `inside` or `confidence` is not between 0 and 1, or `bad` is negative.
    NoAnswerError
        If more than ten million holes would be needed.

    Notes
    -----
    Any number from the returned one upwards shows it too, as long as `bad` stays.

    References
    ----------
    .. [1] Clopper and Pearson (1934), as in :func:`outside_upper`.

    Examples
    --------
    >>> holes_needed(0.99), holes_needed(0.95), holes_needed(0.90)
    (299, 59, 29)
    """
    if not 0 < inside < 1:
        raise OutOfRangeError("inside", inside, "between 0 and 1")
    _check_counts(bad, bad + 1, confidence)
    allowed = 1.0 - inside

    def shows(n: int) -> bool:
        # 1 - inside carries a rounding of 1e-16; a bound that meets it exactly counts as met.
        return outside_upper(bad, n, confidence) <= allowed * (1 + 1e-12)

    high = bad + 1
    while not shows(high):
        high *= 2
        if high > MOST_HOLES:
            raise NoAnswerError(
                f"To show that a share of {inside} is inside would take over {MOST_HOLES:,} holes "
                "by counting alone; ask for less, or measure sizes with a bore gauge."
            )
    low = max(bad, high // 2)  # doesn't show it, or is no sample at all
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if shows(middle) else (middle, high)
    return high


def outside_in_lot_upper(lot: int, checked: int, bad: int = 0, confidence: float = 0.95) -> int:
    """Return the most items of a lot that may be outside.

    Parameters
    ----------
    lot : int
        Items in the lot, from 1 to a million. [-]
    checked : int
        Items checked, drawn from the lot at random without putting back. [-]
    bad : int
        Items found outside. [-]
    confidence : float
        One-sided confidence, between 0 and 1. [-]

    Returns
    -------
    int
        Largest D for which so few bad items, or fewer, come up with a probability of more
        than ``1 - confidence``. It includes those found. [-]

    Raises
    ------
    OutOfRangeError
        If the counts or the confidence can't be.

    Notes
    -----
    Exact: hypergeometric, in whole numbers. Valid for a random sample; the first pieces of a
    lot are not one. When all were checked, the answer is `bad`.

    References
    ----------
    .. [1] Buonaccorsi, J. P. (1987), "A note on confidence intervals for proportions in finite
       populations", The American Statistician 41(3), 215-218 (method; from memory).

    Examples
    --------
    >>> outside_in_lot_upper(125, 6), outside_in_lot_upper(125, 97), outside_in_lot_upper(125, 125)
    (48, 1, 0)
    """
    _check_lot(lot, checked, bad, confidence)
    most = lot - (checked - bad)
    alpha = _alpha(confidence)
    # In growing steps from below: few outside makes short numbers.
    low, step = bad, 1
    while low + step <= most and _passes(lot, low + step, checked, bad) > alpha:
        low, step = low + step, 2 * step
    high = min(low + step, most + 1)  # can't be, or is not believed
    while high - low > 1:
        middle = (low + high) // 2
        if _passes(lot, middle, checked, bad) > alpha:
            low = middle
        else:
            high = middle
    return low


def lot_statement(lot: int, checked: int, bad: int = 0, confidence: float = 0.95) -> LotStatement:
    """Return what a random sample says of its lot and of the rest of it.

    Parameters
    ----------
    lot, checked, bad, confidence
        As for :func:`outside_in_lot_upper`. [-]

    Raises
    ------
    OutOfRangeError
        If the counts or the confidence can't be.
    """
    most = outside_in_lot_upper(lot, checked, bad, confidence)
    return LotStatement(lot, checked, bad, most, most - bad, confidence)


def holes_needed_in_lot(
    lot: int, outside_allowed: int, confidence: float = 0.95, bad: int = 0
) -> int:
    """Return how many items of a lot must be checked to show that few are outside.

    Parameters
    ----------
    lot : int
        Items in the lot, from 1 to a million. [-]
    outside_allowed : int
        Most items of the lot that may be outside, at least `bad`. [-]
    confidence : float
        One-sided confidence, between 0 and 1. [-]
    bad : int
        Items among those checked that are outside (or not shown inside). [-]

    Returns
    -------
    int
        Smallest number checked, `bad` of which are not good, that shows it; `lot` when
        nothing less does. [-]

    Raises
    ------
    OutOfRangeError
        If the counts or the confidence can't be.
    NoAnswerError
        If `bad` already exceeds `outside_allowed`.

    Examples
    --------
    To show that at most one of 125 is outside, 95 % sure:

    >>> holes_needed_in_lot(125, 1)
    97
    """
    _check_lot(lot, lot, bad, confidence)
    if not 0 <= outside_allowed <= lot:
        raise OutOfRangeError("outside_allowed", outside_allowed, f"from 0 to the lot of {lot}")
    if bad > outside_allowed:
        raise NoAnswerError(
            f"{bad} are outside already, and {outside_allowed} allowed: no sample mends that."
        )
    if outside_allowed == lot:
        return max(bad, 1)
    alpha = _alpha(confidence)
    low, high = bad, lot
    while high - low > 1:
        middle = (low + high) // 2
        if _passes(lot, outside_allowed + 1, middle, bad) <= alpha:
            high = middle
        else:
            low = middle
    return high


def outside_allowed(lot: int, inside: float) -> int:
    """Return how many items of a lot may be outside while a share stays inside. [-]

    Parameters
    ----------
    lot : int
        Items in the lot. [-]
    inside : float
        Share that must be inside, from 0 to 1. [-]

    Examples
    --------
    >>> outside_allowed(125, 0.99), outside_allowed(100, 0.99)
    (1, 1)
    """
    if not 0 <= inside <= 1:
        raise OutOfRangeError("inside", inside, "from 0 to 1")
    return int(lot * (1 - Fraction(repr(float(inside)))))


def _passes(lot: int, outside: int, checked: int, bad: int) -> Fraction:
    """Return P(at most `bad` outside come up in `checked`), hypergeometric, exactly."""
    # Drawn and outside may change places; the smaller of them drawn keeps the numbers short.
    if checked > outside:
        checked, outside = outside, checked
    good = lot - outside
    ways = sum(
        comb(outside, k) * comb(good, checked - k)
        for k in range(max(0, checked - good), min(bad, outside, checked) + 1)
    )
    return Fraction(ways, comb(lot, checked))


def _alpha(confidence: float) -> Fraction:
    """Return 1 - confidence as it was written: 0.95 is 19/20, not its nearest double."""
    return 1 - Fraction(repr(float(confidence)))


def _check_counts(bad: int, checked: int, confidence: float) -> None:
    if not checked >= 1:
        raise OutOfRangeError("checked", checked, "at least 1")
    if not 0 <= bad <= checked:
        raise OutOfRangeError("bad", bad, f"from 0 to the {checked} checked")
    if not 0 < confidence < 1:
        raise OutOfRangeError("confidence", confidence, "between 0 and 1")


def _check_lot(lot: int, checked: int, bad: int, confidence: float) -> None:
    if not 1 <= lot <= LARGEST_LOT:
        raise OutOfRangeError("lot", lot, f"from 1 to {LARGEST_LOT:,}")
    if checked > lot:
        raise OutOfRangeError("checked", checked, f"at most the lot of {lot}")
    _check_counts(bad, checked, confidence)
