"""A job as a form says it, to the text of a job file and back."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from holewright.errors import InputError
from holewright.jobs.job_form import TABLE_OF, all_wrong, job_text, read_form, said_in
from holewright.jobs.jobfile import read_job
from holewright.jobs.shopfile import read_shop
from holewright.jobs.toml_lines import parse_toml
from served_shop import BRAKELUND

GOOD = {"callout": "8 H7 x 22 through", "material": "16MnCr5"}


@pytest.fixture(scope="module")
def shop():
    return read_shop(BRAKELUND / "shop.toml")


@pytest.mark.parametrize("name", ["job_a", "job_b", "job_c", "job_d"])
def test_a_job_file_goes_through_the_form_and_back_to_the_same_job(shop, name):
    path = BRAKELUND / f"{name}.toml"
    said = said_in(path.read_text("utf-8"))
    form = read_form(said, shop)
    assert replace(form.job, shop=shop) == replace(read_job(path), shop=shop)
    assert said_in(form.text) == said


@pytest.mark.parametrize(
    ("written", "key", "value"),
    [
        ("60 x 44", "rectangle", "60 x 44"),
        ("4 x 3, 20 x 15", "grid", "4 x 3, 20 x 15"),
        ("6 on 50", "bolt_circle", "6 on 50"),
        ("0 0; 60,0; 60 44", "at", [["0", "0"], ["60", "0"], ["60", "44"]]),
        ("2.5 x 1.75 in", "rectangle", "2.5 x 1.75 in"),
    ],
)
def test_where_the_holes_are_is_told_apart_by_how_it_is_written(written, key, value):
    text = job_text({**GOOD, "holes": written})
    assert parse_toml(text, "form").data["pattern"] == {key: value}


def test_a_job_without_a_name_is_called_by_part_callout_and_material(shop):
    assert read_form(GOOD, shop).job.name == "8 H7 x 22 through in 16MnCr5"
    assert read_form({**GOOD, "part": "P-7"}, shop).job.name == "P-7, 8 H7 x 22 through"


def test_each_slip_is_found_once_with_its_field(shop):
    said = {**GOOD, "material": "cheese", "parts": "many", "inside": "150 %", "finish": "32"}
    wrong = {error.field: error for error in all_wrong(said, shop)}
    assert set(wrong) == {"material", "parts", "inside", "finish"}
    assert wrong["parts"].value == "many"
    assert wrong["parts"].where is None
    assert all_wrong(GOOD, shop) == ()


@given(st.dictionaries(st.sampled_from(sorted(TABLE_OF)), st.text(max_size=40), max_size=8))
def test_whatever_is_written_makes_a_file_that_can_be_read_or_is_refused(said):
    try:
        text = job_text(said)
    except InputError:
        return
    data = parse_toml(text, "form").data
    for field, written in said.items():
        plain = field not in ("holes", "origin", "cross_bores", "notes", "yearly", "invented")
        if written.strip() and plain:
            key = "name" if field == "material" else field
            assert data[TABLE_OF[field]][key] == written.strip()
