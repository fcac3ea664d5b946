"""The tables of a proof report: gauges, readings, holes, indices, and how values are known."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from holewright.callout.callout import Limits
from holewright.gauging.estimate import Estimate
from holewright.gauging.pin_size import gauge_reading_size, pin_size
from holewright.gauging.reading import Reading
from holewright.planning.plan import Plan
from holewright.proof.tally import Tally
from holewright.proof.verdict import Verdict
from holewright.shares import share_at_least
from holewright.sheets.sizes import (
    bare,
    length_text,
    other,
    range_pair,
    range_text,
    size_pair,
    size_text,
    small_pair,
)
from holewright.sheets.words import source_words, value_words
from holewright.shop.material import Material
from holewright.shop.pin import BoreGauge, Pin
from holewright.shop.shop import Shop
from holewright.uncertainty import Known
from holewright.units import Unit, format_size


@dataclass(frozen=True)
class GaugeRow:
    """A gauge that was used; an empty text is a blank to fill in."""

    name: str
    kind: str
    size: str
    known: str
    due: str = ""


@dataclass(frozen=True)
class ReadingRow:
    """One reading, in the order in which it was taken."""

    number: int
    hole: str
    gauge: str
    result: str
    depth: str
    part_c: str
    gauge_c: str
    note: str


@dataclass(frozen=True)
class HoleRow:
    """What all readings of one hole say together, in the print's unit and in the other."""

    hole: str
    first: str
    second: str
    shown: str


@dataclass(frozen=True)
class IndexRow:
    """An index with the interval or bound that makes it worth reading."""

    name: str
    value: str
    surely: str


@dataclass(frozen=True)
class ValueRow:
    """A value the report rests on, and how it is known."""

    name: str
    value: str
    tag: str
    source: str


def used_gauges(readings: Sequence[Reading], shop: Shop | None) -> list[Pin | BoreGauge | str]:
    """Return the gauges of the readings in the order of first use; the name of an unknown one."""
    known: dict[str, Pin | BoreGauge] = {}
    if shop is not None:
        gauges: tuple[Pin | BoreGauge, ...] = (*shop.pins, *shop.bore_gauges)
        known = {gauge.id: gauge for gauge in gauges}
    return [known.get(name, name) for name in dict.fromkeys(r.gauge for r in readings)]


def gauge_row(gauge: Pin | BoreGauge | str, unit: Unit) -> GaugeRow:
    """Return a gauge as the report lists it."""
    if isinstance(gauge, str):
        return GaugeRow(gauge, "", "", "")
    if isinstance(gauge, Pin):
        size = pin_size(gauge)
        known = "calibrated" if gauge.calibrated else f"class {gauge.grade}, standard"
        between = range_pair(size.smallest(), size.largest(), unit)
        return GaugeRow(gauge.id, f"{gauge.sense} pin", f"true size {between}", known, _due(gauge))
    u = small_pair(gauge_reading_size(gauge, 0.0).u, unit)
    step = small_pair(gauge.resolution, unit)
    words = f"u of a reading {u}; step {step}"
    kind = f"{gauge.kind} bore gauge"
    return GaugeRow(gauge.id, kind, words, str(gauge.u.tag), _due(gauge))


def _due(gauge: Pin | BoreGauge) -> str:
    return "" if gauge.due is None else gauge.due.isoformat()


def reading_row(number: int, reading: Reading, unit: Unit) -> ReadingRow:
    """Return a reading as it was taken, uncorrected."""
    if reading.size is not None:
        result = f"{format_size(reading.size, unit)} ({size_text(reading.size, other(unit))})"
    else:
        result = "goes" if reading.goes else "does not go"
    return ReadingRow(
        number=number,
        hole=reading.hole,
        gauge=reading.gauge,
        result=result,
        depth="full" if reading.depth is None else length_text(reading.depth, unit),
        part_c=f"{reading.part_c:g}",
        gauge_c=f"{reading.gauge_c:g}",
        note=reading.note,
    )


def same_for_all(rows: Sequence[ReadingRow]) -> dict[str, str]:
    """Return the columns that say the same in every row, so that they are said only once."""
    same = {}
    for column in ("depth", "part_c", "gauge_c", "note"):
        found = {getattr(row, column) for row in rows}
        if len(found) == 1:
            same[column] = found.pop()
    return same


