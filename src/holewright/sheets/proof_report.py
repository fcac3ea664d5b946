"""The proof report: what is claimed of the process, on what, and what it does not prove."""

from __future__ import annotations

from collections.abc import Sequence

from holewright.callout.callout import Callout
from holewright.gauging.estimate import Estimate
from holewright.gauging.reading import Reading
from holewright.planning.plan import Plan
from holewright.proof.tally import Tally, tally
from holewright.proof.verdict import Decision, Verdict
from holewright.shares import share_at_least
from holewright.sheets.header import SheetHeader
from holewright.sheets.proof_data import (
    gauge_row,
    hole_rows,
    index_rows,
    reading_row,
    same_for_all,
    used_gauges,
    value_rows,
)
from holewright.sheets.render import picture, render
from holewright.sheets.sequence import size_sequence_svg
from holewright.sheets.setup_sheet import coolant_words, cut_row, hardness_words, units_of_columns
from holewright.sheets.share_plot import share_plot_svg
from holewright.sheets.sizes import limit_pair, small_pair
from holewright.sheets.words import asked_beside_size
from holewright.sheets.zone_strip import estimate_strip, pin_mark, zone_strip_svg
from holewright.shop.coolant import Coolant
from holewright.shop.material import Material
from holewright.shop.pin import Pin
from holewright.shop.shop import Shop

NOT_PROVED = (
    "Drift over a reamer's life: holes made close together leave out wear (machine performance, "
    "not process performance, ISO 22514).",
    "Holes made after these: a sample speaks for the process only while it stays as it was.",
    "That another person with the same gauges finds the same: that takes a gauge study.",
)
"""What no report of this kind proves."""

ELSEWHERE = (
    "Gauge study on parts of this size",
    "Form, position, finish, depth and edges on five parts or more across the life",
    "Tool life, change interval and the step in size at a change",
    "Fault tests: broken tool, low coolant, missing drill, wrong tool length, restart",
    "Open risks and reaction plan",
)
"""What a customer's run-off asks for beside this report, with blanks for the records."""

_PICTURE = 720.0


def proof_report(
    header: SheetHeader,
    *,
    callout: Callout,
    estimate: Estimate,
    verdict: Verdict,
    readings: Sequence[Reading],
    plan: Plan | None = None,
    shop: Shop | None = None,
    material: Material | None = None,
    coolant: Coolant | None = None,
) -> str:
    """Return the proof report as one HTML file that loads nothing and prints on A4 and Letter.

    Parameters
    ----------
    header : SheetHeader
        What identifies the report.
    callout : Callout
        What the drawing asks.
    estimate : Estimate
        The size that came.
    verdict : Verdict
        Release or hold.
    readings : sequence of Reading
        Every reading in the order in which it was taken; none is left out.
    plan : Plan, optional
        The route that made the holes, for the conditions and the values behind them.
    shop : Shop, optional
        Tool room, for the true sizes of the gauges.
    material : Material, optional
        Work material.
    coolant : Coolant, optional
        Coolant.

    Returns
    -------
    str
        The file.

    Notes
    -----
    Holes are sorted by the rule of the estimate, as in the verdict.
    """
    unit = header.unit
    found = tally(estimate, callout.limits)
    gauges = used_gauges(readings, shop)
    pins = tuple(pin_mark(gauge) for gauge in gauges if isinstance(gauge, Pin))
    strip = estimate_strip(callout.limits, unit, estimate, pins)
    rows = [reading_row(i, reading, unit) for i, reading in enumerate(readings, start=1)]
    steps = plan.route.operations if plan is not None and plan.route is not None else ()
    chart = size_sequence_svg(estimate.holes, callout.limits, unit) if estimate.holes else ""
    worst = max((hole.u for hole in estimate.holes), default=0.0)
    return render(
        "proof_report.html",
        header,
        callout=callout,
        limits=(
            limit_pair(callout.limits.lower, unit, lower=True),
            limit_pair(callout.limits.upper, unit, lower=False),
        ),
        tolerance=small_pair(callout.limits.width, unit),
        asked=asked_beside_size(callout),
        estimate=estimate,
        verdict=verdict,
        found=found,
        at_least=share_at_least(verdict.inside_lower),
        strip=picture(zone_strip_svg(strip, _PICTURE)),
        share=picture(_share(found, verdict)),
        sequence=picture(chart),
        gauges=[gauge_row(gauge, unit) for gauge in gauges],
        readings=rows,
        same=same_for_all(rows),
        holes=hole_rows(estimate, found, unit),
        worst_u=small_pair(worst, unit) if worst else "",
        indices=index_rows(estimate, verdict, callout.limits, unit),
        values=value_rows(plan, material, gauges),
        material=material,
        hardness=hardness_words(material) if material else "",
        coolant=coolant_words(coolant, unit) if coolant else [],
        cuts=[cut_row(step, unit) for step in steps],
        units=units_of_columns(unit),
        not_proved=NOT_PROVED,
        elsewhere=ELSEWHERE,
    )


def _share(found: Tally, verdict: Verdict) -> str:
    """Return the share shown against the holes checked, where the verdict holds."""
    if verdict.decision is Decision.RELEASE or found.n == 0 or found.n == verdict.lot:
        return ""
    asked = verdict.demands
    return share_plot_svg(
        found.good,
        found.n,
        inside=asked.inside,
        confidence=asked.confidence,
        width=_PICTURE,
        height=190.0,
    )
