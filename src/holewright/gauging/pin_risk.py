"""What a GO and a NO-GO let through and refuse when this process makes the holes.

The 10 % rule asks only about the pins. With a forecast of the sizes that will come, the risk
itself can be reckoned: bad holes passed, good holes refused; and the pins with the least cost.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr

from holewright.callout.callout import Limits
from holewright.errors import OutOfRangeError
from holewright.gauging.pin_size import TrueSize, pin_size
from holewright.shop.pin import Pin

Floats = NDArray[np.float64]

_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(24)
_REACH = 7.0
"""Standard uncertainties to which a normal error is followed. [-]"""


@dataclass(frozen=True)
class SideRisk:
    """Risk at one limit, as shares of all holes made.

    Parameters
    ----------
    passes_bad : float
        Holes beyond this limit that the pin passes. [-]
    refuses_good : float
        Holes inside both limits that the pin refuses. [-]
    """

    passes_bad: float
    refuses_good: float


@dataclass(frozen=True)
class RiskChoice:
    """The pins of least cost for a process.

    Parameters
    ----------
    go, no_go : Pin, optional
        None where there is no pin at all.
    lower, upper : SideRisk
        What the GO does at the lower limit and the NO-GO at the upper one. Without a pin, all
        bad holes beyond that limit pass and no good one is refused.
    cost : float
        Good holes refused plus `bad_costs` times bad holes passed, a share of all made. [-]
    """

    go: Pin | None
    no_go: Pin | None
    lower: SideRisk
    upper: SideRisk
    cost: float


def go_risk(size: TrueSize, limits: Limits, mean: float, sd: float) -> SideRisk:
    r"""Return the risk of a GO pin at the lower limit.

    .. math:: R_C = E_P[\Phi_L - \Phi_P]_+, \quad R_P = E_P[\Phi_{\min(P, U)} - \Phi_L]_+

    with :math:`\Phi_x = \Phi[(x - \mu)/\sigma]` and the expectation over the pin's true size P.

    Parameters
    ----------
    size : TrueSize
        The pin. [mm]
    limits : Limits
        Limits of size. [mm]
    mean, sd : float
        Process that makes the holes, normal; sd more than 0. [mm]

    Returns
    -------
    SideRisk
        Shares of all holes made.

    Raises
    ------
    OutOfRangeError
        If `sd` isn't more than 0.

    Notes
    -----
    The pin's own error is averaged over: for the pin in hand the shares are others, but the
    same for all holes. A hole is taken to let in any pin smaller than itself.

    References
    ----------
    .. [1] JCGM 106:2012, clause 9: global risk of consumer and producer.
    """
    if not sd > 0:
        raise OutOfRangeError("sd", sd, "more than 0")
    size_, weight = _true_sizes(size, limits)
    at_limit = ndtr((limits.lower - mean) / sd)
    at_pin = ndtr((np.minimum(size_, limits.upper) - mean) / sd)
    return SideRisk(
        passes_bad=float(weight @ np.maximum(at_limit - at_pin, 0.0)),
        refuses_good=float(weight @ np.maximum(at_pin - at_limit, 0.0)),
    )


def no_go_risk(size: TrueSize, limits: Limits, mean: float, sd: float) -> SideRisk:
    """Return the risk of a NO-GO pin at the upper limit: the mirror image of :func:`go_risk`."""
    mirrored = Limits(-limits.upper, -limits.lower)
    turned = TrueSize(-size.best, size.half_width, size.u_gauge, size.u_temperature)
    return go_risk(turned, mirrored, -mean, sd)


def choose_by_risk(
    limits: Limits, pins: Sequence[Pin], mean: float, sd: float, *, bad_costs: float = 20.0
) -> RiskChoice:
    """Return the GO and NO-GO of least cost for holes of this process.

    Parameters
    ----------
    limits : Limits
        Limits of size. [mm]
    pins : sequence of Pin
        Pins to choose from; may be empty.
    mean, sd : float
        Forecast of the sizes to be gauged. [mm]
    bad_costs : float
        What one bad hole passed costs, in good holes refused; more than 0. A judgement for
        the shop to make. [-]

    Returns
    -------
    RiskChoice
        The choice with its risks. The two limits don't interfere: each pin is chosen by
        itself.

    Raises
    ------
    OutOfRangeError
        If `sd` or `bad_costs` isn't more than 0.

    Notes
    -----
    Unlike :func:`holewright.gauging.limit_pins.choose_pins` this may choose a pin that can
    pass a bad hole, where the process makes next to none of those it would pass.
    """
    for name, value in (("sd", sd), ("bad_costs", bad_costs)):
        if not value > 0:
            raise OutOfRangeError(name, value, "more than 0")

    def cost(risk: SideRisk) -> float:
        return bad_costs * risk.passes_bad + risk.refuses_good

    def best(risks: list[tuple[Pin, SideRisk]], share_beyond: float) -> tuple[Pin | None, SideRisk]:
        if not risks:
            return None, SideRisk(share_beyond, 0.0)
        return min(risks, key=lambda pair: (cost(pair[1]), pair[0].id))

    sizes = [(pin, pin_size(pin)) for pin in pins]
    go, lower = best(
        [(p, go_risk(s, limits, mean, sd)) for p, s in sizes],
        float(ndtr((limits.lower - mean) / sd)),
    )
    no_go, upper = best(
        [(p, no_go_risk(s, limits, mean, sd)) for p, s in sizes],
        float(ndtr((mean - limits.upper) / sd)),
    )
    return RiskChoice(go, no_go, lower, upper, cost(lower) + cost(upper))


def _true_sizes(size: TrueSize, limits: Limits) -> tuple[Floats, Floats]:
    """Return nodes and weights of the pin's true size: a rectangle, a normal, or their sum."""
    a, u = size.half_width, math.hypot(size.u_gauge, size.u_temperature)
    if a == 0 and u == 0:
        return np.array([size.best]), np.array([1.0])
    low, high = size.best - a, size.best + a
    edges = {low - _REACH * u, high + _REACH * u, low, high, size.best}
    # The risk has a kink at either limit, and the density is steep near the rectangle's ends.
    edges |= {limits.lower, limits.upper}
    edges |= {e + k * u for e in (low, high) for k in (-3.0, -1.0, 1.0, 3.0)}
    cuts = np.array(sorted(e for e in edges if low - _REACH * u <= e <= high + _REACH * u))
    middle, half = (cuts[1:] + cuts[:-1]) / 2, np.diff(cuts) / 2
    nodes = (middle[:, None] + half[:, None] * _NODES).ravel()
    weights = (half[:, None] * _WEIGHTS).ravel()
    if u == 0:
        density = np.full(nodes.size, 1 / (2 * a))
    elif a == 0:
        z = (nodes - size.best) / u
        density = np.exp(-z * z / 2) / (u * math.sqrt(2 * math.pi))
    else:
        density = (ndtr((nodes - low) / u) - ndtr((nodes - high) / u)) / (2 * a)
    return nodes, weights * density
