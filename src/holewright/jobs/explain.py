"""Why any number on a page is what it is: formula, inputs with their tags, source."""

from __future__ import annotations

from collections.abc import Callable

from holewright.errors import InputError, NoAnswerError
from holewright.gauging.estimate import Estimate
from holewright.gauging.limit_pins import choose_pins
from holewright.gauging.pin_size import pin_size
from holewright.jobs.job import Job
from holewright.planning import why as route_why
from holewright.planning.explanation import Explanation
from holewright.planning.plan import Plan
from holewright.planning.point import Point
from holewright.proof.verdict import Verdict
from holewright.sizing.forecast import Forecast
from holewright.sizing.make_limits import reamer_make_limits
from holewright.uncertainty import Known, Tag

ROUTE_NAMES = route_why.NAMES


def explain_number(
    name: str,
    *,
    job: Job,
    plan: Plan | None = None,
    point: Point | None = None,
    estimate: Estimate | None = None,
    verdict: Verdict | None = None,
) -> Explanation:
    """Return why a number is what it is.

    Parameters
    ----------
    name : str
        What is asked for: one of :func:`names_of`.
    job : Job
        The job.
    plan : Plan, optional
        Its plan, for the forecast.
    point : Point, optional
        The candidate behind the route.
    estimate : Estimate, optional
        The size that came.
    verdict : Verdict, optional
        The verdict on it.

    Raises
    ------
    InputError
        If there is no such number.
    NoAnswerError
        If the number belongs to something that isn't there yet.
    """
    if name in ROUTE_NAMES:
        if point is None:
            raise NoAnswerError(f"{name}: there is no reamed route to explain")
        return route_why.explain(point, name)
    if name in _OF_JOB:
        return _OF_JOB[name](job)
    if name in _OF_FORECAST:
        if plan is None or plan.forecast is None:
            raise NoAnswerError(f"{name}: no size can be forecast for this job")
        return _OF_FORECAST[name](plan.forecast)
    if name in _OF_ESTIMATE:
        if estimate is None:
            raise NoAnswerError(f"{name}: nothing was gauged yet")
        return _OF_ESTIMATE[name](estimate, job)
    if name in _OF_VERDICT:
        if verdict is None or estimate is None:
            raise NoAnswerError(f"{name}: nothing was judged yet")
        return _OF_VERDICT[name](verdict, estimate, job)
    raise InputError("why", name, f"must be one of {', '.join(names_of())}")


def names_of() -> tuple[str, ...]:
    """Return every name that can be asked for."""
    return (*ROUTE_NAMES, *_OF_JOB, *_OF_FORECAST, *_OF_ESTIMATE, *_OF_VERDICT)


def _limit(job: Job, *, lower: bool) -> Explanation:
    callout = job.callout
    value = callout.limits.lower if lower else callout.limits.upper
    deviation, word = ("EI", "lower") if lower else ("ES", "upper")
    source = "iso-286" if callout.fit else "the print"
    nominal = Known(callout.nominal, Tag.STANDARD, "the print")
    return Explanation(
        name=f"{word}-limit",
        what=f"{word} limit of size, at 20 °C",
        formula=f"D_{'min' if lower else 'max'} = D + {deviation}",
        value=value,
        unit="mm",
        inputs=(
            ("D, nominal [mm]", nominal),
            (
                f"{deviation}{' of ' + callout.fit if callout.fit else ''} [mm]",
                Known(round(value - callout.nominal, 9), Tag.STANDARD, source),
            ),
        ),
        source="ISO 286-1 for the deviation; 20 °C by ISO 1"
        if callout.fit
        else "read from the callout as it was typed, exactly; 20 °C by ISO 1",
    )


def _tolerance(job: Job) -> Explanation:
    limits = job.callout.limits
    return Explanation(
        "tolerance",
        "width of the tolerance zone",
        "T = D_max - D_min",
        limits.width,
        "mm",
        (
            ("D_max [mm]", Known(limits.upper, Tag.STANDARD, "upper-limit")),
            ("D_min [mm]", Known(limits.lower, Tag.STANDARD, "lower-limit")),
        ),
        "definition",
    )


