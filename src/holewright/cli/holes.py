"""``holewright holes``: the holes of a model or a table, and a job file for one group of them."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from holewright.cli.door import GOOD, answers, check_free
from holewright.cli.options import Columns, Force, Json, Plain
from holewright.units import Unit

if TYPE_CHECKING:
    from holewright.callout.found_hole import FoundHole, HoleGroup
    from holewright.cli.output import Page
    from holewright.jobs.hole_source import HoleList

_LISTED = 60
"""So many holes are listed one by one."""


@answers
def holes(
    source: Annotated[
        Path,
        typer.Argument(
            metavar="PART.step|HOLES.csv",
            help="A STEP model (AP203, AP214, AP242), or a table with columns x, y, diameter.",
            show_default=False,
        ),
    ],
    group: Annotated[
        str,
        typer.Option(
            "--group", "-g", metavar="LETTER", help="Group to make a job of.", show_default=False
        ),
    ] = "",
    callout: Annotated[
        str,
        typer.Option(
            "--callout",
            metavar="CALLOUT",
            help='Callout that belongs to the group, such as "8 H7 x 22 through".',
            show_default=False,
        ),
    ] = "",
    material: Annotated[
        str,
        typer.Option(
            "--material", metavar="NAME", help="Work material of the job.", show_default=False
        ),
    ] = "",
    output: Annotated[
        Path | None,
        typer.Option(
            "--output",
            "-o",
            metavar="JOB.toml",
            help="Job file to write for the group; wants --callout and --material.",
            show_default=False,
        ),
    ] = None,
    column: Annotated[
        list[str] | None,
        typer.Option(
            "--column",
            metavar="OURS=THEIRS",
            help='What a table calls a column, again for more: "x=Pos X [mm]". Ours are hole, x, '
            "y, z, diameter, depth, kind, callout.",
            show_default=False,
        ),
    ] = None,
    unit: Annotated[
        Unit | None,
        typer.Option(
            "--unit",
            "-u",
            metavar="mm|in",
            help="Unit of a table's bare lengths and of what is shown; mm for a model.",
            show_default=False,
        ),
    ] = None,
    force: Force = False,
    as_json: Json = False,
    columns: Columns = None,
    plain: Plain = False,
) -> int:
    """List the holes of a part by size and direction; make a job file of one group.

    A model needs the extra: pip install 'holewright[step]'.
    """
    from holewright.cli.output import Page, print_json
    from holewright.jobs.hole_source import find_holes
    from holewright.jobs.program_documents import holes_document

    if output is not None:
        check_free([output], force=force)
    found = find_holes(source, unit, columns=_mapped(column))
    if output is not None:
        output.write_text(
            _job_file(found, group, callout, material, unit or Unit.MM), encoding="utf-8"
        )
    if as_json:
        print_json(holes_document(found, str(output) if output else None))
    else:
        _show(Page(columns, plain=plain), found, unit or Unit.MM, output)
    return GOOD


def _mapped(column: list[str] | None) -> dict[str, str] | None:
    from holewright.errors import InputError

    if column is None:
        return None
    mapped = {}
    for words in column:
        ours, equals, theirs = words.partition("=")
        if not equals or not theirs.strip():
            raise InputError("column", words, 'must be such as "x=Pos X"')
        mapped[ours.strip()] = theirs.strip()
    return mapped


def _job_file(found: HoleList, group: str, callout: str, material: str, unit: Unit) -> str:
    from holewright.callout.notation import read_callout
    from holewright.errors import InputError
    from holewright.jobs.hole_source import job_text, pick_group

    for name, value, example in (
        ("callout", callout, '"8 H7 x 22 through"'),
        ("material", material, "16MnCr5"),
    ):
        if not value:
            raise InputError(name, "not given", f"must be there for a job file: --{name} {example}")
    picked = pick_group(found, group, read_callout(callout, unit=unit).nominal)
    return job_text(found, picked, callout, material, unit)


def _show(page: Page, found: HoleList, unit: Unit, output: Path | None) -> None:
    count = len(found.holes)
    page.say(
        f"{found.source}: {count} hole{'s' * (count != 1)} in {len(found.groups)} "
        f"group{'s' * (len(found.groups) != 1)}, all lengths in {unit}."
    )
    if not found.groups:
        page.say("Only true cylinders that reach more than 200° round are found.")
        return
    page.gap()
    page.table(
        ("group", "holes", "dia", "along", "face at", "kind", "depth", "wall", "slope", "crossed"),
        [_group_row(group, unit) for group in found.groups],
        right=(1, 2, 4, 6, 7, 8),
    )
    if count <= _LISTED:
        page.heading("Places, as the machine sees them that drills along the group's direction")
        page.table(
            ("group", "hole", "X", "Y", "depth", "wall"),
            [
                (group.name, hole.name, *_place_cells(hole, place, unit))
                for group in found.groups
                for hole, place in zip(group.holes, group.places, strict=True)
            ],
            right=(2, 3, 4, 5),
        )
    if output is not None:
        page.gap()
        page.say(f"Job file: {output}. Read it through; the print decides, not the model.")


def _group_row(group: HoleGroup, unit: Unit) -> tuple[str, ...]:
    crossed = ", ".join(
        f"{_length(b.diameter, unit)} at {_length(b.depth, unit)}" for b in group.cross_bores
    )
    return (
        group.name,
        str(len(group.holes)),
        _length(group.diameter, unit),
        group.way,
        _length(group.level, unit),
        str(group.kind or ""),
        _length(group.depth, unit),
        _length(group.wall, unit),
        f"{group.slope:.1f}°" if group.slope else "",
        crossed,
    )


def _place_cells(hole: FoundHole, place: tuple[float, float], unit: Unit) -> tuple[str, ...]:
    return (
        *(_length(part, unit) for part in place),
        _length(hole.depth, unit),
        _length(hole.wall, unit),
    )


def _length(mm: float | None, unit: Unit) -> str:
    """Return a length without its unit: 3 places in mm, 4 in inches."""
    from holewright.program.blocks import decimals

    return "" if mm is None else decimals(mm, unit)
