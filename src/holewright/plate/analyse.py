"""From the holes of a plate to what they show: size, chips, finish, and the setting to run."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr, ndtri

from holewright.callout.callout import Limits
from holewright.errors import NoAnswerError
from holewright.gauging.reading_interval import HoleSize
from holewright.gauging.statement import interval_of, scatter_of
from holewright.plate.chip_form import CHIP_FORMS, GOOD_CHIPS, ChipForm, OrdinalFit, fit_ordinal
from holewright.plate.columns import Column, columns_of
from holewright.plate.designs import coded
from holewright.plate.effect import PlateEffect, capital
from holewright.plate.effects import Cuts, SizeEffects, size_effects, size_of_setting
from holewright.plate.factors import Factor, Setting, setting_words
from holewright.plate.finish import FinishFit, fit_finish
from holewright.plate.layout import widening
from holewright.plate.lenth import contrasts, lenth
from holewright.plate.plate import PlateResult, RowResult, speed_of
from holewright.plate.recommend import not_shown, recommend
from holewright.reasons import Reason
from holewright.units import Unit, format_small

Floats = NDArray[np.float64]


def analyse(
    holes: Sequence[HoleSize],
    cuts: Cuts,
    limits: Limits,
    *,
    scatter: float,
    inside: float,
    chips: Mapping[str, ChipForm] | None = None,
    ra: Mapping[str, float] | None = None,
    ra_most: float | None = None,
    contradictions: Sequence[Reason] = (),
    confidence: float = 0.95,
    unit: Unit = Unit.MM,
) -> PlateResult:
    """Return what a test plate showed.

    Parameters
    ----------
    holes : sequence of HoleSize
        What the readings say of each hole.
    cuts : Cuts
        Setting and order of each.
    limits : Limits
        Limits of size. [mm]
    scatter : float
        Scatter from hole to hole by the forecast, for pins too coarse to show any. [mm]
    inside : float
        Share of holes inside that is asked for. [-]
    chips : mapping, optional
        Hole name -> form of its chips.
    ra : mapping, optional
        Hole name -> Ra. [µm]
    ra_most : float, optional
        Greatest Ra by the drawing. [µm]
    contradictions : sequence of Reason
        Readings that can't all be true.
    confidence : float
        Two-sided confidence of the intervals. [-]
    unit : Unit
        Unit that sentences say first.

    Returns
    -------
    PlateResult
        Effects, what each setting gave, and which to run.

    Raises
    ------
    InputError, NoAnswerError
        As :func:`holewright.plate.effects.size_effects`.
    """
    found = size_effects(holes, cuts, scatter=scatter, confidence=confidence, unit=unit)
    columns = columns_of(cuts.factors)
    noted = [*contradictions, *found.noted, *_by_themselves(holes, cuts, unit)]
    chip_fit = finish_fit = None
    if chips:
        chip_fit, said = _chips(chips, cuts, columns)
        noted += said
    if ra:
        finish_fit, said = _finish(ra, cuts, columns)
        noted += said
    settings = sorted(set(cuts.settings.values()), key=lambda setting: _place(setting, cuts))
    rows = tuple(
        _row(setting, found, cuts, limits, columns, chips, chip_fit, finish_fit, ra_most, unit)
        for setting in settings
    )
    choice = recommend(rows, inside=inside)
    ordered = [cuts.settings[name] for name in _in_order(cuts)]
    x = np.array([_values(setting, cuts.factors, columns) for setting in ordered])
    return PlateResult(
        factors=cuts.factors,
        holes=sum(1 for hole in holes if not hole.contradicts),
        size=found.effects,
        drift=found.drift,
        chips=_chip_effects(chip_fit, columns, confidence, unit) if chip_fit else (),
        finish=_finish_effects(finish_fit, columns, confidence, unit) if finish_fit else (),
        means=found.means,
        rows=rows,
        scatter=scatter_of(found.fit),
        scatter_se=found.fit.se_sd,
        recommended=choice.row,
        sentence=choice.sentence,
        because=choice.because,
        not_shown=not_shown(
            cuts.factors,
            found.effects,
            holes=max(cuts.cut.values()),
            chips_noted=bool(chips),
            finish_measured=bool(ra),
            finish_asked=ra_most is not None,
            widened=float(widening(x).max()),
            unit=unit,
        ),
        noted=tuple(noted),
    )


def _place(setting: Setting, cuts: Cuts) -> list[int]:
    return [f.levels.index(level) for f, level in zip(cuts.factors, setting, strict=True)]


def _in_order(cuts: Cuts) -> list[str]:
    return sorted(cuts.settings, key=lambda name: cuts.cut[name])


def _values(setting: Setting, factors: Sequence[Factor], columns: Sequence[Column]) -> list[float]:
    level = dict(zip((f.kind for f in factors), setting, strict=True))
    return [column.value(level[column.factor.kind]) for column in columns]


def _rows_of(names: Sequence[str], cuts: Cuts, columns: Sequence[Column]) -> Floats:
    """Return the causes of some holes with the order of cutting last."""
    return np.array(
        [
            [*_values(cuts.settings[name], cuts.factors, columns), float(cuts.cut[name])]
            for name in names
        ]
    )


def _by_themselves(holes: Sequence[HoleSize], cuts: Cuts, unit: Unit) -> list[Reason]:
    """Return what stands out of a two-level plate with one measured hole at each setting."""
    k = len(cuts.factors)
    values = {cuts.settings[h.hole]: h.value for h in holes if not h.contradicts}
    two = all(len(f.levels) == 2 for f in cuts.factors)
    if k < 2 or not two or not len(holes) == len(values) == 2**k:
        return []
    sizes = []
    for signs in coded(k):
        setting = tuple(f.levels[int(s > 0)] for f, s in zip(cuts.factors, signs, strict=True))
        value = values.get(setting)
        if value is None:
            return []
        sizes.append(value.best)
    found = contrasts(sizes, [str(f.kind) for f in cuts.factors])
    margin = lenth(found.effects)
    beyond = [
        " with ".join(names)
        for names, effect in zip(found.names, found.effects, strict=True)
        if abs(effect) > margin.me
    ]
    return [
        Reason(
            "judged-by-themselves",
            f"One hole at each setting leaves nothing to judge the effects by but the effects "
            f"themselves: beyond {format_small(margin.me, unit)} stand "
            f"{', '.join(beyond) or 'none'}; beyond {format_small(margin.sme, unit)} even the "
            f"largest is hardly chance.",
            margin.me,
            margin.sme,
        )
    ]


def _chips(
    chips: Mapping[str, ChipForm], cuts: Cuts, columns: Sequence[Column]
) -> tuple[OrdinalFit | None, list[Reason]]:
    names = list(chips)
    words = [str(chips[name]) for name in names]
    try:
        return fit_ordinal(words, _rows_of(names, cuts, columns), CHIP_FORMS), []
    except NoAnswerError as error:
        return None, [Reason("chips-not-fitted", str(error))]


def _finish(
    ra: Mapping[str, float], cuts: Cuts, columns: Sequence[Column]
) -> tuple[FinishFit | None, list[Reason]]:
    names = list(ra)
    try:
        return fit_finish([ra[name] for name in names], _rows_of(names, cuts, columns)), []
    except NoAnswerError as error:
        return None, [Reason("finish-not-fitted", str(error))]


def _row(
    setting: Setting,
    found: SizeEffects,
    cuts: Cuts,
    limits: Limits,
    columns: Sequence[Column],
    chips: Mapping[str, ChipForm] | None,
    chip_fit: OrdinalFit | None,
    finish_fit: FinishFit | None,
    ra_most: float | None,
    unit: Unit,
) -> RowResult:
    at = size_of_setting(found, cuts.factors, setting)
    lower, upper = interval_of(at)
    sd = scatter_of(found.fit)
    below = float(ndtr((limits.lower - at.value) / sd))
    above = float(ndtr((at.value - limits.upper) / sd))
    names = [name for name, other in cuts.settings.items() if other == setting]
    middle = float(np.mean(list(cuts.cut.values())))
    causes = [*_values(setting, cuts.factors, columns), middle]
    good = None
    if chip_fit is not None:
        shares = zip(chip_fit.words, chip_fit.shares(causes), strict=True)
        good = float(sum(share for word, share in shares if word in GOOD_CHIPS))
    elif chips:
        own = [chips[name] for name in names if name in chips]
        good = sum(word in GOOD_CHIPS for word in own) / len(own) if own else None
    within = None
    if finish_fit is not None and ra_most is not None:
        within = finish_fit.share_within(causes, ra_most)
    return RowResult(
        setting=setting,
        words=setting_words(cuts.factors, setting, unit),
        holes=len(names),
        mean=at.value,
        lower=lower,
        upper=upper,
        inside=max(0.0, 1 - below - above),
        good_chips=good,
        ra=finish_fit.at(causes) if finish_fit is not None else None,
        ra_within=within,
        speed=speed_of(cuts.factors, setting),
    )


def _chip_effects(
    fit: OrdinalFit, columns: Sequence[Column], confidence: float, unit: Unit
) -> tuple[PlateEffect, ...]:
    found = []
    for i, column in enumerate(columns):
        value = float(fit.effects[i])
        half = float(ndtri((1 + confidence) / 2)) * fit.se(i)
        lower, upper = value - half, value + half
        who = capital(column.words(unit))
        # Odds below 1 are said the other way round: people think in "times as likely".
        odds = np.exp(np.abs([value, lower, upper]))
        if lower <= 0 <= upper:
            text = f"{who}: no effect on the chips shown."
        else:
            way = "longer" if value > 0 else "tighter"
            low, high = sorted(odds[1:])
            text = (
                f"{who} makes the chips {way}: {odds[0]:.2g} times the odds "
                f"({100 * confidence:.0f} %: {low:.2g} to {high:.2g})."
            )
        found.append(
            PlateEffect(
                "chips", column.name, column.words(unit), value, lower, upper, confidence, text
            )
        )
    return tuple(found)


def _finish_effects(
    fit: FinishFit, columns: Sequence[Column], confidence: float, unit: Unit
) -> tuple[PlateEffect, ...]:
    found = []
    for i, column in enumerate(columns):
        value, lower, upper = fit.factor(i, confidence)
        who = capital(column.words(unit))
        span = (
            f"({100 * confidence:.0f} %: {100 * (lower - 1):+.0f} % to {100 * (upper - 1):+.0f} %)"
        )
        if lower <= 1 <= upper:
            text = f"{who}: no effect on Ra shown {span}."
        else:
            text = f"{who} changes Ra by {100 * (value - 1):+.0f} % {span}."
        found.append(
            PlateEffect(
                "finish",
                column.name,
                column.words(unit),
                value,
                lower,
                upper,
                confidence,
                text,
                none=1.0,
            )
        )
    return tuple(found)
