"""Makes drills and reamers of what a shop file says of them. A label is not a measurement."""

from __future__ import annotations

import math
import re
from dataclasses import replace

from holewright.callout.limits import hole_limits
from holewright.errors import AmbiguousError, InputError
from holewright.jobs.fields import (
    Fields,
    choice,
    length,
    number,
    optional,
    placed,
    refuse,
    refuse_unknown,
    required,
    text,
    texts,
    whole,
    yes,
)
from holewright.jobs.machine_rows import measured_or
from holewright.shop.drill import Drill, DrillKind
from holewright.shop.drill_sizes import SERIES, standard_drills
from holewright.shop.make_tolerance import drill_by_label, reamer_by_size
from holewright.shop.reamer import CoolantExit, Helix, Reamer, ReamerKind
from holewright.shop.typical import typical_drill, typical_reamer
from holewright.sizing.make_limits import reamer_make_limits
from holewright.uncertainty import Known, Tag
from holewright.units import Unit, read_length, read_number

DRILL_KEYS = (
    "id",
    "label",
    "kind",
    "measured",
    "u",
    "unit",
    "LU",
    "OAL",
    "SIG",
    "coolant_through",
    "price",
    "owned",
)
DRILL_SET_KEYS = ("series", "kind", "first", "last", "unit", "owned")
REAMER_KEYS = (
    "id",
    "label",
    "kind",
    "measured",
    "u",
    "unit",
    "ZEFP",
    "KAPR",
    "lead",
    "LU",
    "OAL",
    "DMM",
    "helix",
    "coolant_exit",
    "core",
    "edge_radius",
    "price",
    "life_holes",
    "owned",
)
MEASURED_U = 0.001
"""Standard uncertainty of a diameter by micrometer, unless the list says. [mm]"""
_OFF_LABEL = 0.25
"""A measured diameter further from its label than this is a slip of the pen. [mm]"""
_LONGEST_SPAN = 100.0

_DRILLS = {
    "jobber": DrillKind.JOBBER_HSS,
    "hss": DrillKind.JOBBER_HSS,
    "hss jobber": DrillKind.JOBBER_HSS,
    "stub": DrillKind.STUB_HSS,
    "hss stub": DrillKind.STUB_HSS,
    "carbide": DrillKind.CARBIDE,
    "four-margin": DrillKind.CARBIDE_FOUR_MARGIN,
    "four-margin carbide": DrillKind.CARBIDE_FOUR_MARGIN,
    "core": DrillKind.CORE,
}
_REAMERS = {
    "high-speed steel": ReamerKind.HSS,
    "tipped": ReamerKind.CARBIDE_TIPPED,
    "coated carbide": ReamerKind.COATED_CARBIDE,
    "multi-tooth carbide": ReamerKind.COATED_CARBIDE,
}
_HANDS = {
    "left-hand": Helix.LEFT,
    "left hand": Helix.LEFT,
    "right-hand": Helix.RIGHT,
    "right hand": Helix.RIGHT,
}
_CLASS_LABEL = re.compile(
    r"(?:ø|dia\.?)?\s*(?P<size>\d*[.,]?\d+)\s*(?P<grade>[A-Za-z]{1,2}\d{1,2})"
)
_INCH_MARK = re.compile(r'(?:in|inch|"|″)\.?$', re.IGNORECASE)


def read_unit(fields: Fields) -> Fields:
    """Return the fields with the unit that they name themselves, if they do."""
    return replace(
        fields, unit=optional(fields, "unit", choice(Unit, {"inch": Unit.INCH}), fields.unit)
    )


def _measured_near(fields: Fields, by_label: Known | None) -> Known | None:
    """Return the measured diameter, if there is one and it agrees with the label."""
    if "measured" not in fields.values:
        if "u" in fields.values:
            refuse(fields, "u", "needs the measured diameter beside it")
        return None
    length(fields, "measured")
    found = measured_or(
        fields, "measured", "u", Known(0, Tag.ASSUMED), usual_u=MEASURED_U, source="shop file"
    )
    if by_label is not None and abs(found.value - by_label.value) > _OFF_LABEL:
        refuse(
            fields,
            "measured",
            f"must lie within {_OFF_LABEL:g} mm of what is etched on it, {fields.values['label']}",
        )
    return found


