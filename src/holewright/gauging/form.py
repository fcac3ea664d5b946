"""What pins and bore gauges see of a hole that isn't a perfect cylinder.

A pin is the largest cylinder that fits over all its length; a two-point gauge feels one
diameter; a three-point gauge the circle through its three jaws. On a lobed, tapered,
bell-mouthed or bent hole these are different sizes of the same hole, all of them right.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from holewright.errors import InputError, OutOfRangeError

Floats = NDArray[np.float64]

ANGLES = 2520
"""Points around a section, so that the valleys of 2 to 10 lobes and jaws at 180° and 120° all
fall on points. [-]"""


@dataclass(frozen=True)
class SizesSeen:
    """The sizes of one hole by who measures it.

    Parameters
    ----------
    two_point : tuple of float
        Least and greatest diameter between opposite points (ISO 14405-1: LP). [mm]
    three_point : tuple of float
        Least and greatest circle through three jaws 120° apart. [mm]
    pin : float
        Largest straight cylinder that fits over the full length (ISO 14405-1: GX). [mm]
    mean : float
        Mean diameter. [mm]
    """

    two_point: tuple[float, float]
    three_point: tuple[float, float]
    pin: float
    mean: float


def hole_form(
    diameter: float,
    depths: ArrayLike = (0.0,),
    *,
    lobes: Mapping[int, float] | None = None,
    taper: float = 0.0,
    bell: float = 0.0,
    bell_depth: float = 0.0,
    bend: float = 0.0,
    angles: int = ANGLES,
) -> Floats:
    r"""Return the radius of a hole around its circumference at several depths.

    .. math:: r(\theta, z) = \tfrac{1}{2}\left[D + t\,\tfrac{z}{l} + b\,(1 - z/z_b)_+\right]
              + \sum_n a_n \cos n\theta + 4 s\,\tfrac{z}{l}\left(1 - \tfrac{z}{l}\right)\cos\theta

    Parameters
    ----------
    diameter : float
        Mean diameter D at the entry, without lobes and bell mouth, more than 0. [mm]
    depths : array_like
        Depths z of the sections, 0 or more, the last one l. [mm]
    lobes : mapping, optional
        Number of lobes n -> amplitude a_n, radially, half of peak to valley. [mm]
    taper : float
        Growth t of the diameter from entry to the last depth, negative where it narrows. [mm]
    bell, bell_depth : float
        Growth b of the diameter at the entry and the depth z_b at which it has run out. [mm]
    bend : float
        How far the axis stands out s at half depth. [mm]
    angles : int
        Points around, a multiple of 6. [-]

    Returns
    -------
    ndarray
        Radii, shape (depths, angles). [mm]

    Raises
    ------
    OutOfRangeError
        If the diameter, a depth or the number of angles can't be.

    Notes
    -----
    Valid for errors of form that are small against the diameter: a shift of the axis appears
    as one cosine around.
    """
    z = np.atleast_1d(np.asarray(depths, dtype=float))
    if not diameter > 0:
        raise OutOfRangeError("diameter", diameter, "more than 0")
    if not (z >= 0).all():
        raise OutOfRangeError("depth", float(z.min()), "0 or more")
    if angles < 12 or angles % 6:
        raise OutOfRangeError("angles", angles, "12 or more and a multiple of 6")
    theta = 2 * np.pi * np.arange(angles) / angles
    share = z / z.max() if z.max() > 0 else z
    mouth = np.maximum(0.0, 1 - z / bell_depth) if bell_depth > 0 else np.zeros(z.size)
    radius = (diameter + taper * share + bell * mouth)[:, None] / 2 + np.zeros(angles)
    for n, amplitude in (lobes or {}).items():
        radius = radius + amplitude * np.cos(n * theta)
    shaped: Floats = radius + (4 * bend * share * (1 - share))[:, None] * np.cos(theta)
    return shaped


def sizes_seen(radius: ArrayLike, depths: ArrayLike = (0.0,)) -> SizesSeen:
    """Return what each gauge sees of a hole of known form.

    Parameters
    ----------
    radius : array_like
        Radii at evenly spaced angles, shape (angles,) or (depths, angles); the number of
        angles a multiple of 6. [mm]
    depths : array_like
        Depths of the sections. [mm]

    Returns
    -------
    SizesSeen
        Bore gauges over all sections and directions; the pin over the full length.

    Raises
    ------
    InputError
        If the numbers of angles or depths don't fit.

    Notes
    -----
    The pin may lie and tilt as it likes; finding its best place is a linear programme, exact
    to the square of the error of form over the diameter. Contact is by points: a blade or a
    ball of the gauge bridges nothing.

    Examples
    --------
    Five lobes of half a tenth: on two points and on three the hole is .2500 everywhere, and
    a .2499 pin is all that goes.

    >>> seen = sizes_seen(hole_form(0.25, lobes={5: 0.00005}))
    >>> [round(x, 5) for x in (*seen.two_point, *seen.three_point, seen.pin)]
    [0.25, 0.25, 0.25, 0.25, 0.2499]
    """
    r = np.atleast_2d(np.asarray(radius, dtype=float))
    z = np.atleast_1d(np.asarray(depths, dtype=float))
    if r.shape[1] % 6:
        raise InputError("radius", f"{r.shape[1]} angles", "must have a multiple of 6")
    if z.size != r.shape[0]:
        raise InputError("depths", f"{z.size} of {r.shape[0]}", "must be one for each section")
    half = r.shape[1] // 2
    two = r[:, :half] + r[:, half:]
    three = _three_jaws(r)
    return SizesSeen(
        two_point=(float(two.min()), float(two.max())),
        three_point=(float(three.min()), float(three.max())),
        pin=_largest_cylinder(r, z),
        mean=float(2 * r.mean()),
    )


def _three_jaws(r: Floats) -> Floats:
    """Return the diameter of the circle through three points 120° apart, for each direction."""
    third = r.shape[1] // 3
    a, b, c = r[:, :third], r[:, third : 2 * third], r[:, 2 * third :]
    # Sides of the triangle of the three points, and its area; the angle between is 120°.
    sides = [np.sqrt(p * p + q * q + p * q) for p, q in ((a, b), (b, c), (c, a))]
    area = np.sqrt(3) / 4 * (a * b + b * c + c * a)
    diameter: Floats = sides[0] * sides[1] * sides[2] / (2 * area)
    return diameter


def _largest_cylinder(r: Floats, z: Floats) -> float:
    """Return the diameter of the largest straight cylinder inside all sections."""
    # Imported here: it costs a fifth of a second, and nothing else needs it at start-up.
    from scipy.optimize import linprog

    theta = 2 * np.pi * np.arange(r.shape[1]) / r.shape[1]
    along = np.repeat(z / (z.max() or 1.0), r.shape[1])
    cos, sin = np.tile(np.cos(theta), z.size), np.tile(np.sin(theta), z.size)
    # Clearance is counted in the unit of the form error, about the mean radius.
    mean = float(r.mean())
    unit = max(float(np.abs(r - mean).max()), 1e-12)
    columns = [np.ones(r.size), cos, sin]
    if z.size > 1:
        columns += [cos * along, sin * along]
    rows = np.column_stack(columns)
    found = linprog(
        [-1.0] + [0.0] * (rows.shape[1] - 1),
        A_ub=rows,
        b_ub=((r - mean) / unit).ravel(),
        bounds=(None, None),
        method="highs",
    )
    return 2 * (mean + unit * float(found.x[0]))
