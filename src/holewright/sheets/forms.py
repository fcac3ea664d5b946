"""Sheets that are mostly blanks: test-cut record, gauging sheet, hole traveller."""

from __future__ import annotations

from dataclasses import dataclass, replace

from holewright.callout.callout import Callout, HoleKind, Limits
from holewright.planning.plan import Plan
from holewright.planning.prepare import hole_depth
from holewright.sheets.header import PageKind, SheetHeader
from holewright.sheets.render import picture, render
from holewright.sheets.setup_sheet import (
    coolant_words,
    cut_row,
    hardness_words,
    tool_row,
    units_of_columns,
)
from holewright.sheets.sizes import length_pair, limit_pair, range_pair, small_pair
from holewright.sheets.words import asked_beside_size
from holewright.sheets.zone_strip import PinMark, ZoneStrip, forecast_spread, zone_strip_svg
from holewright.shop.coolant import Coolant
from holewright.shop.material import Material
from holewright.shop.shop import Shop

TEST_HOLES = ("1", "2", "3")
"""Holes of a test cut; more go on another record."""

GAUGING_ROWS = 14
"""Rows of a gauging sheet."""

_PICTURE = 900.0
"""Width of the zone strip: its labels then need the fewest lines on paper. [px]"""


@dataclass(frozen=True)
class FormJob:
    """What the forms of one job are filled with.

    Parameters
    ----------
    header : SheetHeader
        What identifies them.
    callout : Callout
        What the drawing asks.
    material : Material
        Work material.
    coolant : Coolant
        Coolant.
    plan : Plan
        What to do.
    shop : Shop
        Tool room.
    holes : int
        Holes of the order, or of a year. [-]
    reamer_limits : Limits, optional
        Limits to which the reamer is made. [mm]
    pins : tuple of PinMark
        GO and NO-GO pins with their true sizes.
    """

    header: SheetHeader
    callout: Callout
    material: Material
    coolant: Coolant
    plan: Plan
    shop: Shop
    holes: int
    reamer_limits: Limits | None = None
    pins: tuple[PinMark, ...] = ()


def usual_sampling(holes: int) -> tuple[str, ...]:
    """Return which holes a practitioner checks at least, by quantity.

    Parameters
    ----------
    holes : int
        Holes to make. [-]

    Notes
    -----
    Common practice, no source; a contract overrides it.
    """
    if holes <= 5:
        return ("Every hole, at every depth.",)
    if holes <= 50:
        return ("The first three, every fifth, and the last.", "All with GO and NO-GO if critical.")
    if holes <= 500:
        return ("The first five, then every 10th to 25th, after any touch of the tool, the last.",)
    return (
        "First and last of each reamer.",
        "Between them at least every quarter of the reamer's expected life, or as many holes as "
        "can be held back, whichever is fewer.",
    )


def _render(template: str, kind: PageKind, job: FormJob, **more: object) -> str:
    callout, unit = job.callout, job.header.unit
    steps = job.plan.route.operations if job.plan.route else ()
    strip = ZoneStrip(
        callout.limits,
        unit,
        reamer=job.reamer_limits,
        spread=forecast_spread(job.plan.forecast) if job.plan.forecast else None,
        pins=job.pins,
    )
    quarter = callout.limits.width / 4
    return render(
        template,
        replace(job.header, kind=kind),
        callout=callout,
        material=job.material,
        hardness=hardness_words(job.material),
        coolant=coolant_words(job.coolant, unit),
        plan=job.plan,
        limits=(
            limit_pair(callout.limits.lower, unit, lower=True),
            limit_pair(callout.limits.upper, unit, lower=False),
        ),
        tolerance=small_pair(callout.limits.width, unit),
        asked=asked_beside_size(callout),
        units=units_of_columns(unit),
        strip=picture(zone_strip_svg(strip, _PICTURE)),
        tools=[tool_row(step, callout, job.shop, unit) for step in steps if not step.by_hand],
        cuts=[cut_row(step, unit) for step in steps],
        pins=[
            (pin.use, pin.name, f"{pin.sense}, {range_pair(pin.lower, pin.upper, unit)}")
            for pin in job.pins
        ],
        middle_half=range_pair(
            callout.limits.lower + quarter, callout.limits.upper - quarter, unit
        ),
        sampling=usual_sampling(job.holes),
        cautions=job.plan.cautions,
        **more,
    )


def cut_record(job: FormJob) -> str:
    """Return the record of a test cut as one HTML file, to fill in by hand.

    Parameters
    ----------
    job : FormJob
        The job.
    """
    callout, unit = job.callout, job.header.unit
    depth = hole_depth(callout)
    places = [min(callout.nominal, depth / 4), depth / 2, depth - min(callout.nominal, depth / 4)]
    end = "above the end" if callout.kind is HoleKind.BLIND else "before the far face"
    names = ("below the face", "middle", end)
    offset = ""
    if job.plan.forecast is not None:
        reamer = next((t for t in job.plan.forecast.size.terms if t.name == "reamer"), None)
        if reamer is not None:
            offset = small_pair(job.plan.forecast.mean - reamer.mean, unit)
    return _render(
        "test_cut.html",
        PageKind.TEST_CUT,
        job,
        test_holes=TEST_HOLES,
        depths=[
            f"{length_pair(place, unit)} {name}" for place, name in zip(places, names, strict=True)
        ],
        offset=offset,
    )


def gauging_sheet(job: FormJob) -> str:
    """Return the gauging sheet as one HTML file, to fill in by hand.

    Parameters
    ----------
    job : FormJob
        The job.
    """
    return _render("gauging.html", PageKind.GAUGING, job, rows=GAUGING_ROWS)


def hole_traveller(job: FormJob) -> str:
    """Return the traveller of a hole: all of its job on one page.

    Parameters
    ----------
    job : FormJob
        The job.
    """
    return _render("traveller.html", PageKind.TRAVELLER, job)
