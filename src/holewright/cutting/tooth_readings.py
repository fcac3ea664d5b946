"""What an indicator says of a reamer: how far it runs out, and which edges stand high.

The stylus rests behind the lead, on one edge after the other, while the spindle is turned by
hand. Such readings mix two things that act unlike: an eccentricity, which a better seat in the
holder or a slim shank takes away, and edges of unequal height, which stay.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from holewright.cutting.domain import Array, not_negative
from holewright.cutting.teeth import tooth_angles
from holewright.errors import OutOfRangeError


@dataclass(frozen=True)
class ToothReadings:
    """Readings taken apart.

    Parameters
    ----------
    mean : float
        Mean of the readings: where the dial was set. [mm]
    eccentricity : float
        Eccentricity of the edges as a whole; half of their runout as one body. [mm]
    high_side : float
        Angle of its high side, from the first edge, 0 to under 2π. [rad]
    tooth_error : tuple of float
        What is left to each edge, out positive; their sum is 0. [mm]
    u_eccentricity : float
        Standard uncertainty of the eccentricity from that of a reading. [mm]
    """

    mean: float
    eccentricity: float
    high_side: float
    tooth_error: tuple[float, ...]
    u_eccentricity: float

    @property
    def tir(self) -> float:
        """Runout of the edges as one body: twice the eccentricity. [mm]"""
        return 2 * self.eccentricity

    @property
    def uneven(self) -> float:
        """Highest edge less lowest, eccentricity apart. [mm]"""
        return max(self.tooth_error) - min(self.tooth_error)


def separate_readings(
    readings: ArrayLike, *, spacing: ArrayLike | None = None, u: float = 0.0
) -> ToothReadings:
    r"""Return eccentricity and edge errors by least squares, from one reading an edge.

    .. math:: r_i = c + e \cos(\psi_i - \psi_e) + \delta_i, \quad \sum \delta_i^2 \to \min

    Parameters
    ----------
    readings : array_like
        Indicator readings, out positive, from any zero; one an edge in order of rotation,
        3 or more. [mm]
    spacing : array_like, optional
        Angles of the edges, rising, from 0 to under 2π; evenly spaced if left out. [rad]
    u : float
        Standard uncertainty of one reading, 0 or more. [mm]

    Returns
    -------
    ToothReadings
        Mean, eccentricity and edge errors, which add up to the readings.

    Raises
    ------
    OutOfRangeError
        If there are fewer than 3 readings, or one isn't a finite number.

    Notes
    -----
    A pattern of edge errors that itself goes once around like a cosine can't be told from
    eccentricity: it is counted as eccentricity, which acts the same. With 3 edges every pattern
    is of that kind, and the edge errors come out as 0. :func:`separate_by_turning` tells
    whether the holder or the tool is to blame.

    References
    ----------
    .. [1] Least squares; derived here.

    Examples
    --------
    Four edges, 6 µm of eccentricity to the first:

    >>> found = separate_readings([0.012, 0.006, 0.0, 0.006])
    >>> round(found.eccentricity, 4), round(found.uneven, 6)
    (0.006, 0.0)
    """
    r, psi = _checked(readings, spacing)
    not_negative("u", u)
    design = np.stack([np.ones_like(psi), np.cos(psi), np.sin(psi)], axis=-1)
    (mean, x, y), *_ = np.linalg.lstsq(design, r, rcond=None)
    error = r - design @ [mean, x, y]
    e = float(np.hypot(x, y))
    covariance = np.linalg.inv(design.T @ design)[1:, 1:]
    along = np.array([x, y]) / e if e > 0 else np.array([1.0, 0.0])
    return ToothReadings(
        mean=float(mean),
        eccentricity=e,
        high_side=_angle(x, y),
        tooth_error=tuple(float(one) for one in error),
        u_eccentricity=u * float(np.sqrt(along @ covariance @ along)),
    )


@dataclass(frozen=True)
class TurnedReadings:
    """What holder and spindle do, and what the tool itself does.

    Parameters
    ----------
    holder_eccentricity : float
        Eccentricity of the seat: it stays when the tool is turned in it. [mm]
    holder_high_side : float
        Angle of its high side at the first readings, from the first edge. [rad]
    tool : ToothReadings
        The tool about its own shank: bent or badly ground, whatever the holder.
    """

    holder_eccentricity: float
    holder_high_side: float
    tool: ToothReadings


def separate_by_turning(
    first: ArrayLike, second: ArrayLike, turned: float, *, spacing: ArrayLike | None = None
) -> TurnedReadings:
    r"""Return what of the runout is the holder's and what the tool's, from two sets of readings.

    .. math::
        r_i = c_1 + a_i + e_h \cos(\psi_i - \psi_h), \quad
        r_i' = c_2 + a_i + e_h \cos(\psi_i + \alpha - \psi_h)

    Parameters
    ----------
    first, second : array_like
        Readings before and after the tool was turned in its holder, one an edge, beginning
        with the same edge; 3 or more. [mm]
    turned : float
        Angle α by which the tool was turned in the holder, in the sense in which the edges
        are counted; π is best, 0 tells nothing. [rad]
    spacing : array_like, optional
        Angles of the edges, rising, from 0 to under 2π; evenly spaced if left out. [rad]

    Returns
    -------
    TurnedReadings
        Part of the holder with its spindle, and part of the tool.

    Raises
    ------
    OutOfRangeError
        If the tool was turned by less than 0.2 rad, or the readings don't match.

    References
    ----------
    .. [1] Reversal, as in roundness measurement; derived here.
    """
    r1, psi = _checked(first, spacing)
    r2, _ = _checked(second, spacing)
    if r1.size != r2.size:
        raise OutOfRangeError("second", r2.size, f"{r1.size} readings, as many as the first")
    if not abs((turned + np.pi) % (2 * np.pi) - np.pi) >= 0.2:
        raise OutOfRangeError("turned", turned, "0.2 rad or more either way, best half a turn")
    # The tool's own pattern is the same in both sets: their difference is the holder's alone.
    design = np.stack(
        [
            np.ones_like(psi),
            np.cos(psi + turned) - np.cos(psi),
            np.sin(psi + turned) - np.sin(psi),
        ],
        axis=-1,
    )
    (_, x, y), *_ = np.linalg.lstsq(design, r2 - r1, rcond=None)
    of_holder = x * np.cos(psi) + y * np.sin(psi)
    return TurnedReadings(
        float(np.hypot(x, y)), _angle(x, y), separate_readings(r1 - of_holder, spacing=psi)
    )


def _angle(x: float, y: float) -> float:
    return float(np.arctan2(y, x) % (2 * np.pi))


def _checked(readings: ArrayLike, spacing: ArrayLike | None) -> tuple[Array, Array]:
    r = np.asarray(readings, dtype=np.float64)
    if r.ndim != 1 or r.size < 3:
        raise OutOfRangeError("readings", r.size, "one an edge, of 3 edges or more")
    if not np.isfinite(r).all():
        raise OutOfRangeError("readings", r[~np.isfinite(r)][0], "finite")
    return r, tooth_angles(r.size, spacing)
