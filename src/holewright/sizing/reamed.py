"""The reamed size: reamer size and all that is added to it, each with its own uncertainty.

Every term works on a whole grid of candidates at once; :func:`distribution` takes one point of
it out. The priors are those of ``docs/theory/reamed-size.md``; a test cut replaces them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from holewright.reference.tables import cite
from holewright.shop.coolant import Fluid
from holewright.shop.material import Material
from holewright.shop.reamer import ReamerKind
from holewright.sizing.runout import runout_growth
from holewright.sizing.temperature import cut_warm
from holewright.uncertainty import Shape, SizeDistribution, Tag, Term

_UM = 1e-3

_RECOVERY_UM = {
    "P": (-2.0, 1.5),
    "M": (-4.0, 3.0),
    "K": (0.0, 1.0),
    "N": (-1.0, 1.0),
    "S": (-4.0, 3.0),
    "H": (-2.0, 1.5),
}
_FLUID_UM = {
    Fluid.SOLUBLE: (-2.0, 2.0),
    Fluid.NEAT_OIL: (2.0, 2.0),
    Fluid.MQL: (0.0, 3.0),
    Fluid.DRY: (5.0, 4.0),
}
_EDGE_UM_WET = 3.0
_EDGE_UM_WINDOW = 8.0
_HALF_NORMAL_MEAN = float(np.sqrt(2 / np.pi))
_HALF_NORMAL_SD = float(np.sqrt(1 - 2 / np.pi))

# Loss per side and 100 holes. The handbook prior, 0.5 µm times or over 3, does not say for which
# reamer; it is taken for high-speed steel, and a third and a tenth of it for carbide.
_WEAR_UM = {
    ReamerKind.HSS: 0.5,
    ReamerKind.CARBIDE_TIPPED: 0.15,
    ReamerKind.COATED_CARBIDE: 0.05,
}

_CUT_RISE_K = {
    Fluid.SOLUBLE: (2.0, 2.0),
    Fluid.NEAT_OIL: (3.0, 3.0),
    Fluid.MQL: (6.0, 4.0),
    Fluid.DRY: (10.0, 6.0),
}

_SCATTER_UM = {True: 2.5, False: 4.0}


@dataclass(frozen=True)
class GridTerm:
    """One cause of the size over a grid of candidates; fields as in ``uncertainty.Term``."""

    name: str
    mean: NDArray[np.float64]
    sd: NDArray[np.float64]
    varies: NDArray[np.float64]
    tag: Tag
    source: str
    text: str
    shape: Shape = Shape.NORMAL


def _term(
    name: str,
    mean_um: ArrayLike,
    sd_um: ArrayLike,
    varies: float | ArrayLike,
    source: str,
    text: str,
    tag: Tag = Tag.DEFAULT,
    shape: Shape = Shape.NORMAL,
) -> GridTerm:
    sd = np.asarray(sd_um, dtype=float) * _UM
    mean = np.asarray(mean_um, dtype=float) * _UM
    return GridTerm(name, mean, sd, sd * np.asarray(varies, dtype=float), tag, source, text, shape)


def tool_term(DC: ArrayLike, u_DC: ArrayLike, tag: Tag, source: str) -> GridTerm:
    """Return the reamer's own diameter as a term.

    Parameters
    ----------
    DC, u_DC : array_like
        Diameter behind the lead and its standard uncertainty. [mm]
    tag : Tag
        Measured, or from its label.
    source : str
        Who measured it, or whose make limits they are.
    """
    DC, u_DC = np.asarray(DC, dtype=float), np.asarray(u_DC, dtype=float)
    return GridTerm(
        "reamer",
        DC,
        u_DC,
        np.zeros_like(u_DC),
        tag,
        source,
        "the reamer's own diameter",
        Shape.NORMAL if tag is Tag.MEASURED else Shape.RECTANGULAR,
    )


def runout_term(tir: ArrayLike, u_tir: ArrayLike, share: ArrayLike, tag: Tag) -> GridTerm:
    """Return what runout adds, see :func:`holewright.sizing.runout.runout_growth`. [mm]"""
    mean, sd = runout_growth(tir, u_tir, share)
    return GridTerm(
        "runout",
        mean,
        sd,
        np.zeros_like(sd),
        tag,
        cite("own-derivation") + ": TIR times the share that the cut does not centre away",
        "runout at the lead cuts large",
    )


def recovery_term(material: Material) -> GridTerm:
    """Return the spring-back of the wall after the edge has passed, by ISO 513 group."""
    mean, sd = _RECOVERY_UM[material.iso513]
    return _term(
        "spring-back",
        mean,
        sd,
        0.3,
        cite("own-judgement") + "; sign from published burnishing torque",
        "the wall springs back behind the margins",
    )


def fluid_term(fluid: Fluid) -> GridTerm:
    """Return what the cutting fluid does to size: the sign is published, the amount isn't."""
    mean, sd = _FLUID_UM[fluid]
    return _term(
        "fluid",
        mean,
        sd,
        0.3,
        cite("cutting-fluid-tests-1964") + " for the sign; amount: " + cite("own-judgement"),
        "dry and neat oil cut larger than the reamer, soluble oil smaller",
    )


