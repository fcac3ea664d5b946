"""QIF 3.0 results (ISO 23952) against two documents that were validated with its schemas.

The schemas themselves aren't ours to ship. `qif-minimal.json` holds two small documents that
validate against them; what we write must have the same elements in the same order, and hold what
the schemas' keys and the standard's own rules ask for: unique ids, references that lead to the
right kind, and counts that are right.
"""

from __future__ import annotations

import json
from collections import defaultdict
from dataclasses import replace
from pathlib import Path
from uuid import UUID
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from holewright.callout.callout import DrawingStandard
from holewright.callout.notation import read_callout
from holewright.errors import InputError
from holewright.gauging.reading import Reading
from holewright.jobs.book_files import export_job
from holewright.jobs.keep_book import keep_job
from holewright.jobs.keep_readings import judge_in_book, keep_readings
from holewright.records.exchange.qif import NAMESPACE
from holewright.records.exchange.qif_read import read_qif
from holewright.records.exchange.qif_write import write_qif
from holewright.records.exchange.rows import ReadingRow
from holewright.records.exchange.safe_xml import parse_xml

DATA = json.loads((Path(__file__).parents[1] / "data" / "qif-minimal.json").read_text("utf-8"))
VALIDATED = [DATA["minimal_pass_fail"], DATA["diameter_plus_gonogo"]]
QPID = UUID("0b3e0c1e-6a0e-4a55-9d0b-0a6f3a4d2c99")
Q = f"{{{NAMESPACE}}}"


def order_in(documents: list[str]) -> dict[str, list[str]]:
    """Return the order of children under each element, as the documents have it."""
    order: dict[str, list[str]] = defaultdict(list)
    for text in documents:
        for parent in ElementTree.fromstring(text.encode()).iter():
            known, at = order[parent.tag], 0
            for child in parent:
                if child.tag in known:
                    at = known.index(child.tag) + 1
                else:
                    known.insert(at, child.tag)
                    at += 1
    return order


ORDER = order_in(VALIDATED)


def check_structure(raw: bytes) -> ElementTree.Element:
    """Hold a document to the structure of those that were validated."""
    root = ElementTree.fromstring(raw)
    ids: dict[str, ElementTree.Element] = {}
    for parent in root.iter():
        known = ORDER[parent.tag]
        places = [known.index(child.tag) for child in parent]  # every element is known there
        assert places == sorted(places)
        if "n" in parent.attrib:
            assert int(parent.attrib["n"]) == len(parent)
        if "id" in parent.attrib:
            assert parent.attrib["id"] not in ids
            ids[parent.attrib["id"]] = parent
    assert int(root.attrib["idMax"]) >= max(map(int, ids))
    assert root.attrib["versionQIF"] == "3.0.0"
    UUID(root.findtext(f"{Q}QPId"))
    for name, kind in (
        ("CharacteristicItemId", "Item"),
        ("CharacteristicNominalId", "Nominal"),
        ("CharacteristicDefinitionId", "Definition"),
    ):
        for parent in root.iter():
            if (target := parent.findtext(f"{Q}{name}")) is not None:
                sort = parent.tag.removeprefix(Q).partition("Characteristic")[0]
                assert ids[target].tag == f"{Q}{sort}Characteristic{kind}"
    standard = root.findtext(f"{Q}Characteristics/{Q}FormalStandardId")
    assert ids[standard].tag == f"{Q}Standard"
    return root


@pytest.fixture(scope="module")
def write(job_a):
    """Return a writer for readings of job A."""

    def to_qif(*readings: Reading, callout=job_a.callout, **more: object) -> bytes:
        return write_qif(
            readings,
            callout=callout,
            shop=job_a.shop,
            material_alpha=job_a.material.alpha,
            qpid=QPID,
            **more,
        )

    return to_qif


def test_the_structure_check_passes_what_was_validated_and_fails_a_changed_order():
    root = check_structure(VALIDATED[1].encode())
    assert len(list(root.iter())) > 40
    swapped = VALIDATED[1].replace("<QPId>", "<Q>").replace("</QPId>", "</Q>")
    with pytest.raises((AssertionError, ValueError)):
        check_structure(swapped.encode())


def test_pins_and_sizes_have_the_structure_of_a_validated_document(write, job_a):
    gauge = job_a.shop.bore_gauges[0].id
    raw = write(
        Reading("A1", "8.00", goes=True),
        Reading("A1", "8.01", goes=False),
        Reading("A2", "8.01", goes=True, depth=12.5, part_c=24.0, gauge_c=21.5),
        Reading("A1", gauge, size=8.0043),
        Reading("A1", gauge, size=8.0047),
        status="PASS",
    )
    root = check_structure(raw)
    measured = root.find(f".//{Q}CharacteristicMeasurements")
    assert len(measured) == 5
    assert root.findtext(f".//{Q}InspectionStatus/{Q}InspectionStatusEnum") == "PASS"
    # Two readings of one hole with one gauge are two measurements of one characteristic.
    assert len(root.findall(f".//{Q}DiameterCharacteristicItem")) == 1


