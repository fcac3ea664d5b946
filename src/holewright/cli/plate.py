"""``holewright plate``: lay out a test plate, or read what one showed."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from holewright.cli.answer import Plot
from holewright.cli.door import GOOD, NO, answers, check_free
from holewright.cli.options import Columns, Force, JobFile, Json, Plain, UnitChoice


class CutOrder(StrEnum):
    """Orders of cutting; words as in ``plate.layout.Order``."""

    BLOCKS = "blocks"
    ROWS = "rows"
    RANDOM = "random"


@answers
def plate(
    job_file: JobFile,
    results: Annotated[
        Path | None,
        typer.Option(
            "--results",
            "-r",
            metavar="R.csv",
            help="What came back from the machine: say what the plate showed.",
            show_default=False,
        ),
    ] = None,
    vary: Annotated[
        list[str] | None,
        typer.Option(
            "--vary",
            "-v",
            metavar="FACTOR=LEVELS",
            help='Factor and levels, again for more: "feed=70,100,130 %", "stock=0.15,0.25 mm", '
            '"holder=A;B". Also speed, depth, coolant, reamer. Without it feed, five rows.',
            show_default=False,
        ),
    ] = None,
    without: Annotated[
        list[str] | None,
        typer.Option(
            "--without",
            metavar="LEVELS",
            help='Levels that must not meet, again for more: "feed=130 & speed=120".',
            show_default=False,
        ),
    ] = None,
    order: Annotated[
        CutOrder, typer.Option("--order", help="In which order the holes are cut.")
    ] = CutOrder.BLOCKS,
    holes: Annotated[
        int | None,
        typer.Option(
            "--holes",
            "-n",
            min=1,
            max=200,
            metavar="N",
            help="Holes a row; by default as many as it takes to see a difference.",
            show_default=False,
        ),
    ] = None,
    see: Annotated[
        str | None,
        typer.Option(
            "--see",
            metavar="LENGTH",
            help='Difference between two rows to be seen, e.g. "3 µm"; by default a fifth of the '
            "tolerance.",
            show_default=False,
        ),
    ] = None,
    power: Annotated[
        str, typer.Option("--power", metavar="SHARE", help="How often it is to be seen.")
    ] = "80 %",
    best: Annotated[
        int | None,
        typer.Option(
            "--best",
            min=2,
            metavar="N",
            help="Cut only so many settings, those that tell most.",
            show_default=False,
        ),
    ] = None,
    halve: Annotated[
        int,
        typer.Option(
            "--halve", min=0, max=4, metavar="N", help="Halve a plate of two-level factors."
        ),
    ] = 0,
    pitch: Annotated[
        str | None,
        typer.Option(
            "--pitch",
            metavar="LENGTH",
            help="Distance of neighbours; by default two diameters.",
            show_default=False,
        ),
    ] = None,
    seed: Annotated[
        int, typer.Option("--seed", min=0, metavar="N", help="Seed of a shuffled order.")
    ] = 1,
    hold: Annotated[
        bool, typer.Option("--hold", help="Stop the program after each hole, to look at it.")
    ] = False,
    out: Annotated[
        Path | None,
        typer.Option(
            "--out",
            "-o",
            metavar="DIR",
            help="Folder for program, check sheet and the file to fill in; made if need be.",
            show_default=False,
        ),
    ] = None,
    plot: Plot = None,
    force: Force = False,
    unit: UnitChoice = None,
    as_json: Json = False,
    columns: Columns = None,
    plain: Plain = False,
) -> int:
    """Lay out a test plate with its program and check sheet; with --results, say what it showed.

    How many holes a row, and what each order of cutting costs, is reckoned and said. Where no
    setting of a plate can be recommended, the exit code is 1.
    """
    from dataclasses import replace

    from holewright.cli.output import Page, print_json
    from holewright.cli.plate_page import show_plate, show_plate_result
    from holewright.jobs.cut_plate import cut_plate, read_plate
    from holewright.jobs.fields import length, option, share
    from holewright.jobs.jobfile import read_job
    from holewright.jobs.plate_documents import plate_document, plate_result_document
    from holewright.jobs.plate_file import read_plate_file
    from holewright.jobs.plate_request import USUAL, PlateRequest, read_factors, read_without
    from holewright.plate.layout import Order

    job = read_job(job_file)
    job = replace(job, unit=unit or job.unit)
    page = Page(columns, plain=plain)
    if results is not None:
        came = read_plate_file(results, job.shop, job.unit, part_c=job.part_c)
        found = read_plate(job, came)
        if plot is not None:
            from holewright.sheets.effect_plot import effect_plot_svg

            check_free([plot], force=force)
            drawn = effect_plot_svg(found.means, job.gauged_limits, job.unit)
            plot.write_text(drawn, encoding="utf-8")
        if as_json:
            print_json(plate_result_document(job, found, str(plot) if plot else None))
        else:
            show_plate_result(page, job, found, plot)
        return GOOD if found.recommended is not None else NO
    factors = read_factors(vary, job) if vary else USUAL
    cut = cut_plate(
        job,
        PlateRequest(
            factors=factors,
            without=read_without(without or (), factors, job.unit),
            order=Order(order.value),
            a_row=holes,
            see=length(option("see", see, job.unit), "see") if see else None,
            settings=best,
            halvings=halve,
            pitch=length(option("pitch", pitch, job.unit), "pitch") if pitch else None,
            seed=seed,
            power=share(option("power", power), "power"),
        ),
    )
    paths = _write(cut, job_file.stem, out, hold=hold, force=force) if out else {}
    if as_json:
        named = {sort: paths.get(sort) for sort in ("program", "sheet", "results")}
        print_json(plate_document(cut, named))
    else:
        show_plate(page, cut, paths)
    return GOOD


def _write(cut: object, stem: str, out: Path, *, hold: bool, force: bool) -> dict[str, str | None]:
    """Write program, check sheet and the file to fill in, and return where they are."""
    from holewright.jobs.bench import open_bench
    from holewright.jobs.plate_file import plate_csv
    from holewright.jobs.plate_sheet import plate_check_sheet
    from holewright.jobs.plate_steps import CutPlate, plate_program

    assert isinstance(cut, CutPlate)
    files = {
        "program": out / f"{stem}-plate.ngc",
        "sheet": out / f"{stem}-plate.html",
        "results": out / f"{stem}-plate.csv",
    }
    check_free(list(files.values()), force=force)
    notes = [f"Test plate for {cut.job.name}: fill in, then holewright plate --results."]
    if cut.job.invented:
        notes.append("Invented example: no real company, part or tool.")
    out.mkdir(parents=True, exist_ok=True)
    program = plate_program(cut, hold=hold)
    files["program"].write_text(program.text, encoding="ascii", newline="\n")
    files["sheet"].write_text(plate_check_sheet(cut, open_bench()), encoding="utf-8")
    files["results"].write_text(
        plate_csv(cut.plate, cut.job.unit, notes), encoding="utf-8", newline="\n"
    )
    return {sort: str(path) for sort, path in files.items()}
