"""Size over the holes that a tool has cut: a straight line, or one with a bend.

Values from a bore gauge are fitted by least squares, whose small-sample theory is exact. Pins
give intervals of size: these are fitted by maximum likelihood, gauge errors and all.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import stdtr

from holewright.errors import NoAnswerError, OutOfRangeError
from holewright.gauging.interval_fit import IntervalFit
from holewright.gauging.reading_interval import HoleSize
from holewright.gauging.shared_pins import fit_model
from holewright.gauging.size_model import model_of
from holewright.gauging.statement import covariance_of_effects, freedom_of, scatter_of

Floats = NDArray[np.float64]

CUT = "holes cut"
"""Name of the cause that every trend has."""
BEND = "holes cut past the bend"
KNEES = 11
"""Places at which a bend is looked for. [-]"""
BEND_FROM = 12
"""Fewest holes in which a bend is looked for. [-]"""


@dataclass(frozen=True, eq=False)
class Trend:
    """Mean size as a line over holes cut, with normal scatter about it.

    Parameters
    ----------
    coefficients : ndarray
        Size at hole `middle` [mm], change per hole before the bend, and what the bend adds to
        it [mm/hole]; two where there is no bend.
    covariance : ndarray
        Their covariance.
    sd : float
        Standard deviation of one hole about the line. [mm]
    freedom : float
        Degrees of freedom of `sd`. [-]
    middle : float
        Hole from which the first coefficient counts. [-]
    knee : float, optional
        Hole at which the line bends. [-]
    n : int
        Holes in the fit. [-]
    first, last : float
        First and last of them, in holes cut. [-]
    u_shared : float
        Standard uncertainty that all readings share and `covariance` leaves out. [mm]
    fit : IntervalFit, optional
        The likelihood fit behind it; None for least squares.
    apart : ndarray, optional
        The covariance without what the gauges' own errors add; None where they add nothing.
    """

    coefficients: Floats
    covariance: Floats
    sd: float
    freedom: float
    middle: float
    n: int
    first: float
    last: float
    knee: float | None = None
    u_shared: float = 0.0
    fit: IntervalFit | None = None
    apart: Floats | None = None

    def features(self, hole: ArrayLike) -> Floats:
        """Return what each coefficient is multiplied by at a hole, shape (…, coefficients)."""
        x = np.asarray(hole, dtype=float)
        columns = [np.ones_like(x), x - self.middle]
        if self.knee is not None:
            columns.append(_past(x, self.knee))
        return np.stack(columns, axis=-1)

    def at(self, hole: ArrayLike) -> Floats:
        """Return the mean size at a hole. [mm]"""
        mean: Floats = self.features(hole) @ self.coefficients
        return mean

    def se(self, hole: ArrayLike) -> Floats:
        """Return the standard error of the mean size at a hole. [mm]"""
        features = self.features(hole)
        variance = ((features @ self.covariance) * features).sum(-1) + self.u_shared**2
        return np.asarray(np.sqrt(variance))

    def se_apart(self, hole: ArrayLike) -> Floats:
        """Return the standard error without what all tools gauged alike would share. [mm]"""
        features = self.features(hole)
        covariance = self.covariance if self.apart is None else self.apart
        return np.asarray(np.sqrt(((features @ covariance) * features).sum(-1)))

    @property
    def slope(self) -> float:
        """Change of size per hole at the end of the line. [mm/hole]"""
        return float(self.coefficients[1:].sum())

    @property
    def se_slope(self) -> float:
        """Its standard error. [mm/hole]"""
        return math.sqrt(float(self.covariance[1:, 1:].sum()))

    def last_line(self) -> tuple[float, float, Floats]:
        """Return the last straight piece: size at `middle`, change per hole, their covariance."""
        turn = np.zeros((2, self.coefficients.size))
        turn[0, 0] = turn[1, 1] = 1.0
        if self.knee is not None:
            turn[:, 2] = self.middle - self.knee, 1.0
        a, b = turn @ self.coefficients
        return float(a), float(b), turn @ self.covariance @ turn.T


def trend_of_sizes(
    hole: ArrayLike, size: ArrayLike, *, u_shared: float = 0.0, knee: float | None = None
) -> Trend:
    r"""Return the trend of measured sizes by least squares.

    .. math:: D = \beta_0 + \beta_1 (x - \bar{x}) + \beta_2 \max(0, x - x_k) + \varepsilon

    Parameters
    ----------
    hole : array_like
        Holes cut at each size, at least one more value than coefficients plus one. [-]
    size : array_like
        Sizes at 20 °C, one each. [mm]
    u_shared : float
        Standard uncertainty that all sizes share: the gauge's own error. [mm]
    knee : float, optional
        Hole at which the line bends; it must leave holes on either side. [-]

    Returns
    -------
    Trend
        The line.

    Raises
    ------
    OutOfRangeError
        If there are too few sizes, both differ in number, or the holes don't determine the line.

    Notes
    -----
    Columns and sizes are taken about their middle and the columns orthogonalised, so that a
    drift of 1e-8 mm a hole on 100 mm keeps its digits.

    References
    ----------
    .. [1] NIST StRD, linear least squares: data set Norris, checked against to 1e-12.
    """
    x, y = np.asarray(hole, dtype=float).ravel(), np.asarray(size, dtype=float).ravel()
    columns = 2 if knee is None else 3
    if x.size != y.size:
        raise OutOfRangeError("size", f"{y.size} values", f"as many as the {x.size} of hole")
    if x.size < columns + 1:
        raise OutOfRangeError("hole", f"{x.size} values", f"at least {columns + 1}")
    middle = float(x.mean())
    line = [np.ones_like(x), x - middle]
    if knee is not None:
        line.append(_past(x, knee))
    design = np.stack(line, axis=1)
    width = np.sqrt((design**2).sum(0))
    if not (width > 0).all():
        raise OutOfRangeError("hole", float(x[0]), "not the same for all sizes, nor all at a bend")
    q, r = np.linalg.qr(design / width)
    if np.abs(np.diag(r)).min() < 1e-10:
        raise OutOfRangeError("hole", float(x[0]), "such that holes on either side set the line")
    level = float(y[0])
    rise = y - level
    inverse = np.linalg.inv(r) / width[:, None]
    coefficients = inverse @ (q.T @ rise)
    left = rise - design @ coefficients
    # A second pass takes up what rounding left.
    coefficients = coefficients + inverse @ (q.T @ left)
    left = rise - design @ coefficients
    freedom = x.size - columns
    sd = math.sqrt(float(left @ left) / freedom)
    return Trend(
        coefficients=coefficients + np.eye(columns)[0] * level,
        covariance=inverse @ inverse.T * sd**2,
        sd=sd,
        freedom=float(freedom),
        middle=middle,
        n=int(x.size),
        first=float(x.min()),
        last=float(x.max()),
        knee=knee,
        u_shared=u_shared,
    )


def trend_of_readings(
    holes: Sequence[HoleSize], cut: Mapping[str, float], *, knee: float | None = None
) -> Trend:
    """Return the trend of what the readings say, hole by hole.

    Parameters
    ----------
    holes : sequence of HoleSize
        What the readings say of each hole.
    cut : mapping
        Hole name -> holes that the tool had cut, this one included. [-]
    knee : float, optional
        Hole at which the line bends. [-]

    Returns
    -------
    Trend
        By least squares where every hole has a value from a bore gauge, else by maximum
        likelihood from the intervals.

    Raises
    ------
    NoAnswerError
        If the readings have no finite fit.
    OutOfRangeError, InputError
        If there are too few holes, or they don't determine the line.

    Notes
    -----
    From intervals the scatter and all bounds are corrected as if the sizes had been measured:
    with coarse pins a few holes know less than that.
    """
    usable = [h for h in holes if not h.contradicts]
    values = [h.value for h in usable]
    x = np.array([cut[h.hole] for h in usable], dtype=float)
    if usable and all(v is not None for v in values) and not any(h.goes or h.stops for h in usable):
        sizes = [v.best for v in values if v is not None]
        u = max(v.u for v in values if v is not None)
        return trend_of_sizes(x, sizes, u_shared=u, knee=knee)
    causes = {h.hole: {CUT: cut[h.hole]} for h in usable}
    if knee is not None:
        causes = {name: c | {BEND: float(_past(c[CUT], knee))} for name, c in causes.items()}
    model = model_of(usable, causes)
    if model is None:
        raise NoAnswerError("No reading bounds a hole: there is no size to follow over the life.")
    fit = fit_model(model)
    # Effects come in the order of their names, and the bend's name comes second.
    centre = fit.hill.scaling.x_centre
    apart = covariance_of_effects(fit, gauges_known=True) * (scatter_of(fit) / fit.sd) ** 2
    values_ = np.array([fit.mean, *(effect.value for effect in fit.effects)])
    covariance = covariance_of_effects(fit) * (scatter_of(fit) / fit.sd) ** 2
    if knee is not None:
        # The fit counts the bend from its average, the trend from 0.
        turn = np.eye(3)
        turn[0, 2] = -centre[1]
        values_, covariance = turn @ values_, turn @ covariance @ turn.T
        apart = turn @ apart @ turn.T
    return Trend(
        coefficients=values_,
        covariance=covariance,
        sd=scatter_of(fit),
        freedom=freedom_of(fit),
        middle=float(centre[0]),
        n=len(usable),
        first=float(x.min()),
        last=float(x.max()),
        knee=knee,
        fit=fit,
        apart=apart,
    )


@dataclass(frozen=True, eq=False)
class Bend:
    """A place where the trend bends, and how surely it does.

    Parameters
    ----------
    trend : Trend
        The trend with its bend.
    p : float
        How often a straight line would show as strong a bend somewhere, at most. [-]
    """

    trend: Trend
    p: float


def find_bend(holes: Sequence[HoleSize], cut: Mapping[str, float]) -> Bend | None:
    """Return the strongest bend of the trend: run-in at the start, or wear that sets in.

    Parameters
    ----------
    holes : sequence of HoleSize
        What the readings say of each hole.
    cut : mapping
        Hole name -> holes that the tool had cut, this one included. [-]

    Returns
    -------
    Bend or None
        None where there are too few holes to look for one. Whether to believe it is for the
        caller, by `p`.

    Raises
    ------
    NoAnswerError
        If the readings have no finite fit without a bend either.
    """
    used = sorted({cut[h.hole] for h in holes if not h.contradicts})
    if len(used) < BEND_FROM:
        return None
    x = np.array(used, dtype=float)
    knees = np.unique(np.quantile(x, np.linspace(0.1, 0.9, KNEES)))
    trends: list[Trend] = []
    for knee in knees:
        try:
            trends.append(trend_of_readings(holes, cut, knee=float(knee)))
        except NoAnswerError:
            continue
    if not trends:
        return None
    return strongest_bend(trends)


def strongest_bend(trends: Sequence[Trend]) -> Bend:
    r"""Return the trend whose bend is the strongest, and how likely chance alone makes it.

    .. math:: P \le P(|T| > M) + V \frac{e^{-M^2/2}}{\sqrt{2 \pi}}, \quad
              V = \sum |t_i - t_{i-1}|

    with t the ratio of the bend to its standard error at each place, M the largest.

    Parameters
    ----------
    trends : sequence of Trend
        One for each place of the bend, in order.

    Returns
    -------
    Bend
        The strongest.

    References
    ----------
    .. [1] R. B. Davies, "Hypothesis testing when a nuisance parameter is present only under
       the alternative", Biometrika 74 (1987) 33-43, the bound for one parameter (from memory,
       checked by simulation).
    """
    t = np.array([trend.coefficients[2] / math.sqrt(trend.covariance[2, 2]) for trend in trends])
    best = int(np.argmax(np.abs(t)))
    most = abs(float(t[best]))
    freedom = trends[best].freedom
    tail = 2 * float(stdtr(freedom, -most))
    wander = float(np.abs(np.diff(t)).sum())
    density = math.exp(-(most**2) / 2) / math.sqrt(2 * math.pi)
    return Bend(trends[best], min(1.0, tail + wander * density))


def _past(x: ArrayLike, knee: float) -> Floats:
    return np.maximum(np.asarray(x, dtype=float) - knee, 0.0)