def test_one_sort_of_reading_alone_is_a_whole_document_too(write, job_a):
    check_structure(write(Reading("A1", "8.00", goes=True)))
    check_structure(write(Reading("A1", job_a.shop.bore_gauges[0].id, size=8.0)))
    with pytest.raises(InputError, match="at least one reading"):
        write()


@pytest.mark.parametrize(
    ("standard", "named"),
    [
        (DrawingStandard.ASME, ["ASME", "Y14.5", "2018"]),
        (DrawingStandard.ISO, ["ISO", "14405-1", "2016"]),
        (DrawingStandard.NOT_STATED, ["ISO", "286-1", "2010"]),
    ],
)
def test_the_standard_of_the_drawing_is_named(write, job_a, standard, named):
    callout = replace(job_a.callout, standard=standard)
    root = check_structure(write(Reading("A1", "8.00", goes=True), callout=callout))
    texts = [e.text.strip() for e in root.find(f".//{Q}Standard").iter() if e.text.strip()]
    assert texts == named


@pytest.mark.parametrize(
    ("pin", "goes", "status"),
    [
        ("8.00", True, "PASS"),  # at the lower limit it must go
        ("8.00", False, "FAIL"),
        ("8.02", False, "PASS"),  # over the upper limit it must not
        ("8.02", True, "FAIL"),
        ("8.01", True, "PASS"),  # between the limits it only bounds the size
        ("8.01", False, "PASS"),
    ],
)
def test_a_pin_passes_by_its_place_against_8_h7(write, pin, goes, status):
    root = check_structure(write(Reading("A1", pin, goes=goes)))
    assert root.findtext(f".//{Q}CharacteristicStatusEnum") == status


@pytest.mark.parametrize(
    ("size", "status"),
    [
        (8.0075, "PASS"),
        (8.0149, "UNDEFINED"),
        (8.0151, "UNDEFINED"),
        (8.03, "FAIL"),
        (7.98, "FAIL"),
    ],
)
def test_a_size_passes_only_where_the_gauge_leaves_no_doubt(write, job_a, size, status):
    root = check_structure(write(Reading("A1", job_a.shop.bore_gauges[0].id, size=size)))
    assert root.findtext(f".//{Q}CharacteristicStatusEnum") == status
    value = root.find(f".//{Q}DiameterCharacteristicMeasurement/{Q}Value")
    assert float(value.attrib["combinedUncertainty"]) > 0


def test_a_warm_part_is_given_at_20_degrees(write, job_a):
    gauge = job_a.shop.bore_gauges[0].id
    root = check_structure(write(Reading("A1", gauge, size=8.010, part_c=30.0, gauge_c=20.0)))
    value = float(root.findtext(f".//{Q}DiameterCharacteristicMeasurement/{Q}Value"))
    # By hand: 8.010 mm x 10 K x alpha of the part, to first order.
    assert 8.010 - value == pytest.approx(8.010 * 10 * job_a.material.alpha.value, rel=1e-3)


def test_an_inch_drawing_is_written_in_inches(write, job_a):
    callout = read_callout(".3125 +.0005/-0 x .70 through")
    gauge = job_a.shop.bore_gauges[0].id
    raw = write(Reading("A1", gauge, size=0.31271 * 25.4), callout=callout)
    root = check_structure(raw)
    assert root.findtext(f".//{Q}MaxValue") == "0.3130"
    assert root.findtext(f".//{Q}MinValue") == "0.3125"
    assert root.findtext(f".//{Q}Factor") == "0.0254"
    assert float(root.findtext(f".//{Q}Value")) == pytest.approx(0.31271, abs=1e-15)
    assert read_qif(raw, "x.qif")[0].size == 0.31271 * 25.4


names = st.text(st.characters(categories=["L", "N", "P"]), min_size=1, max_size=8)
degrees = st.sampled_from([20.0, 18.5, 23.25])
pins = st.builds(
    Reading,
    hole=names,
    gauge=st.sampled_from(["8.00", "8.01", "8.008 X", "a;b", "pin 1"]),
    goes=st.booleans(),
    depth=st.none() | st.floats(0.5, 60),
    part_c=degrees,
    gauge_c=degrees,
)


@settings(max_examples=60)
@given(st.lists(pins, min_size=1, max_size=8))
def test_what_pins_prove_can_be_read_back_from_the_document(write, readings):
    raw = write(*readings)
    check_structure(raw)
    back = [replace(reading, where=None) for reading in read_qif(raw, "x.qif")]
    assert back == readings


