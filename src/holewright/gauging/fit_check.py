"""Whether a bell curve fits what was seen, and which holes stand apart.

Nothing here deletes a reading. A hole that stands apart is named; what it means is for the
person who has the part in hand.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import chdtrc, ndtr

from holewright.gauging.cells import log_cell_probability
from holewright.gauging.count_holes import best_bounds
from holewright.gauging.interval_fit import IntervalFit
from holewright.gauging.reading_interval import HoleSize
from holewright.gauging.size_model import Causes, SizeModel
from holewright.reasons import Reason
from holewright.units import Unit, format_both

Floats = NDArray[np.float64]

LEAST_EXPECTED = 1.0
"""Expected holes in a cell below which it is put together with its neighbour. W. G. Cochran,
Biometrics 10 (1954) 417-451: none below 1."""
MOST_DOUBT = 0.25
"""Standard uncertainty of a pin, as a share of the scatter, up to which pins can show the shape
of a distribution; beyond, their errors could explain any shape. A judgement, no source. [-]"""
LEAST_SIZES = 8
"""Sizes from which their shape can be judged at all. R. B. D'Agostino, M. A. Stephens (1986)."""
RISK = 0.05
"""Chance of crying wolf, for the whole set of holes. [-]"""


@dataclass(frozen=True)
class FitCheck:
    """How far the holes depart from the fitted bell curve.

    Parameters
    ----------
    p : float, optional
        Chance of departing as far or farther if sizes are normal; None where the readings
        can't tell. [-]
    text : str
        The sentence that says so.
    """

    p: float | None
    text: str

    @property
    def holds(self) -> bool:
        """Whether the shape was checked and not found wanting."""
        return self.p is not None and self.p >= RISK


def check_fit(model: SizeModel, fit: IntervalFit) -> FitCheck:
    """Return whether the holes look like the fitted normal distribution.

    Parameters
    ----------
    model : SizeModel
        The holes.
    fit : IntervalFit
        The fit to them.

    Returns
    -------
    FitCheck
        Pearson's chi-square over the cells between neighbouring pins, or Anderson and
        Darling's test where every hole has a size.

    Notes
    -----
    Cells with less than one hole expected are put together with a neighbour. One degree of
    freedom goes for each of mean, sd and causes, so that two pins can't tell, nor three with
    an empty end. Gauge errors are at their best, and their squares over u² count towards the
    sum, as far as that is normal theory. Holes that were bracketed more coarsely than others,
    or pins whose doubt is over a quarter of the scatter, spoil it; then nothing is said.

    References
    ----------
    .. [1] W. G. Cochran, Biometrics 10 (1954) 417-451.
    .. [2] R. B. D'Agostino, M. A. Stephens, "Goodness-of-fit techniques", Dekker 1986, table
       4.9: Anderson-Darling with mean and sd estimated.
    """
    rows = model.rows
    if rows.exact.all():
        return _check_sizes(model, fit)
    if rows.exact.any():
        return FitCheck(None, "Sizes and pin intervals are mixed: the shape wasn't checked.")
    bounds = np.unique(np.concatenate([rows.lower, rows.upper]))
    edges = np.concatenate([[-np.inf], bounds[np.isfinite(bounds)], [np.inf]])
    cell = np.searchsorted(edges, rows.lower, side="left")
    whole = (edges[cell] == rows.lower) & (
        edges[np.minimum(cell + 1, edges.size - 1)] == rows.upper
    )
    if not whole.all():
        return FitCheck(
            None,
            "Not all holes were bracketed by neighbouring pins at one temperature: the shape "
            "wasn't checked.",
        )
    counted = np.bincount(cell, rows.count, minlength=edges.size - 1).astype(float)
    seen, expected = _pooled(counted, _expected(model, fit, edges))
    degrees = seen.size - 3 - len(model.causes)
    if degrees < 1:
        return FitCheck(
            None,
            f"{edges.size - 2} pin sizes leave nothing over to check the shape of the "
            f"distribution with.",
        )
    if model.gauges and model.u.max() > MOST_DOUBT * fit.sd:
        worst = model.gauges[int(np.argmax(model.u))]
        return FitCheck(
            None,
            f"Pin {worst} is known to {100 * model.u.max() / fit.sd:.0f} % of the scatter only: "
            f"such pins can't show the shape of a distribution.",
        )
    chi2 = float(((seen - expected) ** 2 / expected).sum())
    errors = np.array([e.value for e in fit.gauge_errors])
    chi2 += float(((errors / model.u) ** 2).sum())
    p = float(chdtrc(degrees, chi2))
    verdict = "fits" if p >= RISK else "does not fit"
    return FitCheck(
        p,
        f"A normal distribution {verdict}: chi-square {chi2:.2f} on {degrees} degrees of freedom "
        f"over {seen.size} cells, p = {p:.2g}.",
    )


