"""Sorts the holes of an estimate into good, bad and unsure, guard band applied."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from holewright.callout.callout import Limits
from holewright.gauging.count_holes import Shown
from holewright.gauging.estimate import Estimate, HoleInterval
from holewright.proof.conformance import GUARD_FACTOR, Conformity, decide

_SHOWN = {
    Conformity.ACCEPT: Shown.INSIDE,
    Conformity.REJECT: Shown.OUTSIDE,
    Conformity.CANNOT_TELL: Shown.NEITHER,
}


@dataclass(frozen=True)
class Tally:
    """Holes sorted by what is proven of them.

    Parameters
    ----------
    good, bad, unsure : int
        Holes proven inside, proven outside, and neither. [-]
    bad_holes, unsure_holes : tuple of HoleInterval
        The last two by name, where the estimate lists its holes.
    guard : float
        Widest guard band that was applied. [mm]
    """

    good: int
    bad: int
    unsure: int
    bad_holes: tuple[HoleInterval, ...] = ()
    unsure_holes: tuple[HoleInterval, ...] = ()
    guard: float = 0.0

    @property
    def n(self) -> int:
        """Holes in all."""
        return self.good + self.bad + self.unsure

    @property
    def not_good(self) -> int:
        """Holes not proven inside: who wants to release has to prove it."""
        return self.bad + self.unsure


def tally(estimate: Estimate, limits: Limits, k: float = GUARD_FACTOR) -> Tally:
    """Return the holes of an estimate sorted by what is proven of them.

    Parameters
    ----------
    estimate : Estimate
        The size that came. What it says of its holes stands, so that estimate and verdict
        count by one rule. Where it lists no holes, its own counts are taken.
    limits : Limits
        Limits of size, for holes of which it says nothing. [mm]
    k : float
        Guard factor on the uncertainty of each such hole's bounds. [-]

    Raises
    ------
    OutOfRangeError
        If a limit or an uncertainty can't be.
    """
    found = estimate.holes
    if not found:
        return Tally(estimate.good, estimate.bad, estimate.unsure)
    low, high, u = np.array([(h.lower, h.upper, h.u) for h in found], dtype=float).T
    # Bounds that cross are a contradiction, told apart from this count; nothing is proven.
    low, high = np.where(low <= high, (low, high), ([-np.inf], [np.inf]))
    decided = decide(low, high, u, limits.lower, limits.upper, k)
    said = [h.shown or _SHOWN[Conformity(str(s))] for h, s in zip(found, decided, strict=True)]
    bad = tuple(h for h, s in zip(found, said, strict=True) if s is Shown.OUTSIDE)
    unsure = tuple(h for h, s in zip(found, said, strict=True) if s is Shown.NEITHER)
    return Tally(
        good=len(found) - len(bad) - len(unsure),
        bad=len(bad),
        unsure=len(unsure),
        bad_holes=bad,
        unsure_holes=unsure,
        guard=float(k * u.max()),
    )
