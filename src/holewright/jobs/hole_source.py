"""Takes holes from a model or a table, lets one group be picked, and writes a job file for it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from holewright.callout.callout import HoleKind
from holewright.callout.found_hole import FoundHole, HoleGroup, group_holes
from holewright.errors import InputError
from holewright.units import Unit, inches

STEP_ENDINGS = (".step", ".stp", ".p21")
_SLOPED = 0.5
"""A face that slopes more is called sloped. [deg]"""


@dataclass(frozen=True)
class HoleList:
    """The holes of a part.

    Parameters
    ----------
    source : str
        File that they were read from.
    holes : tuple of FoundHole
        Every hole.
    groups : tuple of HoleGroup
        The same by direction, height, size and kind.
    """

    source: str
    holes: tuple[FoundHole, ...]
    groups: tuple[HoleGroup, ...]


def find_holes(
    path: str | Path,
    unit: Unit | None = None,
    *,
    columns: Mapping[str, str] | None = None,
) -> HoleList:
    """Return the holes of a part from a STEP model or a CSV table.

    Parameters
    ----------
    path : str or Path
        STEP by its ending .step, .stp or .p21; anything else is read as a table.
    unit : Unit, optional
        What a bare length of a table is in.
    columns : mapping of str to str, optional
        Our name of a column -> its name in the table.

    Raises
    ------
    InputError
        If the file can't be read.
    """
    # Imported here: the one needs an extra, the other doesn't need the first.
    if Path(path).suffix.lower() in STEP_ENDINGS:
        from holewright.jobs.step_file import read_step

        if columns is not None:
            raise InputError("columns", path, "go with a table; a STEP model has none")
        holes = read_step(path)
    else:
        from holewright.jobs.hole_table import read_hole_table

        holes = read_hole_table(path, unit, columns=columns)
    return HoleList(str(path), holes, group_holes(holes))


def pick_group(found: HoleList, name: str, nominal: float | None = None) -> HoleGroup:
    """Return one group of a part.

    Parameters
    ----------
    found : HoleList
        The holes of the part.
    name : str
        Letter of the group; empty where there is one only.
    nominal : float, optional
        Nominal diameter of the callout that is to belong to it. [mm]

    Raises
    ------
    InputError
        If there is no such group, the letter is missing, or the callout can't be meant.
    """
    if not found.groups:
        raise InputError("holes", found.source, "must have a cylindrical hole; none was found")
    if not name and len(found.groups) > 1:
        raise InputError("group", "not given", f"must be one of {_in_words(found.groups)}")
    letters = {group.name: group for group in found.groups}
    group = letters.get(name.upper()) if name else found.groups[0]
    if group is None:
        raise InputError("group", name, f"is not among {_in_words(found.groups)}")
    if nominal is not None and abs(group.diameter - nominal) > max(0.1 * nominal, 0.5):
        raise InputError(
            "group",
            group.name,
            f"has holes of {group.diameter:g} mm, the callout is of {nominal:g} mm; groups are "
            f"{_in_words(found.groups)}",
        )
    return group


def _in_words(groups: Sequence[HoleGroup]) -> str:
    return ", ".join(f"{g.name} ({len(g.holes)} of {g.diameter:g} mm, {g.way})" for g in groups)


def job_text(found: HoleList, group: HoleGroup, callout: str, material: str, unit: Unit) -> str:
    """Return a job file for one group, with all that the model knows of it.

    Parameters
    ----------
    found : HoleList
        The holes of the part.
    group : HoleGroup
        The group picked.
    callout : str
        Callout that belongs to it, as on the print.
    material : str
        Work material.
    unit : Unit
        Unit of the print.
    """
    name = Path(found.source).name
    lines = [
        f"# Group {group.name} of {name}: {len(group.holes)} holes, drilled along {group.way}.",
        "# Z0 of the program is their entry face"
        + (
            f", {_length(group.level, unit)} {unit} above the model's zero." if group.level else "."
        ),
        "",
        "[job]",
        f"name = {_quoted(f'{Path(found.source).stem}, group {group.name}')}",
        f'units = "{unit}"',
        "",
        "[hole]",
        f"callout = {_quoted(callout)}",
    ]
    if group.wall is not None:
        lines.append(f'wall = "{_length(group.wall, unit)}"')
    if group.kind is HoleKind.BLIND and group.depth is not None:
        point = max(hole.point for hole in group.holes)
        lines.append(f'floor = "{_length(group.depth + point, unit)}"')
    if group.slope > _SLOPED:
        lines.append(f'entry = "sloped"  # {group.slope:.1f} degrees in the model')
    if group.cross_bores:
        bores = ", ".join(
            f'"{_length(bore.diameter, unit)} at {_length(bore.depth, unit)}"'
            for bore in group.cross_bores
        )
        lines.append(f"cross_bores = [{bores}]")
    places = ", ".join(f"[{_length(x, unit)}, {_length(y, unit)}]" for x, y in group.places)
    return (
        "\n".join(
            [
                *lines,
                "",
                "[material]",
                f"name = {_quoted(material)}",
                "",
                "[pattern]",
                f"at = [{places}]",
            ]
        )
        + "\n"
    )


def _length(mm: float, unit: Unit) -> str:
    """Return a length as a job file writes it, to a micrometre or to a hundredth of a thou."""
    text = f"{mm:.4f}" if unit is Unit.MM else f"{inches(mm):.6f}"
    return text.rstrip("0").rstrip(".") if float(text) else "0"


def _quoted(text: str) -> str:
    """Return a text as TOML writes it."""
    escaped = text.replace("\\", "\\\\").replace('"', '\\"')
    return f'"{escaped}"'
