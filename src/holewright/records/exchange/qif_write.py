"""Readings as inspection results in QIF 3.0 (ISO 23952).

References
----------
.. [1] ISO 23952:2020, Quality information framework (QIF). The order of elements follows two
   small documents that were validated against its public schemas.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from uuid import UUID
from xml.etree.ElementTree import Element, SubElement, indent, tostring

from holewright.callout.callout import Callout, DrawingStandard, Limits
from holewright.errors import InputError
from holewright.gauging.pin_size import TrueSize, as_hole_at_20, gauge_reading_size
from holewright.gauging.reading import Reading
from holewright.proof.conformance import GUARD_FACTOR
from holewright.records.exchange.qif import BETWEEN, GO, NAMESPACE, NOGO, VERSION, question
from holewright.shop.shop import Shop
from holewright.uncertainty import Known
from holewright.units import Unit, write_exact

PASS, FAIL, UNDEFINED = "PASS", "FAIL", "UNDEFINED"
_STANDARDS = {
    DrawingStandard.ASME: ("ASME", "Y14.5", "2018"),
    DrawingStandard.ISO: ("ISO", "14405-1", "2016"),
    # Limits of size are those of the code for tolerances, whatever else holds.
    DrawingStandard.NOT_STATED: ("ISO", "286-1", "2010"),
}
_FACTOR = {Unit.MM: "0.001", Unit.INCH: "0.0254"}
_PLACES = {Unit.MM: 3, Unit.INCH: 4}


@dataclass
class _Ids:
    """Hands out the ids of a document."""

    last: int = 0

    def next(self) -> str:
        """Return the next id."""
        self.last += 1
        return str(self.last)


@dataclass
class _Lists:
    """The four lists of a document's characteristics, filled together."""

    definitions: list[Element] = field(default_factory=list)
    nominals: list[Element] = field(default_factory=list)
    items: list[Element] = field(default_factory=list)
    measurements: list[Element] = field(default_factory=list)


def write_qif(
    readings: Sequence[Reading],
    *,
    callout: Callout,
    shop: Shop,
    material_alpha: Known | float,
    qpid: UUID,
    status: str = "NOT_CALCULATED",
) -> bytes:
    """Return readings as a QIF results document.

    Parameters
    ----------
    readings : sequence of Reading
        At least one.
    callout : Callout
        Its limits and the unit of the print; lengths in the document are in that unit.
    shop : Shop
        Tool room with the gauges named.
    material_alpha : Known or float
        Thermal expansion of the part. [1/K]
    qpid : UUID
        Identifies the document.
    status : str
        Inspection status of the whole: PASS, FAIL, UNKNOWN or NOT_CALCULATED.

    Returns
    -------
    bytes
        The document, UTF-8.

    Raises
    ------
    InputError
        If there is no reading, or a bore gauge isn't in the tool room.

    Notes
    -----
    A size is given at 20 °C (ISO 1) with its combined standard uncertainty, and passes or
    fails only where that uncertainty leaves no doubt (ISO 14253-1); otherwise its status is
    UNDEFINED. A pin at or below the lower limit passes by going in, one at or above the upper
    limit by staying out; pins between only bound the size, and pass either way. Notes, runs
    and who took a reading have no place in it.
    """
    if not readings:
        raise InputError("readings", "none", "must hold at least one reading")
    ids = _Ids()
    root = Element("QIFDocument", {"xmlns": NAMESPACE, "versionQIF": VERSION})
    SubElement(root, "QPId").text = str(qpid)
    standard_id = _standard(root, callout.standard, ids)
    _units(root, callout.unit)
    lists = _Lists()
    _diameters(
        lists, ids, [r for r in readings if r.size is not None], callout, shop, material_alpha
    )
    _pins(lists, ids, [r for r in readings if r.goes is not None], callout.limits, shop)
    characteristics = SubElement(root, "Characteristics")
    SubElement(characteristics, "FormalStandardId").text = standard_id
    _list(characteristics, "CharacteristicDefinitions", lists.definitions)
    _list(characteristics, "CharacteristicNominals", lists.nominals)
    _list(characteristics, "CharacteristicItems", lists.items)
    results = SubElement(SubElement(root, "Results"), "MeasurementResultsSet", {"n": "1"})
    result = SubElement(results, "MeasurementResults", {"id": ids.next()})
    measured = SubElement(result, "MeasuredCharacteristics")
    _list(measured, "CharacteristicMeasurements", lists.measurements)
    inspection = SubElement(result, "InspectionStatus")
    SubElement(inspection, "InspectionStatusEnum").text = status
    root.set("idMax", str(ids.last))
    indent(root)
    document: bytes = tostring(root, encoding="utf-8", xml_declaration=True)
    return document + b"\n"


def _list(parent: Element, name: str, children: Iterable[Element]) -> None:
    """Add a list whose `n` says how many it holds."""
    made = SubElement(parent, name)
    made.extend(children)
    made.set("n", str(len(made)))


def _standard(root: Element, standard: DrawingStandard, ids: _Ids) -> str:
    organization, designator, year = _STANDARDS[standard]
    definitions = SubElement(root, "StandardsDefinitions", {"n": "1"})
    made = SubElement(definitions, "Standard", {"id": ids.next()})
    SubElement(SubElement(made, "Organization"), "StandardsOrganizationEnum").text = organization
    SubElement(made, "Designator").text = designator
    SubElement(made, "Year").text = year
    return str(made.get("id"))


