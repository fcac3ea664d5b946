"""What one step of a factor did, in numbers and in words."""

from __future__ import annotations

import math
from dataclasses import dataclass

from holewright.units import Unit, format_small


@dataclass(frozen=True)
class PlateEffect:
    """What a step of one factor did.

    Parameters
    ----------
    quantity : str
        ``size`` [mm], ``finish`` [factor on Ra] or ``chips`` [log odds towards longer].
    name : str
        Factor, level, pair, or the order of cutting.
    step : str
        The step that it is said for.
    value, lower, upper : float
        Effect and its interval; bounds infinite where the holes set none.
    confidence : float
        Two-sided confidence of the interval. [-]
    sentence : str
        The same in words.
    none : float
        The value that means no effect: 0, for a factor 1.
    """

    quantity: str
    name: str
    step: str
    value: float
    lower: float
    upper: float
    confidence: float
    sentence: str
    none: float = 0.0

    @property
    def shown(self) -> bool:
        """Whether no effect lies outside the interval."""
        return not self.lower <= self.none <= self.upper


@dataclass(frozen=True)
class LevelMean:
    """Mean size at a level, all else at its average.

    Parameters
    ----------
    factor : str
        The factor.
    level : str
        The level in words.
    place : float
        Where it stands across: its number, or its place among names. [-]
    mean, lower, upper : float
        Mean size and its interval. [mm]
    holes : int
        Holes cut at it. [-]
    """

    factor: str
    level: str
    place: float
    mean: float
    lower: float
    upper: float
    holes: int


def size_sentence(
    who: str,
    value: float,
    lower: float,
    upper: float,
    confidence: float,
    unit: Unit,
) -> str:
    """Return an effect on size as a machinist would say it.

    Parameters
    ----------
    who : str
        What makes it, the beginning of the sentence.
    value, lower, upper : float
        Effect and interval. [mm]
    confidence : float
        Confidence of the interval. [-]
    unit : Unit
        Unit that it is said in.
    """
    span = f"{100 * confidence:.0f} %: {signed(lower, unit)} to {signed(upper, unit)}"
    if lower <= 0 <= upper:
        return f"{who.rstrip(',')}: no effect on size shown ({span})."
    way = "larger" if value > 0 else "smaller"
    return f"{who} makes the hole {format_small(abs(value), unit)} {way} ({span})."


def signed(value: float, unit: Unit) -> str:
    """Return a small length with its sign, or that it has no bound."""
    if math.isinf(value):
        return "no bound"
    return format_small(value, unit, signed=True)


def capital(text: str) -> str:
    """Return the text with its first letter large."""
    return text[0].upper() + text[1:]
