"""``holewright form``: does the reamer whirl, how many lobes, and what would each gauge say."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from holewright.cli.answer import Plot
from holewright.cli.door import GOOD, NO, answers, check_free
from holewright.cli.options import Columns, Force, JobFile, Json, Plain, UnitChoice

if TYPE_CHECKING:
    from holewright.cli.output import Page
    from holewright.jobs.form_hole import FormStudy, Level
    from holewright.jobs.job import Job
    from holewright.units import Unit


@answers
def form(
    job_file: JobFile,
    spacing: Annotated[
        str | None,
        typer.Option(
            "--spacing",
            metavar="ANGLES",
            help='Angles of the reamer\'s teeth in degrees, e.g. "0 57 123 180 237 303"; '
            "evenly spaced if left out.",
            show_default=False,
        ),
    ] = None,
    teeth: Annotated[
        str | None,
        typer.Option(
            "--teeth",
            metavar="READINGS",
            help='What an indicator said, one reading an edge, e.g. "0 3 6 4 1 -2 µm"; '
            "otherwise the runout of holder and spindle is taken.",
            show_default=False,
        ),
    ] = None,
    plot: Plot = None,
    unit: UnitChoice = None,
    as_json: Json = False,
    columns: Columns = None,
    plain: Plain = False,
    force: Force = False,
) -> int:
    """Look at the form of the hole: whirl, lobes, and what pin and bore gauges would read.

    Whirl that grows by more than 1.1 a turn ends with exit code 1. The height of lobes is no
    forecast: the model compares set-ups, and nobody has measured its margin constants.
    """
    from holewright.cli.output import Page, print_json, working
    from holewright.jobs.form_documents import form_document, polar_plot
    from holewright.jobs.form_hole import study_form
    from holewright.jobs.jobfile import read_job
    from holewright.jobs.tooth_words import read_angles, read_tooth_readings
    from holewright.sheets.polar import polar_svg

    job = read_job(job_file)
    if plot is not None:
        check_free([plot], force=force)
    angles = None if spacing is None else read_angles(spacing)
    heights = None if teeth is None else read_tooth_readings(teeth, job.unit)
    with working("following the reamer through the hole"):
        study = study_form(job, spacing=angles, readings=heights)
    if plot is not None:
        picture = polar_svg(polar_plot(job, study, unit or job.unit))
        plot.write_text(picture, encoding="utf-8")
    if as_json:
        print_json(form_document(job, study))
    else:
        show_form(Page(columns, plain=plain), job, study, unit or job.unit, plot)
    return NO if study.unpredictable else GOOD


def show_form(page: Page, job: Job, study: FormStudy, unit: Unit, plot: Path | None) -> None:
    """Print the form of a hole for people."""
    from holewright.jobs.form_documents import MODEL_LIMITS, form_sentences, polar_plot
    from holewright.sheets.polar import polar_text
    from holewright.units import Unit, format_small

    word = "ROUND" if study.quiet else "LOBED" if study.unpredictable else "UNSURE"
    page.verdict(word, f"{job.callout.text}, ream with {study.point.reamer.id}")
    for sentence in form_sentences(study, unit):
        page.say(sentence)

    metric = unit is Unit.MM
    page.heading(f"What gauges would read over the reamer, in {'µm' if metric else 'tenths'}")
    page.table(
        (
            f"depth\n{unit}",
            "mean",
            "pin",
            "two-point\nfrom",
            "\nto",
            "three-point\nfrom",
            "\nto",
            "out of\nround",
        ),
        [_level_row(level, unit) for level in study.levels],
        right=range(8),
    )
    pin = format_small(study.pin, unit, signed=True)
    page.say(f"A straight pin through all of it would feel {pin} over the reamer.", indent=1)
    page.heading("Wall at the last level")
    page.as_is(polar_text(polar_plot(job, study, unit)).splitlines())
    if plot is not None:
        page.say(f"Picture: {plot}")
    page.heading("What the model does not do")
    page.points(MODEL_LIMITS)


def _level_row(level: Level, unit: Unit) -> tuple[str, ...]:
    from holewright.units import Unit, format_size

    metric = unit is Unit.MM
    scale = 1000.0 if metric else 1 / 0.00254
    sizes = level.sizes
    signed = (sizes.mean, sizes.pin, *sizes.two_point, *sizes.three_point)
    return (
        format_size(level.depth, unit, 1 if metric else 2).rsplit(" ", 1)[0],
        *(f"{scale * mm:+.1f}" for mm in signed),
        f"{scale * sizes.roundness:.1f}",
    )