def _label_unit(label: str, unit: Unit | None) -> Unit | None:
    return Unit.INCH if _INCH_MARK.search(label) else Unit.MM if "mm" in label.lower() else unit


def _bare_size(label: str, unit: Unit | None, accepted: str) -> float:
    """Return the size on a label that says nothing else. [mm]"""
    try:
        return read_length(label, unit, "label")
    except AmbiguousError:
        raise
    except InputError:
        raise InputError("label", label, f"must be {accepted}") from None


def reamer_by_label(label: str, unit: Unit | None) -> Known:
    """Return what a reamer's label allows its diameter to be. [mm]

    Parameters
    ----------
    label : str
        ``8 H7``: made for that class, by ISO 522. ``.3125`` or ``8.02 mm``: a bare size.
    unit : Unit, optional
        What a bare size is in.

    Raises
    ------
    AmbiguousError
        If a bare size has no unit.
    InputError
        If the label is neither.

    Examples
    --------
    >>> round(reamer_by_label("10 H7", None).value, 4)
    10.009
    """
    match = _CLASS_LABEL.fullmatch(label.strip())
    if match:
        band = reamer_make_limits(hole_limits(read_number(match["size"]), match["grade"]))
        return Known(band.middle, Tag.DEFAULT, "iso-522", band.width / math.sqrt(12))
    nominal = _bare_size(
        label, unit, 'what is etched on it, such as "8 H7", ".3125 in" or "8.02 mm"'
    )
    return reamer_by_size(nominal, _label_unit(label, unit) or Unit.MM)


def _reamer_diameter(fields: Fields, label: str) -> Known:
    """Return the measured diameter, or what the label allows; some label must be readable."""
    try:
        by_label = reamer_by_label(label, fields.unit)
    except InputError as error:
        measured = _measured_near(fields, None)
        if measured is None:
            raise error.at(fields.place("label")) from None
        return measured
    return _measured_near(fields, by_label) or by_label


def reamer(fields: Fields) -> Reamer:
    """Return a reamer; its diameter is measured, or what its label allows.

    Raises
    ------
    InputError
        If a key is missing, unknown, or its value can't be used.
    """
    refuse_unknown(fields, REAMER_KEYS)
    fields = read_unit(fields)
    label = required(fields, "label", text, 'label = "8 H7"')
    kind = required(fields, "kind", choice(ReamerKind, _REAMERS), 'kind = "HSS"')
    usual = typical_reamer(
        optional(fields, "id", text, f"{label} {kind.value}"),
        label,
        kind,
        _reamer_diameter(fields, label),
        helix=optional(fields, "helix", choice(Helix, _HANDS), Helix.STRAIGHT),
        coolant_exit=optional(fields, "coolant_exit", choice(CoolantExit), CoolantExit.NONE),
        owned=optional(fields, "owned", yes, True),
    )
    life = optional(fields, "life_holes", whole, None)
    found = replace(
        usual,
        ZEFP=optional(fields, "ZEFP", whole, usual.ZEFP),
        KAPR=optional(fields, "KAPR", number, usual.KAPR),
        lead=optional(fields, "lead", length, usual.lead),
        LU=optional(fields, "LU", length, usual.LU),
        OAL=optional(fields, "OAL", length, usual.OAL),
        DMM=optional(fields, "DMM", length, usual.DMM),
        core=optional(fields, "core", number, usual.core),
        edge_radius=optional(fields, "edge_radius", length, usual.edge_radius),
        price=optional(fields, "price", number, usual.price),
        life_holes=usual.life_holes
        if life is None
        else Known(life, Tag.STANDARD, "shop file", 0.3 * life),
    )
    _check_reamer(fields, found)
    return found


