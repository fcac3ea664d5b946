"""Study gauges and hands: how much of what is read, or judged, is the gauge's own doing."""

from __future__ import annotations

import math

import numpy as np

from holewright.gauging.gauge_bias import bias_at, linearity
from holewright.gauging.gauge_study import (
    POOL_ABOVE,
    GaugeStudy,
    analysis_of_variance,
    study_by_anova,
    study_by_ranges,
    study_table,
)
from holewright.jobs.answer import Answer, Figure
from holewright.jobs.study_agreement import study_agreement
from holewright.jobs.study_feel import study_feel
from holewright.jobs.studyfile import GaugeReadings, Judgements, MasterReadings, Study, Tries
from holewright.reasons import Reason
from holewright.units import Unit, format_both, format_small

GOOD_SHARE, MOST_SHARE = 0.10, 0.30
"""Share of the tolerance up to which a gauge is good, and over which it won't do. Common
practice. [-]"""
CATEGORIES = 5
"""Fewest sizes of part that a gauge should tell apart. Common practice. [-]"""


def study_gauge(
    study: Study,
    *,
    tolerance: float | None = None,
    confidence: float = 0.95,
    unit: Unit | None = None,
) -> Answer:
    """Return what a study says of a gauge, or of the hands that use it.

    Parameters
    ----------
    study : Study
        Readings or judgements, from :func:`holewright.jobs.studyfile.read_study`.
    tolerance : float, optional
        Width of the tolerance that the gauge is for. [mm]
    confidence : float
        Confidence of bounds and intervals. [-]
    unit : Unit, optional
        Unit that sentences say first; by default that of the file.

    Returns
    -------
    Answer
        By the kind of study: repeatability, agreement, bias or feel.

    Raises
    ------
    InputError
        If the study isn't complete, or a number can't be.
    NoAnswerError
        If its readings are all alike, or its answers don't overlap.
    """
    match study:
        case GaugeReadings():
            return _repeatability(study, tolerance, confidence, unit or study.unit)
        case Judgements():
            return study_agreement(study, confidence)
        case MasterReadings():
            return _bias(study, tolerance, confidence, unit or study.unit)
        case Tries():
            return study_feel(study, tolerance=tolerance, unit=unit)


def _repeatability(
    study: GaugeReadings, tolerance: float | None, confidence: float, unit: Unit
) -> Answer:
    """Return repeatability and reproducibility, by analysis of variance and by ranges."""
    table = study_table(study.part, study.operator, study.size)
    parts, operators, trials = table.shape
    anova, found, ranges = (
        analysis_of_variance(table),
        study_by_anova(table),
        study_by_ranges(table),
    )
    interval = found.repeatability_interval(confidence)
    pooled = anova.p[2] > POOL_ABOVE
    share = found.share_of_tolerance(tolerance) if tolerance is not None else None
    if share is not None:
        headline = f"{_percent(share)} of the tolerance is the gauge"
    else:
        headline = f"{_percent(found.share_of_study)} of what is read is the gauge"
    sentences = [
        f"One reading of one hole is uncertain by {format_small(found.gauge_sd, unit)} (one "
        f"standard deviation): {format_small(math.sqrt(found.repeatability), unit)} from one "
        f"reading to the next, {format_small(math.sqrt(found.reproducibility), unit)} from one "
        f"person to another.",
        _bar(share) if share is not None else _NO_TOLERANCE,
        f"It tells {found.categories} sizes of part apart; {CATEGORIES} or more are wanted.",
    ]
    if ranges.categories != found.categories:
        sentences.append(
            f"By averages and ranges the same readings give {ranges.categories}: say which method "
            f"was used."
        )
    sentences.append(
        "That people differ on some parts and not on others was "
        + ("not seen" if pooled else "seen")
        + f" (interaction p = {anova.p[2]:.2g})."
    )
    warnings = []
    if found.categories < CATEGORIES:
        warnings.append(
            Reason(
                "few-categories",
                f"{found.categories} sizes told apart: either the gauge is too coarse, or the "
                f"parts of the study are too much alike. Take parts from all over the tolerance.",
                float(found.categories),
                float(CATEGORIES),
                "1",
            )
        )
    if operators < 3:
        warnings.append(
            Reason(
                "few-operators",
                f"{operators} people say little of how people differ: what they add has "
                f"{operators - 1} degree of freedom.",
                float(operators),
                3.0,
                "people",
            )
        )
    return Answer(
        "repeatability",
        headline,
        f"{parts} parts, {operators} people, {trials} readings each",
        tuple(sentences),
        (
            *_components(found, "", unit, interval),
            *((_tolerance_figure(share),) if share is not None else ()),
            *_components(ranges, "ranges-", unit, None),
        ),
        f"Analysis of variance, parts and people random; interaction "
        f"{'pooled with the repeats' if pooled else 'kept apart'} (p against {POOL_ABOVE:g}). "
        f"Beside it averages and ranges, with their constants computed. The share of the "
        f"tolerance is that of six standard deviations.",
        tuple(warnings),
    )


