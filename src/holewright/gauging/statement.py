r"""What a fit says of sums of its parameters: a size at given causes, or a difference of sizes.

Any such sum has a value v exactly where :math:`a \cdot \psi - v \tau = 0`, linear in the
parameters :math:`\psi = (\gamma, \tau, s)` of :mod:`holewright.gauging.density`. So a fit in
which the sum is held at v is a fit with one parameter less, as concave as the whole, and the
interval is that of the likelihood itself: it is skew where the data are.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from scipy.special import stdtrit

from holewright.errors import InputError, OutOfRangeError
from holewright.gauging.density import Density, climb_density, log_density, slopes
from holewright.gauging.interval_fit import IntervalFit

Floats = NDArray[np.float64]

_FAR = 60.0
"""Standard errors from the best value beyond which a bound counts as infinite. [-]"""


@dataclass(frozen=True, eq=False)
class Statement:
    """A sum over the parameters of a fit.

    Parameters
    ----------
    fit : IntervalFit
        The fit.
    weights : ndarray
        Weight of each parameter, shape (parameters,). [scaled unit]
    offset : float
        What is added to it. [mm]
    value : float
        Its most likely value. [mm]
    se : float
        Its standard error from the information, gauge errors included. [mm]
    """

    fit: IntervalFit
    weights: Floats
    offset: float
    value: float
    se: float


def size_at(fit: IntervalFit, causes: Mapping[str, float]) -> Statement:
    """Return the mean size at given values of the causes.

    Parameters
    ----------
    fit : IntervalFit
        The fit.
    causes : mapping
        Value of each cause of the fit, in the caller's units. One that is left out stays at
        its average.

    Returns
    -------
    Statement
        Mean size there. [mm]

    Raises
    ------
    InputError
        If the fit doesn't have a cause of that name.
    """
    s = fit.hill.scaling
    names = _names(fit, causes)
    x = np.array([causes.get(name, s.x_centre[i]) for i, name in enumerate(names)])
    weights = np.zeros(fit.hill.density.size)
    weights[0] = 1.0
    weights[1 : 1 + len(names)] = (x - s.x_centre) / s.x_scale
    return _statement(fit, weights, s.centre)


def difference(fit: IntervalFit, steps: Mapping[str, float]) -> Statement:
    """Return how the mean size changes when the causes do.

    Parameters
    ----------
    fit : IntervalFit
        The fit.
    steps : mapping
        By how much each cause changes, in the caller's units; 0 where it is left out.

    Returns
    -------
    Statement
        Change of the mean size. [mm]

    Raises
    ------
    InputError
        If the fit doesn't have a cause of that name, or nothing changes.
    """
    s = fit.hill.scaling
    names = _names(fit, steps)
    step = np.array([steps.get(name, 0.0) for name in names])
    if not step.any():
        raise InputError("steps", "none", "must change at least one cause")
    weights = np.zeros(fit.hill.density.size)
    weights[1 : 1 + len(names)] = step / s.x_scale
    return _statement(fit, weights, 0.0)


def interval_of(statement: Statement, confidence: float = 0.95) -> tuple[float, float]:
    """Return the profile-likelihood interval of a statement.

    Parameters
    ----------
    statement : Statement
        What is asked about.
    confidence : float
        Two-sided confidence, between 0 and 1. [-]

    Returns
    -------
    lower, upper : float
        Its ends; infinite where the readings set none. [mm]

    Raises
    ------
    OutOfRangeError
        If `confidence` isn't between 0 and 1.

    References
    ----------
    .. [1] D. R. Cox, D. V. Hinkley, "Theoretical Statistics", Chapman and Hall 1974, 9.3.
    """
    if not 0 < confidence < 1:
        raise OutOfRangeError("confidence", confidence, "between 0 and 1")
    root = root_for(statement.fit, (1 + confidence) / 2)
    return _end(statement, -root), _end(statement, root)


def root_for(fit: IntervalFit, p: float) -> float:
    r"""Return the signed root at which a one-sided bound of probability p lies. [-]

    .. math:: r = \sqrt{n \ln[1 + t_{n - q;\,p}^2 / (n - q)]}

    with n holes and q coefficients. For measured sizes the interval is then exactly that of
    Student's t; for many holes r is the normal quantile.

    Parameters
    ----------
    fit : IntervalFit
        The fit.
    p : float
        Probability, between 0 and 1. [-]
    """
    n, freedom = fit.n, freedom_of(fit)
    t = float(stdtrit(freedom, p))
    return math.copysign(math.sqrt(n * math.log1p(t * t / freedom)), t)


def freedom_of(fit: IntervalFit) -> float:
    """Return the holes less the mean and the effects; at least 1. [-]"""
    return max(fit.n - fit.hill.density.tau, 1.0)


def scatter_of(fit: IntervalFit) -> float:
    """Return the scatter of one hole without the bias of the likelihood's. [mm]

    It is the root of n/(n - q) larger: exactly what least squares has for measured sizes.
    """
    return fit.sd * math.sqrt(max(fit.n / freedom_of(fit), 1.0))


def root_at(statement: Statement, value: float) -> float:
    r"""Return the signed root of twice the fall of the log likelihood at a value. [-]

    .. math:: r(v) = \operatorname{sign}(v - \hat{v}) \sqrt{2 (\ln \hat{L} - \ln L(v))}

    Parameters
    ----------
    statement : Statement
        What is asked about.
    value : float
        Value at which it is held. [mm]
    """
    hill = statement.fit.hill
    held, start = _held(statement, value)
    top, _ = climb_density(held, start)
    fall = max(hill.summit - float(log_density(held, top)), 0.0)
    return math.copysign(math.sqrt(2 * fall), value - statement.value)


def place_of(fit: IntervalFit, causes: Mapping[str, float], limit: float) -> tuple[float, float]:
    r"""Return how many standard deviations of a hole its mean lies above a limit.

    .. math:: \eta = (\mu(x) - L) / \sigma = a \cdot \psi - L \tau

    linear in the parameters, so that its standard error holds further than that of the share
    outside, which is :math:`\Phi(-\eta)`.

    Parameters
    ----------
    fit : IntervalFit
        The fit.
    causes : mapping
        As for :func:`size_at`.
    limit : float
        Limit of size. [mm]

    Returns
    -------
    place, se : float
        The place, with the scatter of :func:`scatter_of`, and its standard error. [-]
    """
    statement = size_at(fit, causes)
    d, s = fit.hill.density, fit.hill.scaling
    weights = statement.weights.copy()
    weights[d.tau] = -(limit - s.centre) / s.scale
    spread = weights @ covariance_of(fit) @ weights
    shrink = fit.sd / scatter_of(fit)
    return shrink * float(weights @ fit.hill.top), math.sqrt(max(float(spread), 0.0))


def covariance_of(fit: IntervalFit) -> Floats:
    """Return the covariance of all parameters psi of a fit, in its scaled unit."""
    _, hessian = slopes(fit.hill.density, fit.hill.top)
    return np.asarray(np.linalg.inv(-hessian), dtype=np.float64)


def covariance_of_effects(fit: IntervalFit, *, gauges_known: bool = False) -> Floats:
    """Return the covariance of the mean at the average of the causes and of their effects.

    Parameters
    ----------
    fit : IntervalFit
        The fit.
    gauges_known : bool
        Whether to take the gauges as exactly what the fit makes of them: what is left is what
        differs from one set of holes to another under the same gauges.

    Returns
    -------
    ndarray
        Shape (1 + causes, 1 + causes), in mm and mm per unit of each cause.
    """
    d, s = fit.hill.density, fit.hill.scaling
    _, hessian = slopes(d, fit.hill.top)
    kept = d.tau + 1 if gauges_known else d.size
    covariance = np.linalg.inv(-hessian[:kept, :kept])
    size = fit.hill.top / fit.hill.top[d.tau]
    unit = np.concatenate([[s.scale], s.scale / s.x_scale])
    k = unit.size
    jacobian = np.zeros((k, kept))
    jacobian[np.arange(k), np.arange(k)] = unit
    jacobian[:, d.tau] = -unit * size[:k]
    jacobian /= fit.hill.top[d.tau]
    return np.asarray(jacobian @ covariance @ jacobian.T, dtype=np.float64)


def _names(fit: IntervalFit, given: Mapping[str, float]) -> tuple[str, ...]:
    names = tuple(effect.name for effect in fit.effects)
    for name in given:
        if name not in names:
            raise InputError("cause", name, f"must be one of the fit: {', '.join(names) or 'none'}")
    return names


def _statement(fit: IntervalFit, weights: Floats, offset: float) -> Statement:
    d, s = fit.hill.density, fit.hill.scaling
    tau = float(fit.hill.top[d.tau])
    sum_ = float(weights @ fit.hill.top / tau)
    slope = np.array(weights / tau)
    slope[d.tau] -= sum_ / tau
    se = s.scale * math.sqrt(max(float(slope @ covariance_of(fit) @ slope), 0.0))
    return Statement(fit, weights, offset, float(offset + s.scale * sum_), se)


def _held(statement: Statement, value: float) -> tuple[Density, Floats]:
    """Return the density in which the statement has this value, and where to start on it."""
    d, s = statement.fit.hill.density, statement.fit.hill.scaling
    c = statement.weights.copy()
    c[d.tau] = -(value - statement.offset) / s.scale
    # The mean or the effect that weighs most is given by the others; none of them has a prior.
    j = int(np.argmax(np.abs(statement.weights[: d.tau])))
    kept = np.delete(np.arange(d.size), j)
    turn = np.eye(d.size)[:, kept]
    turn[j] = -c[kept] / c[j]
    held = replace(
        d,
        at_low=d.at_low @ turn,
        at_high=d.at_high @ turn,
        tau=d.tau - 1,
        prior_mean=d.prior_mean[kept],
        prior_weight=d.prior_weight[kept],
    )
    start = statement.fit.hill.top[kept]
    # Far out a cell may have no digits left; a wider spread has them.
    while not np.isfinite(log_density(held, start)):
        start = start / 2
    return held, start


def _end(statement: Statement, z: float) -> float:
    """Return where the signed root reaches z, by secants: it is nearly a straight line."""
    step = z * statement.se
    near, near_root = statement.value, 0.0
    far = statement.value + step
    for _ in range(40):
        far_root = root_at(statement, far)
        if abs(far_root - z) < 1e-9 * abs(z):
            return float(far)
        rise = (far_root - near_root) / (far - near)
        new = far + (z - far_root) / rise if rise > 0 else far + step
        # Never back over the best value, and not more than doubled in one step.
        reach = 2 * abs(far - statement.value) + abs(step)
        new = statement.value + math.copysign(
            min(max(abs(new - statement.value), 0.1 * abs(step)), reach), z
        )
        if abs(new - statement.value) > _FAR * statement.se:
            return math.copysign(math.inf, z)
        if abs(new - far) <= 1e-12 * abs(step):
            return float(new)
        near, near_root, far = far, far_root, new
    return float(far)
