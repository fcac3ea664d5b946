"""Reads a job file: one hole feature on one part, as a person writes it down."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

from holewright.callout.callout import Callout, DrawingStandard
from holewright.callout.pattern import Holes
from holewright.errors import InputError, Where
from holewright.jobs.cost_fields import read_economy
from holewright.jobs.fields import (
    Fields,
    choice,
    length_or_zero,
    nearest,
    number,
    optional,
    refuse,
    refuse_unknown,
    required,
    share,
    temperature,
    text,
    texts,
    whole,
    yes,
)
from holewright.jobs.hole_fields import hole_callout
from holewright.jobs.job import GaugingHabits, Job
from holewright.jobs.machine_rows import read_coolant
from holewright.jobs.patterns import read_job_pattern
from holewright.jobs.program_rows import program_settings, read_fixture
from holewright.jobs.shopfile import read_shop
from holewright.jobs.toml_lines import TomlFile, parse_toml, read_toml
from holewright.proof.verdict import Demands
from holewright.shop.coolant import Coolant
from holewright.shop.generic import generic_shop
from holewright.shop.machine import Machine
from holewright.shop.material import Material
from holewright.shop.materials import find_material
from holewright.shop.shop import Shop
from holewright.units import Unit

JOB_KEYS = (
    "name",
    "part",
    "revision",
    "drawing",
    "parts",
    "yearly",
    "units",
    "program_units",
    "on_hold",
    "invented",
    "notes",
)
SHOP_KEYS = ("file", "machine", "coolant", "part_temperature", "lead_time_days")
TABLES = (
    "job",
    "hole",
    "material",
    "pattern",
    "shop",
    "costs",
    "gauging",
    "demands",
    "program",
    "fixture",
)
_UNITS = {"inch": Unit.INCH, "inches": Unit.INCH, "metric": Unit.MM}
_REFERENCE_C = 20.0


class _Defaults:
    """What the file leaves out, and what is taken instead, in words."""

    def __init__(self) -> None:
        self.said: list[str] = []

    def take(self, fields: Fields, key: str, words: str) -> None:
        """Note a default if the key isn't there."""
        if key not in fields.values:
            self.said.append(f"{key}: not given, {words}")


def read_job(path: str | Path) -> Job:
    """Return the job that a job file describes.

    Parameters
    ----------
    path : str or Path
        A TOML file with ``[hole]`` and ``[material]``, and any of ``[job]``,
        ``[pattern]``, ``[shop]``, ``[costs]``, ``[gauging]``, ``[demands]``, ``[program]`` and
        ``[fixture]``. A shop file is looked for beside it.

    Returns
    -------
    Job
        The job; its `defaults` say what the file left out and what was taken instead.

    Raises
    ------
    InputError
        If a file can't be read, or a key is unknown, missing, or its value can't be used,
        with file and line.
    """
    path = Path(path)
    return _job(read_toml(path, "job file"), path.stem, path.parent)


def read_job_text(text: str, source: str, shop: Shop, *, name: str = "") -> Job:
    """Return the job that the text of a job file describes, with a tool room of its own.

    Parameters
    ----------
    text : str
        As :func:`read_job` reads it; a shop file that it names is left aside for `shop`.
    source : str
        What the text came from, for errors.
    shop : Shop
        The tool room.
    name : str
        Name of the job, where the text gives none.

    Raises
    ------
    InputError
        As :func:`read_job`.
    """
    return _job(parse_toml(text, source), name or source, shop)