def _components(
    found: GaugeStudy, prefix: str, unit: Unit, interval: tuple[float, float] | None
) -> list[Figure]:
    """Return the standard deviations of a study, its shares and its categories."""
    by = " by ranges" if prefix else ""
    sds = (
        ("repeatability", "repeats by one person (equipment)", found.repeatability),
        ("reproducibility", "between people (appraiser)", found.reproducibility),
        ("gauge", "gauge, both together", found.gauge),
        ("part", "between parts", found.part),
        ("total", "all readings", found.total),
    )
    figures = []
    for name, words, variance in sds:
        sd = math.sqrt(variance)
        own = interval if name == "repeatability" else None
        said = format_small(sd, unit)
        if own:
            said += f" ({format_small(own[0], unit)} to {format_small(own[1], unit)})"
        figures.append(Figure(f"{prefix}sd-{name}", f"s{by}: {words}", said, sd, "mm", own))
    for name, words, value in (
        ("share-of-study", "gauge, share of all that is read", found.share_of_study),
        ("share-of-variance", "gauge, share of the variance", found.share_of_variance),
    ):
        figures.append(Figure(prefix + name, words + by, _percent(value), value, "share"))
    figures.append(
        Figure(
            f"{prefix}categories",
            f"sizes of part told apart{by}",
            f"{found.categories}",
            found.categories_exact,
        )
    )
    return figures


_NO_TOLERANCE = (
    "How much of a tolerance that takes wasn't asked: give --tolerance. The share of what is read "
    "depends on the parts that were picked."
)


def _bar(share: float) -> str:
    """Return what a share of the tolerance is held against."""
    bars = f"to {_percent(GOOD_SHARE)} is good, to {_percent(MOST_SHARE)} by agreement, above it no"
    return f"It takes {_percent(share)} of the tolerance; common bars: {bars}."


def _tolerance_figure(share: float) -> Figure:
    return Figure(
        "share-of-tolerance",
        "gauge, six standard deviations over the tolerance",
        _percent(share),
        share,
        "share",
    )


def _bias(study: MasterReadings, tolerance: float | None, confidence: float, unit: Unit) -> Answer:
    """Return the bias at each master, and how it changes over the range."""
    size, master = np.array(study.size), np.array(study.master)
    each = [(m, bias_at(size[master == m], m, confidence)) for m in np.unique(master).tolist()]
    sentences, figures = [], []
    for m, b in each:
        shown = "reads too " + ("large" if b.bias > 0 else "small") if b.shown else "shows no bias"
        low, high = (format_small(end, unit, signed=True) for end in b.interval)
        said = f"{format_small(b.bias, unit, signed=True)} ({low} to {high})"
        sentences.append(
            f"At {format_both(m, unit)} it {shown}: {said} from {b.n} readings, spread "
            f"{format_small(b.sd, unit)}."
        )
        figures.append(
            Figure("bias", f"bias at {format_both(m, unit)}", said, b.bias, "mm", b.interval)
        )
    worst = max((b for _, b in each), key=lambda b: abs(b.bias))
    if len(each) > 1:
        line = linearity(size, master, confidence)
        change = line.line.slope
        ends = [format_small(end, unit, signed=True) for end in line.bias_at_ends]
        sentences.append(
            f"By the line through them the bias runs from {ends[0]} to {ends[1]} over the range: "
            f"that it changes is {'shown' if line.shown else 'not shown'}."
        )
        figures.append(
            Figure(
                "slope",
                "change of the bias over the size",
                f"{change:+.2g} ({line.slope_interval[0]:+.2g} to {line.slope_interval[1]:+.2g})",
                change,
                "1",
                line.slope_interval,
            )
        )
    if tolerance is not None:
        share = abs(worst.bias) / tolerance
        sentences.append(f"The largest bias is {_percent(share)} of the tolerance.")
        figures.append(
            Figure(
                "bias-of-tolerance",
                "largest bias over the tolerance",
                _percent(share),
                share,
                "share",
            )
        )
    any_shown = any(b.shown for _, b in each)
    return Answer(
        "bias",
        f"bias {format_small(worst.bias, unit, signed=True)}" if any_shown else "no bias shown",
        f"{len(each)} {'master' if len(each) == 1 else 'masters'}, {size.size} readings",
        tuple(sentences),
        tuple(figures),
        "Mean reading less the master, with Student's t; the line of the bias by least squares. "
        "The master's own uncertainty is not in it: add it from its certificate.",
    )


def _percent(share: float) -> str:
    return f"{100 * share:.3g} %"
