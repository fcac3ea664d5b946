"""Pp and Ppk, and what a sample of holes lets anyone claim of them (ISO 22514-2)."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import chdtri, nctdtr, nctdtrit, ndtr, ndtri

from holewright.errors import OutOfRangeError
from holewright.gauging.binomial import clopper_pearson
from holewright.proof.roots import crossing

Floats = NDArray[np.float64]

LOW_SHARE, HIGH_SHARE = 0.00135, 0.99865
"""Shares whose sizes stand for -3 and +3 standard deviations in ISO 22514-2. [-]"""


@dataclass(frozen=True)
class Indices:
    """Performance indices of a sample or of a distribution.

    Parameters
    ----------
    pp : ndarray
        Tolerance width over the width of the process; nan for a one-sided tolerance. [-]
    ppk_lower, ppk_upper : ndarray
        Room to the lower and to the upper limit over half the width; inf where there is no
        such limit. [-]
    """

    pp: Floats
    ppk_lower: Floats
    ppk_upper: Floats

    @property
    def ppk(self) -> Floats:
        """The smaller of the two sides. [-]"""
        return np.minimum(self.ppk_lower, self.ppk_upper)


def performance(mean: ArrayLike, sd: ArrayLike, lower: ArrayLike, upper: ArrayLike) -> Indices:
    r"""Return Pp and Ppk of normally distributed sizes.

    .. math::
        P_p = \frac{U - L}{6 s}, \qquad
        P_{pk} = \min\left(\frac{U - \bar{x}}{3 s}, \frac{\bar{x} - L}{3 s}\right)

    Parameters
    ----------
    mean : array_like
        Mean size. [mm]
    sd : array_like
        Standard deviation of all sizes, more than 0. With the standard deviation within
        subgroups the same numbers are Cp and Cpk. [mm]
    lower, upper : array_like
        Limits of size, ``-inf`` or ``inf`` where there is none. [mm]

    Returns
    -------
    Indices
        In the broadcast shape of the inputs. [-]

    Raises
    ------
    OutOfRangeError
        If `sd` is not positive or `lower` is not below `upper`.

    Notes
    -----
    Valid for normal sizes without trend. A reamer wears, so a trend is the usual case: see
    :func:`holewright.proof.drift.performance_over_life`. An index from a sample is soft: show
    :func:`ppk_interval` beside it.

    References
    ----------
    .. [1] ISO 22514-2:2017, time-dependent distribution model A1 (detail from memory).
    """
    m, s, t_l, t_u = (
        np.asarray(a, dtype=float) for a in np.broadcast_arrays(mean, sd, lower, upper)
    )
    _require(s > 0, "sd", s, "more than 0")
    _require(t_l < t_u, "lower", t_l, "below the upper limit")
    width = np.where(np.isfinite(t_u - t_l), t_u - t_l, np.nan)
    return Indices(width / (6 * s), (m - t_l) / (3 * s), (t_u - m) / (3 * s))


def percentile_performance(
    low: ArrayLike, median: ArrayLike, high: ArrayLike, lower: ArrayLike, upper: ArrayLike
) -> Indices:
    r"""Return Pp and Ppk from percentiles, for sizes of any distribution.

    .. math::
        P_p = \frac{U - L}{X_{99.865} - X_{0.135}}, \qquad
        P_{pk} = \min\left(\frac{U - X_{50}}{X_{99.865} - X_{50}},
                           \frac{X_{50} - L}{X_{50} - X_{0.135}}\right)

    Parameters
    ----------
    low, median, high : array_like
        The 0.135 %, 50 % and 99.865 % points of the distribution. [mm]
    lower, upper : array_like
        Limits, ``-inf`` or ``inf`` where there is none. A natural bound, such as the zero of a
        roundness, is no limit: give ``-inf``. [mm]

    Returns
    -------
    Indices
        In the broadcast shape of the inputs. [-]

    Raises
    ------
    OutOfRangeError
        If the percentiles don't rise, or `lower` is not below `upper`.

    Notes
    -----
    Away from the normal distribution an index doesn't stand for the share outside that a
    normal table gives for it. Report the share itself beside it.

    References
    ----------
    .. [1] ISO 22514-2:2017, percentile method (detail from memory).
    """
    x_l, x_m, x_h, t_l, t_u = (
        np.asarray(a, dtype=float) for a in np.broadcast_arrays(low, median, high, lower, upper)
    )
    _require((x_l < x_m) & (x_m < x_h), "median", x_m, "between the low and high percentile")
    _require(t_l < t_u, "lower", t_l, "below the upper limit")
    width = np.where(np.isfinite(t_u - t_l), t_u - t_l, np.nan)
    return Indices(width / (x_h - x_l), (x_m - t_l) / (x_m - x_l), (t_u - x_m) / (x_h - x_m))


def ppk_lower_bound(
    ppk: ArrayLike,
    n: ArrayLike,
    confidence: float = 0.95,
    *,
    freedom: ArrayLike | None = None,
) -> Floats:
    r"""Return the exact one-sided lower bound on a one-sided index.

    The bound C solves

    .. math:: P\left(T'_{n-1}(3 \sqrt{n}\, C) \le 3 \sqrt{n}\, \hat{C}\right) = \gamma

    Parameters
    ----------
    ppk : array_like
        Index of the sample. [-]
    n : array_like
        Holes measured, at least 2. Where the mean is not that of n holes, the number of holes
        whose mean would be known as well: any number above 0, with `freedom` given. [-]
    confidence : float
        One-sided confidence γ. [-]
    freedom : array_like, optional
        Degrees of freedom of the standard deviation, n - 1 by default. [-]

    Returns
    -------
    ndarray
        C, in the broadcast shape of the inputs. [-]

    Raises
    ------
    OutOfRangeError
        If `n` is too small or `confidence` not between 0 and 1.

    Notes
    -----
    Exact for one limit and normal sizes measured exactly. For the smaller of two sides it
    is the bound of that side, which is what everybody quotes as the bound of Ppk; a process
    right in the middle makes it slightly cautious.

    References
    ----------
    .. [1] Kane, V. E. (1986), "Process capability indices", J. Quality Technology 18(1),
       41-52 (noncentral t bound; from memory).

    Examples
    --------
    Thirty holes at 1.33 show little more than 1:

    >>> round(float(ppk_lower_bound(1.33, 30)), 3)
    1.022
    """
    c, m = _index_and_n(ppk, n, confidence, least=2.0 if freedom is None else 0.0)
    free = m - 1 if freedom is None else np.asarray(freedom, dtype=float)
    root, t = 3 * np.sqrt(m), 3 * np.sqrt(m) * c
    # scipy's own inverse in the noncentrality is good to 1e-6 only; its distribution is to 1e-12.
    reach = 12 * np.sqrt(1 + t**2 / (2 * free))
    bound: Floats = (
        crossing(lambda nc: nctdtr(free, nc, t), t - reach, t + reach, confidence) / root
    )
    return bound


def ppk_interval(ppk: ArrayLike, n: ArrayLike, confidence: float = 0.95) -> tuple[Floats, Floats]:
    """Return the exact two-sided interval of a one-sided index.

    Parameters
    ----------
    ppk, n
        As for :func:`ppk_lower_bound`. [-]
    confidence : float
        Two-sided confidence. [-]

    Returns
    -------
    low, high : tuple of ndarray
        In the broadcast shape of the inputs. [-]

    Raises
    ------
    OutOfRangeError
        As for :func:`ppk_lower_bound`.
    """
    tail = (1 - confidence) / 2
    return ppk_lower_bound(ppk, n, 1 - tail), ppk_lower_bound(ppk, n, tail)


def ppk_interval_approximate(
    ppk: ArrayLike, n: ArrayLike, confidence: float = 0.95
) -> tuple[Floats, Floats]:
    r"""Return Bissell's approximate two-sided interval of Ppk.

    .. math:: \hat{C} \pm z \sqrt{\frac{1}{9 n} + \frac{\hat{C}^2}{2 (n - 1)}}

    Parameters
    ----------
    ppk, n, confidence
        As for :func:`ppk_interval`. [-]

    Returns
    -------
    low, high : tuple of ndarray
        Within 0.01 of :func:`ppk_interval` from n = 25 and Ppk up to 1.67. [-]

    Raises
    ------
    OutOfRangeError
        As for :func:`ppk_lower_bound`.

    References
    ----------
    .. [1] Bissell, A. F. (1990), "How reliable is your capability index?", Applied Statistics
       39(3), 331-340. doi:10.2307/2347383.
    """
    c, m = _index_and_n(ppk, n, confidence)
    reach = ndtri((1 + confidence) / 2) * np.sqrt(1 / (9 * m) + c**2 / (2 * (m - 1)))
    return c - reach, c + reach


def pp_interval(pp: ArrayLike, n: ArrayLike, confidence: float = 0.95) -> tuple[Floats, Floats]:
    r"""Return the exact two-sided interval of Pp.

    .. math:: \hat{P}_p \sqrt{\chi^2_{\alpha/2;\,n-1} / (n-1)}
              \ldots \hat{P}_p \sqrt{\chi^2_{1-\alpha/2;\,n-1} / (n-1)}

    Parameters
    ----------
    pp : array_like
        Pp of the sample. [-]
    n : array_like
        Holes measured, at least 2. [-]
    confidence : float
        Two-sided confidence. [-]

    Returns
    -------
    low, high : tuple of ndarray
        In the broadcast shape of the inputs. [-]

    Raises
    ------
    OutOfRangeError
        As for :func:`ppk_lower_bound`.
    """
    c, m = _index_and_n(pp, n, confidence)
    tail = (1 - confidence) / 2
    low: Floats = c * np.sqrt(chdtri(m - 1, 1 - tail) / (m - 1))
    high: Floats = c * np.sqrt(chdtri(m - 1, tail) / (m - 1))
    return low, high


def ppk_needed(target: ArrayLike, n: ArrayLike, confidence: float = 0.95) -> Floats:
    """Return the index that a sample must have to show a target.

    Parameters
    ----------
    target : array_like
        Ppk to be shown. [-]
    n : array_like
        Holes measured, at least 2. [-]
    confidence : float
        One-sided confidence. [-]

    Returns
    -------
    ndarray
        Least Ppk of the sample, in the broadcast shape of the inputs. [-]

    Raises
    ------
    OutOfRangeError
        As for :func:`ppk_lower_bound`.

    Examples
    --------
    >>> round(float(ppk_needed(1.33, 30)), 2)
    1.72
    """
    c, m = _index_and_n(target, n, confidence)
    needed: Floats = nctdtrit(m - 1, 3 * np.sqrt(m) * c, confidence) / (3 * np.sqrt(m))
    return needed


def share_beyond(ppk: ArrayLike) -> Floats:
    """Return the share of normal sizes beyond the nearer limit, Φ(-3 Ppk). [-]

    Parameters
    ----------
    ppk : array_like
        Ppk of the process, not of a sample. [-]

    Examples
    --------
    In parts per million:

    >>> round(float(share_beyond(1.33)) * 1e6, 2)
    33.04
    """
    share: Floats = ndtr(-3 * np.asarray(ppk, dtype=float))
    return share


def ppk_from_counts(
    bad: ArrayLike, n: ArrayLike, confidence: float = 0.95
) -> tuple[Floats, Floats]:
    r"""Return the Ppk that a count of bad holes stands for, and its lower bound.

    .. math:: P_{pk} = \Phi^{-1}(1 - p) / 3

    with the share p seen, and its one-sided Clopper-Pearson upper bound.

    Parameters
    ----------
    bad : array_like
        Holes outside. [-]
    n : array_like
        Holes checked, at least 1. [-]
    confidence : float
        One-sided confidence of the bound. [-]

    Returns
    -------
    ppk, lower : tuple of ndarray
        Best estimate, nan where no bad hole was seen, and lower bound. [-]

    Raises
    ------
    OutOfRangeError
        If the counts or the confidence can't be.

    Notes
    -----
    The equivalent index of a normal process whose bad holes are all beyond one limit.

    Examples
    --------
    Thirty good holes and no bad one:

    >>> round(float(ppk_from_counts(0, 30)[1]), 3)
    0.437
    """
    k, m = np.broadcast_arrays(np.asarray(bad, dtype=float), np.asarray(n, dtype=float))
    _, p_upper = clopper_pearson(k, m, confidence, two_sided=False)
    with np.errstate(divide="ignore"):
        seen = np.where(k > 0, -ndtri(k / m) / 3, np.nan)
        lower: Floats = -ndtri(p_upper) / 3
    return seen, lower


def _index_and_n(
    index: ArrayLike, n: ArrayLike, confidence: float, least: float = 2.0
) -> tuple[Floats, Floats]:
    c, m = (np.asarray(a, dtype=float) for a in np.broadcast_arrays(index, n))
    _require((m >= least) & (m > 0), "n", m, f"at least {least:g}" if least else "more than 0")
    if not 0 < confidence < 1:
        raise OutOfRangeError("confidence", confidence, "between 0 and 1")
    return c, m


def _require(ok: NDArray[np.bool_], field: str, value: Floats, accepted: str) -> None:
    if not ok.all():
        raise OutOfRangeError(field, float(np.broadcast_to(value, ok.shape)[~ok].flat[0]), accepted)
