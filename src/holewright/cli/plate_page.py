"""Prints test plates for people."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from holewright.units import Unit, format_small

if TYPE_CHECKING:
    from holewright.cli.output import Page
    from holewright.jobs.job import Job
    from holewright.jobs.plate_steps import CutPlate
    from holewright.plate.plate import Plate, PlateResult, RowResult

_MOST_ROWS = 26


def show_plate(page: Page, cut: CutPlate, paths: Mapping[str, str | None]) -> None:
    """Print a plate as it is to be cut."""
    from holewright.sheets.sizes import length_pair

    job, plate = cut.job, cut.plate
    page.verdict(f"CUT {len(plate.holes)} HOLES", f"{job.callout.text}, {job.material.name}")
    side = " by ".join(length_pair(one, job.unit) for one in plate.layout.size)
    page.say(
        f"{len(plate.settings)} rows of {plate.a_row}, "
        f"{length_pair(plate.layout.pitch, job.unit)} apart; the field is {side}."
    )
    if job.invented:
        page.say("An invented example: no real company, part or tool.")
    page.heading("Rows")
    shown = range(min(len(plate.settings), _MOST_ROWS))
    page.points((_sentence(plate.row_words(i, job.unit)) for i in shown), mark="-")
    if len(plate.settings) > _MOST_ROWS:
        page.say(f"And {len(plate.settings) - _MOST_ROWS} more; --json lists all.", indent=4)
    page.heading("Why so many holes")
    page.points(_need(plate, job.unit))
    page.heading("Order of cutting, and what the others would cost")
    page.points((str(reason) for reason in plate.orders), mark="1")
    if plate.noted:
        page.heading("Know before you cut")
        page.points(str(reason) for reason in plate.noted)
    page.heading("Caution")
    page.points(plate.cautions, mark="!")
    if paths:
        page.heading("Written")
        page.points(f"{sort}: {path}" for sort, path in paths.items())
    else:
        page.gap()
        page.say("With --out DIR its program, check sheet and the file to fill in are written.")


def _need(plate: Plate, unit: Unit) -> Iterator[str]:
    need = plate.need
    if need is None:
        yield f"{plate.a_row} a row, as asked."
        return
    yield (
        f"To see {format_small(need.difference, unit)} between two rows "
        f"{100 * need.power:.0f} % of the time you need {need.a_row} holes a row with these "
        f"pins, wherever the size may fall by the forecast."
    )
    at_pin = f"{need.at_pin}" if need.at_pin else "over 200"
    between = f"{need.between}" if need.between else "over 200"
    yield (
        f"With the size on a pin {at_pin} would do, half-way between two pins {between}; if every "
        f"hole were measured with a gauge that reads, {need.by_size}."
    )


def _sentence(text: str) -> str:
    return f"{text[0].upper()}{text[1:]}."


def show_plate_result(page: Page, job: Job, result: PlateResult, plot: Path | None) -> None:
    """Print what a plate showed."""
    word = "RUN" if result.recommended is not None else "NONE OF THESE"
    about = (
        result.rows[result.recommended].words if result.recommended is not None else "test plate"
    )
    page.verdict(word, f"{about}, {job.callout.text}, {result.holes} holes")
    page.say(result.sentence)
    if job.invented:
        page.say("An invented example: no real company, part or tool.")
    page.heading("What each step did")
    effects = (*result.size, result.drift, *result.chips, *result.finish)
    page.points(effect.sentence for effect in effects)
    page.heading("Row by row")
    page.table(
        ("setting", "holes", "mean", "95 %", "inside", "chips good", "Ra"),
        [_row(row, job.unit) for row in result.rows],
        right=(1, 2, 3, 4, 5, 6),
    )
    page.say(
        f"One hole scatters about its setting with a standard deviation of "
        f"{format_small(result.scatter, job.unit)}.",
        indent=1,
    )
    page.heading("Why this one, and why not the others")
    page.points((str(reason) for reason in result.because), mark="1")
    page.heading("What the plate did not show")
    page.points(result.not_shown)
    if result.noted:
        page.heading("Know about the analysis")
        page.points(str(reason) for reason in result.noted)
    page.heading("Caution")
    page.points(result.cautions, mark="!")
    if plot is not None:
        page.gap()
        page.say(f"Picture of the main effects: {plot}")


def _row(row: RowResult, unit: Unit) -> tuple[str, ...]:
    from holewright.sheets.sizes import size_text

    half = max(row.upper - row.mean, row.mean - row.lower)
    within = "no bound"
    if math.isfinite(half):
        within = f"±{format_small(round(half, 5), unit).split(' (')[0]}"
    return (
        row.words,
        str(row.holes),
        size_text(row.mean, unit),
        within,
        f"{100 * min(row.inside, 0.9999):.1f} %" if row.inside < 0.9995 else "over 99.9 %",
        "" if row.good_chips is None else f"{100 * row.good_chips:.0f} %",
        "" if row.ra is None else f"{row.ra:.2f} µm",
    )
