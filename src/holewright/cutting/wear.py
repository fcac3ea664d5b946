"""Tool life by Taylor's law, the speeds that cost least and make most, and a reamer's wear.

Taylor's law holds for drills whose life ends by flank wear. A reamer's ends by size or finish:
there the shop's own wear per hole is asked, and no law is promised.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from holewright.cutting.domain import Array, between, not_negative, positive
from holewright.errors import InputError
from holewright.reference.tables import cite, table


@dataclass(frozen=True)
class Taylor:
    """Constants of Taylor's law v T^n = C with T in minutes.

    Parameters
    ----------
    n : float
        Exponent. [-]
    C : float
        Cutting speed for a life of one minute. [m/min]
    source : str
        Where they come from, in words.
    """

    n: float
    C: float
    source: str


def taylor_constants(tool_material: str, *, steel: bool = True) -> Taylor:
    """Return textbook constants, an order of magnitude for teaching and not for a quotation.

    Parameters
    ----------
    tool_material : str
        ``HSS``, ``cemented carbide``, ``coated carbide`` and so on, as in the table.
    steel : bool
        Whether the work is steel; otherwise softer metal.

    Returns
    -------
    Taylor
        Exponent and constant.

    Raises
    ------
    InputError
        If the table has no such row, or no constant for that work.
    """
    column = "c_steel" if steel else "c_other"
    rows = [row for row in table("taylor", ("tool_material", "n", column)) if row[column]]
    for row in rows:
        if row["tool_material"] == tool_material:
            return Taylor(float(row["n"]), float(row[column]), cite(row["source"]))
    known = ", ".join(row["tool_material"] for row in rows)
    raise InputError("tool_material", tool_material, f"must be one of {known}")


def tool_life(v_c: ArrayLike, n: ArrayLike, C: ArrayLike) -> Array:
    r"""Return the tool life at a speed.

    .. math:: T = (C / v_c)^{1/n}

    Parameters
    ----------
    v_c : array_like
        Cutting speed, more than 0. [m/min]
    n : array_like
        Exponent, more than 0 and less than 1. [-]
    C : array_like
        Cutting speed for a life of one minute. [m/min]

    Returns
    -------
    ndarray
        Time in cut until the edge is worn. [min]
    """
    return (positive("C", C) / positive("v_c", v_c)) ** (1 / between("n", n, 0.01, 0.99))


def speed_for_life(life: ArrayLike, n: ArrayLike, C: ArrayLike) -> Array:
    r"""Return the speed at which a tool lasts so long, the inverse of :func:`tool_life`.

    .. math:: v_c = C / T^n

    Parameters
    ----------
    life : array_like
        Tool life, more than 0. [min]
    n : array_like
        Exponent, more than 0 and less than 1. [-]
    C : array_like
        Cutting speed for a life of one minute. [m/min]

    Returns
    -------
    ndarray
        Cutting speed. [m/min]
    """
    return positive("C", C) / positive("life", life) ** between("n", n, 0.01, 0.99)


def economic_life(
    n: ArrayLike, change: ArrayLike, edge_cost: ArrayLike = 0.0, rate: ArrayLike = 1.0
) -> Array:
    r"""Return the tool life at the least cost of a piece; at no edge cost, that of most pieces.

    .. math:: T = (1/n - 1)(t_c + C_t / C_m)

    Parameters
    ----------
    n : array_like
        Exponent, more than 0 and less than 1. [-]
    change : array_like
        Time to change the tool. [min]
    edge_cost : array_like
        Cost of an edge; 0 for the life at the greatest rate of production. [currency]
    rate : array_like
        Cost of a minute of machine and people, more than 0. [currency/min]

    Returns
    -------
    ndarray
        Tool life. [min]

    References
    ----------
    .. [1] P.N. Rao, "Manufacturing Technology: Metal Cutting and Machine Tools", eqs.
       2.109-2.110; H. El-Hofy, "Fundamentals of Machining Processes", ch. 4.

    Examples
    --------
    >>> life = economic_life(0.25, 2.0)
    >>> round(float(speed_for_life(life, 0.25, 75.0)), 2)
    47.92
    """
    minutes = not_negative("change", change)
    minutes = minutes + not_negative("edge_cost", edge_cost) / positive("rate", rate)
    return (1 / between("n", n, 0.01, 0.99) - 1) * minutes


def piece_time(
    cut: ArrayLike,
    life: ArrayLike,
    *,
    handling: ArrayLike,
    change: ArrayLike,
    whole_pieces: bool = False,
) -> Array:
    r"""Return the time of a piece with its share of tool changes.

    .. math:: t = t_h + t_m + t_c t_m / T

    Parameters
    ----------
    cut : array_like
        Time in cut t_m, more than 0. [min]
    life : array_like
        Tool life, more than 0. [min]
    handling : array_like
        Loading and unloading t_h. [min]
    change : array_like
        Time to change the tool t_c. [min]
    whole_pieces : bool
        Whether an edge makes whole pieces only; then at least one.

    Returns
    -------
    ndarray
        Time of a piece. [min]
    """
    pieces = _pieces_per_edge(cut, life, whole_pieces)
    return (
        not_negative("handling", handling)
        + positive("cut", cut)
        + not_negative("change", change) / pieces
    )


def piece_cost(
    cut: ArrayLike,
    life: ArrayLike,
    *,
    handling: ArrayLike,
    change: ArrayLike,
    edge_cost: ArrayLike,
    rate: ArrayLike,
    whole_pieces: bool = False,
) -> Array:
    r"""Return the cost of a piece: time at the machine's rate and its share of an edge.

    .. math:: c = C_m (t_h + t_m + t_c t_m / T) + C_t t_m / T

    Parameters
    ----------
    cut : array_like
        Time in cut, more than 0. [min]
    life : array_like
        Tool life, more than 0. [min]
    handling : array_like
        Loading and unloading. [min]
    change : array_like
        Time to change the tool. [min]
    edge_cost : array_like
        Cost of an edge. [currency]
    rate : array_like
        Cost of a minute. [currency/min]
    whole_pieces : bool
        Whether an edge makes whole pieces only.

    Returns
    -------
    ndarray
        Cost of a piece, without its material. [currency]
    """
    time = piece_time(cut, life, handling=handling, change=change, whole_pieces=whole_pieces)
    edges = not_negative("edge_cost", edge_cost) / _pieces_per_edge(cut, life, whole_pieces)
    return not_negative("rate", rate) * time + edges


def holes_until_worn(allowance: ArrayLike, wear_per_hundred: ArrayLike) -> Array:
    """Return how many holes a reamer makes until its wear has eaten an allowance.

    Parameters
    ----------
    allowance : array_like
        How far the hole may shrink, on diameter, 0 or more. [mm]
    wear_per_hundred : array_like
        Wear of the lands per side in a hundred holes, more than 0: from the shop's own
        readings; 0.0005 give or take a factor of 3 is our judgement before there are any. [mm]

    Returns
    -------
    ndarray
        Number of holes. [-]
    """
    return (
        100
        * not_negative("allowance", allowance)
        / (2 * positive("wear_per_hundred", wear_per_hundred))
    )


def rubbing_path(DC: ArrayLike, depth: ArrayLike, f: ArrayLike) -> Array:
    r"""Return how far the corner of a reamer's edge travels along the wall in one hole.

    .. math:: s = \pi D L / f

    Parameters
    ----------
    DC : array_like
        Cutting diameter, more than 0. [mm]
    depth : array_like
        Depth, 0 or more. [mm]
    f : array_like
        Feed per revolution, more than 0. [mm/rev]

    Returns
    -------
    ndarray
        Path. [m]

    Examples
    --------
    >>> round(float(rubbing_path(8.0, 22.0, 0.7)), 2)
    0.79
    """
    path = np.pi * positive("DC", DC) * not_negative("depth", depth) / positive("f", f)
    return path / 1000


def wear_per_hole(wear_per_100m: ArrayLike, DC: ArrayLike, depth: ArrayLike, f: ArrayLike) -> Array:
    """Return the wear of the lands in one hole, from a rate by path that another job has shown.

    Parameters
    ----------
    wear_per_100m : array_like
        Wear per side for 100 m along the wall, 0 or more: from the shop's own readings. [mm]
    DC : array_like
        Cutting diameter, more than 0. [mm]
    depth : array_like
        Depth, 0 or more. [mm]
    f : array_like
        Feed per revolution, more than 0. [mm/rev]

    Returns
    -------
    ndarray
        Wear per side in one hole. [mm]

    Notes
    -----
    Carries a shop's rate from one depth and feed to another, for one reamer in one material at
    about one speed. No rate is promised here.
    """
    return not_negative("wear_per_100m", wear_per_100m) * rubbing_path(DC, depth, f) / 100


def wear_spread(mean: ArrayLike, factor: float = 3.0) -> tuple[Array, Array]:
    r"""Return the bounds of a wear that is known times or over a factor.

    .. math:: \bigl[ w e^{-\sigma^2/2 - 1.96 \sigma},\; w e^{-\sigma^2/2 + 1.96 \sigma} \bigr],
        \quad \sigma = \ln k / 1.96

    Parameters
    ----------
    mean : array_like
        Mean wear, 0 or more. [mm]
    factor : float
        The factor k, more than 1: 95 % lie from the median over k to the median times k. [-]

    Returns
    -------
    tuple of ndarray
        Lower and upper bound of the central 95 %, lognormal with that mean. [mm]
    """
    sigma = np.log(positive("factor less 1", factor - 1) + 1) / 1.96
    median = not_negative("mean", mean) * np.exp(-(sigma**2) / 2)
    return median / factor, median * factor


def _pieces_per_edge(cut: ArrayLike, life: ArrayLike, whole_pieces: bool) -> Array:
    pieces = positive("life", life) / positive("cut", cut)
    return np.maximum(np.floor(pieces), 1.0) if whole_pieces else pieces
