"""What to check next, from the readings so far: the pin, the hole, and whether it is worth it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from holewright.callout.callout import Limits
from holewright.errors import NoAnswerError
from holewright.gauging.count_holes import count_holes
from holewright.gauging.next_pin import (
    Help,
    NextCheck,
    next_checks,
    next_for_hole,
    vague_prior,
    what_would_help,
)
from holewright.gauging.posterior import posterior, prior_of
from holewright.gauging.reading import Reading
from holewright.gauging.reading_interval import hole_sizes
from holewright.gauging.size_model import model_of
from holewright.shop.shop import Shop
from holewright.uncertainty import Known, SizeDistribution
from holewright.units import Unit

WORTH = 0.02
"""Expected information below which another check with these pins isn't worth the walk. [bit]"""


@dataclass(frozen=True)
class Advice:
    """What to check next.

    Parameters
    ----------
    new_hole : tuple of NextCheck
        For a hole not checked yet: the pin that tells most about the process first.
    open_holes : tuple of (str, NextCheck)
        For each hole that isn't decided yet, the pin that tells most about it; the most
        telling check first.
    help : Help
        Whether more holes or better known pins would help.
    text : str
        The sentence for the machinist.
    """

    new_hole: tuple[NextCheck, ...]
    open_holes: tuple[tuple[str, NextCheck], ...]
    help: Help
    text: str


def advise(
    readings: Sequence[Reading],
    shop: Shop,
    limits: Limits,
    *,
    material_alpha: Known | float,
    forecast: SizeDistribution | None = None,
    unit: Unit = Unit.MM,
) -> Advice:
    """Return what to check next.

    Parameters
    ----------
    readings : sequence of Reading
        The readings so far.
    shop : Shop
        Tool room with the pins.
    limits : Limits
        Limits of size. [mm]
    material_alpha : Known or float
        Thermal expansion of the part. [1/K]
    forecast : SizeDistribution, optional
        The size that was forecast; without it a vague prior about the zone. [mm]
    unit : Unit
        Unit that sentences say first.

    Returns
    -------
    Advice
        The advice.

    Raises
    ------
    NoAnswerError
        If no hole has a usable reading yet, or no pin lies near the zone.
    InputError
        If a gauge isn't in the tool room.
    """
    holes, _ = hole_sizes(readings, shop, material_alpha=material_alpha, unit=unit)
    model = model_of(holes)
    near = [p for p in shop.pins if abs(p.marked - limits.middle) <= 1.5 * limits.width]
    if model is None:
        raise NoAnswerError("No hole has a usable reading yet: start with the GO pin on any hole.")
    if not near:
        raise NoAnswerError("No pin in the tool room lies near these limits.")
    prior = prior_of(forecast) if forecast is not None else vague_prior(limits)
    drawn = posterior(model, prior)
    checks = next_checks(drawn, model, near, limits)
    undecided = []
    for hole in holes:
        if hole.contradicts or not count_holes([hole], limits).unsure:
            continue
        for check in next_for_hole(drawn, model, near, limits, hole.lower, hole.upper)[:1]:
            undecided.append((hole.hole, check))
    undecided.sort(key=lambda pair: -pair[1].bits)
    helps = what_would_help(model, prior, limits, unit=unit)
    return Advice(checks, tuple(undecided), helps, _sentence(checks[0], undecided, helps))


def _sentence(check: NextCheck, undecided: Sequence[tuple[str, NextCheck]], helps: Help) -> str:
    if undecided and undecided[0][1].bits > max(check.bits, WORTH):
        hole, best = undecided[0]
        return (
            f"Next, try pin {best.pin} in hole {hole}: it is expected to go "
            f"{_chance(best.goes)}, and its answer tells most. {helps.text}"
        )
    if check.bits > WORTH:
        return (
            f"Next, try pin {check.pin} in a hole not checked yet: it is expected to go "
            f"{_chance(check.goes)}, and its answer tells most of the process. {helps.text}"
        )
    return f"No single check with these pins would tell much more. {helps.text}"


def _chance(p: float) -> str:
    tenths = math.floor(10 * p + 0.5)
    if tenths == 0:
        return "hardly ever"
    return "nearly always" if tenths == 10 else f"about {tenths} times in 10"