def _job(file: TomlFile, name: str, room: Path | Shop) -> Job:
    """Return the job; `room` is the tool room, or the folder that the shop file lies in."""
    for key in file.data:
        if key not in TABLES:
            raise InputError(
                "table", key, f"is not known in a job file; {nearest(key, TABLES)}", file.place(key)
            )
    head = _table(file, "job")
    refuse_unknown(head, JOB_KEYS)
    unit = optional(head, "units", choice(Unit, _UNITS), None)
    hole = _table(file, "hole")
    callout = hole_callout(hole, unit)
    defaults = _Defaults()
    _note_hole(defaults, hole, callout)
    material = _material(_table(file, "material"), defaults)
    place = _table(file, "shop", callout.unit)
    refuse_unknown(place, SHOP_KEYS)
    shop = _shop(place, room, defaults) if isinstance(room, Path) else room
    machine = _machine(place, shop, defaults)
    program_unit = optional(head, "program_units", choice(Unit, _UNITS), callout.unit)
    return Job(
        name=optional(head, "name", text, name),
        callout=callout,
        material=material,
        shop=shop,
        machine=machine,
        coolant=_coolant(place, machine, defaults),
        parts=_parts(head, defaults),
        yearly=optional(head, "yearly", yes, False),
        holes=_holes(_table(file, "pattern", callout.unit), callout, defaults),
        part=optional(head, "part", text, ""),
        revision=optional(head, "revision", text, ""),
        drawing=optional(head, "drawing", text, ""),
        unit=callout.unit,
        program_unit=program_unit,
        habits=_habits(_table(file, "gauging", callout.unit)),
        economy=read_economy(_table(file, "costs")),
        demands=_demands(_table(file, "demands"), defaults),
        part_c=_part_c(place, defaults),
        lead_time_days=optional(place, "lead_time_days", number, None),
        gauged_after=_gauged_after(hole, callout, defaults),
        invented=optional(head, "invented", yes, False),
        program=program_settings(_table(file, "program", callout.unit), program_unit),
        fixture=read_fixture(file, _table(file, "fixture", callout.unit)),
        on_hold=optional(head, "on_hold", text, ""),
        notes=optional(head, "notes", texts, ()),
        defaults=(*defaults.said, *shop.notes),
    )


def _table(file: TomlFile, name: str, unit: Unit | None = None) -> Fields:
    """Return a table of the file; an empty one where it isn't there."""
    values: Any = file.data.get(name, {})
    if not isinstance(values, dict):
        raise InputError(name, values, f"must be a table, [{name}]", file.place(name))

    def place(key: str) -> Where:
        return file.place(name, key)

    return Fields(f"[{name}]", values, place, unit)


def _note_hole(defaults: _Defaults, hole: Fields, callout: Callout) -> None:
    if callout.standard is DrawingStandard.NOT_STATED:
        defaults.take(hole, "standard", "both ISO 8015 and ASME Y14.5 are kept in view")
    if callout.depth is None:
        defaults.said.append("depth: not in the callout, twice the diameter taken")
    if callout.ra is None:
        defaults.take(hole, "finish", "no roughness asked for")


def _gauged_after(hole: Fields, callout: Callout, defaults: _Defaults) -> bool:
    """Return whether holes are gauged after the treatment that the drawing names."""
    if not callout.after:
        return False
    defaults.take(hole, "gauged", f"readings are taken to be from before {callout.after}")
    when = optional(hole, "gauged", text, "before").lower()
    if when not in ("before", "after"):
        refuse(hole, "gauged", f'must be "before" or "after" {callout.after}')
    if callout.growth is None:
        defaults.take(
            hole, "growth", f"the limits after {callout.after} are planned and judged as they are"
        )
    return when == "after"


def _material(fields: Fields, defaults: _Defaults) -> Material:
    refuse_unknown(fields, ("name", "hardness"))
    name = required(fields, "name", text, 'name = "16MnCr5"')
    hardness = optional(fields, "hardness", text, None)
    try:
        material = find_material(name, hardness)
    except InputError as error:
        key = "hardness" if error.field == "hardness" and hardness is not None else "name"
        raise error.at(fields.place(key)) from None
    if name.casefold() != material.name.casefold():
        defaults.said.append(f"material: {name} taken as {material.name}")
    if material.hardness_hb.source != "job file":
        defaults.take(fields, "hardness", f"{material.hardness_hb.value:.0f} HB assumed")
    return material


def _parts(head: Fields, defaults: _Defaults) -> int:
    defaults.take(head, "parts", "1 taken")
    return optional(head, "parts", whole, 1)


