"""The Forecast document: the size that will come."""

from __future__ import annotations

from dataclasses import dataclass

from holewright.callout.callout import Limits
from holewright.uncertainty import SizeDistribution, Term


@dataclass(frozen=True)
class Forecast:
    """The size that will come, at 20 °C.

    Parameters
    ----------
    size : SizeDistribution
        The distribution with its terms.
    limits : Limits
        Limits it is held against. [mm]
    """

    size: SizeDistribution
    limits: Limits

    @property
    def mean(self) -> float:
        """Mean size. [mm]"""
        return self.size.mean

    @property
    def sd(self) -> float:
        """Standard uncertainty of one hole's size. [mm]"""
        return self.size.sd

    @property
    def below(self) -> float:
        """Share of holes below the lower limit. [-]"""
        return self.size.below(self.limits.lower)

    @property
    def above(self) -> float:
        """Share of holes above the upper limit. [-]"""
        return self.size.above(self.limits.upper)

    @property
    def inside(self) -> float:
        """Share of holes inside the limits. [-]"""
        return self.size.inside(self.limits.lower, self.limits.upper)

    @property
    def sources(self) -> tuple[Term, ...]:
        """What the size is made of, the largest spread first."""
        return tuple(sorted(self.size.terms, key=lambda t: -t.sd))
