"""Every form says what is wrong beside the field, and keeps what was written."""

from __future__ import annotations

import html
import re

import pytest

from served_shop import JOB_A

GOOD = {"callout": "8 H7 x 22 through", "material": "16MnCr5"}


@pytest.fixture(scope="module")
def token(still_client) -> str:
    return re.search(r'name="csrf" content="(\w+)"', still_client.get("/jobs/new").text)[1]


def wrong(text: str, field: str) -> str:
    """Return what is said beside a field that is marked as wrong."""
    marked = re.search(rf'<(?:input|select)[^>]*\bid="{field}"[^>]*>', text)[0]
    assert 'aria-invalid="true"' in marked
    assert f'aria-describedby="{field}-wrong"' in marked
    return html.unescape(
        re.search(rf'id="{field}-wrong">(.*?)</span>\s*(?:–|</span>|$|\n)', text, re.S)[1]
    )


def value(text: str, field: str) -> str:
    marked = re.search(rf'<input[^>]*\bid="{field}"[^>]*>', text)[0]
    return html.unescape(re.search(r'value="([^"]*)"', marked)[1])


@pytest.mark.parametrize(
    ("field", "written", "said"),
    [
        ("callout", "", "must be filled in"),
        ("callout", "8 h7 x 22 through", "h7 is the class of a shaft"),
        ("callout", "nonsense", "nonsense"),
        ("material", "", "must be filled in"),
        ("material", "cheese", "must be a known work material"),
        ("hardness", "very hard", "must be"),
        ("parts", "-3", "must be"),
        ("parts", "many", "must be a number"),
        ("finish", "32", "write µm or µin behind it"),
        ("holes", "60 by 44", "must be"),
        ("holes", "0 0; 3 0", "must keep holes apart"),
        ("position", "very close", "must be"),
        ("floor", "30", "goes with a blind hole"),
        ("cross_bores", "5", "must be its diameter and depth"),
        ("part_temperature", "hot", "must be a temperature"),
        ("inside", "150 %", "must lie between 0 and 1"),
        ("ppk", "0", "must be a Ppk over 0"),
        ("coolant", "milk", "must be such as"),
        ("name", "Carriage plate, dowel holes", "is the name of another job"),
        ("part", "x" * 600, "must have up to 500 characters"),
    ],
)
def test_the_form_of_a_job(still_client, token, field, written, said):
    form = {**GOOD, field: written}
    answer = still_client.post("/jobs/new", data={**form, "csrf": token})
    assert answer.status_code == 422
    assert said in wrong(answer.text, field)
    for name, words in form.items():
        assert value(answer.text, name) == words
    if field not in ("callout", "material", "hardness"):
        assert '<details class="more" open>' in answer.text or field in (
            "parts",
            "finish",
            "holes",
            "part",
        )


def test_all_slips_of_a_form_are_said_at_once(still_client, token):
    form = {**GOOD, "material": "cheese", "parts": "many", "finish": "32", "holes": "x"}
    text = still_client.post("/jobs/new", data={**form, "csrf": token}).text
    assert [field for field in form if f'id="{field}-wrong"' in text] == [
        "material", "parts", "finish", "holes",
    ]  # fmt: skip
    form["callout"] = "nonsense"  # what hangs on the callout can't be looked at then
    text = still_client.post("/jobs/new", data={**form, "csrf": token}).text
    assert [field for field in GOOD | form if f'id="{field}-wrong"' in text] == [
        "callout", "material", "parts", "holes",
    ]  # fmt: skip


def test_what_can_be_read_in_two_ways_is_offered(still_client, token):
    form = {**GOOD, "finish": "32", "csrf": token}
    text = still_client.post("/jobs/new", data=form).text
    assert re.findall(r'data-fill="finish">([^<]+)<', text) == ["Ra 32 µm", "Ra 32 µin"]


def test_a_field_that_no_form_has_is_refused(still_client, token):
    answer = still_client.post("/jobs/new", data={**GOOD, "colour": "red", "csrf": token})
    assert answer.status_code == 422
    assert "is not known in the form of a job" in html.unescape(answer.text)


