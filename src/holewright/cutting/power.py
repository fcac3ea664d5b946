"""Power of the cut, and what the spindle has to give."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from holewright.cutting.domain import Array, not_negative, positive


def cutting_power(torque: ArrayLike, n: ArrayLike) -> Array:
    r"""Return the power of a torque at a speed.

    .. math:: P = 2 \pi n M / 60\,000

    Parameters
    ----------
    torque : array_like
        Cutting torque, 0 or more. [N·mm]
    n : array_like
        Spindle speed, 0 or more. [1/min]

    Returns
    -------
    ndarray
        Power at the edge, without the losses of the drive. [W]

    Examples
    --------
    >>> round(float(cutting_power(1479.0, 4775.0)), -1)
    740.0
    """
    return 2 * np.pi * not_negative("n", n) * not_negative("torque", torque) / 60000


def spindle_torque_available(power: ArrayLike, torque: ArrayLike | None, n: ArrayLike) -> Array:
    """Return the torque that a spindle can give at a speed: the lesser of cap and power.

    Parameters
    ----------
    power : array_like
        Power at the spindle, more than 0. [W]
    torque : array_like, optional
        Greatest torque of the spindle; None where power alone decides. [N·mm]
    n : array_like
        Spindle speed, more than 0. [1/min]

    Returns
    -------
    ndarray
        Torque available. [N·mm]

    Notes
    -----
    A drive with a flat torque up to its base speed and a flat power above it. The rating for
    steady duty should be entered, not that for a few minutes.
    """
    by_power = 60000 * positive("power", power) / (2 * np.pi * positive("n", n))
    return by_power if torque is None else np.minimum(by_power, positive("torque", torque))


def power_from_energy(specific_energy: ArrayLike, removal_rate: ArrayLike) -> Array:
    """Return the cutting power from the energy that a volume of metal takes.

    Parameters
    ----------
    specific_energy : array_like
        Specific cutting energy u, more than 0; the same number as k_c in N/mm², divided by
        1000. [W·s/mm³]
    removal_rate : array_like
        Metal removed, 0 or more. [mm³/min]

    Returns
    -------
    ndarray
        Power at the edge. [W]
    """
    rate = not_negative("removal_rate", removal_rate)
    return positive("specific_energy", specific_energy) * rate / 60