def _reamer_made(job: Job) -> Explanation:
    limits = job.callout.limits
    made = reamer_make_limits(limits, job.unit)
    return Explanation(
        "reamer-made",
        "largest diameter of a new reamer for this hole",
        "d_max = D_max - 0.15 T, rounded down; d_min = d_max - 0.35 T",
        made.upper,
        "mm",
        (
            ("D_max [mm]", Known(limits.upper, Tag.STANDARD, "upper-limit")),
            ("T [mm]", Known(limits.width, Tag.STANDARD, "tolerance")),
            ("d_min [mm]", Known(made.lower, Tag.COMPUTED, "the same rule")),
        ),
        "ISO 522; a rule for making reamers, not a promise of the size they cut",
    )


def _pin(job: Job, use: str) -> Explanation:
    choice = choose_pins(job.callout.limits, job.shop.pins, unit=job.unit)
    pin = choice.go if use == "GO" else choice.no_go
    if pin is None:
        raise NoAnswerError(f"no pin of the tool room can serve as {use}")
    size = pin_size(pin)
    calibrated = pin.calibrated is not None
    return Explanation(
        f"{use.lower()}-pin",
        f"true size of the {use} pin {pin.id}, between its least and its most",
        "calibrated size ± 2 u" if calibrated else "marked size and the tolerance of its class",
        size.best,
        "mm",
        (
            ("marked [mm]", Known(pin.marked, Tag.STANDARD, "mark on the pin")),
            ("least [mm]", Known(size.smallest(), Tag.COMPUTED, f"{pin.sense} pin")),
            ("most [mm]", Known(size.largest(), Tag.COMPUTED, f"{pin.sense} pin")),
        ),
        "its certificate" if calibrated else f"ASME B89.1.5, class {pin.grade}; wear isn't in it",
    )


def _terms(forecast: Forecast, part: str) -> tuple[tuple[str, Known], ...]:
    return tuple(
        (f"{term.name}: {part} [mm]", Known(getattr(term, part), term.tag, term.source, term.sd))
        if part == "mean"
        else (f"{term.name} [mm]", Known(term.sd, term.tag, term.source))
        for term in forecast.sources
    )


def _forecast_mean(forecast: Forecast) -> Explanation:
    return Explanation(
        "forecast-mean",
        "mean of the size that will come",
        "mean = Σ mean of each cause",
        forecast.mean,
        "mm",
        _terms(forecast, "mean"),
        "sum of independent causes, JCGM 100 clause 5.1.2; measured test holes are worth more",
    )


def _forecast_sd(forecast: Forecast) -> Explanation:
    return Explanation(
        "forecast-sd",
        "standard uncertainty of one hole's size",
        "sd = √ Σ sd²",
        forecast.sd,
        "mm",
        _terms(forecast, "sd"),
        "sum of independent causes, JCGM 100 clause 5.1.2",
    )


def _forecast_inside(forecast: Forecast) -> Explanation:
    return Explanation(
        "forecast-inside",
        "share of holes inside the limits, by the forecast",
        "p = Φ((D_max - mean) / sd) - Φ((D_min - mean) / sd)",
        forecast.inside,
        "share",
        (
            ("mean [mm]", Known(forecast.mean, Tag.COMPUTED, "forecast-mean", forecast.sd)),
            ("sd [mm]", Known(forecast.sd, Tag.COMPUTED, "forecast-sd")),
            ("D_min [mm]", Known(forecast.limits.lower, Tag.STANDARD, "lower-limit")),
            ("D_max [mm]", Known(forecast.limits.upper, Tag.STANDARD, "upper-limit")),
        ),
        "normal distribution; good where no lopsided cause rules",
    )


def _counts(estimate: Estimate) -> tuple[tuple[str, Known], ...]:
    return (
        ("holes gauged", Known(estimate.n_holes, Tag.MEASURED, "readings")),
        ("shown inside", Known(estimate.good, Tag.COMPUTED, "readings and gauges")),
        ("shown outside", Known(estimate.bad, Tag.COMPUTED, "readings and gauges")),
        ("neither", Known(estimate.unsure, Tag.COMPUTED, "readings and gauges")),
        ("confidence", Known(estimate.confidence, Tag.STANDARD, "demands of the job")),
    )


def _fitted(name: str, value: float | None, interval: tuple[float, float] | None) -> float:
    if value is None or interval is None:
        raise NoAnswerError(f"{name}: these readings allow no finite fit")
    return value


