"""Checks that an argument lies where the formulas of cutting hold, and names it if not."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from holewright.errors import OutOfRangeError

Array = NDArray[np.float64]


def positive(field: str, value: ArrayLike) -> Array:
    """Return `value` as an array of numbers, all more than 0."""
    array = np.asarray(value, dtype=np.float64)
    _refuse(field, array, ~(array > 0), "more than 0")
    return array


def not_negative(field: str, value: ArrayLike) -> Array:
    """Return `value` as an array of numbers, all 0 or more."""
    array = np.asarray(value, dtype=np.float64)
    _refuse(field, array, ~(array >= 0), "0 or more")
    return array


def between(field: str, value: ArrayLike, low: float, high: float) -> Array:
    """Return `value` as an array of numbers, all from `low` to `high`."""
    array = np.asarray(value, dtype=np.float64)
    _refuse(field, array, ~((array >= low) & (array <= high)), f"from {low:g} to {high:g}")
    return array


def lead_angle(value: ArrayLike) -> Array:
    """Return the lead angle κ_r in radians; it must lie from 1 to 90 degrees. [rad]"""
    return np.radians(between("KAPR", value, 1.0, 90.0))


def half_point_angle(value: ArrayLike) -> Array:
    """Return half the point angle in radians; SIG must lie from 60 to 180 degrees. [rad]"""
    return np.radians(between("SIG", value, 60.0, 180.0)) / 2


def pre_drilled(DC: ArrayLike, d0: ArrayLike) -> tuple[Array, Array]:
    """Return tool and pre-drilled diameter as arrays; 0 <= d0 < DC must hold. [mm]"""
    outer, inner = np.broadcast_arrays(positive("DC", DC), not_negative("d0", d0))
    _refuse("d0", inner, ~(inner < outer), "less than DC")
    return outer, inner


def _refuse(field: str, array: Array, bad: NDArray[np.bool_], accepted: str) -> None:
    if bad.any():
        raise OutOfRangeError(field, float(array[bad].flat[0]), accepted)
