"""Whatever a person or a disk does to a file, it is read or refused by name. Never a crash."""

from __future__ import annotations

import tempfile
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from holewright.errors import InputError
from holewright.jobs.jobfile import read_job
from holewright.jobs.readingsfile import read_readings
from holewright.jobs.shopfile import read_shop
from holewright.jobs.toml_lines import parse_toml
from holewright.shop.hardness import brinell_from
from holewright.shop.materials import find_material, list_materials
from holewright.shop.pins import class_tolerance, pin_set
from holewright.units import Unit

EXAMPLES = Path(__file__).parents[2] / "examples" / "brakelund"
JOBS = [(EXAMPLES / f"job_{letter}.toml").read_text("utf-8") for letter in "abcd"]
SHOP = (EXAMPLES / "shop.toml").read_text("utf-8")
READINGS = (
    "hole,gauge,result,size,unit,depth,part_temp,gauge_temp,note\n"
    "A1,8.00,goes,,,,21 C,20.5,\n"
    "A1,8.02,does not go,,,,21 C,20.5,\n"
    "A2,three-point 6-12,,8.004,mm,5,70 F,,by Ann\n"
)

WORDS = st.sampled_from(
    [
        *('"', "'", '"""', "[", "]", "[[", "{", "}", "=", ",", ";", ".", "#", "\n", "\t", "\x00"),
        *("-", "0", "-1", "1e400", "nan", "inf", "99999999999999999999", "1/0", "½", "٣", "²"),
        *("true", "2024-01-01", "[]", "{}", '""', "mm", "in", "%", "µ", "H7", "h7", "x", "x x"),
        *("part_temp", "callout", "unit", "[hole]", "[[machine]]", "[shop]", "M)", "(", "at"),
    ]
)


@st.composite
def mutated(draw, texts):
    """A text with a few places cut out, doubled, or overwritten."""
    text = draw(st.sampled_from(texts))
    for _ in range(draw(st.integers(1, 4))):
        start = draw(st.integers(0, len(text)))
        end = min(len(text), start + draw(st.integers(0, 12)))
        middle = draw(st.one_of(WORDS, st.text(max_size=4), st.just(text[start:end] * 2)))
        text = text[:start] + middle + text[end:]
    return text


@st.composite
def mutated_values(draw, texts):
    """A text with the value of one key replaced by another TOML value."""
    lines = draw(st.sampled_from(texts)).splitlines()
    keyed = [i for i, line in enumerate(lines) if " = " in line and not line.startswith("#")]
    i = draw(st.sampled_from(keyed))
    text = st.text(
        st.characters(exclude_characters='"\\\n\r', categories=["L", "N", "P", "S", "Zs"])
    )
    value = draw(
        st.one_of(
            st.integers().map(str),
            st.floats().map(repr),
            text.map('"{}"'.format),
            WORDS.filter(lambda w: "\x00" not in w and "\n" not in w).map("'{}'".format),
            st.sampled_from(["[]", "{}", "true", "[[]]", "[{}]", "1979-05-27", "[1, 'a']"]),
        )
    )
    lines[i] = f"{lines[i].split(' = ')[0]} = {value}"
    return "\n".join(lines)


def refusal(call) -> InputError | None:
    """Return the refusal of a call, or None if it went well; anything else goes up."""
    try:
        call()
    except InputError as error:
        return error
    return None


def check_read_or_refused(read, name: str, text: str) -> None:
    with tempfile.TemporaryDirectory() as folder:
        for file in EXAMPLES.glob("*"):
            if file.is_file() and file.name != name:
                (Path(folder) / file.name).symlink_to(file)
        path = Path(folder) / name
        path.write_bytes(text.encode("utf-8", "surrogatepass"))
        error = refusal(lambda: read(path))
    assert error is None or (error.field and error.accepted)


@settings(max_examples=120)
@given(text=st.one_of(mutated(JOBS), mutated_values(JOBS)))
def test_a_damaged_job_file_is_read_or_refused(text):
    check_read_or_refused(read_job, "job.toml", text)


@settings(max_examples=80)
@given(text=st.one_of(mutated([SHOP]), mutated_values([SHOP])))
def test_a_damaged_shop_file_is_read_or_refused(text):
    check_read_or_refused(read_shop, "shop.toml", text)


@pytest.fixture(scope="module")
def brakelund():
    return read_shop(EXAMPLES / "shop.toml")


@settings(max_examples=120)
@given(text=mutated([READINGS, READINGS.replace(",", ";")]))
def test_damaged_readings_are_read_or_refused(brakelund, text):
    check_read_or_refused(lambda path: read_readings(path, brakelund), "readings.csv", text)


@settings(max_examples=60)
@given(raw=st.binary(max_size=200))
def test_bytes_are_read_or_refused(brakelund, raw):
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "x"
        path.write_bytes(raw)
        for read in (read_job, read_shop, lambda p: read_readings(p, brakelund)):
            error = refusal(lambda read=read: read(path))
            assert error is None or str(error)


@given(text=mutated(JOBS))
def test_every_key_of_a_damaged_file_still_has_its_line(text):
    if refusal(lambda: parse_toml(text, "job.toml")):
        return
    file = parse_toml(text, "job.toml")
    lines = text.replace("\r\n", "\n").split("\n")
    for path in file.lines:
        if len(path) == 2 and isinstance(path[1], str) and path[1].isidentifier():
            assert path[1] in lines[file.lines[path] - 1]


@given(name=st.text(max_size=20), hardness=st.one_of(st.none(), st.text(max_size=12)))
def test_any_material_is_found_or_refused(name, hardness):
    error = refusal(lambda: find_material(name, hardness))
    assert error is None or error.field in {"material", "hardness"}


@given(
    material=st.sampled_from(list_materials()),
    style=st.sampled_from([str.upper, str.lower, lambda s: s.replace("-", " "), str.swapcase]),
    data=st.data(),
)
def test_a_name_is_found_however_it_is_typed(material, style, data):
    name = data.draw(st.sampled_from((material.name, *material.aliases)))
    assert find_material(f" {style(name)} ").name == material.name


@given(pair=st.tuples(st.floats(20, 65), st.floats(20, 65)))
def test_harder_stays_harder_after_conversion(pair):
    soft, hard = sorted(pair)
    assert brinell_from("HRC", soft) <= brinell_from("HRC", hard)


@given(mm=st.floats(0.2541, 305))
def test_a_finer_class_never_has_the_wider_tolerance(mm):
    widths = [class_tolerance(grade, mm) for grade in ("XXX", "XX", "X", "Y", "Z", "ZZ")]
    assert widths == sorted(widths)
    assert widths[0] > 0


@given(first=st.integers(50, 3000), count=st.integers(1, 60), unit=st.sampled_from(Unit))
def test_a_set_of_pins_steps_exactly(first, count, unit):
    low, last = f"{first / 100:.2f}", f"{(first + count - 1) / 100:.2f}"
    if unit is Unit.INCH and first + count > 1100:
        return
    pins = pin_set(low, last, "0.01", unit, "plus", "ZZ")
    assert len(pins) == count
    assert len({pin.id for pin in pins}) == count
    scale = 25.4 if unit is Unit.INCH else 1.0
    assert abs(pins[-1].marked - (first + count - 1) / 100 * scale) < 1e-9
