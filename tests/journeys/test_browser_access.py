"""Pages for everybody: screen readers, contrast, keyboard, every width, light and dark."""

from __future__ import annotations

import pytest

from served_shop import JOB_A, JOB_D
from shop_browser import DESK, PHONE, TABLET, Typist

PAGES = (
    "/",
    "/jobs/new",
    f"/jobs/{JOB_A}/callout",
    f"/jobs/{JOB_A}/route",
    f"/jobs/{JOB_D}/route",
    f"/jobs/{JOB_A}/window",
    f"/jobs/{JOB_A}/program",
    f"/jobs/{JOB_A}/gauge",
    f"/jobs/{JOB_A}/verdict",
    f"/jobs/{JOB_A}/why/torque",
    f"/jobs/{JOB_A}/plate",
    f"/jobs/{JOB_A}/life",
    f"/jobs/{JOB_A}/faults",
    f"/jobs/{JOB_A}/faults?seen=T01&seen=T04",
    "/tools",
    "/tools/reamers",
    "/tools/pins",
    "/sign-in",
)
RULES = {
    "light": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"],
    "dark": {"type": "rule", "values": ["color-contrast"]},  # all else is the same by night
}


@pytest.fixture(scope="module")
def axe():
    from axe_playwright_python.sync_playwright import Axe

    return Axe()


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_nothing_on_any_page(still_shop, open_page, axe, scheme):
    page = open_page(TABLET, color_scheme=scheme)
    found = {}
    for path in PAGES:
        page.goto(still_shop.url + path)
        said = axe.run(page, options={"runOnly": RULES[scheme]}).response["violations"]
        for one in said:
            nodes = [node["html"][:160] for node in one["nodes"][:3]]
            found[f"{path}: {one['id']}"] = (one["help"], nodes)
    assert found == {}


@pytest.mark.parametrize("size", [DESK, TABLET, PHONE], ids=["1440", "820", "390"])
def test_no_page_is_wider_than_the_screen(still_shop, open_page, size):
    page = open_page(size)
    for path in PAGES:
        page.goto(still_shop.url + path)
        width = page.evaluate("document.documentElement.scrollWidth")
        assert width <= size["width"], path


def test_what_is_touched_at_the_gauge_is_large_enough_for_a_glove(still_shop, open_page):
    page = open_page(PHONE)
    page.goto(f"{still_shop.url}/jobs/{JOB_A}/gauge")
    for selector in (".answer.goes", ".answer.stays", ".undo", "#size"):
        box = page.locator(selector).bounding_box()
        assert min(box["width"], box["height"]) >= 56, selector
    assert (
        page.evaluate("parseFloat(getComputedStyle(document.querySelector('.because')).fontSize)")
        >= 16
    )
    for selector in (".answer", ".pin", ".saved", ".progress"):
        size = page.evaluate(
            "s => parseFloat(getComputedStyle(document.querySelector(s)).fontSize)", selector
        )
        assert size >= 20, selector


def test_the_point_in_the_window_is_moved_by_keys_alone_and_said(still_shop, open_page):
    page = open_page()
    page.goto(f"{still_shop.url}/jobs/{JOB_A}/window")
    before = float(page.input_value("#v_c")), float(page.input_value("#f"))
    typist = Typist(page)
    typist.tab_to("arrow keys move the point")
    for key in ("ArrowRight", "ArrowRight", "Shift+ArrowUp"):
        typist.press(key)
    page.wait_for_function("() => document.getElementById('point').dataset.for")
    after = float(page.input_value("#v_c")), float(page.input_value("#f"))
    assert after[0] == pytest.approx(before[0] * 1.01**2, rel=2e-3)
    assert after[1] == pytest.approx(before[1] * 1.1, rel=2e-3)
    page.wait_for_function(
        "v => document.getElementById('point-said').textContent.includes(v)",
        arg=page.input_value("#v_c"),
    )
    typist.press("Home")
    assert float(page.input_value("#v_c")) == pytest.approx(before[0], rel=1e-3)


def test_the_point_in_the_window_is_dragged(still_shop, open_page):
    page = open_page()
    page.goto(f"{still_shop.url}/jobs/{JOB_A}/window")
    dot = page.locator("#window .wide-only .point circle").bounding_box()
    x, y = dot["x"] + dot["width"] / 2, dot["y"] + dot["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + 300, y, steps=6)
    page.mouse.up()
    page.wait_for_selector("#point .wrong")
    assert "the spindle turns 12000 1/min at most" in page.text_content("#point")
    moved = page.locator("#window .wide-only .point circle").bounding_box()
    assert moved["x"] == pytest.approx(dot["x"] + 300, abs=2)


def test_the_why_panel_opens_over_the_page_and_gives_the_focus_back(still_shop, open_page):
    page = open_page()
    page.goto(f"{still_shop.url}/jobs/{JOB_A}/route")
    link = page.locator("a.why", has_text="6580").or_(page.locator("a.why").first).first
    link.focus()
    page.keyboard.press("Enter")
    page.wait_for_selector("#why[open]")
    assert "n = 1000 v_c / (π DC)" in page.text_content("#why")
    assert "ISO 3002-1" in page.text_content("#why")
    page.keyboard.press("Escape")
    assert page.locator("#why[open]").count() == 0
    assert page.evaluate("document.activeElement.classList.contains('why')")


def test_the_unit_is_switched_on_any_page_and_stays(still_shop, open_page):
    page = open_page()
    page.goto(f"{still_shop.url}/jobs/{JOB_A}/route")
    assert page.text_content(".job .limits").startswith("8.000 mm")
    page.click(".units >> text=inches")
    assert page.text_content(".job .limits").startswith(".31497 in")
    page.goto(f"{still_shop.url}/jobs/{JOB_A}/window")
    assert "sfm" in page.text_content("#point")
    assert page.text_content(".job .limits").startswith(".31497 in")
    page.click(".units >> text=millimetres")
    assert "m/min" in page.text_content("#point")
