"""Ask a plan backwards: what runout, what tolerance, which reamer, how worn, how many holes."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from holewright.callout.limits import grade_for
from holewright.cutting.chip import chip_thickness_by_tooth
from holewright.cutting.tooth_load import least_feed_by_tooth, load_by_tooth
from holewright.cutting.tooth_readings import separate_readings
from holewright.errors import NoAnswerError, OutOfRangeError
from holewright.jobs.answer import Answer, Figure
from holewright.jobs.job import Job
from holewright.jobs.plan_hole import study_job
from holewright.planning.make_plan import Study
from holewright.planning.point import Point
from holewright.planning.quantity import break_even_between, cost_at
from holewright.planning.settle import point_of
from holewright.sheets.sizes import range_pair, size_pair, small_pair
from holewright.sizing.forecast import Forecast
from holewright.sizing.hypotheses import standard_offset
from holewright.sizing.inverse import reamer_wanted, runout_needed, tolerance_needed, worn
from holewright.sizing.make_limits import reamer_make_limits
from holewright.units import format_feed, format_small

PRIOR = (
    "By the forecast of the planned route, before any test cut; its terms are judged normal and "
    "independent. One measured test hole is worth more."
)

QUANTITIES = (10, 100, 1000, 10_000)
_TYPICAL_FRACTIONS = (0.0, 0.25, 0.5, 0.75, 1.0)


def _studied(job: Job) -> tuple[Study, Point, Forecast]:
    study = study_job(job)
    if study.point is None or study.plan.forecast is None:
        raise NoAnswerError(f"{job.name}: no reamed route to ask about. {study.plan.sentence}")
    return study, study.point, study.plan.forecast


def _percent(share: float) -> str:
    return f"{100 * share:.1f} %"


def _about(job: Job, point: Point) -> str:
    return f"{job.callout.text}, ream with {point.reamer.id}"


def ask_tir(job: Job, inside: float | None = None) -> Answer:
    """Return the runout at which a share of the holes would be inside.

    Parameters
    ----------
    job : Job
        The job.
    inside : float, optional
        Share asked for; by default what the job demands. [-]

    Raises
    ------
    NoAnswerError
        If nothing is reamed, or no runout however small gives that share.
    """
    _, point, forecast = _studied(job)
    wanted = job.demands.inside if inside is None else inside
    tir = point.at("tir")
    needed = runout_needed(forecast, tir, wanted)
    enough = needed >= tir
    return Answer(
        question="tir",
        headline="runout is small enough" if enough else "less runout is needed",
        about=_about(job, point),
        sentences=(
            f"For {_percent(wanted)} inside by forecast the reamer may run out by "
            f"{small_pair(needed, job.unit)} at its lead; now it is {small_pair(tir, job.unit)}, "
            f"which gives {_percent(forecast.inside)}.",
            "Indicate it at the lead, in the spindle, turned by hand.",
        ),
        figures=(
            _length("tir-needed", "most runout (TIR) at the lead", needed, job),
            _length("tir-now", "runout now", tir, job),
            Figure("inside-now", "inside now", _percent(forecast.inside), forecast.inside, "share"),
        ),
        method=PRIOR + " The share of runout that reaches the size is kept as it is.",
        refused=not enough,
    )


def ask_tolerance(job: Job, inside: float | None = None) -> Answer:
    """Return the tolerance that would make the hole easy.

    Parameters
    ----------
    job : Job
        The job.
    inside : float, optional
        Share asked for; by default what the job demands. [-]

    Raises
    ------
    NoAnswerError
        If nothing is reamed.
    """
    _, point, forecast = _studied(job)
    wanted = job.demands.inside if inside is None else inside
    limits = tolerance_needed(forecast, wanted)
    grade = grade_for(limits.width, job.callout.nominal)
    asked = forecast.limits.width
    enough = limits.width <= asked
    return Answer(
        question="tolerance",
        headline="the tolerance is wide enough" if enough else "the tolerance is tight",
        about=_about(job, point),
        sentences=(
            f"{_percent(wanted)} of the holes would lie within {small_pair(limits.width, job.unit)}"
            f", about grade IT {grade:.1f}; the drawing gives {small_pair(asked, job.unit)}.",
            f"About the forecast that is {range_pair(limits.lower, limits.upper, job.unit)}. A "
            "test cut narrows it: part of the spread is only what nobody has measured yet.",
        ),
        figures=(
            _length("width-needed", "tolerance that would be easy", limits.width, job),
            _length("width-asked", "tolerance asked for", asked, job),
            Figure("grade-needed", "grade of the easy one", f"IT {grade:.1f}", grade),
        ),
        method=PRIOR,
        refused=not enough,
    )


def ask_reamer(job: Job, offset: float | None = None) -> Answer:
    """Return the reamer to order: by the rule, by the forecast, or by a measured offset.

    Parameters
    ----------
    job : Job
        The job.
    offset : float, optional
        Hole less reamer as a test cut showed it. [mm]

    Raises
    ------
    NoAnswerError
        If nothing is reamed.
    """
    _, _, forecast = _studied(job)
    best = reamer_wanted(forecast, offset)
    rule = reamer_make_limits(forecast.limits, job.unit)
    low, high = standard_offset(job.callout.nominal)
    how = "as measured" if offset is not None else "by forecast, not measured"
    inside = f", which puts {_percent(best.inside)} inside" if offset is None else ""
    return Answer(
        question="reamer",
        headline="reamer to order",
        about=job.callout.text,
        sentences=(
            f"By the rule of ISO 522 it is made {range_pair(rule.lower, rule.upper, job.unit)}.",
            f"With hole less reamer of {format_small(best.offset, job.unit, signed=True)} {how}, "
            f"{size_pair(best.diameter, job.unit)} aims at the middle of the zone{inside}.",
            f"The rule takes for granted {format_small(low, job.unit, signed=True)} to "
            f"{format_small(high, job.unit, signed=True)}. Order by the rule until a test hole "
            "has shown the difference; then by that.",
        ),
        figures=(
            _length("rule-lower", "smallest by the rule", rule.lower, job, size=True),
            _length("rule-upper", "largest by the rule", rule.upper, job, size=True),
            _length("diameter", "aims at the middle", best.diameter, job, size=True),
            Figure(
                "offset",
                f"hole less reamer, {how}",
                format_small(best.offset, job.unit, signed=True),
                best.offset,
                "mm",
            ),
        ),
        method=PRIOR + " ISO 522, DIN 1420: 15 % of the tolerance left above, 35 % to make it in.",
    )


def ask_worn(job: Job) -> Answer:
    """Return what becomes of the size as the reamer wears.

    Parameters
    ----------
    job : Job
        The job.

    Raises
    ------
    NoAnswerError
        If nothing is reamed.
    """
    _, point, forecast = _studied(job)
    wear = next((t for t in forecast.size.terms if t.name == "wear"), None)
    if wear is None:
        raise NoAnswerError("the forecast has no wear in it")
    holes = min(float(job.parts * len(job.holes)), point.reamer.life_holes.value)
    stages = [(share, worn(forecast, 2 * share)) for share in _TYPICAL_FRACTIONS]
    new, end = stages[0][1], stages[-1][1]
    lost = new.mean - end.mean
    return Answer(
        question="worn",
        headline="worn reamers cut smaller",
        about=_about(job, point),
        sentences=(
            f"Over {holes:,.0f} holes the lands are expected to lose {small_pair(lost, job.unit)} "
            f"on diameter, known times or over 3: {_percent(new.inside)} inside with a new "
            f"reamer, {_percent(end.inside)} with a worn one.",
            "A built-up or chipped edge cuts larger instead. Gauge the first and the last hole of "
            "a reamer: their difference is this shop's own rate.",
        ),
        figures=tuple(
            Figure(
                f"inside-{round(100 * share)}",
                f"after {share * holes:,.0f} holes: mean {size_pair(at.mean, job.unit)}, inside",
                _percent(at.inside),
                at.inside,
                "share",
            )
            for share, at in stages
        ),
        method=PRIOR + " Wear is taken to run evenly.",
    )


def ask_quantity(job: Job) -> Answer:
    """Return from how many holes a dearer reamer pays.

    Parameters
    ----------
    job : Job
        The job.

    Raises
    ------
    NoAnswerError
        If nothing is reamed, or no other reamer would do.
    """
    study, point, _ = _studied(job)
    others = (point_of(point, route) for route in study.plan.alternatives)
    other = next((o for o in others if o is not None and o.reamer.id != point.reamer.id), None)
    if other is None:
        raise NoAnswerError(f"{job.name}: no other reamer would do, so there is nothing to compare")
    first, second = sorted((point, other), key=lambda one: cost_at(one, 1))
    found = break_even_between(first, second, QUANTITIES)
    holes = job.parts * len(job.holes)
    turns = (
        f"From {found.holes:,} holes on {found.second} is the cheaper one"
        if found.holes is not None
        else f"{found.second} never pays against {found.first}"
    )
    return Answer(
        question="quantity",
        headline="where the dearer reamer pays",
        about=job.callout.text,
        sentences=(
            f"{turns}; this job has {holes:,} holes.",
            "Each at its best speed and feed, with machine, tools, changes, gauging and scrap by "
            "forecast, in the shop's currency.",
        ),
        figures=(
            Figure(
                "holes",
                "holes from which the second pays",
                f"{found.holes:,}" if found.holes is not None else "never",
                float(found.holes) if found.holes is not None else None,
                "holes",
            ),
            *(
                Figure(
                    f"cost-{n}-{which}", f"{n:,} holes, {name}, a good hole", f"{cost:.2f}", cost
                )
                for n, *costs in found.at
                for which, name, cost in zip(
                    ("first", "second"), (found.first, found.second), costs, strict=True
                )
                if np.isfinite(cost)
            ),
        ),
        method="By bisection on the number of holes; value of a part, gauging and orders are "
        "assumed until the shop says.",
    )


def ask_teeth(job: Job, readings: Sequence[float]) -> Answer:
    """Return what indicator readings of the reamer's edges mean for the cut.

    Parameters
    ----------
    job : Job
        The job.
    readings : sequence of float
        One reading an edge, in order of rotation. [mm]

    Raises
    ------
    NoAnswerError
        If nothing is reamed.
    OutOfRangeError
        If there isn't one reading an edge.
    """
    _, point, _ = _studied(job)
    reamer, unit = point.reamer, job.unit
    if len(readings) != reamer.ZEFP:
        raise OutOfRangeError(
            "teeth", len(readings), f"{reamer.ZEFP} readings, one for each edge of {reamer.id}"
        )
    parted = separate_readings(readings)
    share = point.at("share")
    e, side = share * parted.eccentricity, parted.high_side
    f = point.at("f")
    h = chip_thickness_by_tooth(
        f, reamer.KAPR, tooth_error=parted.tooth_error, eccentricity=e, high_side=side
    )
    load = load_by_tooth(h, job.material.mc.value)
    least = float(
        least_feed_by_tooth(
            reamer.KAPR, tooth_error=parted.tooth_error, eccentricity=e, high_side=side
        ).max()
    )
    all_cut = least < f
    most, edge = float(load.max()), int(load.argmax()) + 1
    return Answer(
        question="teeth",
        headline="all edges cut" if all_cut else "an edge idles",
        about=_about(job, point),
        sentences=(
            f"As one body the edges run out by {small_pair(parted.tir, unit)}; beyond that they "
            f"stand {small_pair(parted.uneven, unit)} apart. The cut centres away all but "
            f"{100 * share:.0f} % of the first, and nothing of the second.",
            f"Edge {edge} carries {100 * most:.0f} % of the force, where even edges would carry "
            f"{100 / reamer.ZEFP:.0f} %. "
            + (
                f"Every edge cuts from {format_feed(least, unit)} on; planned are "
                f"{format_feed(f, unit)}."
                if all_cut
                else f"At {format_feed(f, unit)} not every edge cuts: that takes "
                f"{format_feed(least, unit)}, or a better seat in the holder."
            ),
        ),
        figures=(
            _length("tir", "runout as one body (TIR)", parted.tir, job),
            _length("uneven", "highest edge less lowest, beyond it", parted.uneven, job),
            Figure("load", "force on the most loaded edge", f"{100 * most:.0f} %", most, "share"),
            Figure("least-feed", "feed from which all edges cut", format_feed(least, unit), least),
        ),
        method="Eccentricity by least squares from one reading an edge; a pattern that goes once "
        "around like a cosine counts as eccentricity. Turn the reamer in its holder and read "
        "again to tell holder from tool.",
        refused=not all_cut,
    )


def _length(name: str, words: str, mm: float, job: Job, *, size: bool = False) -> Figure:
    said = size_pair(mm, job.unit) if size else small_pair(mm, job.unit)
    return Figure(name, words, said, mm, "mm")
