"""Cut a test plate: lay it out for a job, write its program and its sheet, read what it showed."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from holewright.errors import InputError, NoAnswerError, OutOfRangeError
from holewright.gauging.pin_size import pin_size
from holewright.gauging.reading_interval import hole_sizes
from holewright.jobs.job import Job
from holewright.jobs.plan_hole import study_job
from holewright.jobs.plate_file import PlateFile
from holewright.jobs.plate_request import PlateRequest, allowed
from holewright.jobs.plate_steps import CutPlate, forecast_of, ream_of, reamed_at, steps_of
from holewright.planning.settle import settle
from holewright.plate.analyse import analyse
from holewright.plate.columns import model_matrix
from holewright.plate.designs import d_optimal, fractional_factorial, full_factorial
from holewright.plate.factors import FactorKind, Setting, setting_words
from holewright.plate.layout import Order, lay_out, price_of_order, row_name, usual_pitch
from holewright.plate.plate import Plate, PlateResult
from holewright.plate.power import Need, holes_a_row
from holewright.reasons import Reason
from holewright.shop.reamer import ReamerKind
from holewright.sizing.forecast import Forecast
from holewright.sizing.reamed import wear_rate
from holewright.units import format_size, format_small

_PINS_BEYOND = 0.5
"""How far beyond the limits a pin may lie to be tried, in tolerances. [-]"""
_LEAST_GAP = 0.0002
"""Pins nearer to each other than this are one, for what they tell. [mm]"""
_LEAST_A_ROW = 4
_MOST_SEEN = 2.0
"""A difference of more tolerances than this is seen without a plate. [-]"""


def cut_plate(job: Job, request: PlateRequest) -> CutPlate:
    """Return a test plate for a job.

    Parameters
    ----------
    job : Job
        The job.
    request : PlateRequest
        What to vary, and how.

    Returns
    -------
    CutPlate
        The plate, with why it has so many holes and what its order costs.

    Raises
    ------
    NoAnswerError
        If the plan has no reaming to vary, or no number of holes shows what is asked.
    InputError
        If the request can't be met with the tool room.
    """
    most = _MOST_SEEN * job.gauged_limits.width
    if request.see is not None and not request.see <= most:
        raise OutOfRangeError(
            "see", f"{request.see:g} mm", f"at most {most:.6g} mm, {_MOST_SEEN:g} tolerances"
        )
    study = study_job(job)
    ream, forecast = ream_of(study), forecast_of(study)
    settings, noted = _settings(request)
    need: Need | None = None
    a_row = request.a_row
    if a_row is None:
        need = _instrument(job, forecast, request, len(settings)).need(request.see)
        a_row = max(need.a_row, _LEAST_A_ROW)
    else:
        noted += _seen(job, forecast, request, len(settings), a_row)
    pitch = request.pitch or usual_pitch(job.callout.nominal, job.unit)
    layout = lay_out(len(settings), a_row, pitch=pitch, order=request.order, seed=request.seed)
    kind = next((r.kind for r in job.shop.reamers if r.id == ream.tool), ReamerKind.HSS)
    drift = -2 * wear_rate(kind)
    orders = []
    for order in sorted(Order, key=lambda o: o is not request.order):
        other = layout
        if order is not request.order:
            other = lay_out(len(settings), a_row, pitch=pitch, order=order, seed=request.seed)
        x = model_matrix(request.factors, [settings[row] for row in other.rows], intercept=False)
        orders.append(
            price_of_order(
                other,
                request.factors,
                settings,
                x,
                drift=drift,
                change_s=job.machine.tool_change_s,
                unit=job.unit,
            )
        )
    plate = Plate(request.factors, settings, layout, need, tuple(orders), tuple(noted))
    cut = CutPlate(job, study, plate)
    tuple(steps_of(cut))  # refuses now what the tool room can't do
    return replace(cut, plate=replace(plate, noted=(*noted, *_limits_broken(cut))))


def read_plate(job: Job, came: PlateFile, *, confidence: float = 0.95) -> PlateResult:
    """Return what a test plate showed.

    Parameters
    ----------
    job : Job
        The job.
    came : PlateFile
        What came back from the machine.
    confidence : float
        Two-sided confidence of the intervals. [-]

    Raises
    ------
    InputError, NoAnswerError
        If the readings can't be analysed.
    """
    if not came.readings:
        raise InputError("results", "no reading", "must hold what the gauges said of the holes")
    holes, contradictions = hole_sizes(
        came.readings,
        job.shop,
        material_alpha=job.material.alpha,
        clearance=job.habits.clearance,
        unit=job.unit,
    )
    plan = study_job(job).plan
    scatter = plan.forecast.size.sd_between_holes if plan.forecast else 0.0025
    return analyse(
        holes,
        came.cuts,
        job.gauged_limits,
        scatter=scatter,
        inside=job.demands.inside,
        chips=came.chips,
        ra=came.ra,
        ra_most=job.callout.ra,
        contradictions=contradictions,
        confidence=confidence,
        unit=job.unit,
    )


def _settings(request: PlateRequest) -> tuple[tuple[Setting, ...], list[Reason]]:
    """Return the settings to cut, and what they can't tell apart."""
    factors, noted = request.factors, []
    if request.halvings:
        half = fractional_factorial(factors, request.halvings)
        mixed = "; ".join(f"{one} looks like {other}" for one, other in half.aliases)
        mixed = mixed or "no single factor and no pair look alike"
        noted.append(
            Reason(
                "fraction",
                f"A fraction of all settings, resolution {half.resolution}: {mixed}.",
                float(half.resolution),
                unit="",
            )
        )
        settings = half.settings
    else:
        settings = full_factorial(factors)
    settings = allowed(settings, factors, request.without)
    if not settings:
        raise InputError("without", "everything", "must leave some settings to cut")
    if request.settings is not None and request.settings < len(settings):
        x = model_matrix(factors, settings, curved=True)
        if request.settings < x.shape[1]:
            x = model_matrix(factors, settings)
        chosen = d_optimal(x, request.settings, repeats=False)
        noted.append(
            Reason(
                "best-few",
                f"{request.settings} of {len(settings)} settings, chosen so that they tell the "
                f"effects best (D-optimal by exchange).",
                float(request.settings),
                float(len(settings)),
                "settings",
            )
        )
        settings = tuple(settings[i] for i in chosen)
    if len(settings) < 2:
        raise InputError("settings", len(settings), "must be at least 2")
    return settings, noted


