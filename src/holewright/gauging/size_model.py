"""Holes, their named causes of size and the gauges they share, as arrays for a fit."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from holewright.errors import InputError
from holewright.gauging.count_holes import best_bounds
from holewright.gauging.density import Density
from holewright.gauging.pin_size import TrueSize
from holewright.gauging.reading_interval import HoleSize, Mark
from holewright.gauging.rows import Rows, rows_of

Floats = NDArray[np.float64]
Causes = Mapping[str, Mapping[str, float]]


@dataclass(frozen=True, eq=False)
class SizeModel:
    """Counted intervals whose bounds come from gauges that many holes share.

    Parameters
    ----------
    rows : Rows
        Bounds with every gauge at its best estimate, and how many holes have them. [mm]
    low_gauge, high_gauge : ndarray of int
        Which gauge set each bound, as an index into `gauges`; -1 for a bound taken as exact.
    gauges : tuple of str
        Gauges whose size is uncertain.
    u : ndarray
        Standard uncertainty of each gauge, one error for all holes it checked. [mm]
    half_width : ndarray
        Half of the class tolerance where the error is rectangular; 0 where it is normal. [mm]
    causes : tuple of str
        Names of the causes of size, e.g. ``feed``.
    x : ndarray
        Their values, shape (rows, causes), in the caller's units.
    """

    rows: Rows
    low_gauge: NDArray[np.intp]
    high_gauge: NDArray[np.intp]
    gauges: tuple[str, ...]
    u: Floats
    half_width: Floats
    causes: tuple[str, ...]
    x: Floats


@dataclass(frozen=True, eq=False)
class Scaling:
    """How the fit's own unit maps to mm and to the causes as they were given.

    Parameters
    ----------
    centre, scale : float
        Size = centre + scale · scaled size. [mm]
    x_centre, x_scale : ndarray
        The same for each cause; `x_centre` is its mean over the holes.
    """

    centre: float
    scale: float
    x_centre: Floats
    x_scale: Floats


def model_of(holes: Sequence[HoleSize], causes: Causes | None = None) -> SizeModel | None:
    """Return the model of these holes; None where no hole is bounded.

    Parameters
    ----------
    holes : sequence of HoleSize
        What the readings say of each. Those that contradict themselves are left out; each
        has its Reason.
    causes : mapping, optional
        Hole name -> cause name -> value. Every hole must give the same causes.

    Returns
    -------
    SizeModel or None
        The model.

    Raises
    ------
    InputError
        If a hole lacks a cause, or a cause is the same for all holes or follows from others.

    Notes
    -----
    A bound comes from the one gauge that binds with all at their best estimates. Where two
    pins overlap so far that the best estimates leave no room, the sure bounds are taken, and
    as exact: wider, and so on the safe side.
    """
    usable = [h for h in holes if not h.contradicts]
    names = tuple(sorted({c for h in usable for c in (causes or {}).get(h.hole, {})}))
    gauges: dict[str, TrueSize] = {}
    table: dict[tuple[float, float, str, str, tuple[float, ...]], int] = {}
    for hole in usable:
        low, high = best_bounds(hole)
        if math.isinf(low) and math.isinf(high):
            continue
        values = _values(hole.hole, names, causes)
        marks = _binding(hole, low, high)
        for mark in marks:
            if mark is not None:
                gauges[mark.reading.gauge] = _worse(gauges.get(mark.reading.gauge), mark.size)
        by_low, by_high = (m.reading.gauge if m else "" for m in marks)
        key = (low, high, by_low, by_high, values)
        table[key] = table.get(key, 0) + 1
    if not table:
        return None
    doubtful = tuple(g for g, size in gauges.items() if size.u > 0)
    index = {g: i for i, g in enumerate(doubtful)}
    lows, highs, set_low, set_high, xs = zip(*table, strict=True)
    x = np.array(xs, dtype=float).reshape(len(table), len(names))
    _check_causes(x, names)
    return SizeModel(
        rows=rows_of(lows, highs, list(table.values())),
        low_gauge=np.array([index.get(g, -1) for g in set_low], dtype=np.intp),
        high_gauge=np.array([index.get(g, -1) for g in set_high], dtype=np.intp),
        gauges=doubtful,
        u=np.array([gauges[g].u for g in doubtful]),
        half_width=np.array([gauges[g].half_width for g in doubtful]),
        causes=names,
        x=x,
    )


def exact_model(rows: Rows) -> SizeModel:
    """Return the model of rows whose bounds are exact and that have no named cause."""
    none = np.full(rows.count.shape, -1, dtype=np.intp)
    return SizeModel(rows, none, none, (), np.empty(0), np.empty(0), (), np.empty((none.size, 0)))


def density_of(model: SizeModel) -> tuple[Density, Scaling]:
    """Return the model as a density in its own unit, and how that maps to mm.

    Parameters are in the order: mean at the average of the causes, effect of each cause,
    1/sd, error of each gauge. Gauge errors are taken as normal with their standard
    uncertainty, rectangular ones too (JCGM 100, 4.3.7).
    """
    rows = model.rows
    bounds = np.concatenate([rows.lower, rows.upper])
    bounds = bounds[np.isfinite(bounds)]
    centre = float((bounds.min() + bounds.max()) / 2)
    scale = float(np.ptp(bounds)) / 2 or 1.0
    weight = rows.count / rows.count.sum()
    x_centre = weight @ model.x
    x_scale = np.sqrt(weight @ (model.x - x_centre) ** 2)
    z = (model.x - x_centre) / x_scale
    n, k, j = rows.count.size, len(model.causes), len(model.gauges)
    finite_low, finite_high = np.isfinite(rows.lower), np.isfinite(rows.upper)

    def places(bound: Floats, there: NDArray[np.bool_], gauge: NDArray[np.intp]) -> Floats:
        at = np.zeros((n, k + 2 + j))
        at[:, 0] = -1.0
        at[:, 1 : k + 1] = -z
        at[:, k + 1] = np.where(there, (np.where(there, bound, centre) - centre) / scale, 0.0)
        shared = gauge >= 0
        at[np.flatnonzero(shared), k + 2 + gauge[shared]] = 1.0
        return at

    prior_weight = np.zeros(k + 2 + j)
    prior_weight[k + 2 :] = (scale / model.u) ** 2
    density = Density(
        at_low=places(rows.lower, finite_low, model.low_gauge),
        at_high=places(rows.upper, finite_high, model.high_gauge),
        has_low=finite_low,
        has_high=finite_high & ~rows.exact,
        exact=rows.exact,
        count=rows.count,
        tau=k + 1,
        prior_mean=np.zeros(k + 2 + j),
        prior_weight=prior_weight,
    )
    return density, Scaling(centre, scale, x_centre, x_scale)


def _binding(hole: HoleSize, low: float, high: float) -> tuple[Mark | None, Mark | None]:
    """Return the gauges that set the two best bounds; None where a bound isn't a gauge's own."""
    if hole.value is not None:
        # Several readings of one gauge share its error; of several gauges, the worst's.
        worst = max(hole.sizes, key=lambda m: m.size.u)
        return worst, worst
    full = [m for m in hole.goes if m.reading.depth is None]
    return (
        next((m for m in full if m.size.best == low), None),
        next((m for m in hole.stops if m.size.best == high), None),
    )


def _worse(one: TrueSize | None, other: TrueSize) -> TrueSize:
    return other if one is None or other.u > one.u else one


def _values(hole: str, names: tuple[str, ...], causes: Causes | None) -> tuple[float, ...]:
    given = (causes or {}).get(hole, {})
    for name in names:
        if name not in given:
            raise InputError(f"{name} of hole {hole}", "none", "must be given, as for other holes")
        if not math.isfinite(given[name]):
            raise InputError(f"{name} of hole {hole}", given[name], "must be a number")
    return tuple(float(given[name]) for name in names)


def _check_causes(x: Floats, names: tuple[str, ...]) -> None:
    """Refuse causes whose effects can't be told apart, naming the first of them."""
    design = np.ones((x.shape[0], 1))
    for i, name in enumerate(names):
        spread = float(np.ptp(x[:, i]))
        column = (x[:, i] - x[:, i].mean()) / (spread or 1.0)
        design = np.column_stack([design, column])
        if np.linalg.matrix_rank(design, tol=1e-9 * math.sqrt(x.shape[0])) < i + 2:
            raise InputError(
                "cause",
                name,
                "must differ from hole to hole in its own way: it is the same for all holes, or "
                "follows from the other causes",
            )
