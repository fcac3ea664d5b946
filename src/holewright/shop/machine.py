"""Machines."""

from __future__ import annotations

from dataclasses import dataclass

from holewright.shop.coolant import Coolant
from holewright.uncertainty import Known


@dataclass(frozen=True)
class Machine:
    """A machine.

    Parameters
    ----------
    id : str
        Name in the tool room.
    n_min, n_max : float
        Spindle speeds. [1/min]
    power : float
        Power at the spindle. [W]
    torque : float, optional
        Greatest spindle torque; None: power decides at every speed. [N·mm]
    thrust : float
        Greatest feed force. [N]
    rapid : float
        Rapid traverse. [mm/min]
    feed_max : float
        Greatest feed speed. [mm/min]
    tool_change_s : float
        Chip to chip. [s]
    rate : float
        Cost of an hour, machine and people, in the shop's currency.
    spindle_tir : Known
        Runout of the spindle itself. [mm]
    coolants : tuple of Coolant
        What it can give, best first.
    can_bore : bool
        Whether a boring head can be set on it.
    acceleration : float
        Of an axis. [mm/s²]
    jerk : float
        How fast the acceleration itself may change. [mm/s³]
    spindle_run_up_s : float
        From standing to `n_max`, or back. [s]
    rapid_overlap : float
        Share of its braking in which the next rapid may already start; 0 for an exact stop
        after each. [-]

    Notes
    -----
    The last four only decide how long a part takes. Their defaults are common practice for a
    small vertical machining centre, no source: 0.3 g, 50 m/s³, 2 s, exact stops.
    """

    id: str
    n_min: float
    n_max: float
    power: float
    thrust: float
    rapid: float
    feed_max: float
    tool_change_s: float
    rate: float
    spindle_tir: Known
    torque: float | None = None
    coolants: tuple[Coolant, ...] = (Coolant(),)
    can_bore: bool = False
    acceleration: float = 3000.0
    jerk: float = 50_000.0
    spindle_run_up_s: float = 2.0
    rapid_overlap: float = 0.0
