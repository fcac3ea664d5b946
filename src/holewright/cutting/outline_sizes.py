"""What different gauges would say of one outline of a wall.

An outline is a radius, or what it differs from the tool's, at evenly spaced angles. A pin, a
two-point and a three-point gauge measure unlike things in a lobed hole, and some lobes are
hidden from each.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.optimize import linprog

from holewright.errors import OutOfRangeError

Array = NDArray[np.float64]


@dataclass(frozen=True)
class OutlineSizes:
    """Sizes of one outline, as differences of diameter from the tool.

    Parameters
    ----------
    mean : float
        Diameter of the least-squares circle. [mm]
    pin : float
        Maximum inscribed circle, which a pin feels (GX of ISO 14405-1). [mm]
    circumscribed : float
        Minimum circumscribed circle (GN). [mm]
    two_point : tuple of float
        Least and greatest two-point size (LP). [mm]
    three_point : tuple of float
        Least and greatest reading of a gauge with three points at 120 degrees. [mm]
    roundness : float
        Greatest less least radius about the least-squares circle (RONt of ISO 12181). [mm]
    """

    mean: float
    pin: float
    circumscribed: float
    two_point: tuple[float, float]
    three_point: tuple[float, float]
    roundness: float


def outline_sizes(outline: ArrayLike) -> OutlineSizes:
    r"""Return what gauges would say of an outline.

    .. math:: D_{pin} = 2 \max_{x, y} \min_\theta \,[r - x\cos\theta - y\sin\theta]

    Parameters
    ----------
    outline : array_like
        Radius, or what it differs from the tool's, at evenly spaced angles; a multiple of 6 of
        them, 24 or more, so that points stand opposite and at 120 degrees. [mm]

    Returns
    -------
    OutlineSizes
        All sizes, on diameter.

    Raises
    ------
    OutOfRangeError
        If the number of points is another, or one isn't a finite number.

    Notes
    -----
    Circles are taken as limaçons, right while the centre moves little against the radius. A
    three-point reading is twice the mean of three radii. With n lobes of amplitude A, two-point
    size ranges over 4 A where n is even and not at all where it is odd; three-point over 4 A
    where n is a multiple of 3 and not at all otherwise; the pin feels the mean less 2 A.

    References
    ----------
    .. [1] ISO 14405-1:2016, ISO 12181-1:2011, for the names. From memory.
    """
    r = np.asarray(outline, dtype=np.float64)
    points = r.size
    if r.ndim != 1 or points < 24 or points % 6:
        raise OutOfRangeError("outline", r.shape, "one row of a multiple of 6 points, 24 or more")
    if not np.isfinite(r).all():
        raise OutOfRangeError("outline", "a point that isn't finite", "finite everywhere")
    angle = 2 * np.pi * np.arange(points) / points
    round_it = np.stack([np.ones(points), np.cos(angle), np.sin(angle)], axis=-1)
    centre = 2 * (r @ round_it) / points
    left = r - round_it[:, 1:] @ centre[1:]
    two = r[: points // 2] + r[points // 2 :]
    third = points // 3
    three = 2 / 3 * (r[:third] + r[third : 2 * third] + r[2 * third :])
    return OutlineSizes(
        mean=float(2 * r.mean()),
        pin=2 * _inscribed(r, round_it),
        circumscribed=-2 * _inscribed(-r, round_it),
        two_point=(float(two.min()), float(two.max())),
        three_point=(float(three.min()), float(three.max())),
        roundness=float(np.ptp(left)),
    )


def _inscribed(r: Array, round_it: Array) -> float:
    """Return the greatest radius that fits in r: a linear program in radius and centre."""
    scale = float(np.ptp(r)) or 1.0
    low = float(r.min())
    # Scaled, since the solver's tolerances are made for numbers around 1.
    found = linprog(
        [-1.0, 0.0, 0.0], A_ub=round_it, b_ub=(r - low) / scale, bounds=[(None, None)] * 3
    )
    return low + scale * float(-found.fun)


def harmonics(outline: ArrayLike, most: int = 30) -> Array:
    """Return the amplitude of each number of lobes around an outline.

    Parameters
    ----------
    outline : array_like
        Radius at evenly spaced angles; outlines may be stacked in front. [mm]
    most : int
        Largest number of lobes, at most half the points. [-]

    Returns
    -------
    ndarray
        Amplitudes of 0 to `most` lobes on the last axis; that of 0 is the mean radius, that of
        1 the shift of the centre. [mm]
    """
    r = np.asarray(outline, dtype=np.float64)
    spectrum = np.abs(np.fft.rfft(r, axis=-1))[..., : most + 1] / r.shape[-1]
    spectrum[..., 1:] *= 2
    return np.asarray(spectrum)