def holes_apart(
    holes: Sequence[HoleSize],
    fit: IntervalFit,
    model: SizeModel,
    causes: Causes | None = None,
    *,
    unit: Unit = Unit.MM,
) -> tuple[Reason, ...]:
    """Return the holes that the fit can hardly explain, the farthest first.

    Parameters
    ----------
    holes : sequence of HoleSize
        The holes.
    fit : IntervalFit
        The fit to all of them.
    model : SizeModel
        The model behind the fit.
    causes : mapping, optional
        Causes of each hole, as the model was made with.
    unit : Unit
        Unit that sentences say first.

    Returns
    -------
    tuple of Reason
        One for each hole so far out that a set of this size would hold such a one by chance
        in less than one set of twenty. None is left out of the fit for it.
    """
    apart: list[tuple[float, Reason]] = []
    for hole in holes:
        if hole.contradicts:
            continue
        low, high = best_bounds(hole)
        mean = fit.mean + sum(
            effect.value * ((causes or {})[hole.hole][effect.name] - centre)
            for effect, centre in zip(fit.effects, fit.hill.scaling.x_centre, strict=True)
        )
        # As far out as the nearer bound of its interval, or farther, on either side.
        p = 2 * min(ndtr((high - mean) / fit.sd), ndtr((mean - low) / fit.sd))
        if p * model.rows.n >= RISK:
            continue
        small = high < mean
        bound = high if small else low
        apart.append(
            (
                p,
                Reason(
                    "hole-apart",
                    f"Hole {hole.hole} stands apart: {'under' if small else 'over'} "
                    f"{format_both(bound, unit)}, where one hole in {1 / (p / 2):,.0f} would be "
                    f"by chance. It stays in the reckoning; look at it before you judge.",
                    bound,
                    mean,
                ),
            )
        )
    apart.sort(key=lambda pair: pair[0])
    return tuple(reason for _, reason in apart)


def anderson_darling(sizes: Floats) -> float:
    """Return the chance p of departing as far from normal, mean and sd estimated. [-]

    Parameters
    ----------
    sizes : ndarray
        At least 8 sizes, not all the same. [mm]
    """
    n = sizes.size
    z = np.sort((sizes - sizes.mean()) / sizes.std(ddof=1))
    i = np.arange(1, n + 1)
    a2 = -n - float(((2 * i - 1) * (_log_ndtr(z) + _log_ndtr(-z[::-1]))).sum()) / n
    a = a2 * (1 + 0.75 / n + 2.25 / n**2)
    # Table 4.9 of the source.
    if a <= 0.2:
        return 1 - math.exp(-13.436 + 101.14 * a - 223.73 * a**2)
    if a <= 0.34:
        return 1 - math.exp(-8.318 + 42.796 * a - 59.938 * a**2)
    if a <= 0.6:
        return math.exp(0.9177 - 4.279 * a - 1.38 * a**2)
    return math.exp(1.2937 - 5.709 * a + 0.0186 * a**2) if a < 13 else 0.0


def _check_sizes(model: SizeModel, fit: IntervalFit) -> FitCheck:
    predicted = (model.x - fit.hill.scaling.x_centre) @ np.array([e.value for e in fit.effects])
    sizes = np.repeat(model.rows.lower - predicted, model.rows.count.astype(int))
    if sizes.size < LEAST_SIZES + len(model.causes):
        return FitCheck(None, f"{sizes.size} sizes are too few to check their distribution.")
    p = anderson_darling(sizes)
    verdict = "fits" if p >= RISK else "does not fit"
    return FitCheck(p, f"A normal distribution {verdict}: Anderson-Darling, p = {p:.2g}.")


def _expected(model: SizeModel, fit: IntervalFit, edges: Floats) -> Floats:
    """Return how many holes the fit expects between neighbouring edges."""
    hill = fit.hill
    d, s = hill.density, hill.scaling
    tau = hill.top[d.tau]
    shift = dict(zip(model.gauges, hill.top[d.tau + 1 :] / tau * s.scale, strict=True))
    moved = edges.copy()
    # An edge moves with the gauge that set it; two gauges on one edge are one size anyway.
    for bound, gauge in (
        (model.rows.lower, model.low_gauge),
        (model.rows.upper, model.high_gauge),
    ):
        for b, g in zip(bound, gauge, strict=True):
            if g >= 0:
                moved[edges == b] = b + shift[model.gauges[g]]
    moved = np.maximum.accumulate(moved)
    effects = np.array([e.value for e in fit.effects])
    mean = fit.mean + (model.x - s.x_centre) @ effects
    z = (moved - mean[:, None]) / fit.sd
    with np.errstate(divide="ignore"):
        p = np.exp(log_cell_probability(z[:, :-1], z[:, 1:]))
    expected: Floats = model.rows.count @ p
    return expected


def _pooled(seen: Floats, expected: Floats) -> tuple[Floats, Floats]:
    """Put cells with too little expected together with the smaller neighbour."""
    o, e = list(seen), list(expected)
    while len(e) > 1 and min(e) < LEAST_EXPECTED:
        i = e.index(min(e))
        j = i + 1 if i == 0 or (i + 1 < len(e) and e[i + 1] < e[i - 1]) else i - 1
        o[min(i, j)], e[min(i, j)] = o[i] + o[j], e[i] + e[j]
        del o[max(i, j)], e[max(i, j)]
    return np.array(o), np.array(e)


def _log_ndtr(z: Floats) -> Floats:
    return log_cell_probability(np.full(z.shape, -np.inf), z)
