"""``holewright plate``: laying one out, and reading what it showed."""

from __future__ import annotations

import pytest


@pytest.fixture(scope="session")
def plate_a(job_a):
    return job_a.parent / "plate_a.csv"


def test_the_page_says_how_many_holes_first_and_why(holewright, job_a):
    answer = holewright("plate", job_a)
    assert answer.code == 0
    rows, a_row = 5, int(answer.out.split("5 rows of ")[1].split(",")[0])
    assert answer.out.startswith(f"CUT {rows * a_row} HOLES")
    assert "Why so many holes" in answer.out
    assert "you need" in answer.out
    assert "In blocks" in answer.out
    assert "What" not in answer.err


def test_program_sheet_and_file_are_written_and_not_over_others(holewright, job_a, tmp_path):
    answer = holewright("plate", job_a, "--holes", 6, "--out", tmp_path)
    assert answer.code == 0
    names = sorted(path.name for path in tmp_path.iterdir())
    assert names == ["job_a-plate.csv", "job_a-plate.html", "job_a-plate.ngc"]
    again = holewright("plate", job_a, "--holes", 6, "--out", tmp_path)
    assert again.code == 2
    assert "is there already" in again.err
    assert holewright("plate", job_a, "--holes", 6, "--out", tmp_path, "--force").code == 0


def test_the_file_that_was_written_comes_back(holewright, job_a, tmp_path):
    holewright("plate", job_a, "--holes", 8, "--out", tmp_path)
    file = tmp_path / "job_a-plate.csv"
    lines = file.read_text().splitlines()
    filled = []
    for line in lines:
        cells = line.split(",")
        if line.startswith("#") or cells[0] == "hole":
            filled.append(line)
            continue
        feed = float(cells[2].removesuffix(" %"))
        size = 8.005 + 0.00003 * feed + 0.0007 * (int(cells[1]) * 7 % 5 - 2) / 2
        filled.append(",".join([*cells[:3], "three-point 6-12", "", f"{size:.4f}", *cells[6:]]))
    file.write_text("\n".join(filled) + "\n")
    answer = holewright("plate", job_a, "--results", file, "--json")
    assert answer.code == 0
    effect = answer.document["effects"][0]
    assert effect["lower"] < 0.0003 < effect["upper"]


def test_the_demo_plate_says_what_to_run_and_what_it_did_not_show(holewright, job_a, plate_a):
    answer = holewright("plate", job_a, "-r", plate_a)
    assert answer.code == 0
    assert answer.out.startswith("RUN  feed 115 %")
    for heading in ("What each step did", "Row by row", "What the plate did not show", "Caution"):
        assert heading in answer.out
    assert "invented example" in answer.out


def test_the_main_effects_are_drawn_where_asked(holewright, job_a, plate_a, tmp_path):
    picture = tmp_path / "effects.svg"
    document = holewright("plate", job_a, "-r", plate_a, "--plot", picture, "--json").document
    assert document["path"] == str(picture)
    assert picture.read_text().startswith("<svg")
    assert holewright("plate", job_a, "-r", plate_a, "--plot", picture).code == 2


def test_where_no_setting_is_good_enough_the_exit_code_is_1(holewright, job_a, plate_a, tmp_path):
    file = tmp_path / "nests.csv"
    text = plate_a.read_text()
    for word in ("tight curl", "loose", "long"):
        text = text.replace(f",{word},", ",nest,")
    file.write_text(text)
    answer = holewright("plate", job_a, "-r", file)
    assert answer.code == 1
    assert answer.out.startswith("NONE OF THESE")


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (["--vary", "fed=1,2"], "fed"),
        (["--vary", "feed=100"], "two or more"),
        (["--see", "3 parsecs"], "see"),
        (["--see", "1 mm"], "at most 0.03 mm"),
        (["--power", "2"], "power"),
        (["--without", "feed=1000"], "without"),
        (["--halve", "1"], "must be two in a fraction"),
        (["--results", "none.csv"], "none.csv"),
    ],
)
def test_what_cannot_be_done_ends_with_2_and_says_why(holewright, job_a, options, said):
    answer = holewright("plate", job_a, *options)
    assert answer.code == 2
    assert said in answer.err
    assert answer.out == ""


def test_a_difference_that_pins_cannot_show_is_no_answer(holewright, job_a):
    answer = holewright("plate", job_a, "--see", "0.2 µm")
    assert answer.code == 1
    assert "pins that stand closer together" in answer.err


def test_a_bored_hole_has_no_plate(holewright, job_d):
    answer = holewright("plate", job_d)
    assert answer.code == 1
    assert "no reaming to test" in answer.err


@pytest.mark.parametrize("columns", [60, 80])
def test_no_line_of_a_plate_is_longer_than_the_page(holewright, job_a, job_b, plate_a, columns):
    pages = [
        holewright("plate", job_a, "--columns", columns).out,
        holewright("plate", job_b, "--columns", columns).out,
        holewright("plate", job_a, "-r", plate_a, "--columns", columns).out,
    ]
    for page in pages:
        assert max(len(line) for line in page.splitlines()) <= columns


def test_a_plain_page_is_ascii(holewright, job_a, plate_a):
    assert holewright("plate", job_a, "-r", plate_a, "--plain").out.isascii()
    assert holewright("plate", job_a, "--plain").out.isascii()
