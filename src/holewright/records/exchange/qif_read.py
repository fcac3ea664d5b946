"""Readings out of inspection results in QIF 3.0 (ISO 23952)."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from decimal import Decimal, InvalidOperation
from xml.etree.ElementTree import Element

from holewright.errors import InputError, Where
from holewright.gauging.reading import Reading
from holewright.records.exchange.qif import BETWEEN, GO, NAMESPACE, NOGO, answered
from holewright.records.exchange.safe_xml import parse_xml

_LONGEST = 10_000
"""No hole is above this. [mm]"""
_KINDS = ("Diameter", "UserDefinedAttribute")
_ANSWERS = {"GO": GO, "GOES": GO, "NOGO": NOGO, "NO-GO": NOGO, "NO GO": NOGO}


def read_qif(raw: bytes, source: str, *, gauge: str = "") -> tuple[Reading, ...]:
    """Return the readings in a QIF results document.

    Parameters
    ----------
    raw : bytes
        The document.
    source : str
        Name of the file, for errors.
    gauge : str
        Id of the bore gauge with which sizes were read, where the document names only holes.

    Returns
    -------
    tuple of Reading
        In the order of the document. Sizes are at 20 °C.

    Raises
    ------
    InputError
        If it isn't such a document, names no unit of length, or a measurement can't be read;
        the error names the characteristic item. Nothing is left out silently.
    """
    root = parse_xml(raw, source)
    if root.tag != _q("QIFDocument"):
        raise InputError("document", root.tag, "must be a QIFDocument of QIF 3.0", Where(source))
    parts = {
        str(element.get("id")): element
        for element in root.iterfind(f"{_q('Characteristics')}/*/*")
        if element.get("id")
    }
    factor = _millimetres(root, source)
    found = []
    for measurement in root.iterfind(f".//{_q('CharacteristicMeasurements')}/*"):
        kind = measurement.tag.removeprefix(_q("")).removesuffix("CharacteristicMeasurement")
        item = _target(measurement, "CharacteristicItemId", parts, source)
        name = _text(item, "Name") or f"item {item.get('id')}"
        where = Where(f"{source}, {name}")
        if kind not in _KINDS:
            raise InputError("characteristic", kind, "must be a diameter or an attribute", where)
        value = _text(measurement, "Value")
        if kind == "Diameter":
            found.append(_diameter(name, value, factor, gauge, where))
        else:
            nominal = _target(item, "CharacteristicNominalId", parts, source)
            definition = _target(nominal, "CharacteristicDefinitionId", parts, source)
            found.append(_pin(name, _text(definition, "WhatToMeasure"), value, where))
    if not found:
        raise InputError("document", source, "must hold measurements of characteristics")
    return tuple(found)


def _q(name: str) -> str:
    return f"{{{NAMESPACE}}}{name}"


def _text(element: Element, name: str) -> str:
    return (element.findtext(_q(name)) or "").strip()


def _target(element: Element, name: str, parts: Mapping[str, Element], source: str) -> Element:
    """Return the element that another one refers to."""
    id = _text(element, name)
    if id not in parts:
        raise InputError(name, id or "not given", "must be an id in the document", Where(source))
    return parts[id]


def _millimetres(root: Element, source: str) -> Decimal:
    """Return how many mm the document's unit of length has. It is never guessed."""
    path = "/".join(_q(n) for n in ("FileUnits", "PrimaryUnits", "LinearUnit"))
    linear = root.find(path)
    if linear is None:
        if _has_sizes(root):
            raise InputError(
                "LinearUnit", "not given", "must say which unit sizes are in", Where(source)
            )
        return Decimal(1)
    if (name := _text(linear, "SIUnitName")) != "meter":
        raise InputError("SIUnitName", name, "must be meter", Where(source))
    conversion = linear.find(_q("UnitConversion"))
    written = "1" if conversion is None else _text(conversion, "Factor")
    factor = _decimal(written)
    if factor is None or not 0 < factor <= 1:
        raise InputError("Factor", written, "must be the unit in metres, over 0", Where(source))
    return factor * 1000


def _has_sizes(root: Element) -> bool:
    measured: Iterator[Element] = root.iter(_q("DiameterCharacteristicMeasurement"))
    return next(measured, None) is not None


def _decimal(text: str) -> Decimal | None:
    try:
        number = Decimal(text)
    except InvalidOperation:
        return None
    return number if number.is_finite() else None


def _diameter(name: str, value: str, factor: Decimal, gauge: str, where: Where) -> Reading:
    number = _decimal(value)
    if number is None or not 0 < number * factor < _LONGEST:
        raise InputError("Value", value or "not given", "must be a size of more than 0", where)
    hole, between, own = name.rpartition(BETWEEN)
    if not between:
        hole, own = name, gauge
    if not own:
        raise InputError(
            "gauge",
            "not given",
            f"must stand in the name of the item, HOLE{BETWEEN}GAUGE, or be given beside the file",
            where,
        )
    return Reading(hole=hole, gauge=own, size=float(number * factor), where=where)


def _pin(name: str, asked: str, value: str, where: Where) -> Reading:
    said = _ANSWERS.get(" ".join(value.upper().split()))
    if said is None:
        raise InputError("Value", value or "not given", "must be GO or NOGO", where)
    hole, between, _ = name.rpartition(BETWEEN)
    reading = answered(hole, asked, said == GO) if between else None
    if reading is None:
        raise InputError(
            "WhatToMeasure",
            asked or "not given",
            f'must be "does pin ID enter full length", and the item be named HOLE{BETWEEN}ID',
            where,
        )
    return Reading(
        hole=reading.hole,
        gauge=reading.gauge,
        goes=reading.goes,
        depth=reading.depth,
        part_c=reading.part_c,
        gauge_c=reading.gauge_c,
        where=where,
    )
