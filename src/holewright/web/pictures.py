"""Pictures of ours as they go into a page: without inline style, and one for each width."""

from __future__ import annotations

import itertools
import re
from collections.abc import Callable

from markupsafe import Markup

from holewright.callout.callout import Callout
from holewright.gauging.estimate import Estimate
from holewright.gauging.limit_pins import choose_pins
from holewright.jobs.job import Job
from holewright.planning.plan import Plan
from holewright.sheets.hole_section import hole_section_svg
from holewright.sheets.zone_strip import (
    PinMark,
    ZoneStrip,
    estimate_strip,
    forecast_spread,
    pin_mark,
    zone_strip_svg,
)
from holewright.sizing.make_limits import reamer_make_limits
from holewright.units import Unit

WIDE, NARROW = 1000.0, 350.0
"""Widths for which the strip is drawn; the page shows the one that fits. [px]"""

_STYLE = re.compile(r' style="[^"]*"')
_ID = re.compile(r'(\bid="|url\(#)([\w-]+)')
_numbers = itertools.count(1)


def own(svg: str) -> Markup:
    """Return a picture fit for a page: no inline style, and ids that no other picture has.

    Parameters
    ----------
    svg : str
        A picture of ours. It was built as an XML tree, so its labels are escaped already.
    """
    number = next(_numbers)
    return Markup(_ID.sub(rf"\g<1>\g<2>-{number}", _STYLE.sub("", svg)))


def both_widths(draw: Callable[[float], str]) -> Markup:
    """Return a picture for a screen and one for a phone; the style sheet shows one of them."""
    wide = Markup('<div class="wide-only">{}</div>').format(own(draw(WIDE)))
    narrow = Markup('<div class="narrow-only" aria-hidden="true">{}</div>').format(
        own(draw(NARROW))
    )
    return wide + narrow


def strip(zone: ZoneStrip) -> Markup:
    """Return a zone strip."""
    return both_widths(lambda width: zone_strip_svg(zone, width))


def job_strip(job: Job, unit: Unit, plan: Plan | None, estimate: Estimate | None) -> Markup:
    """Return the zone strip of a job: what came, else what will come, else what is asked.

    Parameters
    ----------
    job : Job
        The job.
    unit : Unit
        Unit that comes first.
    plan : Plan, optional
        Its plan.
    estimate : Estimate, optional
        The size that came.
    """
    limits = job.gauged_limits
    pins = limit_pins(job)
    if estimate is not None and estimate.holes:
        return strip(estimate_strip(limits, unit, estimate, pins))
    forecast = plan.forecast if plan else None
    return strip(
        ZoneStrip(
            limits,
            unit,
            reamer=reamer_make_limits(limits, job.unit),
            spread=forecast_spread(forecast) if forecast and forecast.sd > 0 else None,
            pins=pins,
        )
    )


def limit_pins(job: Job) -> tuple[PinMark, ...]:
    """Return GO and NO-GO of a job's tool room as the strip shows them."""
    choice = choose_pins(job.gauged_limits, job.shop.pins, unit=job.unit)
    chosen = ((choice.go, "GO"), (choice.no_go, "NO-GO"))
    return tuple(pin_mark(pin, use) for pin, use in chosen if pin is not None)


def callout_strip(callout: Callout, unit: Unit) -> Markup:
    """Return the zone strip of a callout alone."""
    limits = callout.limits
    return strip(ZoneStrip(limits, unit, reamer=reamer_make_limits(limits, callout.unit)))


def section(callout: Callout, plan: Plan | None, job: Job | None) -> Markup:
    """Return the hole section, with the route where there is one."""
    route = plan.route if plan else None
    names = {op.tool for op in route.operations} if route else set()
    reamers = [r for r in job.shop.reamers if r.id in names] if job else []
    return own(hole_section_svg(callout, route, reamer=reamers[-1] if reamers else None))
