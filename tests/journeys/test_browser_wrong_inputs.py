"""Journey 5 in a real browser: wrong inputs, said beside the field, and nothing is lost."""

from __future__ import annotations

from served_shop import JOB_A, JOB_B
from shop_browser import picture


def wrong(page, field: str) -> str:
    """Return what is said beside a field that is marked as wrong."""
    assert page.get_attribute(f"#{field}", "aria-invalid") == "true"
    assert page.get_attribute(f"#{field}", "aria-describedby") == f"{field}-wrong"
    return page.text_content(f"#{field}-wrong")


def test_a_new_job_with_slips_is_mended_field_by_field(served_shop, open_page):
    page = open_page()
    page.goto(f"{served_shop.url}/jobs/new")
    page.fill("#callout", "8 h7 x 22 through")
    page.wait_for_selector("#understood .reading")
    assert "class of a shaft" in page.text_content("#understood")
    page.click("#understood .reading >> nth=0")  # what it offers is taken by a click
    page.wait_for_selector("#understood .big")
    assert page.input_value("#callout") == "8 H7 x 22 through"
    page.fill("#material", "cheese")
    page.fill("#finish", "32")
    page.click("text=Plan the route")
    page.wait_for_selector(".box.wrong")
    assert "must be a known work material" in wrong(page, "material")
    assert "write µm or µin behind it" in wrong(page, "finish")  # both at once
    picture(page, "5-1-new-job")
    page.fill("#material", "16MnCr5")
    page.click("#finish-wrong .reading >> nth=1")
    page.click("text=Plan the route")
    page.wait_for_url("**/route")
    assert page.locator(".verdict .word").count() == 1
    page.click("nav.steps >> text=Callout")
    assert page.input_value("#finish") == "Ra 32 µin"


def test_the_verdict_wants_holes_for_a_lot_and_a_reason_for_a_hold(served_shop, open_page):
    page = open_page()
    page.goto(f"{served_shop.url}/jobs/{JOB_B}/gauge")
    page.keyboard.press("g")
    page.wait_for_function("() => document.querySelector('#saved .state')?.textContent === 'Saved'")
    page.goto(f"{served_shop.url}/jobs/{JOB_B}/verdict")
    page.fill("#lot", "a lot")
    page.click("text=Judge")
    page.wait_for_selector(".box.wrong")
    assert "must be from 1 to" in wrong(page, "lot")
    page.goto(f"{served_shop.url}/jobs/{JOB_B}/verdict")
    page.click("text=Put on hold")
    page.wait_for_selector(".box.wrong")
    assert "must say why" in wrong(page, "why")
    picture(page, "5-2-verdict")


def test_a_search_without_a_match_and_an_address_without_a_page_say_so(still_shop, open_page):
    page = open_page()
    page.goto(still_shop.url)
    page.fill("#search", "zeppelin")
    page.press("#search", "Enter")
    page.wait_for_url("**search=zeppelin**")
    assert "No job holds all of these words: zeppelin" in page.text_content("main")
    page.goto(f"{still_shop.url}/jobs/77/route")
    assert "There is no such page" in page.text_content("main")


def test_two_who_change_one_job_do_not_overwrite_each_other(served_shop, open_page):
    one, other = open_page(), open_page()
    for page in (one, other):
        page.goto(f"{served_shop.url}/jobs/{JOB_A}/callout")
    one.fill("#parts", "500")
    one.click("text=Save as revision 2 and plan again")
    one.wait_for_url("**/route")
    other.fill("#parts", "600")
    other.click("text=Save as revision 2 and plan again")
    other.wait_for_selector(".box.wrong")
    assert "somebody else saved version 2" in other.text_content(".box.wrong")
    assert other.input_value("#parts") == "600"