@dataclass(frozen=True)
class _Instrument:
    """The pins near the limits, and what is forecast of the holes they are to tell apart."""

    pins: tuple[tuple[float, float], ...]
    forecast: Forecast
    rows: int
    order: Order
    power: float

    def need(self, see: float | None) -> Need:
        between = self.forecast.size.sd_between_holes
        spread = math.sqrt(max(self.forecast.sd**2 - between**2, 0.0))
        return holes_a_row(
            see or self.forecast.limits.width / 5,
            between,
            [size for size, _ in self.pins],
            rows=self.rows,
            mean=self.forecast.mean,
            u_mean=max(spread, 1e-6),
            u_pins=[u for _, u in self.pins],
            order=self.order,
            power=self.power,
        )


def _instrument(job: Job, forecast: Forecast, request: PlateRequest, rows: int) -> _Instrument:
    limits = job.gauged_limits
    beyond = _PINS_BEYOND * limits.width
    sizes = [(pin_size(pin).best, pin_size(pin).u) for pin in job.shop.pins]
    apart: list[tuple[float, float]] = []
    for size, u in sorted(sizes):
        if not limits.lower - beyond <= size <= limits.upper + beyond:
            continue
        if not apart or size - apart[-1][0] >= _LEAST_GAP:
            apart.append((size, u))
        elif u < apart[-1][1]:
            apart[-1] = (size, u)
    if not apart:
        raise NoAnswerError(
            f"No pin lies near {format_size(limits.lower, job.unit)} to "
            f"{format_size(limits.upper, job.unit)}: say how many holes a row, and gauge them "
            f"with an instrument that reads."
        )
    return _Instrument(tuple(apart), forecast, rows, request.order, request.power)


def _seen(
    job: Job, forecast: Forecast, request: PlateRequest, rows: int, a_row: int
) -> list[Reason]:
    """Return what a number of holes that somebody fixed can show, where pins can show anything."""
    if a_row < _LEAST_A_ROW:
        return []
    try:
        tool = _instrument(job, forecast, request, rows)
        low, high = 0.0, job.gauged_limits.width
        if tool.need(high).a_row > a_row:
            return []
        for _ in range(12):
            middle = (low + high) / 2
            try:
                low, high = (low, middle) if tool.need(middle).a_row <= a_row else (middle, high)
            except NoAnswerError:
                low = middle
    except NoAnswerError:
        return []
    return [
        Reason(
            "seen",
            f"{a_row} holes a row show a difference of {format_small(high, job.unit)} between two "
            f"rows {100 * request.power:.0f} % of the time, smaller ones less often.",
            high,
        )
    ]


def _limits_broken(cut: CutPlate) -> list[Reason]:
    """Return which rows break which limit of the plan, so that it is known before it is cut."""
    point = cut.study.point
    if point is None:
        return []
    kinds = {factor.kind for factor in cut.plate.factors}
    if not kinds & {FactorKind.FEED, FactorKind.SPEED}:
        return []
    noted = []
    for i, setting in enumerate(cut.plate.settings):
        operation = reamed_at(cut, setting)
        for broken in settle(point, operation.v_c, operation.f).broken:
            noted.append(
                replace(
                    broken,
                    text=f"Row {row_name(i)} ({setting_words(cut.plate.factors, setting)}) goes "
                    f"beyond a limit of the plan: {broken.text}",
                )
            )
    return noted
