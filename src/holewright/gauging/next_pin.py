"""Which single check would tell most next, and when no further check with these pins would."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from scipy.special import entr, ndtr

from holewright.callout.callout import Limits
from holewright.gauging.pin_size import pin_size
from holewright.gauging.posterior import Posterior, Prior, posterior, share_inside
from holewright.gauging.size_model import SizeModel
from holewright.shares import share_at_most
from holewright.shop.pin import Pin
from holewright.units import Unit, format_small

Floats = NDArray[np.float64]

BINS = 24
"""Classes of the share inside between which a check is to tell. [-]"""
MORE = 100
"""Holes that are thought to be checked on top. [-]"""
NO_HELP = 0.1
"""Share of the doubt below which taking it away is no help. [-]"""
_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(9)
KNOWN = 1e-3
"""Share of its uncertainty that a pin is left with when it is thought calibrated. [-]"""


@dataclass(frozen=True)
class NextCheck:
    """A single check with one pin.

    Parameters
    ----------
    pin : str
        `id` of the pin.
    bits : float
        What its answer is expected to tell, at most 1. [bit]
    goes : float
        Chance that it goes. [-]
    """

    pin: str
    bits: float
    goes: float


@dataclass(frozen=True)
class Help:
    """What would make the share of good holes better known.

    Parameters
    ----------
    now : float
        Standard uncertainty of the share inside as things stand. [-]
    more_holes : float
        The same after a hundred more holes with the same pins and the same picture. [-]
    known_pins : float
        The same with all gauges calibrated and no more holes. [-]
    pin : str
        Gauge whose calibration alone would help most; empty where all are known.
    text : str
        The sentence.
    """

    now: float
    more_holes: float
    known_pins: float
    pin: str
    text: str


def vague_prior(limits: Limits) -> Prior:
    """Return a prior for where there is no forecast: somewhere about the zone.

    Mean in the middle give or take twice the tolerance, scatter a sixth of it give or take a
    factor 3. A judgement, no source: wide enough that thirty readings outvote it.
    """
    return Prior(limits.middle, 2 * limits.width, limits.width / 6, 3.0)


def next_checks(
    drawn: Posterior, model: SizeModel, pins: Sequence[Pin], limits: Limits
) -> tuple[NextCheck, ...]:
    r"""Return what one more hole, checked with one pin, is expected to tell.

    .. math:: I(Y; Q) = H(E[p]) - E_Q[H(E[p \mid Q])]

    Parameters
    ----------
    drawn : Posterior
        What is known now.
    model : SizeModel
        The model it came from: a pin used before keeps the error that the readings suggest.
    pins : sequence of Pin
        Pins to choose from.
    limits : Limits
        Limits of size. [mm]

    Returns
    -------
    tuple of NextCheck
        The pin that tells most about the share inside, Q, first. Y is whether it goes, p its
        chance given mean, scatter and pin.

    References
    ----------
    .. [1] D. V. Lindley, Annals of Mathematical Statistics 27 (1956) 986-1005: expected
       information of an experiment.
    """
    share = share_inside(drawn, limits.lower, limits.upper)
    order = np.argsort(share, kind="stable")
    place = np.cumsum(drawn.weight[order]) - drawn.weight[order] / 2
    group = np.empty(share.size, dtype=np.intp)
    group[order] = np.minimum((place * BINS).astype(np.intp), BINS - 1)
    mass = np.bincount(group, drawn.weight, minlength=BINS)
    filled = mass > 0
    checks = []
    for pin in pins:
        p = _goes(drawn, model, pin)
        in_group = np.bincount(group, drawn.weight * p, minlength=BINS)[filled] / mass[filled]
        goes = float(drawn.weight @ p)
        bits = float(_entropy(goes) - mass[filled] @ _entropy(in_group))
        checks.append(NextCheck(pin.id, max(0.0, bits), goes))
    return tuple(sorted(checks, key=lambda c: (-c.bits, c.pin)))


def next_for_hole(
    drawn: Posterior,
    model: SizeModel,
    pins: Sequence[Pin],
    limits: Limits,
    lower: float,
    upper: float,
) -> tuple[NextCheck, ...]:
    """Return which pin is expected to tell most about whether one hole is good.

    Parameters
    ----------
    drawn, model, pins, limits
        As for :func:`next_checks`.
    lower, upper : float
        What is known of the hole; infinite where nothing is. [mm]

    Returns
    -------
    tuple of NextCheck
        The most telling pin first, in bits about good or not good.
    """
    mean, sd = drawn.mean, drawn.sd

    def mass(low: Floats | float, high: Floats | float) -> Floats:
        a, b = np.maximum(low, lower), np.minimum(high, upper)
        inside: Floats = np.maximum(ndtr((b - mean) / sd) - ndtr((a - mean) / sd), 0.0)
        return inside

    total = float(drawn.weight @ mass(-np.inf, np.inf))
    if not total > 0:
        return ()
    good = float(drawn.weight @ mass(limits.lower, limits.upper)) / total
    checks = []
    for pin in pins:
        goes = goes_good = 0.0
        for error, weight in _errors(drawn, model, pin):
            size = pin_size(pin).best + error
            goes += weight * float(drawn.weight @ mass(size, np.inf)) / total
            both = mass(np.maximum(size, limits.lower), limits.upper)
            goes_good += weight * float(drawn.weight @ both) / total
        cells = np.array(
            [goes_good, goes - goes_good, good - goes_good, 1 - goes - good + goes_good]
        )
        bits = _entropy(good) + _entropy(goes) - entr(np.maximum(cells, 0.0)).sum() / np.log(2)
        checks.append(NextCheck(pin.id, max(0.0, float(bits)), goes))
    return tuple(sorted(checks, key=lambda c: (-c.bits, c.pin)))


def what_would_help(
    model: SizeModel, prior: Prior, limits: Limits, *, unit: Unit = Unit.MM
) -> Help:
    """Return whether more holes or better known pins would make the share inside better known.

    Parameters
    ----------
    model : SizeModel
        The holes.
    prior : Prior
        What was known before: the forecast, or :func:`vague_prior`.
    limits : Limits
        Limits of size. [mm]
    unit : Unit
        Unit that sentences say first.

    Returns
    -------
    Help
        Standard uncertainties of the share now, with a hundred more holes of the same picture,
        and with calibrated gauges; the one to calibrate first.
    """
    now = _doubt(model, prior, limits)
    n = model.rows.n
    grown = replace(model.rows, count=model.rows.count * (n + MORE) / n)
    more = _doubt(replace(model, rows=grown), prior, limits)
    if not model.gauges:
        return Help(now, more, now, "", f"The gauges are known: only more holes help. {_say(more)}")
    known = _doubt(_calibrated(model, range(len(model.gauges))), prior, limits)
    alone = [_doubt(_calibrated(model, [i]), prior, limits) for i in range(len(model.gauges))]
    first = int(np.argmin(alone))
    pin, u = model.gauges[first], format_small(float(model.u[first]), unit)
    by_holes, by_pins = now - more, now - known
    if by_holes < NO_HELP * now and by_pins > max(NO_HELP * now, 2 * by_holes):
        text = (
            f"A hundred more holes would not help: the pin is the limit. Calibrate {pin} first; "
            f"its standard uncertainty is {u}. {_say(known)}"
        )
    elif by_pins > by_holes:
        text = f"Calibrating {pin} (standard uncertainty {u}) helps more than a hundred holes do."
    else:
        text = f"More holes help more than better known pins. {_say(more)}"
    return Help(now, more, known, pin, text)


def _say(doubt: float) -> str:
    known = share_at_most(max(doubt, 1e-6))
    return f"The share inside would then be known to {known} (standard uncertainty)."


def _doubt(model: SizeModel, prior: Prior, limits: Limits) -> float:
    """Return the standard uncertainty of the share inside."""
    drawn = posterior(model, prior)
    share = share_inside(drawn, limits.lower, limits.upper)
    mean = float(drawn.weight @ share)
    return float(np.sqrt(drawn.weight @ (share - mean) ** 2))


def _calibrated(model: SizeModel, which: Sequence[int] | range) -> SizeModel:
    """Return the model with some gauges known."""
    u, half = model.u.copy(), model.half_width.copy()
    u[list(which)] *= KNOWN
    half[list(which)] = 0.0
    return replace(model, u=u, half_width=half)


def _errors(drawn: Posterior, model: SizeModel, pin: Pin) -> list[tuple[Floats, float]]:
    """Return the error of a pin for each draw: as the readings suggest, or as its class allows."""
    if pin.id in model.gauges:
        return [(drawn.errors[:, model.gauges.index(pin.id)], 1.0)]
    size = pin_size(pin)
    # A pin not used yet: nodes over its rectangle, or over a normal of the same width.
    reach = size.half_width if size.half_width > 0 else np.sqrt(3) * size.u
    zero = np.zeros(drawn.mean.shape)
    return [(zero + x * reach, float(w / 2)) for x, w in zip(_NODES, _WEIGHTS, strict=True)]


def _goes(drawn: Posterior, model: SizeModel, pin: Pin) -> Floats:
    """Return the chance that a pin goes into a new hole, for each draw."""
    best = pin_size(pin).best
    p = np.zeros(drawn.mean.shape)
    for error, weight in _errors(drawn, model, pin):
        p += weight * ndtr((drawn.mean - best - error) / drawn.sd)
    return p


def _entropy(p: float | Floats) -> Floats:
    """Return the entropy of yes and no. [bit]"""
    q = np.clip(p, 0.0, 1.0)
    bits: Floats = (entr(q) + entr(1 - q)) / np.log(2)
    return bits
