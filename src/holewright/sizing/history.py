r"""What earlier jobs of the shop say of the next: the forecast corrected by what came.

Each job came out some way off its forecast. Part of that belongs to its material, part to its
coolant, to its kind of reamer, to its machine, and the rest to itself alone. The handbook's
spreads say beforehand how large each part may be; how right the handbook is, the jobs show
together (empirical Bayes). All is normal, so that the answer is that of one linear system:

.. math::
    d_i = \sum_k s_{ik} z_{k(i)} + w_i e_i + \varepsilon_i, \qquad
    z, e \sim N(0, 1), \quad \varepsilon_i \sim N(0, u_i^2)
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from holewright.errors import OutOfRangeError

Floats = NDArray[np.float64]


class Kin(StrEnum):
    """What one job may share with another."""

    MATERIAL = "material"
    COOLANT = "coolant"
    TOOL_KIND = "tool kind"
    MACHINE = "machine"


@dataclass(frozen=True)
class Deviation:
    """How far one quantity of a job came out from its forecast, and what may have made it.

    Parameters
    ----------
    job : str
        Name of the job.
    kin : mapping
        What it shares: its material, its coolant, its kind of reamer, its machine.
    spreads : mapping
        Standard deviation that each of these may bring, by the handbook; none: no part.
    own : float
        Standard deviation that belongs to this job alone, by the handbook.
    value : float
        What came less what was forecast, all in one unit.
    u : float
        Standard uncertainty of `value` as measured, in that unit.
    """

    job: str
    kin: Mapping[Kin, str]
    spreads: Mapping[Kin, float]
    own: float
    value: float = 0.0
    u: float = 0.0


@dataclass(frozen=True)
class Share:
    """What one kin of the job brings, before and after hearing the shop.

    Parameters
    ----------
    kin : Kin
        What is shared.
    name : str
        Which material, coolant …
    prior_sd : float
        Spread by the handbook, about 0.
    mean, sd : float
        After hearing the shop.
    jobs : int
        Earlier jobs that share it. [-]
    """

    kin: Kin
    name: str
    prior_sd: float
    mean: float
    sd: float
    jobs: int


@dataclass(frozen=True)
class Corrected:
    """A quantity of the forecast before and after hearing the shop.

    Parameters
    ----------
    prior_mean, prior_sd : float
        By the handbook.
    mean, sd : float
        With the shop's jobs.
    shares : tuple of Share
        By what the job shares with them. They lean on each other: their spreads don't add up.
    jobs : int
        Earlier jobs that share anything with it. [-]
    handbook, own : float
        What the shop's jobs multiply the handbook's spreads by: those that are shared, and
        that of a single job. [-]
    """

    prior_mean: float
    prior_sd: float
    mean: float
    sd: float
    shares: tuple[Share, ...] = field(default=())
    jobs: int = 0
    handbook: float = 1.0
    own: float = 1.0

    @property
    def data(self) -> tuple[float, float] | None:
        r"""What the shop's jobs say alone: value and standard uncertainty.

        They are what turns the prior into the posterior:

        .. math::
            \frac{1}{u^2} = \frac{1}{s_1^2} - \frac{1}{s_0^2}, \qquad
            y = u^2 \left(\frac{m_1}{s_1^2} - \frac{m_0}{s_0^2}\right)

        None where they say nothing, or only that the handbook's spread is too small.
        """
        if self.jobs == 0 or not 0 < self.sd < self.prior_sd * (1 - 1e-9):
            return None
        precision = 1 / self.sd**2 - 1 / self.prior_sd**2
        weighted = self.mean / self.sd**2 - self.prior_mean / self.prior_sd**2
        return weighted / precision, 1 / math.sqrt(precision)


_FACTOR = 1.5
"""How far off the handbook's spreads may be as a factor, one standard deviation. [-]"""
_GRID = np.exp(np.linspace(-1.4, 1.4, 9))


def hear(now: Deviation, prior_mean: float, past: Sequence[Deviation]) -> Corrected:
    r"""Correct a quantity of the forecast by earlier jobs.

    Parameters
    ----------
    now : Deviation
        The job that is forecast, its `value` and `u` left at 0.
    prior_mean : float
        The quantity by the handbook, in the unit of all.
    past : sequence of Deviation
        Earlier jobs. Those that share nothing with it still tell how right the handbook is.

    Returns
    -------
    Corrected
        The quantity, before and after.

    Raises
    ------
    OutOfRangeError
        If a spread or an uncertainty is negative.

    Notes
    -----
    Two factors scale the handbook's spreads, one for all that jobs share and one for what
    belongs to a job alone. They are set to where the earlier jobs are most likely, each held
    to 1 within a factor of 1.5 by a prior of its own, so that two jobs don't overthrow the
    handbook. With one kin and no part of its own the mean is the well-known

    .. math:: (m_0/s_0^2 + n \bar{d}/u^2) / (1/s_0^2 + n/u^2)

    References
    ----------
    .. [1] G. K. Robinson, "That BLUP is a good thing: the estimation of random effects",
       Statistical Science 6 (1991) 15-32.
    """
    for one in (now, *past):
        least = min((*one.spreads.values(), one.own, one.u), default=0.0)
        if not least >= 0:
            raise OutOfRangeError(f"spread of {one.job}", least, "0 or more")
    shared = math.fsum(s**2 for s in now.spreads.values())
    prior_sd = math.sqrt(shared + now.own**2)
    if not past:
        return Corrected(prior_mean, prior_sd, prior_mean, prior_sd, _before(now))
    handbook, own = _factors(past)
    posterior = _solve(now, past, handbook, own)
    return Corrected(
        prior_mean,
        prior_sd,
        prior_mean + posterior.mean,
        math.sqrt(max(posterior.variance, 0.0)),
        posterior.shares,
        sum(any(_same(now, one, kin) for kin in Kin) for one in past),
        handbook,
        own,
    )


