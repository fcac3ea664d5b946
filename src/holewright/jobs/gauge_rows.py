"""Makes pins and bore gauges of what a shop file says of them."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from holewright.errors import InputError, OutOfRangeError
from holewright.jobs.fields import (
    Fields,
    choice,
    day,
    length,
    length_or_zero,
    number,
    optional,
    placed,
    refuse,
    refuse_unknown,
    required,
    text,
)
from holewright.jobs.tool_rows import read_unit
from holewright.shop.pin import BoreGauge, InstrumentKind, Pin, Sense
from holewright.shop.pins import class_tolerance, pin_set, read_grade, size_text
from holewright.uncertainty import Known, Tag
from holewright.units import Unit, read_number

PIN_KEYS = (
    "id",
    "marked",
    "unit",
    "sense",
    "grade",
    "calibrated",
    "u",
    "expanded_u",
    "k",
    "due",
    "wear",
)
PIN_SET_KEYS = ("first", "last", "step", "unit", "sense", "grade", "missing", "due", "wear")
BORE_GAUGE_KEYS = ("id", "kind", "u", "expanded_u", "k", "resolution", "unit", "due")
_CALIBRATED_U = 0.0005
"""Standard uncertainty of a calibrated pin whose certificate isn't at hand. [mm]"""
_USUAL_K = 2.0
"""Coverage factor of a certificate that doesn't say: 95 % (JCGM 100, 6.3.3). [-]"""
_OFF_MARK = 0.02
"""A calibrated size further from the mark than this belongs to another pin. [mm]"""
_SENSES = {"+": Sense.PLUS, "-": Sense.MINUS}
_INSTRUMENTS = {
    "two point": InstrumentKind.TWO_POINT,
    "three point": InstrumentKind.THREE_POINT,
    "2-point": InstrumentKind.TWO_POINT,
    "3-point": InstrumentKind.THREE_POINT,
}
_GRADE = "ZZ"
_SENSE = Sense.MINUS


def _decided_unit(fields: Fields) -> Unit:
    if fields.unit is None:
        refuse(fields, "unit", 'must be there: unit = "mm" or unit = "in"')
    return fields.unit


def pins_of_set(fields: Fields) -> tuple[tuple[Pin, ...], tuple[str, ...]]:
    """Return the pins of a set, and what was taken for things that the list leaves out.

    Raises
    ------
    InputError
        If a key is missing, unknown, or its value can't be used.
    """
    refuse_unknown(fields, PIN_SET_KEYS)
    fields = read_unit(fields)
    unit = _decided_unit(fields)
    example = 'first = "7.90"'
    first, last, step = (required(fields, key, text, example) for key in ("first", "last", "step"))
    sense = optional(fields, "sense", choice(Sense, _SENSES), _SENSE)
    grade = optional(fields, "grade", _grade, _GRADE)
    try:
        missing = optional(fields, "missing", _sizes, ())
        pins = pin_set(first, last, step, unit, sense, grade, missing)
    except InputError as error:
        raise error.at(fields.place(error.field)) from None
    taken = [
        f"pin set {first} to {last} {unit}: {key} not given, {value} taken"
        for key, value in (("sense", sense), ("grade", grade))
        if key not in fields.values
    ]
    due, wear = _due_and_wear(fields)
    return tuple(replace(pin, due=due, wear=wear) for pin in pins), tuple(taken)


def _grade(fields: Fields, key: str) -> str:
    return placed(fields, key, lambda written: read_grade(written, key))


def _sizes(fields: Fields, key: str) -> tuple[str, ...]:
    """Return sizes from a list, or from a text with spaces or semicolons between them."""
    value = fields.values[key]
    if isinstance(value, str):
        return tuple(value.replace(";", " ").split())
    if not isinstance(value, list) or not all(
        isinstance(item, (str, int, float)) and not isinstance(item, bool) for item in value
    ):
        refuse(fields, key, 'must be a list of marked sizes such as ["8.03", "8.11"]')
    return tuple(str(item) for item in value)