def edge_term(v_c: ArrayLike, material: Material, fluid: Fluid) -> GridTerm:
    """Return built-up edge: half-normal, larger where it is likely.

    Parameters
    ----------
    v_c : array_like
        Cutting speed. [m/min]
    material : Material
        Work material, with the speeds between which an edge builds up on it when dry.
    fluid : Fluid
        Cutting fluid.
    """
    v_c = np.asarray(v_c, dtype=float)
    low, high = material.edge_window or (np.inf, -np.inf)
    in_window = (fluid is Fluid.DRY) & (v_c >= low) & (v_c <= high)
    scale = np.where(in_window, _EDGE_UM_WINDOW, _EDGE_UM_WET)
    return _term(
        "built-up edge",
        scale * _HALF_NORMAL_MEAN,
        scale * _HALF_NORMAL_SD,
        1.0,
        cite("own-judgement"),
        "metal welded to an edge cuts large until it sheds",
        shape=Shape.HALF_NORMAL,
    )


def wear_rate(kind: ReamerKind) -> float:
    """Return the wear of a reamer's lands in one hole, per side, before a shop knows its own. [mm]

    Own judgement, known times or over 3.
    """
    return _WEAR_UM[kind] * _UM / 100


def wear_term(kind: ReamerKind, holes: ArrayLike) -> GridTerm:
    """Return margin wear, averaged over the holes that one reamer makes.

    Parameters
    ----------
    kind : ReamerKind
        Reamer by tool material.
    holes : array_like
        Holes that it is to make. [-]
    """
    at_end = 2 * _WEAR_UM[kind] * np.asarray(holes, dtype=float) / 100
    # Wear runs evenly from 0 to its end: that spreads the holes; its rate is known times or
    # over 3, taken as 80 % of the mean.
    spread = at_end / np.sqrt(12)
    doubt = 0.8 * at_end / 2
    sd = np.hypot(spread, doubt)
    varies = np.divide(spread, sd, out=np.zeros_like(sd), where=sd > 0)
    return _term(
        "wear",
        -at_end / 2,
        sd,
        varies,
        cite("own-judgement"),
        "margins wear and the hole closes in, averaged over the reamer's holes",
        shape=Shape.NEGATIVE_LOGNORMAL,
    )


def warmth_term(
    diameter: ArrayLike, material: Material, fluid: Fluid, part_rise: float
) -> GridTerm:
    """Return what warmth while cutting takes off the size at 20 °C.

    Parameters
    ----------
    diameter : array_like
        Diameter. [mm]
    material : Material
        Work material, for its expansion.
    fluid : Fluid
        Cutting fluid, for the heat of the cut.
    part_rise : float
        Part above 20 °C before the cut. [K]
    """
    rise, doubt = _CUT_RISE_K[fluid]
    alpha = material.alpha.value
    mean = cut_warm(diameter, alpha, part_rise + rise)
    sd = np.abs(cut_warm(diameter, alpha, doubt))
    return GridTerm(
        "warmth",
        mean,
        sd,
        0.5 * sd,
        Tag.DEFAULT,
        "expansion of the material; rise while cutting: " + cite("own-judgement"),
        "a hole cut warm is smaller at 20 °C",
    )


