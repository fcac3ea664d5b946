"""Mean, spread and share inside given the readings and a forecast, as weighted draws.

The forecast speaks first, the readings correct it, and gauges of doubtful size stay doubtful:
a rectangular class tolerance is taken as the rectangle it is. The answer is a set of draws
from a normal approximation at the top (Laplace), weighted to be draws from the posterior
itself; how far the weights had to stretch is reported with it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from scipy.special import bdtr, gammaincinv, ndtr, ndtri

from holewright.errors import NoAnswerError, OutOfRangeError
from holewright.gauging.density import Density, climb_density, log_density, slopes
from holewright.gauging.size_model import Scaling, SizeModel, density_of
from holewright.uncertainty import SizeDistribution

Floats = NDArray[np.float64]

DRAWS = 4093
GENERATOR = 2526
TAIL = 7.0
"""Degrees of freedom of the proposal: tails heavier than those it stands for. [-]"""
ROUNDS = 4
ENOUGH = 0.2
"""Share of the draws that must count for the approximation to be let stand. [-]"""


@dataclass(frozen=True)
class Prior:
    """What is known of the process before the readings.

    Parameters
    ----------
    mean, u_mean : float
        Forecast mean and its standard uncertainty, more than 0. [mm]
    sd : float
        Forecast scatter from hole to hole: its median. [mm]
    factor : float
        One standard deviation of ln sd, as a factor: 2 means that two times in three the
        scatter lies within a half and the double. Over 1. [-]
    """

    mean: float
    u_mean: float
    sd: float
    factor: float = 2.0

    def __post_init__(self) -> None:
        for name in ("u_mean", "sd"):
            if not getattr(self, name) > 0:
                raise OutOfRangeError(name, getattr(self, name), "more than 0")
        if not self.factor > 1:
            raise OutOfRangeError("factor", self.factor, "over 1")


@dataclass(frozen=True, eq=False)
class Posterior:
    """Weighted draws of what isn't known.

    Parameters
    ----------
    mean, sd : ndarray
        Mean size at the average of the causes, and scatter, shape (draws,). [mm]
    effects : ndarray
        Effect of each cause, shape (draws, causes). [mm per its unit]
    errors : ndarray
        Error of each gauge, shape (draws, gauges). [mm]
    weight : ndarray
        Weights, shape (draws,), summing to 1. [-]
    ess : float
        Effective number of draws, 1/Σw²: that many plain draws would be as good. [-]
    laplace_mean, laplace_sd : tuple of (float, float)
        What the normal approximation alone says of the mean and of the scatter: best value
        and standard uncertainty. [mm]
    """

    mean: Floats
    sd: Floats
    effects: Floats
    errors: Floats
    weight: Floats
    ess: float
    laplace_mean: tuple[float, float]
    laplace_sd: tuple[float, float]


def prior_of(forecast: SizeDistribution, factor: float = 2.0) -> Prior:
    """Return the forecast of a size as what is known before the readings.

    Parameters
    ----------
    forecast : SizeDistribution
        Its terms say how much varies from hole to hole and how much shifts all holes.
    factor : float
        Doubt about the scatter; see :class:`Prior`. A judgement, no source. [-]

    Returns
    -------
    Prior
        The prior.

    Raises
    ------
    OutOfRangeError
        If nothing in the forecast varies, or nothing is shared.
    """
    within = forecast.sd_between_holes
    shared = math.sqrt(max(forecast.sd**2 - within**2, 0.0))
    return Prior(forecast.mean, shared, within, factor)


def posterior(model: SizeModel, prior: Prior) -> Posterior:
    """Return what is known after the readings.

    Parameters
    ----------
    model : SizeModel
        The holes.
    prior : Prior
        What was known before.

    Returns
    -------
    Posterior
        Draws with weights. It exists for any readings, also where no fit does.

    Raises
    ------
    NoAnswerError
        If the readings and the prior are so far apart that no draw has any weight.

    Notes
    -----
    Draws come from a fixed quasi-random sequence, so that the same readings give the same
    answer. Where fewer than a fifth of them count, the proposal is fitted to the weighted
    draws and drawn anew, up to three times; look at `ess` before trusting a tail. Effects
    of causes have a flat prior.

    References
    ----------
    .. [1] L. Tierney, J. B. Kadane, JASA 81 (1986) 82-86: Laplace's approximation.
    .. [2] A. Owen, "Monte Carlo theory, methods and examples", chapter 9: importance
       sampling and its effective number of draws.
    """
    density, scaling = density_of(model)
    density = _with_prior(density, scaling, prior)
    k = density.tau
    start = np.zeros(density.size)
    start[k] = scaling.scale / prior.sd
    start[0] = (prior.mean - scaling.centre) / prior.sd
    while not np.isfinite(log_density(density, start)):
        start /= 2
    psi, _ = climb_density(density, start)
    laplace = _normal_at(density, psi)
    box = np.full(density.size, np.inf)
    box[k + 1 :][model.half_width > 0] = model.half_width[model.half_width > 0] / scaling.scale
    centre, spread = _normal_at(*_drawn_inside(density, psi, box))
    sharp = np.where(np.isfinite(box), 0.0, density.prior_weight)
    target = replace(density, prior_weight=sharp)
    normals = quasi_normals(density.size + 1)
    # A Student t: normals over the root of a chi-square, here from the first column.
    mix = np.sqrt(TAIL / (2 * gammaincinv(TAIL / 2, ndtr(normals[:, 0]))))
    for _ in range(ROUNDS):
        root = np.linalg.cholesky(spread)
        unit = normals[:, 1:] * mix[:, None]
        phi = centre + unit @ root.T
        log_t = -(TAIL + density.size) / 2 * np.log1p((unit * unit).sum(-1) / TAIL)
        log_w = _log_target(target, phi, box) - log_t
        top = float(log_w.max())
        if not math.isfinite(top):
            raise NoAnswerError(
                "Readings and forecast are too far apart to be put together: check the forecast, "
                "the unit of the readings and the pins' marked sizes."
            )
        weight = np.exp(log_w - top)
        weight /= weight.sum()
        ess = float(1 / (weight @ weight))
        if ess >= ENOUGH * DRAWS:
            break
        centre = weight @ phi
        gap = phi - centre
        # A little of the old spread keeps the new one from closing in on a few draws.
        spread = (weight[:, None] * gap).T @ gap * 1.2 + 0.02 * spread
    return Posterior(
        mean=scaling.centre + scaling.scale * phi[:, 0],
        sd=scaling.scale * np.exp(phi[:, k]),
        effects=scaling.scale * phi[:, 1:k] / scaling.x_scale,
        errors=scaling.scale * phi[:, k + 1 :],
        weight=weight,
        ess=ess,
        laplace_mean=_in_mm(scaling, laplace, 0),
        laplace_sd=_sd_in_mm(scaling, laplace, k),
    )


def quantile(values: Floats, weight: Floats, p: float) -> float:
    """Return the value below which a share p of the weight lies, in the unit of `values`."""
    order = np.argsort(values)
    share = np.cumsum(weight[order]) - weight[order] / 2
    return float(np.interp(p, share, values[order]))


def share_inside(drawn: Posterior, lower: float, upper: float) -> Floats:
    """Return the share of holes inside two limits [mm] for each draw. [-]"""
    inside: Floats = (
        1 - ndtr((lower - drawn.mean) / drawn.sd) - ndtr((drawn.mean - upper) / drawn.sd)
    )
    return np.maximum(inside, 0.0)


def most_outside(
    drawn: Posterior, lower: float, upper: float, holes: int, confidence: float = 0.95
) -> int:
    """Return how many of `holes` not yet checked may be outside, at this confidence.

    Parameters
    ----------
    drawn : Posterior
        What is known.
    lower, upper : float
        Limits of size. [mm]
    holes : int
        Holes of the lot that were not checked, 0 or more. [-]
    confidence : float
        One-sided confidence, between 0 and 1. [-]

    Returns
    -------
    int
        The least number that isn't exceeded with this probability. [-]
    """
    outside = 1 - share_inside(drawn, lower, upper)
    few, many = -1, holes
    while many - few > 1:
        middle = (few + many) // 2
        enough = drawn.weight @ bdtr(middle, holes, outside) >= confidence
        few, many = (few, middle) if enough else (middle, many)
    return many


def quasi_normals(dimensions: int) -> Floats:
    """Return evenly spread standard normal points, shape (4093, dimensions). [-]

    A Korobov lattice: the same points every time. The generator is the one of least P2, a
    measure of unevenness, in eight dimensions among all for this number of points.
    """
    steps = [pow(GENERATOR, i, DRAWS) for i in range(dimensions)]
    points = (np.arange(DRAWS)[:, None] * np.array(steps) % DRAWS + 0.5) / DRAWS
    normal: Floats = ndtri(points)
    return normal


def _with_prior(density: Density, scaling: Scaling, prior: Prior) -> Density:
    mean, weight = density.prior_mean.copy(), density.prior_weight.copy()
    mean[0] = (prior.mean - scaling.centre) / scaling.scale
    weight[0] = (scaling.scale / prior.u_mean) ** 2
    return replace(
        density,
        prior_mean=mean,
        prior_weight=weight,
        log_sd_mean=math.log(prior.sd / scaling.scale),
        log_sd_weight=1 / math.log(prior.factor) ** 2,
    )


def _drawn_inside(density: Density, psi: Floats, box: Floats) -> tuple[Density, Floats]:
    """Return a density for the proposal whose top lies well inside every class tolerance.

    Taken as normal, a gauge's error may come out beyond its class where the counts press for
    it, and then no draw would lie in the rectangle. The proposal alone is pulled in; the
    weights put that right.
    """
    for step in range(6):
        errors = psi / psi[density.tau]
        beyond = np.isfinite(box) & (np.abs(errors) > 0.85 * box)
        if not beyond.any():
            break
        sigma = np.where(beyond, box, 1.0) * 0.3 / 2**step
        density = replace(
            density,
            prior_mean=np.where(beyond, 0.7 * np.sign(errors) * box, density.prior_mean),
            prior_weight=np.where(beyond, 1 / sigma**2, density.prior_weight),
        )
        psi, _ = climb_density(density, psi)
    return density, psi


def _normal_at(density: Density, psi: Floats) -> tuple[Floats, Floats]:
    """Return centre and covariance of (mean, effects, ln sd, errors) about the top."""
    k, tau = density.tau, float(psi[density.tau])
    phi = psi / tau
    jacobian = np.eye(density.size) * tau
    jacobian[:, k] = -phi * tau
    jacobian[k, k] = -tau
    phi[k] = -math.log(tau)
    _, hessian = slopes(density, psi)
    information = -jacobian.T @ hessian @ jacobian
    values, vectors = np.linalg.eigh(information)
    # Where the top is a ridge the curvature says nothing; the weights must do it.
    values = np.maximum(values, 1e-6 * values.max())
    return phi, (vectors / values) @ vectors.T


def _log_target(density: Density, phi: Floats, box: Floats) -> Floats:
    """Return the log density of draws; rectangular errors must lie in their box."""
    k = density.tau
    tau = np.exp(-phi[:, k])
    psi = phi * tau[:, None]
    psi[:, k] = tau
    inside = (np.abs(phi) <= box).all(-1)
    return np.where(inside, log_density(density, psi), -np.inf)


def _in_mm(scaling: Scaling, normal: tuple[Floats, Floats], i: int) -> tuple[float, float]:
    centre, spread = normal
    return (
        scaling.centre + scaling.scale * float(centre[i]),
        scaling.scale * math.sqrt(spread[i, i]),
    )


def _sd_in_mm(scaling: Scaling, normal: tuple[Floats, Floats], k: int) -> tuple[float, float]:
    sd = scaling.scale * math.exp(float(normal[0][k]))
    return sd, sd * math.sqrt(normal[1][k, k])
