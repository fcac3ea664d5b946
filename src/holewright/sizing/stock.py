"""Stock: what the drill leaves for the reamer. On diameter, unless "per side" is said."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from holewright.errors import OutOfRangeError
from holewright.reference.tables import cite, table
from holewright.shop.reamer import ReamerKind

LIGHT_METAL_FACTOR = 1.5
"""Light metals take 50 % more stock (metric trade-school theory). [-]"""


@dataclass(frozen=True)
class StockRange:
    """Stock on diameter that published practice gives, the widest of its sources.

    Parameters
    ----------
    least, most : float
        Smallest and largest of all sources. [mm]
    usual : float
        Middle of what most sources agree on. [mm]
    sources : tuple of str
        Each source with its own range, since they disagree.
    """

    least: float
    most: float
    usual: float
    sources: tuple[str, ...]


def stock_range(kind: ReamerKind, diameter: float, light_metal: bool) -> StockRange:
    """Return the stock on diameter, reamer less drill, that published practice gives.

    Parameters
    ----------
    kind : ReamerKind
        Reamer by tool material.
    diameter : float
        Reamed diameter, up to 500. [mm]
    light_metal : bool
        Aluminium or magnesium: up to 50 % more.

    Returns
    -------
    StockRange
        Range, usual value, and what each source says. [mm]

    Raises
    ------
    OutOfRangeError
        If no source covers the diameter.
    """
    rows = [
        row
        for row in table("stock", ("kind", "over_mm", "to_mm", "lo_mm", "hi_mm"))
        if row["kind"] in ("any", str(kind))
        and float(row["over_mm"]) < diameter <= float(row["to_mm"])
    ]
    if not rows:
        raise OutOfRangeError("diameter", diameter, "over 0 and up to 500 mm")
    factor = LIGHT_METAL_FACTOR if light_metal else 1.0
    low = np.array([float(row["lo_mm"]) for row in rows])
    high = np.array([float(row["hi_mm"]) for row in rows])
    return StockRange(
        least=float(low.min()),
        most=float(high.max()) * factor,
        usual=float(np.median((low + high) / 2)),
        sources=tuple(
            f"{row['lo_mm']} to {row['hi_mm']} mm ({cite(row['source'])})" for row in rows
        ),
    )


def least_per_side(
    reamer: ArrayLike, drilled_most: ArrayLike, axis_error: ArrayLike, follow: ArrayLike
) -> NDArray[np.float64]:
    """Return the stock on the thinner side of the hole, at worst.

    Parameters
    ----------
    reamer : array_like
        Reamer diameter. [mm]
    drilled_most : array_like
        Largest drilled hole to reckon with. [mm]
    axis_error : array_like
        Distance of the drilled hole's axis from the spindle's. [mm]
    follow : array_like
        How far the reamer follows the hole, from 0 to 1, from
        :func:`holewright.cutting.process_stiffness.follow_share`. [-]

    Returns
    -------
    ndarray
        Stock per side; negative where the wall would not clean up. [mm]
    """
    side = (np.asarray(reamer) - np.asarray(drilled_most)) / 2
    thinner: NDArray[np.float64] = side - np.asarray(axis_error) * (1 - np.asarray(follow))
    return thinner


def least_to_clean_up(
    rz: ArrayLike, roundness: ArrayLike, edge_radius: ArrayLike
) -> NDArray[np.float64]:
    r"""Return the stock per side below which drill marks stay, or the edge only rubs.

    .. math:: a_{min} = Rz + \tfrac12 \Delta_{round} + 2 r_n

    Parameters
    ----------
    rz, roundness : array_like
        Roughness and roundness error of the drilled wall. [mm]
    edge_radius : array_like
        Cutting edge radius of the reamer. [mm]

    Returns
    -------
    ndarray
        Stock per side. [mm]

    Notes
    -----
    A model derived here, not a published rule. The axis error is taken off the stock in
    :func:`least_per_side` instead of being added here.
    """
    least: NDArray[np.float64] = (
        np.asarray(rz) + np.asarray(roundness) / 2 + 2 * np.asarray(edge_radius)
    )
    return least
