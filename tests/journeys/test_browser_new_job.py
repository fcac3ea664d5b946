"""Journeys 1 and 3 in a real browser: a new job, and one that must not be reamed."""

from __future__ import annotations

import re

from shop_browser import PHONE, Typist, picture

PAGE_BYTES = 300_000


def test_a_new_metric_job_gets_its_program_and_setup_sheet_by_keyboard_alone(
    served_shop, open_page
):
    page = open_page()
    page.goto(served_shop.url)
    picture(page, "1-1-shop-floor")
    typist = Typist(page)
    typist.tab_to("New job")
    typist.press("Enter")
    page.wait_for_url("**/jobs/new")
    typist.fill("Callout, as on the print", "8 H7 x 22 through")
    page.wait_for_selector("#understood .big")
    assert "8.000 mm" in page.text_content("#understood .big")
    assert "8.015 mm" in page.text_content("#understood .big")
    picture(page, "1-2-callout-understood")
    typist.fill("Material", "16MnCr5")
    typist.fill("Hardness", "170 HB")
    typist.fill("Parts", "480")
    typist.fill("Finish", "Ra 0.8")
    typist.fill("Holes of one part", "60 x 44")
    typist.fill("Part number", "BW-1042")
    typist.press("Enter")
    page.wait_for_url("**/route")
    # Brief: at most 7 fields, under two minutes. A shop typist at 3 keys a second needs 1.
    assert typist.fields <= 7
    assert typist.keys <= 180
    assert page.text_content(".verdict .word").strip().endswith("ream")
    assert page.locator("table.ops tbody tr").count() == 3
    picture(page, "1-3-route")
    typist.tab_to("Take this route", most=80)
    typist.press("Enter")
    page.wait_for_url("**/program")
    assert page.locator("pre.blocks").count() == 5
    assert "G85" in page.locator("pre.blocks").nth(4).text_content()
    assert "route" in page.text_content(".stage")
    picture(page, "1-4-program")
    page.click("text=Setup sheet >> nth=0")
    page.wait_for_url("**/sheets/setup")
    assert "BW-1042" in page.text_content("body")
    picture(page, "1-5-setup-sheet")


def test_a_hole_that_must_not_be_reamed_says_so_first_and_what_to_do_instead(
    served_shop, open_page
):
    page = open_page(PHONE)
    page.goto(f"{served_shop.url}/jobs/new")
    page.fill("#callout", "12 H6 x 30 through")
    page.wait_for_function("() => document.getElementById('echo').textContent.includes('12.011')")
    page.fill("#material", "42CrMo4")
    page.fill("#hardness", "45 HRC")
    page.click("summary:has-text('More from the print')")
    page.fill("#cylindricity", "3 µm")
    page.click("text=Plan the route")
    page.wait_for_url("**/route")
    assert "do not ream" in page.text_content(".verdict .word")
    assert "Instead" in page.text_content("main")
    assert re.search("hon|grind", page.text_content("main"))
    picture(page, "3-1-do-not-ream")
    page.click("nav.steps >> text=Program")
    assert "no program is written" in page.text_content("main")
    page.click("nav.steps >> text=Window")
    assert "There is no window" in page.text_content("main")


def test_a_page_is_small_and_asks_for_few_things(served_shop, open_page):
    page = open_page()
    taken: list[int] = []
    page.on("response", lambda one: taken.append(len(one.body())))
    page.goto(f"{served_shop.url}/jobs/1/route", wait_until="networkidle")
    assert sum(taken) < PAGE_BYTES
    assert len(taken) <= 7


def test_the_same_works_without_scripts(served_shop, open_page):
    page = open_page(java_script_enabled=False)
    page.goto(f"{served_shop.url}/jobs/new")
    page.fill("#callout", ".3125 +.0005/-0 x .75 blind")
    page.click("text=Show what is understood")
    assert ".3125 in" in page.text_content("#understood .big")
    page.fill("#material", "6061-T6")
    page.click("text=Plan the route")
    assert page.url.endswith("/route")
    page.click("a.why >> nth=0")
    assert "/why/" in page.url
    assert "1000 v_c" in page.text_content(".formula")
    page.goto(f"{served_shop.url}/jobs/2/gauge?part_c=20&gauge_c=20")
    page.click("button.goes")
    assert "does not go" not in page.text_content("#saved")
    assert "hole 1-1" in page.text_content("#saved")
    page.click("button.stays")
    assert "Part 1, hole 2" in page.text_content("#asked-hole")
    page.click("button.undo")
    assert "Part 1, hole 1" in page.text_content("#asked-hole")
