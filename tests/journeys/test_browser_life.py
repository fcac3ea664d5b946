"""Journey 4 in a real browser: a release, the life of the reamer, a tool change, a hold."""

from __future__ import annotations

from contextlib import closing

from holewright.jobs.bench import open_bench
from holewright.jobs.book_files import import_file
from holewright.jobs.look_after_book import open_at
from served_shop import BRAKELUND, JOB_A
from shop_browser import picture


def gauge_the_lot(book) -> None:
    """Read in what was gauged of the lot of job A, one hole in seven."""
    with closing(open_at(str(book))) as opened:
        name = "Carriage plate, dowel holes"
        import_file(
            opened,
            BRAKELUND / "readings_a.csv",
            job=name,
            run="lot 1",
            bench=open_bench(),
            by="demo",
        )


def test_a_lot_is_released_the_reamer_followed_changed_and_the_job_put_on_hold(
    served_shop, open_page
):
    gauge_the_lot(served_shop.book)
    page = open_page()
    page.goto(f"{served_shop.url}/jobs/{JOB_A}/verdict")
    page.fill("#lot", "1,920")
    page.click("text=Judge")
    page.wait_for_url("**lot=1%2C920**")
    assert "release" in page.text_content(".verdict .word")
    assert "of the 1,920" in page.text_content(".verdict .sentence")
    page.click("button[value=release]")
    page.wait_for_selector(".stage-released")
    picture(page, "4-1-released")

    page.goto(f"{served_shop.url}/jobs/{JOB_A}")  # a released job opens at its life
    page.wait_for_url("**/life")
    assert "change after hole" in page.text_content(".verdict .word")
    assert "any of them outside with a probability of" in page.text_content("main")
    page.fill("#holes", "1920")
    page.click("text=Count them")
    page.wait_for_selector("text=1,920")
    picture(page, "4-2-life")

    page.click("summary:has-text('Change the reamer')")
    page.click("button[value=change]")
    page.wait_for_selector("#why-wrong")
    assert "must say why" in page.text_content("#why-wrong")
    page.select_option("#put_in", "R 8-2")
    page.fill("#why", "due")
    page.check("input[name=worn]")
    page.click("button[value=change]")
    page.wait_for_selector("text=R 8-C out after 1,920 holes, R 8-2 in: due")
    assert "gauge its first holes" in page.text_content(".verdict .word")
    picture(page, "4-3-changed")
    page.goto(f"{served_shop.url}/tools/reamers")
    assert "worn" in page.text_content("tr:has-text('R 8-C')")

    page.goto(f"{served_shop.url}/jobs/{JOB_A}/gauge")
    assert "R 8-2, run 2" in page.text_content("main")  # the run with the new reamer
    page.keyboard.press("n")  # GO does not go
    page.wait_for_function("() => document.querySelector('#saved .state')?.textContent === 'Saved'")
    assert "hole 2" in page.text_content("#asked-hole")  # NO-GO would tell nothing there

    page.goto(f"{served_shop.url}/jobs/{JOB_A}/verdict?run=R+8-2%2C+run+2")
    assert page.locator("button[value=release]").count() == 0
    page.fill("#why", "first hole of the new reamer is too small")
    page.click("button[value=hold]")
    page.wait_for_url("**/faults")
    assert "on hold" in page.text_content(".stage")
    page.check("text=Undersize over the full depth")
    page.click("text=Find the cause")
    page.wait_for_selector(".causes")
    assert page.locator(".causes > li").count() >= 3
    picture(page, "4-4-fault-finding")
    before = page.text_content(".verdict .sentence")
    page.click(".test-answers button >> nth=0")
    page.wait_for_selector("h2:has-text('Answered')")
    assert page.text_content(".verdict .sentence") != before
