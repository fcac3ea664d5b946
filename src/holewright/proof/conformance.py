"""Whether one measured hole can be said to lie within its limits (JCGM 106, ISO 14253-1)."""

from __future__ import annotations

from enum import StrEnum

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import ndtr

from holewright.errors import OutOfRangeError

Floats = NDArray[np.float64]

GUARD_FACTOR = 1.65
"""Default guard factor of ISO 14253-1:2017 for 95 % conformance probability, one-sided. [-]"""

ROUNDING = 1e-9
"""A picometre: two sizes nearer than this are one size, whatever unit they were typed in. [mm]"""


class Conformity(StrEnum):
    """What can be said of one hole."""

    ACCEPT = "accept"
    REJECT = "reject"
    CANNOT_TELL = "can't tell"


def conformance_probability(
    measured: ArrayLike, u: ArrayLike, lower: ArrayLike, upper: ArrayLike
) -> Floats:
    r"""Return the probability that the true size lies within its limits.

    .. math:: p_c = \Phi[(T_U - y) / u] - \Phi[(T_L - y) / u]

    Parameters
    ----------
    measured : array_like
        Measured size y, corrected to 20 °C. [mm]
    u : array_like
        Standard uncertainty of `measured`, more than 0. [mm]
    lower, upper : array_like
        Limits of size T_L < T_U; ``-inf`` or ``inf`` where the drawing sets none. [mm]

    Returns
    -------
    ndarray
        p_c from 0 to 1, in the broadcast shape of the inputs. [-]

    Raises
    ------
    OutOfRangeError
        If any `u` is not positive, or any `lower` is not below its `upper`.

    Notes
    -----
    Valid for one hole, a normal error, and no prior knowledge of the process. Where the
    process is known, pass the result of :func:`size_given_process` instead. For a risk far
    below 1e-12 use :func:`nonconformance_probability`, which keeps its digits.

    References
    ----------
    .. [1] JCGM 106:2012, "The role of measurement uncertainty in conformity
       assessment", clause 7, one- and two-sided limits, normal PDF.

    Examples
    --------
    A 10 H7 hole measured at 10.012 mm with u = 2 µm:

    >>> round(float(conformance_probability(10.012, 0.002, 10.000, 10.015)), 3)
    0.933
    """
    y, s, t_l, t_u = _checked(measured, u, lower, upper)
    # Beyond the middle of the zone both terms are near 1; mirrored, they keep their digits.
    flip = np.where(y - t_l > t_u - y, -1.0, 1.0)
    near, far = np.where(flip > 0, t_l - y, y - t_u), np.where(flip > 0, t_u - y, y - t_l)
    p_c: Floats = ndtr(far / s) - ndtr(near / s)
    return p_c


def nonconformance_probability(
    measured: ArrayLike, u: ArrayLike, lower: ArrayLike, upper: ArrayLike
) -> Floats:
    r"""Return the probability that the true size lies outside its limits.

    .. math:: 1 - p_c = \Phi[(T_L - y) / u] + \Phi[(y - T_U) / u]

    Parameters
    ----------
    measured, u, lower, upper : array_like
        As for :func:`conformance_probability`. [mm]

    Returns
    -------
    ndarray
        The specific risk of accepting this hole, in the broadcast shape. [-]

    Raises
    ------
    OutOfRangeError
        As for :func:`conformance_probability`.

    References
    ----------
    .. [1] JCGM 106:2012, clause 9.3.2, specific consumer's risk.
    """
    y, s, t_l, t_u = _checked(measured, u, lower, upper)
    outside: Floats = ndtr((t_l - y) / s) + ndtr((y - t_u) / s)
    return outside


def size_given_process(
    measured: ArrayLike, u: ArrayLike, process_mean: ArrayLike, process_sd: ArrayLike
) -> tuple[Floats, Floats]:
    r"""Return size and uncertainty of a hole, given what its process usually makes.

    .. math::
        \hat{y} = \frac{y / u^2 + y_0 / u_0^2}{1/u^2 + 1/u_0^2}, \qquad
        \hat{u} = (1/u^2 + 1/u_0^2)^{-1/2}

    Parameters
    ----------
    measured : array_like
        Measured size y, corrected to 20 °C. [mm]
    u : array_like
        Standard uncertainty of `measured`, more than 0. [mm]
    process_mean : array_like
        Mean size y_0 of the process, from earlier holes. [mm]
    process_sd : array_like
        Hole-to-hole standard deviation u_0 of the process, more than 0. [mm]

    Returns
    -------
    size, u : tuple of ndarray
        Mean and standard deviation of the true size. [mm]

    Raises
    ------
    OutOfRangeError
        If `u` or `process_sd` is not positive.

    Notes
    -----
    Valid for a normal process that still runs as it did; after a tool change it says more
    than is known. A prior must never be used to pass a hole whose own gauge fails it.

    References
    ----------
    .. [1] JCGM 106:2012, clause 6.3.4, normal prior and normal likelihood.
    """
    y, s, y_0, u_0 = (
        np.asarray(a, dtype=float)
        for a in np.broadcast_arrays(measured, u, process_mean, process_sd)
    )
    _all(s > 0, "u", s, "more than 0")
    _all(u_0 > 0, "process_sd", u_0, "more than 0")
    weight = u_0**2 / (u_0**2 + s**2)
    return y_0 + weight * (y - y_0), s * np.sqrt(weight)


