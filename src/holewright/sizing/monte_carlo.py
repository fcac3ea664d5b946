"""The forecast by simulation, with each term's own distribution (JCGM 101)."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from holewright.uncertainty import Shape, SizeDistribution, Term

DRAWS = 200_000
"""Enough for the second digit of a share of one in a thousand."""


@dataclass(frozen=True)
class Simulated:
    """A size distribution as simulated.

    Parameters
    ----------
    mean, sd : float
        Moments of the draws. [mm]
    lower, upper : float
        Bounds of the central 95 %. [mm]
    below, above : float
        Shares outside the limits asked about. [-]
    draws : int
        Number of draws. [-]
    """

    mean: float
    sd: float
    lower: float
    upper: float
    below: float
    above: float
    draws: int


def simulate(
    size: SizeDistribution, lower: float, upper: float, *, seed: int = 1, draws: int = DRAWS
) -> Simulated:
    """Return the size by Monte Carlo.

    Parameters
    ----------
    size : SizeDistribution
        Terms with mean, sd and shape.
    lower, upper : float
        Limits of size. [mm]
    seed : int
        Seed; the same seed gives the same answer. [-]
    draws : int
        Number of draws. [-]

    Returns
    -------
    Simulated
        Moments, interval and shares outside.

    Notes
    -----
    Moments agree with linear propagation by construction, since each shape is drawn with the
    term's own mean and sd. Shares outside may differ: a half-normal or lognormal term that
    dominates skews the sum. That difference is what the simulation is for.

    References
    ----------
    .. [1] JCGM 101:2008, clauses 5 and 6.4.
    """
    rng = np.random.default_rng(seed)
    total = np.zeros(draws)
    for term in size.terms:
        total += _draw(term, rng, draws)
    low, high = np.quantile(total, [0.025, 0.975])
    return Simulated(
        mean=float(total.mean()),
        sd=float(total.std()),
        lower=float(low),
        upper=float(high),
        below=float((total < lower).mean()),
        above=float((total > upper).mean()),
        draws=draws,
    )


def _draw(term: Term, rng: np.random.Generator, draws: int) -> NDArray[np.float64]:
    if term.sd == 0:
        return np.full(draws, term.mean)
    if term.shape is Shape.RECTANGULAR:
        half = term.sd * np.sqrt(3)
        return rng.uniform(term.mean - half, term.mean + half, draws)
    if term.shape is Shape.HALF_NORMAL:
        scale = term.sd / np.sqrt(1 - 2 / np.pi)
        start = term.mean - scale * np.sqrt(2 / np.pi)
        return np.asarray(start + np.abs(rng.normal(0.0, scale, draws)))
    if term.shape is Shape.NEGATIVE_LOGNORMAL and term.mean < 0:
        sigma2 = np.log1p((term.sd / term.mean) ** 2)
        mu = np.log(-term.mean) - sigma2 / 2
        return np.asarray(-rng.lognormal(mu, np.sqrt(sigma2), draws))
    return rng.normal(term.mean, term.sd, draws)
