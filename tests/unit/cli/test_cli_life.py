"""``holewright life`` and ``holewright forecast``."""

from __future__ import annotations

import pytest


@pytest.fixture(scope="session")
def life_a(job_a):
    return job_a.parent / "life_a.csv"


@pytest.fixture
def no_book(monkeypatch, tmp_path):
    monkeypatch.setenv("HOLEWRIGHT_BOOK", str(tmp_path / "none.db"))


def test_the_page_says_when_to_change_and_shows_the_run(holewright, job_a, life_a):
    answer = holewright("life", job_a, "-r", life_a)
    assert answer.code == 0
    assert answer.out.startswith("CHANGE AFTER HOLE")
    assert "holes cut" in answer.out
    assert "8.0150 mm" in answer.out
    assert "R 8-C 2 in" in answer.out
    assert "A new one of their kind" in answer.out
    assert "held until the next check is good" in " ".join(answer.out.split())


def test_a_run_that_is_too_long_to_leave_ends_with_1(holewright, job_a, life_a):
    answer = holewright("life", job_a, "-r", life_a, "--next", 2000)
    assert answer.code == 1
    assert answer.out.startswith("STAY BESIDE IT")


def test_a_tool_past_its_hole_ends_with_1(holewright, job_a, life_a, tmp_path):
    file = tmp_path / "first.csv"
    rows = life_a.read_text().splitlines()
    file.write_text("\n".join(r for r in rows if "R 8-C 2" not in r and "R 8-C 3" not in r) + "\n")
    answer = holewright("life", job_a, "-r", file)
    assert answer.code == 1
    assert answer.out.startswith("CHANGE NOW")


def test_the_chart_is_written_where_asked_and_not_over_another(holewright, job_a, life_a, tmp_path):
    chart = tmp_path / "run.svg"
    document = holewright("life", job_a, "-r", life_a, "--chart", chart, "--json").document
    assert document["path"] == str(chart)
    assert chart.read_text().startswith("<svg")
    assert holewright("life", job_a, "-r", life_a, "--chart", chart).code == 2


def test_more_may_be_outside_and_the_tool_lasts_longer(holewright, job_a, life_a):
    def due(*options):
        document = holewright("life", job_a, "-r", life_a, *options, "--json").document
        return document["tools"][-1]["due"]["hole"]

    usual = due()
    assert due("--target", "5 %") > usual
    assert due("--confidence", "99 %") < usual


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("hole,gauge,result\n1,8.00,goes\n", "cut"),
        ("", "empty"),
        ("hole,cut,gauge,result\n1,1,99.99,goes\n", "99.99"),
    ],
)
def test_a_bad_file_ends_with_2(holewright, job_a, tmp_path, text, said):
    file = tmp_path / "bad.csv"
    file.write_text(text)
    answer = holewright("life", job_a, "-r", file)
    assert answer.code == 2
    assert said in answer.err


def test_no_line_of_a_life_is_longer_than_the_page_and_plain_is_ascii(holewright, job_a, life_a):
    for columns in (60, 80):
        page = holewright("life", job_a, "-r", life_a, "--columns", columns).out
        assert max(len(line) for line in page.splitlines()) <= columns
    assert holewright("life", job_a, "-r", life_a, "--plain").out.isascii()


def test_the_forecast_without_a_book_is_the_handbooks(holewright, job_a, no_book):
    answer = holewright("forecast", job_a)
    assert answer.code == 0
    assert "INSIDE" in answer.out.splitlines()[0]
    assert "the handbook stands alone" in answer.out
    assert "With --why" in answer.out


def test_why_shows_handbook_shop_and_both_side_by_side(holewright, job_a, no_book):
    page = holewright("forecast", job_a, "--why").out
    for word in ("handbook", "the shop's jobs", "together", "offset", "scatter", "drift"):
        assert word in page
    assert "nothing yet" in page


def test_a_book_that_is_not_there_is_an_error_only_if_it_was_asked_for(holewright, job_a, tmp_path):
    answer = holewright("forecast", job_a, "--book", tmp_path / "none.db")
    assert answer.code == 2
    assert "There is no record book at" in answer.err


def test_a_bored_hole_has_no_reamed_forecast(holewright, job_d, no_book):
    answer = holewright("forecast", job_d)
    assert answer.code == 1
    assert "no reamed size can be forecast" in answer.err


@pytest.mark.parametrize("columns", [60, 80])
def test_no_line_of_a_forecast_is_longer_than_the_page(holewright, job_a, job_b, no_book, columns):
    for job in (job_a, job_b):
        page = holewright("forecast", job, "--why", "--columns", columns).out
        assert max(len(line) for line in page.splitlines()) <= columns
    assert holewright("forecast", job_a, "--why", "--plain").out.isascii()