def _units(root: Element, unit: Unit) -> None:
    primary = SubElement(SubElement(root, "FileUnits"), "PrimaryUnits")
    linear = SubElement(primary, "LinearUnit")
    SubElement(linear, "SIUnitName").text = "meter"
    SubElement(linear, "UnitName").text = "inch" if unit is Unit.INCH else "mm"
    SubElement(SubElement(linear, "UnitConversion"), "Factor").text = _FACTOR[unit]


def _length(mm: float, unit: Unit) -> str:
    """Return a length in the document's unit, in digits that read back to the same float."""
    text = write_exact(mm, unit, _PLACES[unit])
    return f"0{text}" if text.startswith(".") else text


def _definition(lists: _Lists, ids: _Ids, kind: str) -> tuple[Element, Element]:
    """Return a new definition of a characteristic, and its nominal."""
    definition = Element(f"{kind}CharacteristicDefinition", {"id": ids.next()})
    nominal = Element(f"{kind}CharacteristicNominal", {"id": ids.next()})
    SubElement(nominal, "CharacteristicDefinitionId").text = definition.get("id")
    lists.definitions.append(definition)
    lists.nominals.append(nominal)
    return definition, nominal


def _item(lists: _Lists, ids: _Ids, kind: str, name: str, nominal: Element) -> str:
    item = Element(f"{kind}CharacteristicItem", {"id": ids.next()})
    SubElement(item, "Name").text = name
    SubElement(item, "CharacteristicNominalId").text = nominal.get("id")
    lists.items.append(item)
    return str(item.get("id"))


def _measurement(lists: _Lists, ids: _Ids, kind: str, item_id: str, status: str) -> Element:
    made = Element(f"{kind}CharacteristicMeasurement", {"id": ids.next()})
    SubElement(SubElement(made, "Status"), "CharacteristicStatusEnum").text = status
    SubElement(made, "CharacteristicItemId").text = item_id
    lists.measurements.append(made)
    return SubElement(made, "Value")


def _diameters(
    lists: _Lists,
    ids: _Ids,
    readings: Sequence[Reading],
    callout: Callout,
    shop: Shop,
    material_alpha: Known | float,
) -> None:
    if not readings:
        return
    definition, nominal = _definition(lists, ids, "Diameter")
    tolerance = SubElement(definition, "Tolerance")
    SubElement(tolerance, "MaxValue").text = _length(callout.limits.upper, callout.unit)
    SubElement(tolerance, "MinValue").text = _length(callout.limits.lower, callout.unit)
    SubElement(tolerance, "DefinedAsLimit").text = "true"
    items: dict[str, str] = {}
    for reading in readings:
        size = _at_20(reading, shop, material_alpha)
        name = _name(reading)
        if name not in items:
            items[name] = _item(lists, ids, "Diameter", name, nominal)
        status = _size_status(size, callout.limits)
        value = _measurement(lists, ids, "Diameter", items[name], status)
        value.set("combinedUncertainty", _length(size.u, callout.unit))
        value.text = _length(size.best, callout.unit)


def _name(reading: Reading) -> str:
    return f"{reading.hole}{BETWEEN}{reading.gauge}"


def _at_20(reading: Reading, shop: Shop, material_alpha: Known | float) -> TrueSize:
    gauge = next((g for g in shop.bore_gauges if g.id == reading.gauge), None)
    if gauge is None or reading.size is None:
        raise InputError("gauge", reading.gauge, "must be the id of a bore gauge in the tool room")
    return as_hole_at_20(
        gauge_reading_size(gauge, reading.size),
        part_c=reading.part_c,
        gauge_c=reading.gauge_c,
        part_alpha=material_alpha,
        gauge_alpha=shop.gauge_alpha,
    )


def _size_status(size: TrueSize, limits: Limits) -> str:
    guard = GUARD_FACTOR * size.u
    if limits.lower + guard <= size.best <= limits.upper - guard:
        return PASS
    if size.best < limits.lower - guard or size.best > limits.upper + guard:
        return FAIL
    return UNDEFINED


def _pins(
    lists: _Lists, ids: _Ids, readings: Sequence[Reading], limits: Limits, shop: Shop
) -> None:
    nominals: dict[str, Element] = {}
    items: dict[tuple[str, str], str] = {}
    marked = {pin.id: pin.marked for pin in shop.pins}
    for reading in readings:
        asked = question(reading)
        passing = _passing(marked.get(reading.gauge), limits)
        if asked not in nominals:
            definition, nominals[asked] = _definition(lists, ids, "UserDefinedAttribute")
            SubElement(definition, "WhatToMeasure").text = asked
            values = SubElement(nominals[asked], "PassValues", {"n": str(len(passing))})
            for one in passing:
                SubElement(values, "StringValue").text = one
        key = (asked, reading.hole)
        if key not in items:
            items[key] = _item(lists, ids, "UserDefinedAttribute", _name(reading), nominals[asked])
        said = GO if reading.goes else NOGO
        status = PASS if said in passing else FAIL
        value = _measurement(lists, ids, "UserDefinedAttribute", items[key], status)
        value.text = said


def _passing(marked: float | None, limits: Limits) -> tuple[str, ...]:
    """Return the answers of a pin that pass."""
    if marked is not None and marked <= limits.lower:
        return (GO,)
    if marked is not None and marked >= limits.upper:
        return (NOGO,)
    return (GO, NOGO)
