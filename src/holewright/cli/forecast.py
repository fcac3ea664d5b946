"""``holewright forecast``: the size that will come, and what the shop's own jobs say of it."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING, Annotated

import typer

from holewright.cli.door import GOOD, answers
from holewright.cli.options import Book, Columns, JobFile, Json, Plain, UnitChoice
from holewright.units import Unit, format_small

if TYPE_CHECKING:
    from holewright.cli.output import Page
    from holewright.jobs.job import Job
    from holewright.sizing.history import Corrected
    from holewright.sizing.learning import Learned


@answers
def forecast(
    job_file: JobFile,
    why: Annotated[
        bool,
        typer.Option(
            "--why", help="Show handbook, the shop's own jobs, and both together, side by side."
        ),
    ] = False,
    book: Book = None,
    unit: UnitChoice = None,
    as_json: Json = False,
    columns: Columns = None,
    plain: Plain = False,
) -> int:
    """Forecast the size that will come, corrected by the shop's own jobs in the record book.

    Where there is no record book, the handbook stands alone.
    """
    from dataclasses import replace

    from holewright.cli.output import Page, print_json
    from holewright.jobs.jobfile import read_job
    from holewright.jobs.learn_forecast import forecast_with
    from holewright.jobs.life_documents import learned_document

    job = read_job(job_file)
    job = replace(job, unit=unit or job.unit)
    learned, heard = forecast_with(job, book)
    if as_json:
        print_json(learned_document(job, learned))
    else:
        show_forecast(Page(columns, plain=plain), job, learned, heard, why=why)
    return GOOD


def show_forecast(page: Page, job: Job, learned: Learned, heard: str, *, why: bool) -> None:
    """Print a forecast for people."""
    from holewright.sheets.sizes import range_pair, size_pair
    from holewright.sheets.zone_strip import ZoneStrip, forecast_spread, zone_strip_text

    now = learned.forecast
    page.verdict(f"{100 * now.inside:.1f} % INSIDE", f"{job.callout.text}, before any test cut")
    page.say(
        f"Mean {size_pair(now.mean, job.unit)}; 95 % of the holes "
        f"{range_pair(*now.size.interval(0.95), job.unit)}."
    )
    page.say(heard)
    if job.invented:
        page.say("An invented example: no real company, part or tool.")
    page.gap()
    strip = ZoneStrip(job.callout.limits, job.unit, spread=forecast_spread(now))
    width = min(page.columns - 2, 78)
    page.as_is(f" {line}" for line in zone_strip_text(strip, width, page.plain).splitlines())
    if not why:
        page.gap()
        page.say("With --why: the handbook, the shop's own jobs, and both together.")
        return
    page.heading("Handbook, the shop's jobs, and both together")
    page.table(
        ("", "handbook", "the shop's jobs", "together", "jobs"),
        list(_rows(learned, job.unit)),
        right=(4,),
    )
    page.say(
        "Each is a best value ± two standard uncertainties. Offset: hole less reamer, on the mean "
        "of a job.",
        indent=1,
    )
    if learned.outcomes:
        page.heading("What of the offset belongs to what")
        page.points(_shares(learned.offset, job.unit))
        page.say(
            f"The shop's jobs came out {learned.offset.handbook:.1f} times as far apart as the "
            f"handbook's shared spreads say, and {learned.offset.own:.1f} times as far in what "
            f"belongs to one job alone.",
            indent=4,
        )
    page.heading("Terms of the forecast, the largest spread first")
    page.points(
        f"{term.name}: {format_small(term.mean, job.unit, signed=True)} "
        f"± {format_small(2 * term.sd, job.unit)} ({term.tag}). {term.source}."
        for term in now.sources
        if term.name != "reamer" and term.sd > 0
    )


def _rows(learned: Learned, unit: Unit) -> Iterator[tuple[str, ...]]:
    def small(value: float, sd: float) -> str:
        shown = format_small(value, unit, signed=True).split(" (")[0]
        return f"{shown} ± {format_small(2 * sd, unit).split(' (')[0]}"

    def scatter(log: float, sd: float) -> str:
        low, high = math.exp(log - 2 * sd), math.exp(log + 2 * sd)
        low_, high_ = (format_small(x, unit).split(" (")[0] for x in (low, high))
        return f"{format_small(math.exp(log), unit).split(' (')[0]} ({low_} to {high_})"

    yield _row("offset", learned.offset, small)
    yield _row("scatter", learned.scatter, scatter)
    if learned.drift is not None:
        yield _row(
            "drift, 100 holes", learned.drift, lambda value, sd: small(100 * value, 100 * sd)
        )


def _row(name: str, one: Corrected, write: object) -> tuple[str, ...]:
    assert callable(write)
    data = one.data
    return (
        name,
        write(one.prior_mean, one.prior_sd),
        "nothing yet" if data is None else write(*data),
        write(one.mean, one.sd),
        str(one.jobs),
    )


def _shares(offset: Corrected, unit: Unit) -> Iterator[str]:
    for share in offset.shares:
        jobs = f"{share.jobs} job{'s' if share.jobs != 1 else ''}"
        yield (
            f"{share.kin} {share.name}: {format_small(share.mean, unit, signed=True)} "
            f"± {format_small(2 * share.sd, unit)} ({jobs}; handbook 0 "
            f"± {format_small(2 * share.prior_sd, unit)})."
        )