def guard_band(u: ArrayLike, k: float = GUARD_FACTOR) -> Floats:
    """Return the guard band g = k·u by which each limit moves. [mm]

    Parameters
    ----------
    u : array_like
        Standard uncertainty of the measurement, 0 or more. [mm]
    k : float
        Guard factor; 1.65 proves conformance at 95 % when u is small beside the tolerance. [-]

    Raises
    ------
    OutOfRangeError
        If `u` or `k` is negative.

    References
    ----------
    .. [1] ISO 14253-1:2017, default decision rule (k from memory; ndtri(0.95) = 1.6449).
    """
    s = np.asarray(u, dtype=float)
    _all(s >= 0, "u", s, "0 or more")
    if not k >= 0:
        raise OutOfRangeError("k", k, "0 or more")
    return k * s


def acceptance_limits(
    lower: ArrayLike, upper: ArrayLike, u: ArrayLike, k: float = GUARD_FACTOR
) -> tuple[Floats, Floats]:
    """Return the limits that a measured size must keep so that conformance is proven.

    Parameters
    ----------
    lower, upper : array_like
        Limits of size; ``-inf`` or ``inf`` where the drawing sets none. [mm]
    u : array_like
        Standard uncertainty of the measurement, 0 or more. [mm]
    k : float
        Guard factor. [-]

    Returns
    -------
    lower, upper : tuple of ndarray
        Limits of size drawn in by the guard band. Where the guard bands meet, `lower` comes
        out above `upper`: with that instrument no size can be accepted. [mm]

    Raises
    ------
    OutOfRangeError
        If `u` or `k` is negative, or `lower` is not below `upper`.

    References
    ----------
    .. [1] ISO 14253-1:2017; JCGM 106:2012, clause 8.3.2, guarded acceptance.
    """
    g = guard_band(u, k)
    t_l, t_u = np.asarray(lower, dtype=float), np.asarray(upper, dtype=float)
    _all(np.asarray(t_l < t_u), "lower", t_l, "below the upper limit")
    return t_l + g, t_u - g


def rejection_limits(
    lower: ArrayLike, upper: ArrayLike, u: ArrayLike, k: float = GUARD_FACTOR
) -> tuple[Floats, Floats]:
    """Return the limits beyond which a measured size proves nonconformance.

    Parameters
    ----------
    lower, upper, u, k
        As for :func:`acceptance_limits`. [mm]

    Returns
    -------
    lower, upper : tuple of ndarray
        Limits of size moved out by the guard band. [mm]

    Raises
    ------
    OutOfRangeError
        As for :func:`acceptance_limits`.

    References
    ----------
    .. [1] ISO 14253-1:2017; JCGM 106:2012, clause 8.3.3, guarded rejection.
    """
    g = guard_band(u, k)
    t_l, t_u = np.asarray(lower, dtype=float), np.asarray(upper, dtype=float)
    _all(np.asarray(t_l < t_u), "lower", t_l, "below the upper limit")
    return t_l - g, t_u + g


def decide(
    low: ArrayLike,
    high: ArrayLike,
    u: ArrayLike,
    lower: ArrayLike,
    upper: ArrayLike,
    k: float = GUARD_FACTOR,
) -> NDArray[np.str_]:
    """Return for each hole whether it is accepted, rejected, or neither can be proven.

    Parameters
    ----------
    low, high : array_like
        What is known of the size: it lies from `low` to `high`. Equal where an instrument
        gave a number; ``-inf`` or ``inf`` where no pin bounds it. [mm]
    u : array_like
        Standard uncertainty of both bounds, 0 or more. [mm]
    lower, upper : array_like
        Limits of size, inclusive. [mm]
    k : float
        Guard factor. [-]

    Returns
    -------
    ndarray of str
        A :class:`Conformity` for each hole, in the broadcast shape.

    Raises
    ------
    OutOfRangeError
        If `u` or `k` is negative, `lower` is not below `upper`, or `low` is above `high`.

    Notes
    -----
    The uncertainty counts against whoever proves: to accept, the limits are drawn in; to
    reject, they are moved out. In between, nobody can tell with this gauge.

    References
    ----------
    .. [1] ISO 14253-1:2017, rules for proving conformance and nonconformance.

    Examples
    --------
    >>> decide([10.003, 10.0145, 10.020], [10.003, 10.0145, 10.020], 0.001, 10.0, 10.015).tolist()
    ['accept', "can't tell", 'reject']
    """
    inner_low, inner_high = acceptance_limits(lower, upper, u, k)
    outer_low, outer_high = rejection_limits(lower, upper, u, k)
    a, b = np.asarray(low, dtype=float), np.asarray(high, dtype=float)
    _all(np.asarray(a <= b), "low", a, "at or below high")
    inside = (a >= inner_low - ROUNDING) & (b <= inner_high + ROUNDING)
    outside = (b <= outer_low + ROUNDING) | (a >= outer_high - ROUNDING)
    return np.where(
        inside,
        Conformity.ACCEPT.value,
        np.where(outside, Conformity.REJECT.value, Conformity.CANNOT_TELL.value),
    )


def _checked(
    measured: ArrayLike, u: ArrayLike, lower: ArrayLike, upper: ArrayLike
) -> tuple[Floats, Floats, Floats, Floats]:
    y, s, t_l, t_u = (
        np.asarray(a, dtype=float) for a in np.broadcast_arrays(measured, u, lower, upper)
    )
    _all(s > 0, "u", s, "more than 0")
    _all(t_l < t_u, "lower", t_l, "below the upper limit")
    return y, s, t_l, t_u


def _all(ok: NDArray[np.bool_], field: str, values: Floats, accepted: str) -> None:
    """Raise for the first value that isn't as it should be."""
    if not ok.all():
        wrong = np.broadcast_to(values, ok.shape)[~ok]
        raise OutOfRangeError(field, float(wrong.flat[0]), accepted)
