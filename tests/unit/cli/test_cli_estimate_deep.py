"""``estimate`` and ``verdict`` asked for more; ``pins``."""

from __future__ import annotations

import pytest


@pytest.fixture
def cylindrical(job_b, tmp_path):
    """Return job B with a form allowance of half a tenth."""
    text = job_b.read_text("utf-8").replace(
        'file = "shop.toml"', f'file = "{job_b.parent}/shop.toml"'
    )
    file = tmp_path / "job.toml"
    file.write_text(text + '\n[gauging]\nform = ".00005 in"\n', "utf-8")
    return file


def test_the_estimate_says_what_it_hangs_on(holewright, job_b, readings_b):
    page = " ".join(holewright("estimate", job_b, "-r", readings_b).out.split())
    assert "If a pin goes into a hole of its own size: 33 of 50 shown inside" in page
    assert "(.00010 in) larger: 50 of 50 shown inside" in page
    rows = holewright("estimate", job_b, "-r", readings_b, "--json").document["sensitivity"]
    assert [row["clearance_mm"] for row in rows] == [0.0, 0.00254, 0.0]
    assert rows[-1]["feel_mm"] > 0


def test_estimate_and_verdict_say_the_same_share_and_count(holewright, job_b, readings_b):
    estimate = holewright("estimate", job_b, "-r", readings_b, "--json").document
    verdict = holewright("verdict", job_b, "-r", readings_b, "--json").document
    assert verdict["inside_lower"] == estimate["inside"]["lower"]
    unsure = next(r for r in verdict["because"] if r["code"] == "unsure-count-as-not-good")
    assert unsure["value"] == estimate["unsure"]


def test_another_size_is_widened_by_the_form_allowance(holewright, cylindrical, readings_b):
    """Twice .00005 in on diameter leaves the upper bounds inside: the same holes are good."""
    pin = holewright("estimate", cylindrical, "-r", readings_b, "--json").document
    local = holewright(
        "estimate", cylindrical, "-r", readings_b, "--size", "two-point", "--json"
    ).document
    assert local["size_kind"].startswith("local (two-point)")
    for one, other in zip(pin["intervals"], local["intervals"], strict=True):
        assert other["lower_mm"] == pytest.approx(one["lower_mm"])
        assert other["upper_mm"] == pytest.approx(one["upper_mm"] + 2 * 0.00005 * 25.4)


def test_without_an_allowance_another_size_is_no_answer(holewright, job_b, readings_b):
    answer = holewright("estimate", job_b, "-r", readings_b, "--size", "two-point")
    assert answer.code == 1
    assert "[gauging] form" in answer.err
    assert holewright("estimate", job_b, "-r", readings_b, "--size", "area").code == 2


@pytest.mark.parametrize("command", ["estimate", "verdict"])
def test_the_forecast_is_heard_beside_the_readings_and_never_decides(
    holewright, job_b, readings_b, command
):
    plain = holewright(command, job_b, "-r", readings_b, "--json").document
    heard = holewright(command, job_b, "-r", readings_b, "--with-forecast", "--json").document
    assert plain["with_forecast"] is None
    both = heard["with_forecast"]
    assert both["prior"]["inside"] < both["inside"] <= 1
    assert both["ppk_lower"] < both["ppk"]
    assert both["draws"] > 0
    assert {k: v for k, v in heard.items() if k != "with_forecast"} == {
        k: v for k, v in plain.items() if k != "with_forecast"
    }
    page = holewright(command, job_b, "-r", readings_b, "--with-forecast").out
    for word in ("forecast", "readings", "both", "draws count", "never rests on the forecast"):
        assert word in " ".join(page.split())


def test_pass_anyway_is_refused_with_its_reason(holewright, job_b, readings_b):
    answer = holewright("verdict", job_b, "-r", readings_b, "--pass-anyway", "3-1", "--json")
    assert answer.code == 1
    assert answer.document["because"][0]["code"] == "pass-anyway-refused"


@pytest.mark.parametrize(
    ("command", "said"), [("estimate", "lower limit"), ("verdict", "all further ones good")]
)
def test_pictures_are_written_where_they_are_asked_for(
    holewright, job_b, readings_b, tmp_path, command, said
):
    file = tmp_path / "picture.svg"
    holewright(command, job_b, "-r", readings_b, "--plot", file)
    text = file.read_text("utf-8")
    assert text.startswith("<svg")
    assert said in text
    again = holewright(command, job_b, "-r", readings_b, "--plot", file)
    assert again.code == 2


def test_pins_are_chosen_with_the_risk_of_each_kind(holewright, job_b):
    answer = holewright("pins", job_b, "--json")
    assert answer.code == 0
    proving = answer.document["proving"]
    assert (proving["go"], proving["no_go"]) == (".3125 X", ".3130")
    assert proving["passes_bad"] < 1e-6
    assert proving["refuses_good"] == pytest.approx(
        proving["at_lower"]["refuses_good"] + proving["at_upper"]["refuses_good"]
    )
    page = holewright("pins", job_b).out
    assert page.startswith("GO .3125 X, NO-GO .3130")
    assert "10 % rule" in page


def test_where_no_pin_proves_a_limit_it_says_which_would(holewright, job_b, tmp_path):
    shop = (job_b.parent / "shop.toml").read_text("utf-8").split("# Pins in 0.01 mm")[0]
    shop = shop.replace('pins = "pins.csv"\n', "")
    for name in ("drills", "reamers"):
        (tmp_path / f"{name}.csv").write_text(
            (job_b.parent / f"{name}.csv").read_text("utf-8"), "utf-8"
        )
    (tmp_path / "shop.toml").write_text(shop, "utf-8")
    (tmp_path / "job.toml").write_text(job_b.read_text("utf-8"), "utf-8")
    answer = holewright("pins", tmp_path / "job.toml")
    assert answer.code == 1
    assert answer.out.startswith("NO PIN OWNED PROVES THESE LIMITS")
    said = " ".join(answer.out.split())
    assert "a plus pin marked .3125 in (7.9375 mm) and a minus pin marked .3130 in" in said
    assert "class XX" in said


@pytest.mark.parametrize("columns", [60, 80])
def test_no_line_is_longer_than_the_page(holewright, job_b, readings_b, columns):
    for asked in (
        ("estimate", job_b, "-r", readings_b, "--with-forecast"),
        ("verdict", job_b, "-r", readings_b, "--with-forecast"),
        ("pins", job_b),
    ):
        page = holewright(*asked, "--columns", columns).out
        assert max(len(line) for line in page.splitlines()) <= columns