def settings_term(dv_c: ArrayLike, df_z: ArrayLike, dstock: ArrayLike) -> GridTerm:
    """Return what leaving the usual speed, feed and stock does to size.

    Parameters
    ----------
    dv_c : array_like
        Cutting speed above the usual. [m/min]
    df_z : array_like
        Feed per tooth above the usual. [mm/tooth]
    dstock : array_like
        Stock on diameter above the usual. [mm]

    Notes
    -----
    Larger with all three, by published tests; one trade article says the reverse for speed and
    feed. Hence the spread, as large as the effect itself. Half of it is taken to stay after a
    test cut, as slopes were seen to differ with lot and wear.
    """
    dv, df, ds = (np.asarray(x, dtype=float) for x in (dv_c, df_z, dstock))
    mean = 0.5 * dv / 10 + 3.0 * df / 0.1 + 3.0 * ds / 0.1
    sd = np.sqrt((0.7 * dv / 10) ** 2 + (4.0 * df / 0.1) ** 2 + (3.0 * ds / 0.1) ** 2)
    return _term(
        "settings",
        mean,
        sd,
        0.5,
        cite("cutting-fluid-tests-1964") + " for the sign; slopes: " + cite("own-judgement"),
        "speed, feed and stock off the usual; sources disagree on the sign for speed and feed",
    )


def scatter_term(setup_measured: ArrayLike) -> GridTerm:
    """Return the scatter from hole to hole that no other term explains.

    Parameters
    ----------
    setup_measured : array_like of bool
        Whether runout and reamer were measured in this set-up; otherwise the scatter is taken
        as that of a set-up nobody knows.
    """
    known = np.asarray(setup_measured, dtype=bool)
    return _term(
        "scatter",
        0.0,
        np.where(known, _SCATTER_UM[True], _SCATTER_UM[False]),
        1.0,
        cite("own-judgement"),
        "what differs from hole to hole",
    )


@dataclass(frozen=True)
class GridSize:
    """Sum of terms over a grid.

    Parameters
    ----------
    mean, sd, between : ndarray
        Mean, standard uncertainty, and the part of it that differs from hole to hole. [mm]
    terms : tuple of GridTerm
        What it was summed from.
    """

    mean: NDArray[np.float64]
    sd: NDArray[np.float64]
    between: NDArray[np.float64]
    terms: tuple[GridTerm, ...]


def add_up(terms: Sequence[GridTerm]) -> GridSize:
    """Return the sum of independent terms over the grid they broadcast to.

    Small arrays are added first, so that the full grid is touched as seldom as possible.
    """
    ordered = sorted(terms, key=lambda t: t.mean.size + t.sd.size)
    mean = ordered[0].mean
    variance = ordered[0].sd ** 2
    between = ordered[0].varies ** 2
    for term in ordered[1:]:
        mean = mean + term.mean
        variance = variance + term.sd**2
        between = between + term.varies**2
    return GridSize(mean, np.sqrt(variance), np.sqrt(between), tuple(terms))


def distribution(
    terms: Sequence[GridTerm], shape: tuple[int, ...], index: tuple[int, ...]
) -> SizeDistribution:
    """Return the distribution at one point of the grid.

    Parameters
    ----------
    terms : sequence of GridTerm
        Terms that broadcast to `shape`.
    shape : tuple of int
        Shape of the grid.
    index : tuple of int
        The point.
    """

    def at(values: NDArray[np.float64]) -> float:
        return float(np.broadcast_to(values, shape)[index])

    return SizeDistribution(
        tuple(
            Term(t.name, at(t.mean), at(t.sd), t.tag, t.source, t.text, at(t.varies), t.shape)
            for t in terms
        )
    )
