"""Speeds, feeds and times of a rotating tool (ISO 3002-1 terms)."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from holewright.cutting.domain import Array, half_point_angle, not_negative, positive, pre_drilled


def spindle_speed(v_c: ArrayLike, DC: ArrayLike) -> Array:
    r"""Return the spindle speed that gives a cutting speed at the outer diameter.

    .. math:: n = 1000 v_c / (\pi D)

    Parameters
    ----------
    v_c : array_like
        Cutting speed, 0 or more. [m/min]
    DC : array_like
        Cutting diameter, more than 0. [mm]

    Returns
    -------
    ndarray
        Spindle speed. [1/min]

    Raises
    ------
    OutOfRangeError
        If a speed is negative or a diameter is not positive.

    References
    ----------
    .. [1] ISO 3002-1, basic quantities in cutting; the relation is elementary.

    Examples
    --------
    >>> round(float(spindle_speed(150.0, 10.0)))
    4775
    """
    return 1000 * not_negative("v_c", v_c) / (np.pi * positive("DC", DC))


def cutting_speed(n: ArrayLike, DC: ArrayLike) -> Array:
    r"""Return the cutting speed at the outer diameter, the inverse of :func:`spindle_speed`.

    Parameters
    ----------
    n : array_like
        Spindle speed, 0 or more. [1/min]
    DC : array_like
        Cutting diameter, more than 0. [mm]

    Returns
    -------
    ndarray
        Cutting speed. [m/min]
    """
    return np.pi * positive("DC", DC) * not_negative("n", n) / 1000


def feed_speed(n: ArrayLike, f: ArrayLike) -> Array:
    """Return the feed speed v_f = n f.

    Parameters
    ----------
    n : array_like
        Spindle speed, 0 or more. [1/min]
    f : array_like
        Feed per revolution, 0 or more. [mm/rev]

    Returns
    -------
    ndarray
        Feed speed. [mm/min]
    """
    return not_negative("n", n) * not_negative("f", f)


def time_in_cut(length: ArrayLike, v_f: ArrayLike) -> Array:
    """Return how long a tool takes over a feed path.

    Parameters
    ----------
    length : array_like
        Feed path with approach, point and overrun, 0 or more. [mm]
    v_f : array_like
        Feed speed, more than 0. [mm/min]

    Returns
    -------
    ndarray
        Time. [s]

    Examples
    --------
    Drill 10, 60 deep with its point, 30 m/min, 0.25 mm/rev:

    >>> v_f = feed_speed(spindle_speed(30.0, 10.0), 0.25)
    >>> round(float(time_in_cut(60.0 + point_length(10.0, 118.0), v_f)) / 60, 3)
    0.264
    """
    return 60 * not_negative("length", length) / positive("v_f", v_f)


def point_length(DC: ArrayLike, SIG: ArrayLike) -> Array:
    r"""Return the length of a drill's point.

    .. math:: l = (D / 2) / \tan(\sigma / 2)

    Parameters
    ----------
    DC : array_like
        Cutting diameter, more than 0. [mm]
    SIG : array_like
        Point angle, 60 to 180; 180 is flat. [deg]

    Returns
    -------
    ndarray
        Length of the cone from its tip to the full diameter. [mm]

    Notes
    -----
    The chisel edge is taken as a point: the true tip stands a few hundredths of DC lower.
    """
    return positive("DC", DC) / 2 / np.tan(half_point_angle(SIG))


def removal_rate(DC: ArrayLike, d0: ArrayLike, v_f: ArrayLike) -> Array:
    r"""Return the metal removed in a minute between two diameters.

    .. math:: Q = (\pi / 4) (D^2 - d_0^2) v_f

    Parameters
    ----------
    DC : array_like
        Cutting diameter, more than 0. [mm]
    d0 : array_like
        Diameter of the pre-drilled hole, 0 for solid metal. [mm]
    v_f : array_like
        Feed speed, 0 or more. [mm/min]

    Returns
    -------
    ndarray
        Volume of solid metal in unit time. [mm³/min]
    """
    outer, inner = pre_drilled(DC, d0)
    return np.pi / 4 * (outer**2 - inner**2) * not_negative("v_f", v_f)
