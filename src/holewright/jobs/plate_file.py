"""The file that goes to the machine with a test plate, and comes back filled in.

One row for each check of a hole. Setting and order stand in the first row of a hole; its other
rows may leave them blank. Chip form and Ra stand in any row of the hole.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from holewright.errors import InputError
from holewright.gauging.reading import Reading
from holewright.jobs.csv_rows import read_rows
from holewright.jobs.fields import Fields, optional, placed, refuse, required, text, whole
from holewright.jobs.plate_request import read_level
from holewright.jobs.readingsfile import COLUMNS, collect_readings, first_of
from holewright.plate.chip_form import ChipForm
from holewright.plate.effects import Cuts
from holewright.plate.factors import LENGTHS, SHARES, Factor, FactorKind, Level, Setting
from holewright.plate.plate import Plate
from holewright.shop.shop import Shop
from holewright.units import Unit, read_roughness, write_exact

FACTOR_COLUMNS = {
    kind: "hole_depth" if kind is FactorKind.DEPTH else str(kind) for kind in FactorKind
}
"""Factor -> its column; ``depth`` is the depth of a check."""
MORE = ("cut", *FACTOR_COLUMNS.values(), "chips", "ra")

_CHIPS = {
    "tight": ChipForm.TIGHT,
    "tight curl": ChipForm.TIGHT,
    "tight curls": ChipForm.TIGHT,
    "t": ChipForm.TIGHT,
    "loose": ChipForm.LOOSE,
    "loose curl": ChipForm.LOOSE,
    "o": ChipForm.LOOSE,
    "long": ChipForm.LONG,
    "l": ChipForm.LONG,
    "nest": ChipForm.NEST,
    "nested": ChipForm.NEST,
    "bird nest": ChipForm.NEST,
    "n": ChipForm.NEST,
}


@dataclass(frozen=True, eq=False)
class PlateFile:
    """What came back from the machine.

    Parameters
    ----------
    readings : tuple of Reading
        What pins and gauges said.
    cuts : Cuts
        Setting and order of each hole.
    chips : dict
        Hole -> form of its chips, where it was noted.
    ra : dict
        Hole -> Ra, where it was measured. [µm]
    """

    readings: tuple[Reading, ...]
    cuts: Cuts
    chips: dict[str, ChipForm]
    ra: dict[str, float]


def plate_csv(plate: Plate, unit: Unit, notes: Sequence[str] = ()) -> str:
    """Return the file to be filled in: one row a hole, in the order of cutting.

    Parameters
    ----------
    plate : Plate
        The plate.
    unit : Unit
        Unit of its lengths.
    notes : sequence of str
        Lines for its head.
    """
    out = io.StringIO()
    for note in notes:
        out.write(f"# {note}\n")
    table = csv.writer(out, lineterminator="\n")
    columns = [FACTOR_COLUMNS[factor.kind] for factor in plate.factors]
    table.writerow(
        ["hole", "cut", *columns, "gauge", "result", "size", "unit", "chips", "ra", "note"]
    )
    for hole in plate.holes:
        levels = [
            _written(factor, level, unit)
            for factor, level in zip(plate.factors, plate.setting_of(hole), strict=True)
        ]
        table.writerow([hole.name, hole.cut, *levels, "", "", "", unit, "", "", ""])
    return out.getvalue()


def read_plate_file(path: str | Path, shop: Shop, unit: Unit, *, part_c: float = 20.0) -> PlateFile:
    """Return what came back from the machine.

    Parameters
    ----------
    path : str or Path
        The file: the columns of a file of readings, and ``cut``, the factors (``feed`` …),
        ``chips``, ``ra``.
    shop : Shop
        The tool room with the gauges.
    unit : Unit
        Unit of bare lengths among the factors.
    part_c : float
        Temperature of the part where a row doesn't say. [°C]

    Raises
    ------
    InputError
        For the first row that can't be used, with line and column.
    """
    path = Path(path)
    rows, wrong = read_rows(path, "results", "hole", (*COLUMNS, *MORE))
    if wrong:
        raise first_of(wrong)
    kinds = [kind for kind, column in FACTOR_COLUMNS.items() if _given(rows, column)]
    if not kinds:
        raise InputError(
            "columns", path, f"must have at least one of: {', '.join(FACTOR_COLUMNS.values())}"
        )
    settings: dict[str, Setting] = {}
    cut: dict[str, int] = {}
    chips: dict[str, ChipForm] = {}
    ra: dict[str, float] = {}
    for row in rows:
        hole = required(row, "hole", text, "A1")
        if hole not in settings:
            settings[hole] = tuple(_level(row, kind, unit) for kind in kinds)
            cut[hole] = required(row, "cut", whole, "1")
        else:
            _refuse_other(row, hole, kinds, settings, cut, unit)
        if "chips" in row.values:
            chips[hole] = _chips(row)
        roughness = optional(row, "ra", _roughness, None)
        if roughness is not None:
            ra[hole] = roughness
    _refuse_same_place(cut, path)
    varied = [i for i in range(len(kinds)) if len({s[i] for s in settings.values()}) > 1]
    if not varied:
        raise InputError("factors", path, "must hold at least one that differs from hole to hole")
    settings = {hole: tuple(s[i] for i in varied) for hole, s in settings.items()}
    kinds = [kinds[i] for i in varied]
    found, wrong = collect_readings(
        path, shop, part_c=part_c, more=MORE, wanted=lambda fields: "gauge" in fields.values
    )
    if wrong:
        raise first_of(wrong)
    return PlateFile(
        tuple(reading for _, reading in found),
        Cuts(tuple(_factor(kind, i, settings) for i, kind in enumerate(kinds)), settings, cut),
        chips,
        ra,
    )


def _written(factor: Factor, level: Level, unit: Unit) -> str:
    if factor.kind in SHARES:
        assert isinstance(level, float)
        return f"{100 * level:.6g} %"
    if factor.kind in LENGTHS:
        assert isinstance(level, float)
        return f"{write_exact(level, unit, 2)} {unit}"
    return str(level)


def _given(rows: Sequence[Fields], column: str) -> bool:
    return any(column in row.values for row in rows)


def _level(row: Fields, kind: FactorKind, unit: Unit) -> Level:
    column = FACTOR_COLUMNS[kind]
    required(row, column, text, "100 %" if kind in SHARES else "its level")
    return placed(row, column, lambda written: read_level(kind, written, unit, column))


def _refuse_other(
    row: Fields,
    hole: str,
    kinds: Sequence[FactorKind],
    settings: dict[str, Setting],
    cut: dict[str, int],
    unit: Unit,
) -> None:
    """Refuse a later row of a hole that says another setting or another place in the order."""
    for i, kind in enumerate(kinds):
        column = FACTOR_COLUMNS[kind]
        if column in row.values and _level(row, kind, unit) != settings[hole][i]:
            refuse(row, column, f"must be the same in all rows of hole {hole}, or left blank")
    if "cut" in row.values and whole(row, "cut") != cut[hole]:
        refuse(row, "cut", f"must be {cut[hole]} as in the first row of hole {hole}, or left blank")


def _refuse_same_place(cut: dict[str, int], path: Path) -> None:
    by_place: dict[int, str] = {}
    for hole, place in cut.items():
        if place in by_place:
            raise InputError(
                "cut", place, f"can't be that of hole {by_place[place]} and of hole {hole} ({path})"
            )
        by_place[place] = hole


def _chips(row: Fields) -> ChipForm:
    word = " ".join(text(row, "chips").lower().replace("-", " ").split())
    if word not in _CHIPS:
        refuse(row, "chips", f"must be one of: {', '.join(ChipForm)}")
    return _CHIPS[word]


def _roughness(row: Fields, key: str) -> float:
    value = placed(row, key, lambda written: read_roughness(written, key))
    if not value > 0:
        refuse(row, key, "must be more than 0")
    return value


def _factor(kind: FactorKind, place: int, settings: dict[str, Setting]) -> Factor:
    levels = list(dict.fromkeys(setting[place] for setting in settings.values()))
    if all(isinstance(level, float) for level in levels):
        levels.sort()
    return Factor(kind, tuple(levels))
