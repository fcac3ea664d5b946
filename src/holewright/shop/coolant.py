"""Coolants."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Fluid(StrEnum):
    """What is sprayed; it moves the reamed size."""

    SOLUBLE = "soluble"
    NEAT_OIL = "neat oil"
    MQL = "MQL"
    DRY = "dry"


@dataclass(frozen=True)
class Coolant:
    """The coolant as the machine gives it.

    Parameters
    ----------
    fluid : Fluid
        Kind of fluid.
    through : bool
        Whether it can come through the tool.
    pressure : float
        Pressure at the spindle. [bar]
    concentration : float, optional
        Share of concentrate in soluble oil. [%]
    """

    fluid: Fluid = Fluid.SOLUBLE
    through: bool = False
    pressure: float = 0.0
    concentration: float | None = None
