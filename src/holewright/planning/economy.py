"""What time, tools and scrap cost. The table [costs] of a job file sets every number here."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Economy:
    """Costs that no tool list holds. All are assumed until the shop says otherwise.

    Parameters
    ----------
    part_value : float
        What a part is worth when its hole is reamed; lost if the hole is bad. [currency]
    gauge_s : float
        Time to check one hole. [s]
    gauged_share : float
        Share of holes that are checked. [-]
    move_s : float
        Time to move to a hole, approach and clear it, for each operation. [s] 1 s is what the
        motions of a program come to on a machining centre.
    bore_setup_s : float
        Time to set a boring head to size on a trial hole. [s]
    bore_check_s : float
        Time to measure a bored hole and correct the head, each hole. [s]
    purchase : float
        Cost of ordering a tool, beside its price. [currency]
    """

    part_value: float = 50.0
    gauge_s: float = 20.0
    gauged_share: float = 0.1
    move_s: float = 1.0
    bore_setup_s: float = 900.0
    bore_check_s: float = 45.0
    purchase: float = 15.0