def _holes(fields: Fields, callout: Callout, defaults: _Defaults) -> Holes:
    if not fields.values:
        defaults.said.append("pattern: not given, one hole at the zero of the part taken")
        return ((0.0, 0.0),)
    return read_job_pattern(fields, callout.nominal)


def _shop(fields: Fields, folder: Path, defaults: _Defaults) -> Shop:
    if "file" not in fields.values:
        shop = generic_shop(fields.unit)
        defaults.said.append(f"shop file: not given, so the {shop.name}")
        return shop
    try:
        return read_shop(folder / text(fields, "file"))
    except InputError as error:
        raise error.at(fields.place("file")) from None


def _machine(fields: Fields, shop: Shop, defaults: _Defaults) -> Machine:
    defaults.take(fields, "machine", f"{shop.machines[0].id} taken")
    wanted = optional(fields, "machine", text, shop.machines[0].id)
    for machine in shop.machines:
        if machine.id.lower() == wanted.lower():
            return machine
    ids = [machine.id for machine in shop.machines]
    return refuse(fields, "machine", f"is not in {shop.name}; {nearest(wanted, ids)}")


def _coolant(fields: Fields, machine: Machine, defaults: _Defaults) -> Coolant:
    defaults.take(
        fields, "coolant", f"{_in_words(machine.coolants[0])} taken, first of the machine"
    )
    if "coolant" not in fields.values:
        return machine.coolants[0]
    try:
        coolant = read_coolant(text(fields, "coolant"))
    except InputError as error:
        raise error.at(fields.place("coolant")) from None
    through = [one for one in machine.coolants if one.through]
    if coolant.through and not through:
        refuse(fields, "coolant", f"can't come through the tool on {machine.id}")
    most = max((one.pressure for one in through), default=0.0)
    if coolant.through and coolant.pressure > most:
        refuse(fields, "coolant", f"can't have more than {most:g} bar on {machine.id}")
    if coolant.through and coolant.pressure == 0:
        coolant = replace(coolant, pressure=most)
        defaults.said.append(f"coolant: no pressure given, {most:g} bar of the machine taken")
    return coolant


def _in_words(coolant: Coolant) -> str:
    strength = f" {coolant.concentration:g} %" if coolant.concentration is not None else ""
    way = f", through the tool at {coolant.pressure:g} bar" if coolant.through else ""
    return f"{coolant.fluid}{strength}{way}"


def _part_c(fields: Fields, defaults: _Defaults) -> float:
    defaults.take(fields, "part_temperature", f"{_REFERENCE_C:.0f} °C taken")
    return optional(fields, "part_temperature", temperature, _REFERENCE_C)


def _demands(fields: Fields, defaults: _Defaults) -> Demands:
    refuse_unknown(fields, ("inside", "confidence", "ppk", "guard"))
    usual = Demands()
    if fields.values:
        usual = replace(usual, source="job file")
    defaults.take(fields, "inside", f"{usual.inside * 100:g} % of the holes asked for")
    defaults.take(fields, "confidence", f"{usual.confidence * 100:g} % taken")
    return replace(
        usual,
        inside=optional(fields, "inside", share, usual.inside),
        confidence=optional(fields, "confidence", share, usual.confidence),
        ppk=optional(fields, "ppk", _ppk, None),
        guard=optional(fields, "guard", _guard, usual.guard),
    )


def _guard(fields: Fields, key: str) -> float:
    value = number(fields, key)
    if not 0 <= value <= 5:
        refuse(fields, key, "must be a factor on the standard uncertainty, 0 to 5, such as 1.65")
    return value


def _habits(fields: Fields) -> GaugingHabits:
    refuse_unknown(fields, ("clearance", "feel", "form"))
    return GaugingHabits(
        clearance=optional(fields, "clearance", length_or_zero, 0.0),
        feel=optional(fields, "feel", length_or_zero, 0.0),
        form=optional(fields, "form", length_or_zero, None),
    )


def _ppk(fields: Fields, key: str) -> float:
    value = number(fields, key)
    if not 0 < value <= 10:
        refuse(fields, key, "must be a Ppk over 0, up to 10, such as 1.33")
    return value
