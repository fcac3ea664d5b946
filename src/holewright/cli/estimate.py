"""``holewright estimate``: the size that came, from pins and bore gauge."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from holewright.cli.door import GOOD, answers
from holewright.cli.options import Columns, JobFile, Json, Plain, ReadingsFile, UnitChoice

if TYPE_CHECKING:
    from collections.abc import Sequence

    from holewright.cli.output import Page
    from holewright.gauging.estimate import Estimate
    from holewright.gauging.reading import Reading
    from holewright.jobs.job import Job
    from holewright.sheets.zone_strip import PinMark
    from holewright.units import Unit

PINS_SHOWN = 4


@answers
def estimate(
    job_file: JobFile,
    readings_file: ReadingsFile,
    unit: UnitChoice = None,
    as_json: Json = False,
    columns: Columns = None,
    plain: Plain = False,
) -> int:
    """Estimate the size that came from pin and bore-gauge readings.

    What the readings can't tell is said, not guessed.
    """
    from dataclasses import replace

    from holewright.cli.output import Page, print_json
    from holewright.jobs.documents import estimate_document
    from holewright.jobs.jobfile import read_job
    from holewright.jobs.readingsfile import read_readings
    from holewright.jobs.take_readings import estimate_size

    job = read_job(job_file)
    job = replace(job, unit=unit or job.unit)
    readings = read_readings(readings_file, job.shop)
    found = estimate_size(job, readings)
    if as_json:
        print_json(estimate_document(job, found))
    else:
        show_estimate(Page(columns, plain=plain), job, readings, found)
    return GOOD


def show_estimate(page: Page, job: Job, readings: Sequence[Reading], estimate: Estimate) -> None:
    """Print an estimate for people, in the unit of the job first."""
    from holewright.shares import share_at_least
    from holewright.sheets.zone_strip import estimate_strip, zone_strip_text

    page.verdict(
        f"AT LEAST {share_at_least(estimate.inside_lower)} INSIDE",
        f"{job.callout.text}, {100 * estimate.confidence:g} % sure, {estimate.n_holes} holes",
    )
    page.points(_sentences(estimate, job.unit))
    page.gap()
    strip = estimate_strip(job.gauged_limits, job.unit, estimate, _pins_used(job, readings))
    width = min(page.columns - 2, 78)
    page.as_is(f" {line}" for line in zone_strip_text(strip, width, page.plain).splitlines())
    if estimate.contradictions:
        page.heading("Readings that can't all be true")
        page.points(str(reason) for reason in estimate.contradictions)
    page.heading("What keeps this from being known better")
    page.points((str(reason) for reason in estimate.limits_of_knowledge), mark="1")
    page.heading("How it was reckoned")
    page.points([f"{estimate.method}.".replace("..", "."), f"Size: {estimate.size_kind}."])


def _sentences(estimate: Estimate, unit: Unit) -> Iterator[str]:
    from holewright.sheets.proof_data import share_words
    from holewright.sheets.sizes import range_pair, size_pair, small_pair

    yield (
        f"{estimate.good} shown inside, {estimate.bad} shown outside, "
        f"{estimate.unsure} not settled by these gauges."
    )
    if estimate.mean is None or estimate.sd is None:
        yield "No mean and no spread: these readings have no finite fit."
    else:
        mean = f" ({range_pair(*estimate.mean_interval, unit)})" if estimate.mean_interval else ""
        spread = ""
        if estimate.sd_interval:
            low, high = estimate.sd_interval
            spread = f" ({small_pair(low, unit)} to {small_pair(high, unit)})"
        yield f"Mean {size_pair(estimate.mean, unit)}{mean}."
        yield f"Standard deviation {small_pair(estimate.sd, unit)}{spread}."
    if estimate.inside is not None:
        outside = [
            f"{share_words(share)} {side}"
            for side, share in (("below", estimate.below), ("above", estimate.above))
            if share is not None
        ]
        yield f"Best estimate: {share_words(estimate.inside)} inside" + (
            f", {', '.join(outside)}." if outside else "."
        )


def _pins_used(job: Job, readings: Sequence[Reading]) -> tuple[PinMark, ...]:
    """Return the pins that were used most, as marks of the zone strip."""
    from collections import Counter

    from holewright.sheets.zone_strip import pin_mark

    used = Counter(reading.gauge for reading in readings if reading.goes is not None)
    often = {gauge for gauge, _ in used.most_common(PINS_SHOWN)}
    return tuple(pin_mark(pin) for pin in job.shop.pins if pin.id in often)