def _before(now: Deviation) -> tuple[Share, ...]:
    return tuple(
        Share(kin, now.kin[kin], spread, 0.0, spread, 0)
        for kin, spread in now.spreads.items()
        if spread > 0
    )


def _same(one: Deviation, other: Deviation, kin: Kin) -> bool:
    """Return whether both share a kin that brings something in either."""
    brings = one.spreads.get(kin, 0.0) > 0 and other.spreads.get(kin, 0.0) > 0
    return brings and one.kin.get(kin) == other.kin.get(kin)


def _covariance(past: Sequence[Deviation], kin: Kin) -> Floats:
    """Return what a kin makes jobs have in common, shape (jobs, jobs)."""
    spread = np.array([one.spreads.get(kin, 0.0) for one in past])
    name = np.array([one.kin.get(kin, "") for one in past])
    same: Floats = np.where(name[:, None] == name[None, :], np.outer(spread, spread), 0.0)
    return same


def _factors(past: Sequence[Deviation]) -> tuple[float, float]:
    """Return the factors on the handbook's spreads at which the jobs are most likely."""
    shared = sum((_covariance(past, kin) for kin in Kin), np.zeros((len(past), len(past))))
    own = np.array([one.own for one in past]) ** 2
    noise = np.array([one.u for one in past]) ** 2
    d = np.array([one.value for one in past])
    unit = math.sqrt(max(float((shared.diagonal() + own + noise).mean()), 1e-300))

    def height(h: float, o: float) -> float:
        v = (h * h * shared + np.diag(o * o * own + noise)) / unit**2
        v += 1e-9 * np.eye(len(past))
        root = np.linalg.cholesky(v)
        z = np.linalg.solve(root, d / unit)
        prior = (math.log(h) ** 2 + math.log(o) ** 2) / math.log(_FACTOR) ** 2
        return -float(z @ z) / 2 - float(np.log(np.diag(root)).sum()) - prior / 2

    best = max(((h, o) for h in _GRID for o in _GRID), key=lambda pair: height(*pair))
    step = float(np.log(_GRID[1] / _GRID[0]))
    for _ in range(12):
        step /= 2
        near = [
            (best[0] * math.exp(i * step), best[1] * math.exp(j * step))
            for i in (-1, 0, 1)
            for j in (-1, 0, 1)
        ]
        best = max(near, key=lambda pair: height(*pair))
    return float(best[0]), float(best[1])


@dataclass(frozen=True)
class _Posterior:
    mean: float
    variance: float
    shares: tuple[Share, ...]


def _solve(now: Deviation, past: Sequence[Deviation], handbook: float, own: float) -> _Posterior:
    """Return what the job's shared parts are, given how the others came out."""
    n = len(past)
    each = {kin: handbook**2 * _covariance(past, kin) for kin in Kin}
    total = sum(each.values(), np.zeros((n, n)))
    total = total + np.diag([(own * one.own) ** 2 + one.u**2 for one in past])
    scale = math.sqrt(max(float(total.diagonal().mean()), 1e-300))
    total = total / scale**2 + 1e-12 * np.eye(n)
    d = np.array([one.value for one in past]) / scale
    towards: dict[Kin, Floats] = {}
    for kin in Kin:
        own_spread = handbook * now.spreads.get(kin, 0.0)
        towards[kin] = np.array(
            [
                own_spread * handbook * one.spreads[kin] if _same(now, one, kin) else 0.0
                for one in past
            ]
        )
    cross = sum(towards.values(), np.zeros(n)) / scale
    weights = np.linalg.solve(total, cross)
    before = math.fsum((handbook * s) ** 2 for s in now.spreads.values())
    shares = []
    for kin, spread in now.spreads.items():
        if spread <= 0:
            continue
        mine = towards[kin] / scale
        w = np.linalg.solve(total, mine)
        shares.append(
            Share(
                kin,
                now.kin[kin],
                spread,
                float(w @ d),
                math.sqrt(max((handbook * spread) ** 2 - float(w @ mine), 0.0)),
                sum(_same(now, one, kin) for one in past),
            )
        )
    return _Posterior(
        float(weights @ d),
        before - float(weights @ cross) + (own * now.own) ** 2,
        tuple(shares),
    )