def _check_reamer(fields: Fields, found: Reamer) -> None:
    if not 0 < found.KAPR <= 90:
        refuse(fields, "KAPR", "must be a lead angle over 0, up to 90 degrees")
    if not 0 < found.core < 1:
        refuse(fields, "core", "must be a share of the diameter between 0 and 1")
    if found.ZEFP > 40:
        refuse(fields, "ZEFP", "must be a number of cutting edges up to 40")
    _check_lengths(fields, found)


def _check_lengths(fields: Fields, found: Drill | Reamer) -> None:
    if found.LU > found.OAL:
        key = "LU" if "LU" in fields.values else "OAL"
        refuse(fields, key, f"must leave LU {found.LU:g} mm within OAL {found.OAL:g} mm")


def _drill_size(label: str, unit: Unit | None) -> tuple[float, Unit]:
    """Return the nominal diameter and the system of a drill, from its index name or size."""
    bare = re.sub(r"^(?:no\.?|number|letter)\s*", "#", label.strip(), flags=re.IGNORECASE)
    bare = bare.removeprefix("#") if re.fullmatch(r"#[A-Za-z]", bare) else bare
    for size in standard_drills(0, _LONGEST_SPAN, ("number", "letter", "fraction")):
        if size.designation.lower() == bare.lower().rstrip('"'):
            return size.diameter, Unit.INCH
    nominal = _bare_size(label, unit, 'a size such as "7.8 mm", "#7", "F" or "5/16"')
    return nominal, _label_unit(label, unit) or Unit.MM


def drill(fields: Fields) -> Drill:
    """Return a drill; its diameter is measured, or what its label allows.

    Raises
    ------
    InputError
        If a key is missing, unknown, or its value can't be used.
    """
    refuse_unknown(fields, DRILL_KEYS)
    fields = read_unit(fields)
    label = required(fields, "label", text, 'label = "7.8 mm"')
    kind = required(fields, "kind", choice(DrillKind, _DRILLS), 'kind = "jobber HSS"')
    nominal, system = placed(fields, "label", lambda written: _drill_size(written, fields.unit))
    by_label = placed(fields, "label", lambda _: drill_by_label(nominal, kind, system))
    usual = typical_drill(
        optional(fields, "id", text, f"{label} {kind.value}"),
        kind,
        _measured_near(fields, by_label) or by_label,
        owned=optional(fields, "owned", yes, True),
    )
    found = replace(
        usual,
        LU=optional(fields, "LU", length, usual.LU),
        OAL=optional(fields, "OAL", length, usual.OAL),
        SIG=optional(fields, "SIG", number, usual.SIG),
        coolant_through=optional(fields, "coolant_through", yes, usual.coolant_through),
        price=optional(fields, "price", number, usual.price),
    )
    if not 60 <= found.SIG <= 180:
        refuse(fields, "SIG", "must be a point angle from 60 to 180 degrees")
    _check_lengths(fields, found)
    return found


def drill_set(fields: Fields) -> tuple[Drill, ...]:
    """Return an index of standard drills: whole series, or a part of them.

    Raises
    ------
    InputError
        If a key is missing, unknown, or its value can't be used, or no size fits.
    """
    refuse_unknown(fields, DRILL_SET_KEYS)
    fields = read_unit(fields)
    series = required(fields, "series", texts, 'series = "fraction"')
    kind = required(fields, "kind", choice(DrillKind, _DRILLS), 'kind = "jobber HSS"')
    first = optional(fields, "first", length, 1.0)
    last = optional(fields, "last", length, 20.0)
    owned = optional(fields, "owned", yes, True)
    unknown = [name for name in series if name not in SERIES]
    if unknown:
        refuse(fields, "series", f"must be of {', '.join(SERIES)}")
    sizes = standard_drills(first, last, series)
    if not sizes:
        refuse(fields, "last", f"must leave at least one size from {first:g} to {last:g} mm")
    return tuple(
        typical_drill(
            f"{size.designation} {kind.value}",
            kind,
            drill_by_label(size.diameter, kind, Unit.MM if size.series == "metric" else Unit.INCH),
            owned=owned,
        )
        for size in sizes
    )
