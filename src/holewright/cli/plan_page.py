"""The page of a plan: what is looked at first stands first."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from holewright.cli.output import Page
from holewright.gauging.limit_pins import PinChoice, choose_pins
from holewright.jobs.job import Job
from holewright.jobs.risks import Risk, largest_risks
from holewright.jobs.say_offset import say_offset
from holewright.planning.economy import Economy
from holewright.planning.plan import Operation, OperationKind, Plan, Route
from holewright.reasons import Reason
from holewright.sheets.sizes import range_pair, size_pair, small_pair
from holewright.sheets.zone_strip import (
    PinMark,
    ZoneStrip,
    forecast_spread,
    pin_mark,
    zone_strip_text,
)
from holewright.shop.pin import Pin
from holewright.shop.reamer import Reamer
from holewright.sizing.forecast import Forecast
from holewright.sizing.make_limits import reamer_make_limits
from holewright.sizing.sensitivity import sensitivities
from holewright.sizing.treatment import in_process
from holewright.uncertainty import Tag
from holewright.units import (
    Unit,
    format_both,
    format_feed,
    format_feed_speed,
    format_size,
    format_small,
    format_speed,
)

ALTERNATIVES_SHOWN = 4


def show_plan(page: Page, job: Job, plan: Plan, unit: Unit) -> None:
    """Print a plan for people.

    Parameters
    ----------
    page : Page
        Where to.
    job : Job
        The job.
    plan : Plan
        Its plan.
    unit : Unit
        Unit shown first.
    """
    page.verdict(str(plan.verdict).upper(), f"{job.callout.text}, {job.material.name}")
    page.say(plan.sentence)
    if job.invented:
        page.say("An invented example: no real company, part or tool.")
    if plan.conditions:
        page.heading("Only if")
        page.points(str(reason) for reason in plan.conditions)
    if plan.instead:
        page.heading("Instead")
        page.points(plan.instead)
    pins = choose_pins(in_process(job.callout).limits, job.shop.pins, unit=unit)
    if plan.route is not None:
        _show_route(page, job, plan.route, pins, unit)
    if plan.forecast is not None:
        _show_forecast(page, job, plan, plan.forecast, pins, unit)
    if plan.check_plan:
        page.heading("Check")
        page.points(plan.check_plan)
    if plan.alternatives:
        page.heading("Others that would do, by cost of a good hole")
        page.points(
            (_alternative(route) for route in plan.alternatives[:ALTERNATIVES_SHOWN]), mark="1"
        )
    if plan.refused:
        page.heading("Refused")
        page.points(_refusals(plan.refused))
    if plan.cautions:
        page.heading("Caution")
        page.points(plan.cautions, mark="!")
    page.heading("What this rests on")
    page.points(_basis(job, plan))


def _show_route(page: Page, job: Job, route: Route, pins: PinChoice, unit: Unit) -> None:
    page.heading("Get ready")
    page.table(("", "take", "size", "known by"), _pull_rows(job, route, pins, unit))
    page.heading("Cut")
    metric = unit is Unit.MM
    length = "mm" if metric else "in"
    page.table(
        (
            "",
            "n\n1/min",
            f"v_c\n{'m/min' if metric else 'sfm'}",
            f"f\n{length}/rev",
            f"v_f\n{length}/min",
            f"full dia\n{length} deep",
            f"tip\n{length} deep",
            "time\ns",
        ),
        [_cut_row(operation, unit) for operation in route.operations if not operation.by_hand],
        right=range(1, 8),
    )
    page.points(_steps(route), mark="1")
    page.say(
        f"{route.time_s:.0f} s a hole beside tool changes; {route.cost_per_good_hole:.2f} a good "
        "hole: "
        + ", ".join(f"{name} {cost:.2f}" for name, cost in route.cost_parts if cost >= 0.005)
        + " (the shop's currency).",
        indent=1,
    )


def _pull_rows(job: Job, route: Route, pins: PinChoice, unit: Unit) -> Iterator[tuple[str, ...]]:
    drills = {drill.id: drill for drill in job.shop.drills}
    reamers = {reamer.id: reamer for reamer in job.shop.reamers}
    for operation in route.operations:
        size = format_both(operation.diameter, unit) if operation.diameter else ""
        known = ""
        if operation.tool in drills and operation.kind is OperationKind.DRILL:
            known = str(drills[operation.tool].DC.tag)
        if operation.kind is OperationKind.REAM:
            known = _tag_of_reamer(operation, reamers)
        yield str(operation.kind), operation.tool, size, known
        if operation.kind is OperationKind.REAM:
            if operation.tool in reamers:
                make = reamer_make_limits(in_process(job.callout).limits, unit=unit)
                yield "", "to buy one, order", range_pair(make.lower, make.upper, unit), "rule"
            holder = next((h for h in job.shop.holders if h.id == operation.holder), None)
            if holder is not None:
                tir = f"runout {format_small(holder.tir.value, unit)}"
                yield "holder", holder.id, tir, str(holder.tir.tag)
    yield "GO", *_pin_cells(pins.go, pins.ideal_go, "plus", pins.grade, unit)
    yield "NO-GO", *_pin_cells(pins.no_go, pins.ideal_no_go, "minus", pins.grade, unit)


def _tag_of_reamer(operation: Operation, reamers: dict[str, Reamer]) -> str:
    numbers = dict(operation.numbers)
    known = numbers.get("reamer diameter DC [mm]")
    if known is None and operation.tool in reamers:
        known = reamers[operation.tool].DC
    if known is None:
        return ""
    if operation.tool not in reamers:
        return "to order"
    return str(known.tag) if known.tag is Tag.MEASURED else f"label, {known.tag}"


def _pin_cells(
    pin: Pin | None, ideal: float, sense: str, grade: str, unit: Unit
) -> tuple[str, str, str]:
    if pin is None:
        return "none here", f"get {format_both(ideal, unit)}", f"{sense} {grade}".strip()
    if pin.calibrated is not None:
        return f"pin {pin.id}", size_pair(pin.calibrated.value, unit), "calibrated"
    return f"pin {pin.id}", format_both(pin.marked, unit), f"{pin.sense} {pin.grade}"


def _cut_row(operation: Operation, unit: Unit) -> tuple[str, ...]:
    def number(text: str) -> str:
        return text.rsplit(" ", 1)[0]

    return (
        str(operation.kind),
        f"{operation.n:.0f}",
        number(format_speed(operation.v_c, unit)),
        number(format_feed(operation.f, unit)),
        number(format_feed_speed(operation.v_f, unit)),
        number(format_size(operation.full_depth, unit, 2 if unit is Unit.MM else 3)),
        number(format_size(operation.tip_depth, unit, 2 if unit is Unit.MM else 3)),
        f"{operation.time_s:.1f}",
    )


def _steps(route: Route) -> Iterator[str]:
    for operation in route.operations:
        hand = " (by hand, or outside the program)" if operation.by_hand else ""
        yield f"{operation.text or str(operation.kind).capitalize()}{hand}"


def _show_forecast(
    page: Page, job: Job, plan: Plan, forecast: Forecast, pins: PinChoice, unit: Unit
) -> None:
    operations = plan.route.operations if plan.route else ()
    reamed = any(operation.kind is OperationKind.REAM for operation in operations)
    page.heading("Size to come, at 20 °C")
    page.say(
        f"Inside {_share(forecast.inside)}, below {_share(forecast.below)}, "
        f"above {_share(forecast.above)}: a forecast before any test cut.",
        indent=1,
    )
    strip = ZoneStrip(
        forecast.limits,
        unit,
        reamer=reamer_make_limits(forecast.limits, unit=job.callout.unit) if reamed else None,
        spread=forecast_spread(forecast),
        pins=pin_marks(pins),
    )
    width = min(page.columns - 2, 78)
    page.as_is(f" {line}" for line in zone_strip_text(strip, width, page.plain).splitlines())
    expected = say_offset(forecast, job.callout.nominal, unit)
    if expected:
        page.heading("Hole less reamer: two ways to expect it")
        page.points(expected)
    page.heading("Largest doubts (± holds 95 %), and the test that settles each")
    page.points((_doubt(risk, unit) for risk in largest_risks(forecast)), mark="1")
    page.say(f"Best to know first. {sensitivities(forecast)[0].text}", indent=1)


def _doubt(risk: Risk, unit: Unit) -> str:
    term = risk.term
    text = f": {term.text}" if term.text else ""
    return (
        f"{term.name}, ±{small_pair(2 * term.sd, unit)}, {100 * risk.share:.0f} % of the variance "
        f"({term.tag}){text}. {risk.test}"
    )


def pin_marks(pins: PinChoice) -> tuple[PinMark, ...]:
    """Return the chosen pins as marks of the zone strip, with the sizes they may truly have."""
    both = ((pins.go, "GO"), (pins.no_go, "NO-GO"))
    return tuple(pin_mark(pin, use) for pin, use in both if pin is not None)


def _share(share: float) -> str:
    if 0 < share < 0.0005:
        return "less than 0.05 %"
    if 0.9995 < share < 1:
        return "more than 99.95 %"
    return f"{100 * share:.1f} %"


def _alternative(route: Route) -> str:
    compared = f"; {route.text}" if route.text else ""
    return (
        f"{route.name}: {route.time_s:.0f} s a hole, {route.cost_per_good_hole:.2f} a good hole, "
        f"{_share(route.outside)} outside{compared}."
    )


def _refusals(refused: Sequence[Reason]) -> Iterator[str]:
    """Yield the first sentence of each kind of refusal, and how many more there are of it."""
    counts = Counter(reason.code for reason in refused)
    first = {reason.code: reason for reason in reversed(refused)}
    for code, count in counts.items():
        more = f" And {count - 1} more like it; --json lists all." if count > 1 else ""
        yield f"{str(first[code]).rstrip('.')}.{more}"


def _costs(job: Job) -> str:
    """Return what the costs were reckoned with, and that they can be set."""
    costs = job.economy
    assumed = " (assumed; [costs] in the job file sets it)"
    return (
        f"Costs in the shop's currency: machine {job.machine.rate:g} an hour, a spoilt part "
        f"{costs.part_value:g}, to order a tool {costs.purchase:g} beside its price, "
        f"{costs.gauge_s:g} s to gauge a hole, {100 * costs.gauged_share:g} % of holes gauged, "
        f"{costs.move_s:g} s to move to one{assumed if costs == Economy() else ''}. Scrap is what "
        "would be outside once a test cut has settled what all holes share."
    )


def _basis(job: Job, plan: Plan) -> Iterator[str]:
    if plan.evaluated:
        yield (
            f"{plan.evaluated:,} combinations of tools, holder, speed and feed were computed; "
            f"{plan.possible:,} of them break no limit."
        )
    coolant = job.coolant
    through = f" through the tool at {coolant.pressure:g} bar" if coolant.through else ""
    yield (
        f"Machine {job.machine.id}, {coolant.fluid}{through}; part at "
        f"{job.part_c:.3g} °C ({job.part_c * 1.8 + 32:.3g} °F)."
    )
    if plan.route is not None:
        yield _costs(job)
    for note in job.material.notes:
        yield f"{job.material.name}: {note.rstrip('.')}."
    for taken in job.defaults:
        # A key stands as it is written in the job file.
        yield f"{taken}." if ": not given" in taken else f"{taken[0].upper()}{taken[1:]}."
