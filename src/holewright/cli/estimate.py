"""``holewright estimate``: the size that came, from pins and bore gauge."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from holewright.cli.answer import Plot
from holewright.cli.door import GOOD, answers, check_free
from holewright.cli.options import (
    Columns,
    Force,
    JobFile,
    Json,
    Plain,
    ReadingsFile,
    UnitChoice,
    WithForecast,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

    from holewright.gauging.estimate import Estimate
    from holewright.gauging.reading import Reading
    from holewright.jobs.job import Job


@answers
def estimate(
    job_file: JobFile,
    readings_file: ReadingsFile,
    size: Annotated[
        str | None,
        typer.Option(
            "--size",
            metavar="pin|two-point",
            help="Size that is asked about; bounds are widened by the form allowance where the "
            "gauges feel another. By default what the gauges feel.",
            show_default=False,
        ),
    ] = None,
    with_forecast: WithForecast = False,
    plot: Plot = None,
    force: Force = False,
    unit: UnitChoice = None,
    as_json: Json = False,
    columns: Columns = None,
    plain: Plain = False,
) -> int:
    """Estimate the size that came from pin and bore-gauge readings.

    What the readings can't tell is said, not guessed.
    """
    from dataclasses import replace

    from holewright.cli.estimate_page import show_estimate
    from holewright.cli.output import Page, print_json, working
    from holewright.jobs.bench import open_bench
    from holewright.jobs.hear_forecast import hear_forecast
    from holewright.jobs.jobfile import read_job
    from holewright.jobs.proof_documents import estimate_document
    from holewright.jobs.readingsfile import read_readings
    from holewright.jobs.sensitivity import sensitivity
    from holewright.jobs.size_asked import estimate_of, read_size_kind
    from holewright.jobs.take_readings import estimate_size

    asked = read_size_kind(size) if size is not None else None
    job = read_job(job_file)
    job = replace(job, unit=unit or job.unit)
    readings = read_readings(readings_file, job.shop, part_c=job.part_c)
    with working("fitting what the gauges say"):
        found = estimate_size(job, readings, today=open_bench().now().date())
        heard = hear_forecast(job, readings) if with_forecast else None
        if asked is not None:
            found = estimate_of(job, readings, found, asked)
        variants = sensitivity(job, readings)
    if plot is not None:
        check_free([plot], force=force)
        plot.write_text(_number_line(job, readings, found), encoding="utf-8")
    if as_json:
        print_json(estimate_document(job, found, variants=variants, heard=heard))
        return GOOD
    page = Page(columns, plain=plain)
    show_estimate(page, job, readings, found, variants=variants, heard=heard)
    if plot is not None:
        page.gap()
        page.say(f"Picture: {plot}")
    return GOOD


def _number_line(job: Job, readings: Sequence[Reading], found: Estimate) -> str:
    """Return limits, pins and what is known of each hole on one line of sizes, as a picture."""
    from holewright.cli.estimate_page import pins_used
    from holewright.sheets.zone_strip import estimate_strip, zone_strip_svg

    pins = pins_used(job, readings, most=12)
    return zone_strip_svg(estimate_strip(job.gauged_limits, job.unit, found, pins))
