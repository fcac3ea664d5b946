"""What a plan is made for, in one piece."""

from __future__ import annotations

from dataclasses import dataclass, field

from holewright.callout.callout import Callout
from holewright.planning.economy import Economy
from holewright.shop.coolant import Coolant
from holewright.shop.machine import Machine
from holewright.shop.material import Material


@dataclass(frozen=True)
class Task:
    """One hole feature, its material, its machine, and how many of it.

    Parameters
    ----------
    callout, material, machine, coolant
        What to make, of what, on what, with what.
    holes : int
        Number of holes to make. [-]
    part_rise : float
        Part above 20 °C when it is cut. [K]
    lead_time_days : float, optional
        Days until an ordered reamer is here. [d]
    economy : Economy
        Costs.
    holes_per_part : int
        Holes that share the tool changes of a part. [-]
    """

    callout: Callout
    material: Material
    machine: Machine
    coolant: Coolant
    holes: int
    part_rise: float = 0.0
    lead_time_days: float | None = None
    economy: Economy = field(default_factory=Economy)
    holes_per_part: int = 1

    @property
    def change_cost(self) -> float:
        """What one tool change costs a hole. [currency]"""
        return self.machine.rate / 3600 * self.machine.tool_change_s / self.holes_per_part
