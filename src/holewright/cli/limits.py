"""``holewright limits``: what a callout asks, and what to buy and gauge it with."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Annotated

import typer

from holewright.cli.door import GOOD, answers
from holewright.cli.options import Columns, Json, Plain, PrintUnit

if TYPE_CHECKING:
    from holewright.callout.callout import Callout
    from holewright.cli.output import Page
    from holewright.jobs.read_limits import HoleLimits
    from holewright.sheets.zone_strip import ZoneStrip
    from holewright.units import Unit


@answers
def limits(
    text: Annotated[
        str,
        typer.Argument(
            metavar="CALLOUT",
            help='The callout as on the print, e.g. "8 H7 x 22 through" or ".2500 +.0005/-0".',
            show_default=False,
        ),
    ],
    unit: PrintUnit = None,
    standard: Annotated[
        str | None,
        typer.Option(
            "--standard",
            "-s",
            metavar="iso|asme",
            help="Standard in the title block; it changes what size means.",
            show_default=False,
        ),
    ] = None,
    temperature: Annotated[
        str | None,
        typer.Option(
            "--temperature",
            "-t",
            metavar="T",
            help='Temperature of the part, e.g. "31 C" or "95 F", for the note on warmth.',
            show_default=False,
        ),
    ] = None,
    material: Annotated[
        str | None,
        typer.Option(
            "--material",
            "-m",
            metavar="NAME",
            help="Work material, e.g. 6061-T6, for the note on warmth.",
            show_default=False,
        ),
    ] = None,
    as_json: Json = False,
    columns: Columns = None,
    plain: Plain = False,
) -> int:
    """Read a callout: limits, reamer, GO and NO-GO, warmth.

    A bare size is never guessed to be mm or inch: write the unit, or give --unit.
    """
    from holewright.cli.output import Page, print_json
    from holewright.jobs.documents import limits_document
    from holewright.jobs.read_limits import read_limits

    answer = read_limits(
        text, unit=unit, standard=standard, temperature=temperature, material=material
    )
    if as_json:
        print_json(limits_document(answer))
    else:
        show_limits(Page(columns, plain=plain), answer)
    return GOOD


def show_limits(page: Page, answer: HoleLimits) -> None:
    """Print the limits of a hole for people, the unit of the print first."""
    from holewright.sheets.sizes import other, range_pair, size_pair, small_pair
    from holewright.sheets.zone_strip import zone_strip_text

    callout, unit = answer.callout, answer.callout.unit
    lower, upper = callout.limits.lower, callout.limits.upper
    page.verdict(_zone(lower, upper, unit), callout.text)
    page.say(f"({_zone(lower, upper, other(unit))}{_rounded(lower, upper, other(unit))})")
    page.gap()
    page.points(
        [
            f"Tolerance {small_pair(callout.limits.width, unit)}, "
            f"middle {size_pair(callout.limits.middle, unit)}.",
            *_understood(callout),
        ]
    )
    page.gap()
    width = min(page.columns - 2, 78)
    page.as_is(
        f" {line}" for line in zone_strip_text(_strip(answer), width, page.plain).splitlines()
    )

    page.heading("Reamer, by its measured diameter")
    page.say(f"{range_pair(answer.reamer.lower, answer.reamer.upper, unit)}", indent=2)
    page.points(
        [str(answer.reamer_reason)]
        if answer.reamer_reason
        else ["Mike it behind the lead: a label is not a measurement."]
    )

    page.heading("Gauge pair")
    page.table(("", "marked", "", "class", "tolerance"), _pin_rows(answer, unit))
    page.points(
        [str(reason) for reason in answer.pins.reasons]
        or ["Class by the 10 % rule: both pins together take a tenth of the tolerance at most."]
    )

    page.heading("Warmth")
    page.points(_warmth(answer, unit))


def _strip(answer: HoleLimits) -> ZoneStrip:
    from holewright.sheets.zone_strip import PinMark, ZoneStrip
    from holewright.shop.pin import Sense

    pins = answer.pins
    marks = (
        PinMark(pins.grade, Sense.PLUS, pins.go, pins.go + pins.tolerance, "GO"),
        PinMark(pins.grade, Sense.MINUS, pins.no_go - pins.tolerance, pins.no_go, "NO-GO"),
    )
    return ZoneStrip(answer.callout.limits, answer.callout.unit, reamer=answer.reamer, pins=marks)


def _zone(lower: float, upper: float, unit: Unit) -> str:
    from holewright.sheets.sizes import limit_text

    low = limit_text(lower, unit, lower=True).removesuffix(f" {unit}")
    return f"{low} to {limit_text(upper, unit, lower=False)}"


def _rounded(lower: float, upper: float, unit: Unit) -> str:
    from holewright.sheets.sizes import limit_text
    from holewright.units import read_length

    exact = (
        read_length(limit_text(lower, unit, lower=True)) == lower
        and read_length(limit_text(upper, unit, lower=False)) == upper
    )
    return "" if exact else ", rounded into the zone"


def _depth(mm: float, unit: Unit) -> str:
    from holewright.units import Unit, format_size

    sizes = {Unit.MM: format_size(mm, Unit.MM, 2), Unit.INCH: format_size(mm, Unit.INCH, 3)}
    first = sizes.pop(unit)
    return f"{first} ({sizes.popitem()[1]})"


def _understood(callout: Callout) -> Iterator[str]:
    from holewright.callout.callout import DrawingStandard

    depth = f" {_depth(callout.depth, callout.unit)} deep" if callout.depth else ""
    floor = (
        f", the tool point down to {_depth(callout.floor, callout.unit)} at most"
        if callout.floor
        else ""
    )
    yield f"{str(callout.kind).capitalize()} hole{depth}{floor}."
    if callout.unit_reason:
        yield f"Read as {callout.unit_reason}."
    if callout.standard is DrawingStandard.NOT_STATED:
        yield (
            "No drawing standard given. ASME: size includes perfect form. ISO 8015: two-point "
            "sizes, unless a circled E asks for more. Say which: --standard asme or iso."
        )
    elif callout.envelope:
        yield f"{callout.standard}: size includes perfect form; GO must pass the full depth."
    else:
        yield f"{callout.standard}: two-point sizes; a GO pin asks for more than the print does."
    for note in callout.notes:
        yield f"{note[0].upper()}{note[1:]}."


def _pin_rows(answer: HoleLimits, unit: Unit) -> list[tuple[str, ...]]:
    from holewright.sheets.sizes import limit_pair, small_pair

    pins = answer.pins
    grade = pins.grade or "none"
    tolerance = small_pair(pins.tolerance, unit)
    return [
        ("GO", limit_pair(pins.go, unit, lower=True), "plus", grade, f"+{tolerance}"),
        ("NO-GO", limit_pair(pins.no_go, unit, lower=False), "minus", grade, f"-{tolerance}"),
    ]


def _warmth(answer: HoleLimits, unit: Unit) -> Iterator[str]:
    from holewright.jobs.read_limits import REFERENCE_C
    from holewright.sheets.sizes import small_pair

    fahrenheit = answer.part_c * 1.8 + 32
    degrees = f"{answer.part_c:.3g} °C ({fahrenheit:.3g} °F)"
    given = "" if answer.part_c_stated else ", say"
    for growth in answer.growths:
        way = "larger" if growth.growth >= 0 else "smaller"
        yield (
            f"In {growth.material} at {degrees}{given}, the hole is "
            f"{small_pair(abs(growth.growth), unit)} {way} than at {REFERENCE_C:.0f} °C "
            f"(expansion {growth.alpha.value * 1e6:.3g} µm per m and K, {growth.alpha.tag})."
        )
    yield "Limits hold at 20 °C: let part and pin reach one temperature before you gauge."