@pytest.mark.parametrize(
    ("query", "field"),
    [
        ("v_c=-4&f=.7", "v_c"),
        ("v_c=fast&f=.7", "v_c"),
        ("v_c=100&f=0", "f"),
        ("v_c=1e9&f=1", "v_c"),
    ],
)
def test_the_window(still_client, query, field):
    answer = still_client.get(f"/jobs/{JOB_A}/window?{query}")
    assert answer.status_code == 422
    assert "must be" in wrong(answer.text, field)


def test_a_point_that_a_limit_forbids_is_shown_but_not_taken(still_client, token):
    text = still_client.get(f"/jobs/{JOB_A}/window?v_c=600&f=.7&in=mm").text
    assert "the spindle turns 12000 1/min at most" in text
    assert re.search(r'<button class="button" disabled>Take this point', text)
    form = {"v_c": "600", "f": ".7", "in": "mm", "csrf": token}
    answer = still_client.post(f"/jobs/{JOB_A}/window", data=form)
    assert answer.status_code == 422
    assert "the spindle turns" in answer.text


@pytest.mark.parametrize(
    ("kind", "fields", "field", "said"),
    [
        ("machines", {"id": "mill 9", "n_max": "fast", "power": "15 kW"}, "n_max", "number"),
        ("machines", {"id": "mill 3", "n_max": "900", "power": "15 kW"}, "id", "another machine"),
        ("holders", {"id": "h", "kind": "collet", "tir_measured": "-1 µm"}, "tir_measured", "0"),
        ("drills", {"label": "elephant", "kind": "jobber HSS"}, "label", "must be"),
        ("reamers", {"label": "8 H7", "kind": "HSS", "measured": "9.5 mm"}, "measured", "within"),
        ("pins", {"marked": "8.01"}, "unit", "must be there"),
        (
            "bore-gauges",
            {"id": "b", "kind": "two-point", "resolution": "fine"},
            "resolution",
            "must",
        ),
    ],
)
def test_the_forms_of_the_tool_room(still_client, token, kind, fields, field, said):
    answer = still_client.post(f"/tools/{kind}", data={**fields, "do": "add", "csrf": token})
    assert answer.status_code == 422
    assert said in wrong(answer.text, field)


def test_a_set_of_pins(still_client, token):
    form = {
        "first": "7.90",
        "last": "7.80",
        "step": "0.01",
        "unit": "mm",
        "do": "set",
        "csrf": token,
    }
    answer = still_client.post("/tools/pins", data=form)
    assert answer.status_code == 422
    assert 'class="wrong" id=' in answer.text


def test_a_measurement(still_client, token):
    form = {"tool": "999999", "value": "8.01", "unit": "mm", "do": "measure", "csrf": token}
    assert still_client.post("/tools/reamers", data=form).status_code == 422
    form = {**form, "tool": "1", "due": "soon"}
    answer = still_client.post("/tools/machines", data=form)
    assert "must be a date such as" in html.unescape(answer.text)


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"label,kind,unit\n9 H7,HSS,mm\n9 H7,elephant,mm\n", "reamers.csv, line 3, column kind"),
        (b"", "must not be empty"),
        (b"colour\nred\n", "column = colour"),
        (b"\xff\xfe\x00\x01", "is not known"),
        (b"label;kind;unit\n" + b"9 H7;HSS;mm;;;x\n", "must not have more cells"),
    ],
)
def test_a_file_of_tools_is_read_in_whole_or_not_at_all(still_client, token, content, said):
    form = {"do": "import", "csrf": token}
    files = {"file": ("reamers.csv", content, "text/csv")}
    answer = still_client.post("/tools/reamers", data=form, files=files)
    assert answer.status_code == 422
    text = html.unescape(answer.text)
    assert said in text
    assert "/tmp" not in text
    assert "9 H7" not in still_client.get("/tools/reamers").text