class TestReading:
    """Documents that others wrote."""

    def test_the_validated_inch_diameter_is_read(self):
        text = VALIDATED[1]
        start = text.index("<UserDefinedAttributeCharacteristicMeasurement")
        end = text.index("</CharacteristicMeasurements>")
        (reading,) = read_qif((text[:start] + text[end:]).encode(), "x.qif", gauge="BG-1")
        assert (reading.hole, reading.gauge) == ("HOLE-1", "BG-1")
        assert reading.size == pytest.approx(0.25031 * 25.4, abs=1e-12)

    def test_a_pin_without_a_hole_is_refused_by_its_name(self):
        with pytest.raises(InputError, match=r"x\.qif, PIN 0\.2500: WhatToMeasure"):
            read_qif(VALIDATED[1].encode(), "x.qif", gauge="BG-1")

    def test_a_size_without_a_gauge_is_refused(self):
        with pytest.raises(InputError, match=r"x\.qif, HOLE-1: gauge = not given"):
            read_qif(VALIDATED[1].encode(), "x.qif")

    def test_a_document_without_measurements_is_refused(self):
        with pytest.raises(InputError, match="must hold measurements"):
            read_qif(VALIDATED[0].encode(), "x.qif")

    @pytest.mark.parametrize(
        ("old", "new", "said"),
        [
            ("<FileUnits>", "<Units>", "LinearUnit = not given"),
            ("0.0254", "0", "Factor = 0: must be the unit in metres"),
            ("0.0254", "inch", "Factor = inch"),
            (">0.25031<", ">NaN<", "Value = NaN"),
            (">0.25031<", ">-1<", "Value = -1"),
            (">0.25031<", "><", "Value = not given"),
            (
                "<CharacteristicItemId>3",
                "<CharacteristicItemId>99",
                "CharacteristicItemId = 99: must be an id in the document",
            ),
            ("<Value>GO</Value>", "<Value>MAYBE</Value>", "Value = MAYBE: must be GO or NOGO"),
            ("http://qifstandards.org/xsd/qif3", "http://qifstandards.org/xsd/qif2", "QIF 3.0"),
            ("DiameterCharacteristicMeasurement", "LengthCharacteristicMeasurement", "Length"),
        ],
    )
    def test_what_can_not_be_read_is_said_with_its_place(self, old, new, said):
        text = VALIDATED[1].replace(old, new)
        if "FileUnits" in old:
            text = text.replace("</FileUnits>", "</Units>")
        assert text != VALIDATED[1]
        with pytest.raises(InputError, match=said):
            read_qif(text.encode(), "x.qif", gauge="BG-1")


class TestHostileXml:
    """A stranger's XML unfolds nothing and opens nothing."""

    @pytest.mark.parametrize(
        "text",
        [
            '<!DOCTYPE q [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;&a;">]><q>&b;</q>',
            '<!DOCTYPE q [<!ENTITY f SYSTEM "file:///etc/passwd">]><q>&f;</q>',
            '<!DOCTYPE q SYSTEM "http://example.org/q.dtd"><q/>',
            "<!DOCTYPE q><q/>",
        ],
        ids=["unfolds", "a file of the machine", "from the net", "bare"],
    )
    def test_a_document_type_is_refused(self, text: str):
        with pytest.raises(InputError, match=r"x\.qif, line 1: document type"):
            parse_xml(text.encode(), "x.qif")

    @pytest.mark.parametrize("text", ["", "<q>", "<q></r>", "<q>&unknown;</q>", "\0", "<q/><q/>"])
    def test_what_is_not_well_formed_is_refused(self, text: str):
        with pytest.raises(InputError, match="must be XML"):
            parse_xml(text.encode(), "x.qif")

    def test_endless_nesting_is_refused(self):
        with pytest.raises(InputError, match="nest up to 100 deep"):
            parse_xml(b"<q>" * 100_000, "x.qif")

    def test_a_huge_file_is_refused(self, monkeypatch):
        from holewright.records.exchange import safe_xml

        monkeypatch.setattr(safe_xml, "LARGEST", 10)
        with pytest.raises(InputError, match="less than 10 bytes"):
            parse_xml(b"<q>aaaaaaaaaa</q>", "x.qif")

    def test_what_is_sound_is_read_as_elsewhere(self):
        for text in VALIDATED:
            ours = parse_xml(text.encode(), "x.qif")
            theirs = ElementTree.fromstring(text.encode())
            assert ElementTree.tostring(ours) == ElementTree.tostring(theirs)


def test_the_book_writes_the_status_that_its_verdict_gave(
    sqlite_book, job_a, readings_a, bench, tmp_path
):
    revision = keep_job(sqlite_book, job_a, "[hole]", bench=bench, by="Ada")
    rows = [ReadingRow(reading) for reading in readings_a]
    keep_readings(sqlite_book, revision, rows, bench=bench, by="Ada")

    def status(name: str) -> str | None:
        file = tmp_path / name
        export_job(sqlite_book, job_a.name, file, bench=bench)
        return check_structure(file.read_bytes()).findtext(f".//{Q}InspectionStatusEnum")

    assert status("before.qif") == "NOT_CALCULATED"
    verdict = judge_in_book(sqlite_book, job_a.name, lot=1920, bench=bench, by="Ada")
    assert verdict.decision == "release"
    assert status("after.qif") == "PASS"
    keep_readings(sqlite_book, revision, rows[:1], run="2", bench=bench, by="Ada")
    assert status("more.qif") == "NOT_CALCULATED"