def _estimate_mean(estimate: Estimate, job: Job) -> Explanation:
    value = _fitted("estimate-mean", estimate.mean, estimate.mean_interval)
    low, high = estimate.mean_interval or (value, value)
    return Explanation(
        "estimate-mean",
        "mean of the size that came, at 20 °C",
        "greatest likelihood of all readings together; a pin gives an interval, not a size",
        value,
        "mm",
        (
            *_counts(estimate),
            ("lower end of its interval [mm]", Known(low, Tag.COMPUTED, "profile likelihood")),
            ("upper end of its interval [mm]", Known(high, Tag.COMPUTED, "profile likelihood")),
        ),
        estimate.method,
    )


def _estimate_sd(estimate: Estimate, job: Job) -> Explanation:
    value = _fitted("estimate-sd", estimate.sd, estimate.sd_interval)
    low, high = estimate.sd_interval or (value, value)
    return Explanation(
        "estimate-sd",
        "standard deviation of the size that came",
        "greatest likelihood of all readings together",
        value,
        "mm",
        (
            *_counts(estimate),
            ("lower end of its interval [mm]", Known(low, Tag.COMPUTED, "profile likelihood")),
            ("upper end of its interval [mm]", Known(high, Tag.COMPUTED, "profile likelihood")),
        ),
        estimate.method,
    )


def _inside_shown(estimate: Estimate, job: Job) -> Explanation:
    more = []
    for name, value in (
        ("bound by counting", estimate.inside_counted),
        ("bound by the fit", estimate.inside_fitted),
    ):
        if value is not None:
            more.append((name, Known(value, Tag.COMPUTED, "readings")))
    return Explanation(
        "inside-shown",
        "share of all holes of this process that is shown to be inside",
        "one-sided lower bound at the confidence asked for",
        estimate.inside_lower,
        "share",
        (*_counts(estimate), *more),
        f"{estimate.method}; counting: Clopper and Pearson, exact whatever the distribution",
    )


def _ppk(verdict: Verdict, estimate: Estimate, job: Job) -> Explanation:
    if verdict.ppk is None or estimate.mean is None or estimate.sd is None:
        raise NoAnswerError("ppk: these readings allow no finite fit")
    limits = job.callout.limits
    return Explanation(
        "ppk",
        "room to the nearer limit, over three standard deviations",
        "Ppk = min(D_max - mean, mean - D_min) / (3 s)",
        verdict.ppk,
        "-",
        (
            ("mean [mm]", Known(estimate.mean, Tag.COMPUTED, "estimate-mean")),
            ("s [mm]", Known(estimate.sd, Tag.COMPUTED, "estimate-sd")),
            ("D_min [mm]", Known(limits.lower, Tag.STANDARD, "lower-limit")),
            ("D_max [mm]", Known(limits.upper, Tag.STANDARD, "upper-limit")),
            ("lower bound", Known(verdict.ppk_lower or 0.0, Tag.COMPUTED, "see the verdict")),
        ),
        "ISO 22514-2; it says nothing of tool wear that the readings didn't see",
    )


def _outside_in_lot(verdict: Verdict, estimate: Estimate, job: Job) -> Explanation:
    if verdict.lot is None or verdict.outside_in_lot_upper is None:
        raise NoAnswerError("outside-in-lot: no lot was judged")
    return Explanation(
        "outside-in-lot",
        "most holes of the lot that may be outside",
        "one-sided upper bound for a finite lot (hypergeometric)",
        verdict.outside_in_lot_upper,
        "holes",
        (*_counts(estimate), ("holes in the lot", Known(verdict.lot, Tag.STANDARD, "the order"))),
        "exact for holes drawn from the lot at random",
    )


_OF_JOB: dict[str, Callable[[Job], Explanation]] = {
    "lower-limit": lambda job: _limit(job, lower=True),
    "upper-limit": lambda job: _limit(job, lower=False),
    "tolerance": _tolerance,
    "reamer-made": _reamer_made,
    "go-pin": lambda job: _pin(job, "GO"),
    "no-go-pin": lambda job: _pin(job, "NO-GO"),
}
_OF_FORECAST: dict[str, Callable[[Forecast], Explanation]] = {
    "forecast-mean": _forecast_mean,
    "forecast-sd": _forecast_sd,
    "forecast-inside": _forecast_inside,
}
_OF_ESTIMATE: dict[str, Callable[[Estimate, Job], Explanation]] = {
    "estimate-mean": _estimate_mean,
    "estimate-sd": _estimate_sd,
    "inside-shown": _inside_shown,
}
_OF_VERDICT: dict[str, Callable[[Verdict, Estimate, Job], Explanation]] = {
    "ppk": _ppk,
    "outside-in-lot": _outside_in_lot,
}
