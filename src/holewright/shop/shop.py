"""The Shop document: everything in the tool room."""

from __future__ import annotations

from dataclasses import dataclass

from holewright.shop.drill import Drill
from holewright.shop.holder import Holder
from holewright.shop.machine import Machine
from holewright.shop.pin import BoreGauge, Pin
from holewright.shop.reamer import Reamer


@dataclass(frozen=True)
class Shop:
    """What stands in the shop.

    Parameters
    ----------
    name : str
        Name of the shop or of the list.
    machines, holders, drills, reamers, pins, bore_gauges : tuple
        Each with a unique `id` within its kind.
    gauge_alpha : float
        Thermal expansion of pins and masters. [1/K]
    notes : tuple of str
        What the list left out and what was taken instead, in words.
    """

    name: str
    machines: tuple[Machine, ...]
    holders: tuple[Holder, ...]
    drills: tuple[Drill, ...]
    reamers: tuple[Reamer, ...]
    pins: tuple[Pin, ...]
    bore_gauges: tuple[BoreGauge, ...] = ()
    gauge_alpha: float = 11.5e-6
    notes: tuple[str, ...] = ()