def hole_rows(estimate: Estimate, found: Tally, unit: Unit) -> list[HoleRow]:
    """Return hole by hole what is known at 20 °C, and what the decision rule made of it."""
    bad = {h.hole for h in found.bad_holes}
    unsure = {h.hole for h in found.unsure_holes}
    rows = []
    for hole in estimate.holes:
        if hole.lower > hole.upper:
            rows.append(HoleRow(hole.hole, "readings contradict", "", "not shown"))
            continue
        shown = "outside" if hole.hole in bad else "not shown" if hole.hole in unsure else "inside"
        first, second = (range_text(hole.lower, hole.upper, u) for u in (unit, other(unit)))
        bounded = not (math.isinf(hole.lower) and math.isinf(hole.upper))
        rows.append(
            HoleRow(hole.hole, bare(first), f"({bare(second)})", shown)
            if bounded
            else HoleRow(hole.hole, "not bounded", "", shown)
        )
    return rows


def share_words(share: float) -> str:
    """Return an estimated share in per cent: two digits of what is in, or out, if that is less.

    Never as a nought that it isn't.
    """
    if share < 1e-5:
        return "under 0.001 %"
    if share > 1 - 1e-5:
        return "over 99.999 %"
    places = max(0, -math.floor(math.log10(min(share, 1 - share))) - 1)
    return f"{100 * share:.{places}f} %"


def index_rows(estimate: Estimate, verdict: Verdict, limits: Limits, unit: Unit) -> list[IndexRow]:
    """Return the indices, each with its interval or bound; none without."""
    sure = f"{100 * estimate.confidence:g} % confidence"
    asked = f"{100 * verdict.demands.confidence:g} % sure"
    rows = [
        IndexRow(
            "Share of holes inside",
            f"{share_words(estimate.inside)}, by the fit"
            if estimate.inside is not None
            else "no finite fit",
            f"at least {share_at_least(verdict.inside_lower)}, {asked}",
        )
    ]
    if estimate.below is not None and estimate.above is not None:
        shares = f"below {share_words(estimate.below)}, above {share_words(estimate.above)}"
        rows.append(IndexRow("Share outside", shares, ""))
    if estimate.mean is not None and estimate.mean_interval is not None:
        interval = f"{range_pair(*estimate.mean_interval, unit)}, {sure}"
        rows.append(IndexRow("Mean size", size_pair(estimate.mean, unit), interval))
        off = estimate.mean - limits.middle
        side = "above" if off > 0 else "below"
        words = f"{small_pair(abs(off), unit)} {side} the middle of the zone"
        rows.append(IndexRow("Mean from the middle", words, ""))
    if estimate.sd is not None and estimate.sd_interval is not None:
        low, high = (small_pair(sd, unit) for sd in estimate.sd_interval)
        interval = f"{low} to {high}, {sure}"
        rows.append(IndexRow("Standard deviation", small_pair(estimate.sd, unit), interval))
    if verdict.ppk is not None and verdict.ppk_lower is not None:
        bound = f"at least {math.floor(100 * verdict.ppk_lower) / 100:.2f}, {asked}"
        rows.append(IndexRow("Ppk, room to the nearer limit / 3 s", f"{verdict.ppk:.2f}", bound))
    if verdict.lot is not None and verdict.outside_in_lot_upper is not None:
        rows.append(
            IndexRow(
                f"Outside in the lot of {verdict.lot}",
                "",
                f"at most {verdict.outside_in_lot_upper}, {asked}",
            )
        )
    return rows


def value_rows(
    plan: Plan | None, material: Material | None, gauges: Iterable[Pin | BoreGauge | str]
) -> list[ValueRow]:
    """Return the values behind the report, each with its tag and its source."""
    rows = []
    if material is not None:
        rows.append(_value(f"hardness of {material.name} [HB]", material.hardness_hb))
        rows.append(_value("thermal expansion [1/K]", material.alpha))
    for gauge in gauges:
        if isinstance(gauge, Pin) and gauge.calibrated is not None:
            rows.append(_value(f"pin {gauge.id}, calibrated size [mm]", gauge.calibrated))
        if isinstance(gauge, BoreGauge):
            rows.append(_value(f"{gauge.id}, u of a reading [mm]", gauge.u))
    if plan is not None and plan.route is not None:
        for step in plan.route.operations:
            rows += [_value(f"{step.kind}: {name}", known) for name, known in step.numbers]
    return rows


def _value(name: str, known: Known) -> ValueRow:
    return ValueRow(name, value_words(known), str(known.tag), source_words(known.source))
