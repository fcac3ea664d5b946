"""``holewright estimate`` and ``holewright verdict``."""

from __future__ import annotations

import pytest

ROWS = "hole,gauge,result\n"


@pytest.fixture
def few(tmp_path):
    """Return readings of three holes, all good, far too few."""
    file = tmp_path / "few.csv"
    rows = [f"{hole},8.00,goes\n{hole},8.01,does not go\n" for hole in (1, 2, 3)]
    file.write_text(ROWS + "".join(rows))
    return file


def test_three_good_holes_prove_little_and_no_spread(holewright, job_a, few):
    document = holewright("estimate", job_a, "--readings", few, "--json").document
    assert document["document"] == "estimate"
    assert (document["n_holes"], document["good"]) == (3, 3)
    # Zero failures in 3: at 95 % the share inside is at least 0.05 ** (1/3) = 0.368.
    assert document["inside"]["lower_95"] == pytest.approx(0.05 ** (1 / 3), abs=1e-9)
    assert document["mean_mm"] is None
    assert document["sd_interval_mm"] is None
    assert document["limits_of_knowledge"]


def test_the_page_says_the_bound_first_and_what_limits_it(holewright, job_a, few):
    answer = holewright("estimate", job_a, "--readings", few)
    assert answer.code == 0
    assert answer.out.startswith("AT LEAST 36.8 % INSIDE")
    assert "What keeps this from being known better" in answer.out
    assert "3 shown inside, 0 shown outside, 0 not settled" in answer.out


def test_the_readings_of_job_a_give_mean_spread_and_bounds(holewright, job_a, readings_a):
    document = holewright("estimate", job_a, "-r", readings_a, "--json").document
    low, high = document["mean_interval_mm"]
    assert low < document["mean_mm"] < high
    assert 0 < document["sd_interval_mm"][0] < document["sd_mm"] < document["sd_interval_mm"][1]
    assert 0.95 < document["inside"]["lower"] <= document["inside"]["share"] <= 1
    assert len(document["intervals"]) == document["n_holes"]


def test_bounds_that_do_not_exist_are_null_not_infinite(holewright, job_a, tmp_path):
    file = tmp_path / "one.csv"
    file.write_text(ROWS + "1,8.00,goes\n")
    document = holewright("estimate", job_a, "-r", file, "--json").document
    (interval,) = document["intervals"]
    assert interval["lower_mm"] is not None
    assert interval["upper_mm"] is None


def test_contradictions_are_said(holewright, job_a, tmp_path):
    file = tmp_path / "both.csv"
    file.write_text(ROWS + "1,8.01,goes\n1,8.00,does not go\n2,8.00,goes\n")
    answer = holewright("estimate", job_a, "-r", file)
    assert "Readings that can't all be true" in answer.out


def test_a_hold_ends_with_1_and_says_what_would_settle_it(holewright, job_a, few):
    answer = holewright("verdict", job_a, "-r", few, "--lot", 1920)
    assert answer.code == 1
    assert answer.out.startswith("HOLD")
    assert "What would settle it" in answer.out
    document = holewright("verdict", job_a, "-r", few, "--lot", 1920, "--json").document
    assert document["verdict"] == "hold"
    assert document["lot"] == 1920
    assert document["because"]
    assert document["next"][0]["text"]
    assert document["cautions"]


def test_a_release_ends_with_0(holewright, job_a, readings_a):
    answer = holewright("verdict", job_a, "-r", readings_a, "--lot", 1920, "--json")
    assert answer.code == 0
    assert answer.document["verdict"] == "release"
    assert answer.document["next"] == []


def test_without_a_lot_the_process_is_judged(holewright, job_a, few):
    assert "the process" in holewright("verdict", job_a, "-r", few).out.splitlines()[0]


@pytest.mark.parametrize("command", ["estimate", "verdict"])
@pytest.mark.parametrize(
    ("text", "said"),
    [
        (ROWS, "row"),
        ("", "empty"),
        (ROWS + "1,99.99,goes\n", "99.99"),
        (ROWS + "1,8.00,perhaps\n", "perhaps"),
        ("hole,colour\n1,red\n", "colour"),
    ],
)
def test_bad_readings_end_with_2_and_name_the_place(
    holewright, job_a, tmp_path, command, text, said
):
    file = tmp_path / "bad.csv"
    file.write_text(text)
    answer = holewright(command, job_a, "-r", file)
    assert answer.code == 2
    assert said in answer.err
    assert "bad.csv" in answer.err
    assert answer.out == ""


def test_a_lot_smaller_than_what_was_checked_is_refused(holewright, job_a, few):
    answer = holewright("verdict", job_a, "-r", few, "--lot", 2)
    assert answer.code == 2
    assert "lot = 2" in answer.err


@pytest.mark.parametrize("columns", [60, 80])
def test_no_line_is_longer_than_the_page(holewright, job_a, job_b, readings_a, readings_b, columns):
    for job, readings in ((job_a, readings_a), (job_b, readings_b)):
        for command in ("estimate", "verdict"):
            page = holewright(command, job, "-r", readings, "--columns", columns).out
            assert max(len(line) for line in page.splitlines()) <= columns


def test_a_metric_job_can_be_read_in_inches(holewright, job_a, readings_a):
    page = holewright("estimate", job_a, "-r", readings_a, "--unit", "in").out
    assert "Mean .315" in page
    held = holewright("verdict", job_a, "-r", readings_a, "--lot", 1920, "--unit", "in").out
    assert "tenth" in held
