"""The back-plot in a real browser: it plays, steps and follows the text, and loads nothing."""

from __future__ import annotations

from pathlib import Path

from typer.testing import CliRunner

from holewright.cli.main import app

JOB_A = Path(__file__).parents[2] / "examples" / "brakelund" / "job_a.toml"


def test_the_order_is_played_and_stepped(open_page, tmp_path):
    file = tmp_path / "a.html"
    result = CliRunner().invoke(app, ["backplot", str(JOB_A), "-o", str(file)])
    assert result.exit_code == 0
    page = open_page()
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.goto(file.as_uri())
    assert "line" in page.inner_text("#now")

    # Step to the end: every hole is filled, the last line of motion is marked.
    last = page.get_attribute("#at", "max")
    page.evaluate(
        "value => { const at = document.getElementById('at'); at.value = value;"
        " at.dispatchEvent(new Event('input')); }",
        last,
    )
    fills = page.eval_on_selector_all(
        "#plan .holes circle", "all => all.map(c => c.getAttribute('fill'))"
    )
    assert fills == ["#c4c4c4"] * 4
    assert "Z 100.000" in page.inner_text("#now")
    assert "Z100" in page.inner_text("#text .here")

    # Play from the start at 50 times, pause on the way.
    page.select_option("#pace", "50")
    page.click("#play")
    page.wait_for_function("Number(document.getElementById('at').value) > 3")
    assert page.get_attribute("#play", "aria-pressed") == "true"
    page.click("#play")
    assert page.inner_text("#play") == "Play"
    assert asked == [file.as_uri()]


def test_without_scripting_pictures_and_tables_stand_for_themselves(open_page, tmp_path):
    file = tmp_path / "a.html"
    CliRunner().invoke(app, ["backplot", str(JOB_A), "-o", str(file)])
    page = open_page(java_script_enabled=False)
    page.goto(file.as_uri())
    assert not page.is_visible("#player")
    assert page.is_visible("#plan svg")
    assert page.locator("table.data tbody tr").count() >= 6
