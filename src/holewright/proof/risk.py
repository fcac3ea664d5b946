"""What a gauge and an acceptance rule cost maker and customer, over a whole process."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import ndtr, owens_t

from holewright.errors import OutOfRangeError

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Risks:
    """Shares of all holes made, by what they are and what is said of them.

    Parameters
    ----------
    consumer : ndarray
        Outside the limits, and accepted. [-]
    producer : ndarray
        Inside the limits, and not accepted. [-]
    accepted : ndarray
        Accepted. [-]
    conforming : ndarray
        Inside the limits. [-]
    """

    consumer: Floats
    producer: Floats
    accepted: Floats
    conforming: Floats

    @property
    def outside_among_accepted(self) -> Floats:
        """Share of the accepted holes that are outside: what the customer gets. [-]"""
        return self.consumer / self.accepted

    @property
    def scrapped_for_nothing(self) -> Floats:
        """Share of the holes not accepted that are inside: what the maker loses. [-]"""
        return self.producer / (1.0 - self.accepted)


def global_risks(
    process_mean: ArrayLike,
    process_sd: ArrayLike,
    u: ArrayLike,
    *,
    lower: ArrayLike,
    upper: ArrayLike,
    accept_from: ArrayLike | None = None,
    accept_to: ArrayLike | None = None,
) -> Risks:
    r"""Return consumer's and producer's risk of an acceptance rule.

    True size :math:`Y \sim N(y_0, u_0^2)`, measured size :math:`Y_m = Y + E` with
    :math:`E \sim N(0, u^2)`:

    .. math::
        R_C = P(Y \notin [T_L, T_U],\ Y_m \in [A_L, A_U]), \qquad
        R_P = P(Y \in [T_L, T_U],\ Y_m \notin [A_L, A_U])

    Parameters
    ----------
    process_mean : array_like
        Mean size y_0 of the process. [mm]
    process_sd : array_like
        Standard deviation u_0 of the true sizes, more than 0. [mm]
    u : array_like
        Standard uncertainty of one measurement, more than 0. [mm]
    lower, upper : array_like
        Limits of size; ``-inf`` or ``inf`` where there is none. [mm]
    accept_from, accept_to : array_like, optional
        Acceptance limits, as from :func:`~holewright.proof.conformance.acceptance_limits`;
        the limits of size themselves by default. [mm]

    Returns
    -------
    Risks
        Each in the broadcast shape of the inputs. [-]

    Raises
    ------
    OutOfRangeError
        If `process_sd` or `u` is not positive, or a lower limit is not below its upper.

    Notes
    -----
    True and measured size are bivariate normal with correlation
    :math:`u_0 / \sqrt{u_0^2 + u^2}`. Each quadrant comes from two of Owen's T functions,
    exact to about 1e-15. A risk is a tail less the corners of that tail, so a small one is
    known to about 1e-14 of the share outside. Holds for a process in control: no wear.

    References
    ----------
    .. [1] JCGM 106:2012, clause 9.5, global consumer's and producer's risk.
    .. [2] Owen, D. B. (1956), "Tables for computing bivariate normal probabilities",
       Ann. Math. Statist. 27(4), 1075-1090. doi:10.1214/aoms/1177728074.
    """
    accept_from = lower if accept_from is None else accept_from
    accept_to = upper if accept_to is None else accept_to
    y0, u0, um, t_l, t_u, a_l, a_u = (
        np.asarray(a, dtype=float)
        for a in np.broadcast_arrays(
            process_mean, process_sd, u, lower, upper, accept_from, accept_to
        )
    )
    for name, ok, value, accepted in (
        ("process_sd", u0 > 0, u0, "more than 0"),
        ("u", um > 0, um, "more than 0"),
        ("lower", t_l < t_u, t_l, "below the upper limit"),
        ("accept_from", a_l < a_u, a_l, "below accept_to: the guard bands leave nothing"),
    ):
        if not ok.all():
            raise OutOfRangeError(name, float(value[~ok].flat[0]), accepted)
    spread = np.hypot(u0, um)
    rho, rest = u0 / spread, um / spread
    # In standard units, upper side and lower side mirrored: h true size, k measured size.
    h_u, h_l = (t_u - y0) / u0, (y0 - t_l) / u0
    k_u, k_l = (a_u - y0) / spread, (y0 - a_l) / spread
    both_high = _corner(h_u, k_u, rho, rest)  # true above T_U, measured above A_U
    both_low = _corner(h_l, k_l, rho, rest)
    high_low = _corner(h_u, k_l, -rho, rest)  # true above T_U, measured below A_L
    low_high = _corner(h_l, k_u, -rho, rest)
    outside = ndtr(-h_u) + ndtr(-h_l)
    refused = ndtr(-k_u) + ndtr(-k_l)
    outside_refused = both_high + both_low + high_low + low_high
    return Risks(
        consumer=np.maximum(outside - outside_refused, 0.0),
        producer=np.maximum(refused - outside_refused, 0.0),
        accepted=1.0 - refused,
        conforming=1.0 - outside,
    )


def _corner(h: Floats, k: Floats, rho: Floats, rest: Floats) -> Floats:
    """Return P(X > h, Y > k) for standard normal X, Y with correlation rho.

    `rest` is sqrt(1 - rho**2), given apart since 1 - rho**2 loses its digits for a fine gauge.
    """
    with np.errstate(divide="ignore", invalid="ignore"):
        a_h = (k / h - rho) / rest
        a_k = (h / k - rho) / rest
    both_zero = (h == 0) & (k == 0)
    a_h = np.where(np.isnan(a_h), 0.0, a_h)
    a_k = np.where(np.isnan(a_k), 0.0, a_k)
    opposite = (h * k < 0) | ((h * k == 0) & (h + k < 0))
    with np.errstate(invalid="ignore"):
        p = (
            (ndtr(-h) + ndtr(-k)) / 2
            - owens_t(h, a_h)
            - owens_t(k, a_k)
            - np.where(opposite, 0.5, 0.0)
        )
    p = np.where(both_zero, 0.25 + np.arcsin(rho) / (2 * np.pi), p)
    # A side without a limit is never passed; one at minus infinity always is.
    p = np.where((h == np.inf) | (k == np.inf), 0.0, p)
    p = np.where(h == -np.inf, ndtr(-k), np.where(k == -np.inf, ndtr(-h), p))
    return np.maximum(p, 0.0)
