"""What each setting did to size, by interval regression with the tool's drift told apart."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import combinations

import numpy as np
from numpy.typing import NDArray
from scipy.special import chdtrc

from holewright.errors import InputError, NoAnswerError
from holewright.gauging.interval_fit import IntervalFit
from holewright.gauging.known_scatter import fit_known_scatter
from holewright.gauging.reading_interval import HoleSize
from holewright.gauging.shared_pins import fit_model
from holewright.gauging.size_model import SizeModel, model_of
from holewright.gauging.statement import Statement, difference, interval_of, size_at
from holewright.plate.columns import Column, columns_of
from holewright.plate.effect import LevelMean, PlateEffect, capital, size_sentence
from holewright.plate.factors import Factor, Level, Setting
from holewright.reasons import Reason
from holewright.units import Unit, format_small

Floats = NDArray[np.float64]

DRIFT = "order of cutting"
"""Name of the cause that every plate has beside its factors."""
HOLES_FOR_PAIRS = 4
"""Holes for each coefficient from which on pairs of factors are looked at. [-]"""
BENT = 0.05
"""Levels are said not to lie on a line where chance bends one so seldom. [-]"""


@dataclass(frozen=True, eq=False)
class SizeEffects:
    """What the plate says of size.

    Parameters
    ----------
    effects : tuple of PlateEffect
        One for each factor step, pairs last.
    drift : PlateEffect
        Change from the first hole cut to the last.
    means : tuple of LevelMean
        Main effects, level by level.
    fit : IntervalFit
        The fit behind the effects.
    columns : tuple of Column
        Its causes but drift and pairs.
    pairs : tuple of (str, str)
        Pairs of factors that are in the fit.
    noted : tuple of Reason
        What to know about it.
    """

    effects: tuple[PlateEffect, ...]
    drift: PlateEffect
    means: tuple[LevelMean, ...]
    fit: IntervalFit
    columns: tuple[Column, ...]
    pairs: tuple[tuple[str, str], ...]
    noted: tuple[Reason, ...] = ()


@dataclass(frozen=True, eq=False)
class Cuts:
    """The holes of a plate as they were cut.

    Parameters
    ----------
    factors : tuple of Factor
        What was varied.
    settings : mapping
        Hole name -> its setting.
    cut : mapping
        Hole name -> place in the order of cutting, from 1. [-]
    """

    factors: tuple[Factor, ...]
    settings: Mapping[str, Setting]
    cut: Mapping[str, int]


def size_effects(
    holes: Sequence[HoleSize],
    cuts: Cuts,
    *,
    scatter: float,
    confidence: float = 0.95,
    unit: Unit = Unit.MM,
) -> SizeEffects:
    """Return what each factor did to size.

    Parameters
    ----------
    holes : sequence of HoleSize
        What the readings say of each hole.
    cuts : Cuts
        Setting and order of each.
    scatter : float
        Scatter from hole to hole by the forecast; used only where the pins are too coarse to
        show any. [mm]
    confidence : float
        Two-sided confidence of the intervals, between 0 and 1. [-]
    unit : Unit
        Unit that sentences say first.

    Returns
    -------
    SizeEffects
        Effects with profile-likelihood intervals; the pins' own errors are in them.

    Raises
    ------
    InputError
        If a hole isn't on the plate, or the settings can't be told apart.
    NoAnswerError
        If the readings have no finite fit even with the scatter of the forecast.
    """
    usable = [h for h in holes if not h.contradicts]
    for hole in usable:
        if hole.hole not in cuts.settings:
            raise InputError("hole", hole.hole, "must be a hole of the plate")
    columns = columns_of(cuts.factors)
    pairs = _pairs(usable, cuts, columns)
    fit, assumed = _fit(_model(usable, cuts, columns, pairs), scatter)
    noted = [_assumed(scatter, unit)] if assumed else []
    means: list[LevelMean] = []
    for factor in cuts.factors:
        found, bent = _level_means(usable, cuts, factor, fit, scatter, confidence, unit)
        means += found
        noted += [bent] if bent else []
    effects = [_effect(fit, column, confidence, unit) for column in columns]
    effects += [_pair_effect(fit, pair, confidence, unit) for pair in pairs]
    return SizeEffects(
        effects=tuple(effects),
        drift=_drift(fit, max(cuts.cut.values()), confidence, unit),
        means=tuple(means),
        fit=fit,
        columns=columns,
        pairs=tuple(pairs),
        noted=tuple(noted),
    )


def size_of_setting(found: SizeEffects, factors: Sequence[Factor], setting: Setting) -> Statement:
    """Return the mean size at a setting, at the middle of the order of cutting.

    Parameters
    ----------
    found : SizeEffects
        What the plate says.
    factors : sequence of Factor
        What was varied.
    setting : tuple
        One level of each. Numbers may lie between those that were cut.
    """
    level = dict(zip((f.kind for f in factors), setting, strict=True))
    causes = {c.name: c.value(level[c.factor.kind]) for c in found.columns}
    for one, other in found.pairs:
        centre = _pair_centre(found, one), _pair_centre(found, other)
        causes[_pair_name((one, other))] = (causes[one] - centre[0]) * (causes[other] - centre[1])
    return size_at(found.fit, causes)


def _pair_centre(found: SizeEffects, name: str) -> float:
    names = [effect.name for effect in found.fit.effects]
    return float(found.fit.hill.scaling.x_centre[names.index(name)])


def _pair_name(pair: tuple[str, str]) -> str:
    return f"{pair[0]} with {pair[1]}"


def _pairs(
    holes: Sequence[HoleSize], cuts: Cuts, columns: Sequence[Column]
) -> list[tuple[str, str]]:
    """Return the pairs of numeric factors that these holes can tell from all else."""
    numbers = [c for c in columns if c.level is None]
    pairs: list[tuple[str, str]] = []
    for one, other in combinations(numbers, 2):
        trial = [*pairs, (one.name, other.name)]
        table = _causes(holes, cuts, columns, trial)
        x = np.array([list(row.values()) for row in table.values()])
        x = np.column_stack([np.ones(len(x)), (x - x.mean(0)) / np.where(x.std(0), x.std(0), 1)])
        enough = len(x) >= HOLES_FOR_PAIRS * x.shape[1]
        if enough and np.linalg.cond(x) < 30:
            pairs = trial
    return pairs


def _causes(
    holes: Sequence[HoleSize],
    cuts: Cuts,
    columns: Sequence[Column],
    pairs: Sequence[tuple[str, str]] = (),
) -> dict[str, dict[str, float]]:
    kinds = [f.kind for f in cuts.factors]
    table: dict[str, dict[str, float]] = {}
    for hole in holes:
        level = dict(zip(kinds, cuts.settings[hole.hole], strict=True))
        row = {c.name: c.value(level[c.factor.kind]) for c in columns}
        table[hole.hole] = row | {DRIFT: float(cuts.cut[hole.hole])}
    for one, other in pairs:
        middle = [float(np.mean([row[name] for row in table.values()])) for name in (one, other)]
        for row in table.values():
            row[_pair_name((one, other))] = (row[one] - middle[0]) * (row[other] - middle[1])
    return table


def _model(
    holes: Sequence[HoleSize],
    cuts: Cuts,
    columns: Sequence[Column],
    pairs: Sequence[tuple[str, str]] = (),
) -> SizeModel:
    model = model_of(holes, _causes(holes, cuts, columns, pairs))
    if model is None:
        raise NoAnswerError("No reading bounds a hole: there is nothing to compare.")
    return model


def _fit(model: SizeModel, scatter: float) -> tuple[IntervalFit, bool]:
    """Return the fit, and whether it had to lean on the scatter of the forecast."""
    try:
        return fit_model(model), False
    except NoAnswerError:
        return fit_known_scatter(model, scatter), True


def _assumed(scatter: float, unit: Unit) -> Reason:
    return Reason(
        "scatter-assumed",
        f"The pins are too coarse to show how far holes scatter. Effects in "
        f"{'µm' if unit is Unit.MM else 'tenths'} rest on the {format_small(scatter, unit)} of "
        f"the forecast, right to a factor of two; whether there is an effect doesn't.",
        scatter,
    )


def _effect(fit: IntervalFit, column: Column, confidence: float, unit: Unit) -> PlateEffect:
    statement = difference(fit, {column.name: 1.0})
    lower, upper = interval_of(statement, confidence)
    return PlateEffect(
        "size",
        column.name,
        column.words(unit),
        statement.value,
        lower,
        upper,
        confidence,
        size_sentence(capital(column.words(unit)), statement.value, lower, upper, confidence, unit),
    )


def _pair_effect(
    fit: IntervalFit, pair: tuple[str, str], confidence: float, unit: Unit
) -> PlateEffect:
    statement = difference(fit, {_pair_name(pair): 1.0})
    lower, upper = interval_of(statement, confidence)
    step = f"a step more of {pair[0]} and of {pair[1]}, beyond what each does alone,"
    return PlateEffect(
        "size",
        _pair_name(pair),
        step.rstrip(","),
        statement.value,
        lower,
        upper,
        confidence,
        size_sentence(capital(step), statement.value, lower, upper, confidence, unit),
    )


def _drift(fit: IntervalFit, holes: int, confidence: float, unit: Unit) -> PlateEffect:
    """Return what the order of cutting did, from the first hole of the plate to the last."""
    statement = difference(fit, {DRIFT: float(max(holes - 1, 1))})
    lower, upper = interval_of(statement, confidence)
    who = f"Cutting, from the first hole to hole {holes},"
    return PlateEffect(
        "size",
        DRIFT,
        f"first hole to hole {holes}",
        statement.value,
        lower,
        upper,
        confidence,
        size_sentence(who, statement.value, lower, upper, confidence, unit),
    )


def _level_means(
    holes: Sequence[HoleSize],
    cuts: Cuts,
    factor: Factor,
    fit: IntervalFit,
    scatter: float,
    confidence: float,
    unit: Unit,
) -> tuple[list[LevelMean], Reason | None]:
    """Return the mean at each level of a factor, and whether they don't lie on a line."""
    place = cuts.factors.index(factor)
    used = [level for level in factor.levels if _count(holes, cuts, place, level)]
    seen = replace(factor, levels=tuple(used)) if len(used) > 1 else factor
    factors = tuple(seen if f is factor else f for f in cuts.factors)
    columns = columns_of(factors, by_level=(seen,))
    own = [c for c in columns if c.factor is seen]
    try:
        by_level, _ = _fit(_model(holes, cuts, columns), scatter)
    except (NoAnswerError, InputError):
        return [], None
    means = []
    for i, level in enumerate(seen.levels):
        at = size_at(by_level, {c.name: float(c.level == level) for c in own})
        lower, upper = interval_of(at, confidence)
        means.append(
            LevelMean(
                str(factor.kind),
                factor.words(level, unit),
                float(level) if factor.is_number else float(i),
                at.value,
                lower,
                upper,
                _count(holes, cuts, place, level),
            )
        )
    if not factor.is_number or len(seen.levels) < 3:
        return means, None
    gain = 2 * (by_level.hill.summit - fit.hill.summit)
    p = float(chdtrc(len(seen.levels) - 2, max(gain, 0.0)))
    if p >= BENT:
        return means, None
    return means, Reason(
        "not-a-line",
        f"Size doesn't follow {factor.kind} along a straight line: chance bends one like that "
        f"{100 * p:.1f} % of the time. Go by the levels, not by the effect per step.",
        p,
        BENT,
        "share",
    )


def _count(holes: Sequence[HoleSize], cuts: Cuts, place: int, level: Level) -> int:
    return sum(cuts.settings[h.hole][place] == level for h in holes)
