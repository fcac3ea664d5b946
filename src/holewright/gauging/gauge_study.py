"""Gauge repeatability and reproducibility: how much of what is read is the gauge's own doing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import chdtri, fdtrc

from holewright.errors import InputError, NoAnswerError, OutOfRangeError
from holewright.gauging.range_constants import d2, d2_of_one

Floats = NDArray[np.float64]

POOL_ABOVE = 0.25
"""An interaction with a p-value above this is pooled with repeatability. Common practice. [-]"""

CATEGORIES_FACTOR = 1.41
"""Root of 2, as it is rounded in the trade, of the number of distinct categories. [-]"""


@dataclass(frozen=True)
class Anova:
    """Two-way analysis of variance with interaction: part, operator, both, repeat.

    Parameters
    ----------
    sums : tuple of float
        Sums of squares of part, operator, interaction and repeats. [mm²]
    freedom : tuple of int
        Their degrees of freedom. [-]
    f : tuple of float
        F of part and of operator against the interaction, and of the interaction against the
        repeats; nan where nothing stands against them. [-]
    p : tuple of float
        Their p-values. [-]
    """

    sums: tuple[float, float, float, float]
    freedom: tuple[int, int, int, int]
    f: tuple[float, float, float]
    p: tuple[float, float, float]

    @property
    def means(self) -> tuple[float, float, float, float]:
        """Mean squares in the same order. [mm²]"""
        a, b, c, d = (s / f for s, f in zip(self.sums, self.freedom, strict=True))
        return a, b, c, d


@dataclass(frozen=True)
class GaugeStudy:
    """Components of variance of readings.

    Parameters
    ----------
    method : str
        ``anova``, ``anova, interaction pooled`` or ``average and range``.
    repeatability : float
        Variance of repeats by one operator on one part (equipment). [mm²]
    operator : float
        Variance between operators (appraiser). [mm²]
    interaction : float
        Variance by which operators differ from part to part. [mm²]
    part : float
        Variance between parts. [mm²]
    repeat_freedom : int
        Degrees of freedom of the repeatability; 0 by ranges. [-]
    """

    method: str
    repeatability: float
    operator: float
    interaction: float
    part: float
    repeat_freedom: int = 0

    @property
    def reproducibility(self) -> float:
        """Variance between operators, interaction included. [mm²]"""
        return self.operator + self.interaction

    @property
    def gauge(self) -> float:
        """Variance of the gauge: repeatability and reproducibility. [mm²]"""
        return self.repeatability + self.reproducibility

    @property
    def total(self) -> float:
        """Variance of one reading of one part. [mm²]"""
        return self.gauge + self.part

    @property
    def gauge_sd(self) -> float:
        """Standard uncertainty of one reading as the study shows it. [mm]"""
        return float(np.sqrt(self.gauge))

    @property
    def share_of_study(self) -> float:
        """Standard deviation of the gauge over that of all readings: % of study. [-]"""
        return float(np.sqrt(self.gauge / self.total))

    @property
    def share_of_variance(self) -> float:
        """Variance of the gauge over that of all readings: % contribution. [-]"""
        return self.gauge / self.total

    @property
    def categories(self) -> int:
        """Number of distinct categories, cut to a whole number, at least 1."""
        return max(1, int(self.categories_exact))

    @property
    def categories_exact(self) -> float:
        """1.41 times the spread of parts over that of the gauge. [-]"""
        return CATEGORIES_FACTOR * float(np.sqrt(self.part / self.gauge))

    def share_of_tolerance(self, width: float) -> float:
        """Return six standard deviations of the gauge over a tolerance width [mm]. [-]

        Common bars: to 10 % good, to 30 % by agreement, above it no.
        """
        if not width > 0:
            raise OutOfRangeError("width", width, "more than 0")
        return 6 * self.gauge_sd / width

    def repeatability_interval(self, confidence: float = 0.95) -> tuple[float, float]:
        """Return the two-sided interval of the repeatability's standard deviation. [mm]

        Exact (chi-square); by ANOVA only.
        """
        if self.repeat_freedom < 1:
            raise InputError("method", self.method, "must be by anova: ranges give no interval")
        tail = (1 - confidence) / 2
        sum_of_squares = self.repeatability * self.repeat_freedom
        low, high = (
            float(np.sqrt(sum_of_squares / chdtri(self.repeat_freedom, q)))
            for q in (tail, 1 - tail)
        )
        return low, high


def study_table(
    part: Sequence[object], operator: Sequence[object], value: Sequence[float]
) -> Floats:
    """Return readings in the shape (parts, operators, trials).

    Parameters
    ----------
    part, operator : sequence
        Which part and who read it, a row each; any labels.
    value : sequence of float
        The readings. [mm]

    Returns
    -------
    ndarray
        The readings, parts and operators in the order of their first row. [mm]

    Raises
    ------
    InputError
        If the columns differ in length, or not every operator read every part equally often:
        the method needs all of it.
    """
    if not len(part) == len(operator) == len(value):
        raise InputError("rows", len(value), "must have a part, an operator and a value each")
    cells: dict[tuple[object, object], list[float]] = {}
    for p, o, v in zip(part, operator, value, strict=True):
        cells.setdefault((p, o), []).append(float(v))
    parts, operators = list(dict.fromkeys(part)), list(dict.fromkeys(operator))
    trials = len(next(iter(cells.values()), []))
    for p in parts:
        for o in operators:
            found = len(cells.get((p, o), []))
            if found != trials:
                raise InputError(
                    f"part {p}, operator {o}", f"{found} readings", f"must be {trials} as elsewhere"
                )
    return np.array([[cells[p, o] for o in operators] for p in parts], dtype=float)


def analysis_of_variance(readings: ArrayLike) -> Anova:
    r"""Return the two-way analysis of variance of a gauge study.

    Parameters
    ----------
    readings : array_like
        Shape (parts, operators, trials), at least 2 of each. [mm]

    Raises
    ------
    OutOfRangeError
        If the shape is another.

    Notes
    -----
    Parts and operators are random samples of those there will be, so both are tested against
    the interaction. Sums are taken about the means: readings that differ by 1e-4 mm at
    100 mm keep their digits.

    References
    ----------
    .. [1] Montgomery, D. C.; Runger, G. C. (1993), "Gauge capability and designed experiments",
       Quality Engineering 6(2), 289-305. doi:10.1080/08982119308918725.
    """
    y = _checked(readings)
    y = y - y.flat[0]  # exact for sizes near each other
    y = y - y.mean()
    p, o, r = y.shape
    of_part, of_operator = y.mean(axis=(1, 2)), y.mean(axis=(0, 2))
    of_cell = y.mean(axis=2)
    mixed = of_cell - of_part[:, np.newaxis] - of_operator[np.newaxis, :]
    sums = (
        o * r * float((of_part**2).sum()),
        p * r * float((of_operator**2).sum()),
        r * float((mixed**2).sum()),
        float(((y - of_cell[:, :, np.newaxis]) ** 2).sum()),
    )
    freedom = (p - 1, o - 1, (p - 1) * (o - 1), p * o * (r - 1))
    part, operator, both, repeat = (s / f for s, f in zip(sums, freedom, strict=True))
    f = (_ratio(part, both), _ratio(operator, both), _ratio(both, repeat))
    tails = tuple(
        float(fdtrc(top, bottom, ratio)) if np.isfinite(ratio) else float("nan")
        for top, bottom, ratio in zip(freedom[:3], (*freedom[2:3] * 2, freedom[3]), f, strict=True)
    )
    return Anova(sums, freedom, f, (tails[0], tails[1], tails[2]))


def study_by_anova(readings: ArrayLike, *, pool: bool | None = None) -> GaugeStudy:
    """Return the components of variance of a gauge study by analysis of variance.

    Parameters
    ----------
    readings : array_like
        Shape (parts, operators, trials), at least 2 of each. [mm]
    pool : bool, optional
        Whether the interaction is pooled with the repeats; by default where its p-value is
        above 0.25.

    Returns
    -------
    GaugeStudy
        Components; a negative estimate counts as 0.

    Raises
    ------
    OutOfRangeError
        If the shape is another.
    NoAnswerError
        If all repeats are alike.

    Notes
    -----
    Uses all readings, and sees when operators disagree only on some parts, which
    :func:`study_by_ranges` can't. Of reproducibility it knows little with three operators:
    two degrees of freedom, whatever the number of readings.

    References
    ----------
    .. [1] Montgomery and Runger (1993), as in :func:`analysis_of_variance`.
    """
    _require_scatter(_checked(readings))
    table = analysis_of_variance(readings)
    p, o, r = np.shape(readings)
    part, operator, both, repeat = table.means
    if pool if pool is not None else table.p[2] > POOL_ABOVE:
        free = table.freedom[2] + table.freedom[3]
        repeat = (table.sums[2] + table.sums[3]) / free
        return GaugeStudy(
            "anova, interaction pooled",
            repeatability=repeat,
            operator=max(0.0, (operator - repeat) / (p * r)),
            interaction=0.0,
            part=max(0.0, (part - repeat) / (o * r)),
            repeat_freedom=free,
        )
    return GaugeStudy(
        "anova",
        repeatability=repeat,
        operator=max(0.0, (operator - both) / (p * r)),
        interaction=max(0.0, (both - repeat) / r),
        part=max(0.0, (part - both) / (o * r)),
        repeat_freedom=table.freedom[3],
    )


def study_by_ranges(readings: ArrayLike) -> GaugeStudy:
    r"""Return the components of variance of a gauge study by averages and ranges.

    .. math::
        s_E = \bar{R} / d_2, \qquad
        s_A^2 = (\bar{X}_{diff} / d_2^*)^2 - s_E^2 / (p r), \qquad
        s_P = R_p / d_2^*

    Parameters
    ----------
    readings : array_like
        Shape (parts, operators, trials), at least 2 of each. [mm]

    Returns
    -------
    GaugeStudy
        Components without interaction. Its categories may differ from those by ANOVA, on the
        same readings: say which method was used.

    Raises
    ------
    OutOfRangeError
        If the shape is another.
    NoAnswerError
        If all repeats are alike.

    Notes
    -----
    d2 is the expected range of as many values as there are trials, d2* that of a single
    range over operators and over parts; both are computed, not read from a table.
    """
    y = _checked(readings)
    _require_scatter(y)
    p, o, r = y.shape
    repeat = float(np.ptp(y, axis=2).mean()) / d2(r)
    between = float(np.ptp(y.mean(axis=(0, 2)))) / d2_of_one(o)
    return GaugeStudy(
        "average and range",
        repeatability=repeat**2,
        operator=max(0.0, between**2 - repeat**2 / (p * r)),
        interaction=0.0,
        part=(float(np.ptp(y.mean(axis=(1, 2)))) / d2_of_one(p)) ** 2,
    )


def _checked(readings: ArrayLike) -> Floats:
    y = np.asarray(readings, dtype=float)
    if y.ndim != 3 or min(y.shape) < 2:
        raise OutOfRangeError(
            "readings", f"of shape {y.shape}", "(parts, operators, trials), at least 2 of each"
        )
    return y


def _require_scatter(y: Floats) -> None:
    if not np.ptp(y, axis=2).any():
        raise NoAnswerError(
            "All repeats are alike: the gauge shows too few digits to study its repeatability."
        )


def _ratio(top: float, bottom: float) -> float:
    return top / bottom if bottom > 0 else float("nan")