def pin(fields: Fields) -> Pin:
    """Return one pin, calibrated or by its class.

    Raises
    ------
    InputError
        If a key is missing, unknown, or its value can't be used.
    """
    refuse_unknown(fields, PIN_KEYS)
    fields = read_unit(fields)
    unit = _decided_unit(fields)
    marked_text = required(fields, "marked", text, 'marked = "8.01"')
    marked = length(replace(fields, unit=unit), "marked")
    usual_id = placed(fields, "marked", lambda _: _usual_id(marked_text, unit))
    calibrated = _calibrated(fields, marked)
    grade = optional(fields, "grade", _grade, "" if calibrated else _GRADE)
    if grade:
        try:
            class_tolerance(grade, marked)
        except OutOfRangeError as error:
            raise error.at(fields.place("marked")) from None
    due, wear = _due_and_wear(fields)
    return Pin(
        id=optional(fields, "id", text, usual_id),
        marked=marked,
        sense=optional(fields, "sense", choice(Sense, _SENSES), _SENSE),
        grade=grade,
        calibrated=calibrated,
        due=due,
        wear=wear,
    )


def _due_and_wear(fields: Fields) -> tuple[date | None, float]:
    """Return until when a pin's size holds, and what it may have worn since."""
    wear = optional(fields, "wear", length_or_zero, 0.0)
    if wear > _OFF_MARK:
        refuse(fields, "wear", f"must be at most {_OFF_MARK:g} mm; a pin worn more is scrap")
    return optional(fields, "due", day, None), wear


def _usual_id(marked: str, unit: Unit) -> str:
    try:
        return size_text(read_number(marked), unit)
    except InputError:
        return marked  # with its own unit, such as 8.01 mm


def _calibrated(fields: Fields, marked: float) -> Known | None:
    if "calibrated" not in fields.values:
        for key in ("u", "expanded_u", "k"):
            if key in fields.values:
                refuse(fields, key, "needs the calibrated size beside it")
        return None
    value = length(fields, "calibrated")
    if abs(value - marked) > _OFF_MARK:
        refuse(fields, "calibrated", f"must lie within {_OFF_MARK:g} mm of the marked size")
    u = _standard_u(fields)
    u = _CALIBRATED_U if u is None else u
    return Known(value, Tag.MEASURED, "shop file: calibration", u)


def _standard_u(fields: Fields) -> float | None:
    """Return a standard uncertainty, from u itself or from U with its k. [mm]"""
    if "expanded_u" not in fields.values:
        if "k" in fields.values:
            refuse(fields, "k", "needs expanded_u beside it: U of the certificate")
        return optional(fields, "u", length, None)
    if "u" in fields.values:
        refuse(fields, "expanded_u", "says the same as u; fill in one of them")
    k = optional(fields, "k", number, _USUAL_K)
    if not 1 <= k <= 4:
        refuse(fields, "k", "must be the coverage factor of the certificate, from 1 to 4")
    return length(fields, "expanded_u") / k


def bore_gauge(fields: Fields) -> BoreGauge:
    """Return an instrument that gives a number.

    Raises
    ------
    InputError
        If a key is missing, unknown, or its value can't be used.
    """
    refuse_unknown(fields, BORE_GAUGE_KEYS)
    fields = read_unit(fields)
    resolution = required(fields, "resolution", length, 'resolution = "1 µm"')
    u = _standard_u(fields)
    return BoreGauge(
        id=required(fields, "id", text, 'id = "bore gauge 3"'),
        kind=required(fields, "kind", choice(InstrumentKind, _INSTRUMENTS), 'kind = "three-point"'),
        u=Known(2 * resolution, Tag.ASSUMED, "own-judgement")
        if u is None
        else Known(u, Tag.STANDARD, "shop file"),
        resolution=resolution,
        due=optional(fields, "due", day, None),
    )
