"""Values that know where they come from, and sizes that are always a distribution."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from scipy.special import ndtr, ndtri

from holewright.errors import OutOfRangeError


class Tag(StrEnum):
    """How a value came to be known. The order is that of trust."""

    MEASURED = "measured"
    STANDARD = "standard"
    COMPUTED = "computed"
    DEFAULT = "default"
    ASSUMED = "assumed"


class Shape(StrEnum):
    """Distribution of a term, as far as it matters: JCGM 101, clause 6.4."""

    NORMAL = "normal"
    RECTANGULAR = "rectangular"
    HALF_NORMAL = "half-normal"
    """One-sided, from 0 on: what can only add."""
    NEGATIVE_LOGNORMAL = "negative lognormal"
    """One-sided, below 0, known to a factor: wear."""


@dataclass(frozen=True)
class Known:
    """A value with its standard uncertainty, its tag and its source.

    Parameters
    ----------
    value : float
        The value, in the unit that the field holding it states.
    tag : Tag
        How it came to be known.
    source : str
        Who or what says so: a standard, a handbook, ``job file``, ``from memory``.
    u : float
        Standard uncertainty, in the unit of `value`; 0 where it doesn't matter.
    """

    value: float
    tag: Tag
    source: str = ""
    u: float = 0.0

    def __post_init__(self) -> None:
        if not self.u >= 0:
            raise OutOfRangeError("u", self.u, "0 or more")

    @property
    def is_measured(self) -> bool:
        """Whether somebody measured it."""
        return self.tag is Tag.MEASURED


@dataclass(frozen=True)
class Term:
    """One cause of a size: what it adds, and how surely.

    Parameters
    ----------
    name : str
        Short machine-readable name, e.g. ``runout``.
    mean : float
        What it adds to the size on the mean. [mm]
    sd : float
        Standard uncertainty of that, 0 or more. [mm]
    tag : Tag
        The weakest tag among its inputs.
    source : str
        Where formula and numbers come from.
    text : str
        The sentence that explains it.
    varies : float
        Of `sd`, the part that differs from hole to hole; the rest is the same for all
        holes of a set-up and shifts them together. [mm]
    shape : Shape
        Its distribution; linear propagation needs mean and sd alone, simulation needs this.
    """

    name: str
    mean: float
    sd: float
    tag: Tag
    source: str
    text: str = ""
    varies: float = 0.0
    shape: Shape = Shape.NORMAL

    def __post_init__(self) -> None:
        if not self.sd >= 0:
            raise OutOfRangeError(f"sd of {self.name}", self.sd, "0 or more")
        if not 0 <= self.varies <= self.sd:
            raise OutOfRangeError(
                f"varies of {self.name}", self.varies, f"from 0 to its sd of {self.sd}"
            )


@dataclass(frozen=True)
class SizeDistribution:
    """A predicted size: the sum of independent terms, taken as normal.

    The first two moments add exactly (JCGM 100, clause 5.1.2, with sensitivity 1). That the
    sum is normal is an approximation: good where no skewed term dominates.

    Parameters
    ----------
    terms : tuple of Term
        At least one.
    """

    terms: tuple[Term, ...]

    def __post_init__(self) -> None:
        if not self.terms:
            raise OutOfRangeError("terms", "none", "at least one")

    @property
    def mean(self) -> float:
        """Mean size. [mm]"""
        return math.fsum(t.mean for t in self.terms)

    @property
    def sd(self) -> float:
        """Standard uncertainty of one hole's size. [mm]"""
        return math.sqrt(math.fsum(t.sd**2 for t in self.terms))

    @property
    def sd_between_holes(self) -> float:
        """The part of `sd` that differs from hole to hole. [mm]"""
        return math.sqrt(math.fsum(t.varies**2 for t in self.terms))

    def below(self, limit: float) -> float:
        """Return the share of holes smaller than `limit`. [-]"""
        return float(ndtr((limit - self.mean) / self.sd)) if self.sd else float(self.mean < limit)

    def above(self, limit: float) -> float:
        """Return the share of holes larger than `limit`. [-]"""
        return float(ndtr((self.mean - limit) / self.sd)) if self.sd else float(self.mean > limit)

    def inside(self, lower: float, upper: float) -> float:
        """Return the share of holes from `lower` to `upper`. [-]"""
        return max(0.0, 1.0 - self.below(lower) - self.above(upper))

    def quantile(self, p: float) -> float:
        """Return the size that a share `p` of the holes stays below. [mm]"""
        if not 0 < p < 1:
            raise OutOfRangeError("p", p, "between 0 and 1")
        return self.mean + self.sd * float(ndtri(p))

    def interval(self, share: float = 0.95) -> tuple[float, float]:
        """Return the central interval that holds `share` of the sizes. [mm]"""
        tail = (1 - share) / 2
        return self.quantile(tail), self.quantile(1 - tail)
