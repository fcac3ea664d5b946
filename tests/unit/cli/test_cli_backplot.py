"""``holewright backplot`` and ``holewright time``."""

from __future__ import annotations

import pytest


@pytest.fixture
def program_a(holewright, job_a, tmp_path):
    file = tmp_path / "a.ngc"
    assert holewright("program", job_a, "-o", file).code == 0
    return file


def test_a_job_is_read_back_as_a_table(holewright, job_a):
    answer = holewright("backplot", job_a)
    assert answer.code == 0
    for words in ("T1", "drill", "ream", "60.000", "44.000", "Prove the program out dry"):
        assert words in answer.out.replace("\n    ", " ")


def test_a_program_in_a_file_is_read_back_alike(holewright, job_a, program_a):
    of_job = holewright("backplot", job_a, "--json").document
    of_file = holewright("backplot", program_a, "--job", job_a, "--json").document
    assert of_file["tools"] == of_job["tools"]
    assert of_file["total_s"] == of_job["total_s"]
    assert of_file["name"] == "a.ngc"


def test_the_picture_is_one_file_and_is_not_overwritten(holewright, job_a, tmp_path):
    file = tmp_path / "a.html"
    assert holewright("backplot", job_a, "-o", file).code == 0
    assert file.read_text(encoding="utf-8").startswith("<!doctype html>")
    assert holewright("backplot", job_a, "-o", file).code == 2


def test_what_would_hit_is_said_first_and_ends_with_1(holewright, program_a):
    text = program_a.read_text()
    at = text.index("G98 G81")
    program_a.write_text(text[:at] + "G0 Z-5.000\n" + text[at:])
    answer = holewright("backplot", program_a)
    assert answer.code == 1
    assert "WOULD HIT" in answer.out
    assert "goes at rapid to Z-5.000" in answer.out.replace("\n    ", " ")
    assert holewright("backplot", program_a, "--json").document["clashes"][0]["tool"] == 1


def test_a_word_that_is_not_known_is_named_with_its_line(holewright, program_a):
    program_a.write_text(program_a.read_text().replace("G80\n", "G2 X5.000\n", 1))
    answer = holewright("backplot", program_a)
    assert answer.code == 2
    assert "word = G2" in answer.err
    assert "line" in answer.err


def test_time_is_that_of_the_program_and_above_lengths_over_speeds(holewright, job_a, program_a):
    timed = holewright("time", job_a, "--json").document
    written = holewright("program", job_a, "--json").document
    assert timed["total_s"] == pytest.approx(written["total_s"])
    assert timed["total_s"] == pytest.approx(sum(tool["total_s"] for tool in timed["tools"]))
    assert timed["naive_s"] < timed["total_s"]
    assert timed["machine"] == "mill 3"
    of_file = holewright("time", program_a, "--json").document
    assert of_file["machine"] is None
    page = holewright("time", program_a).out
    assert "on a usual machine" in page
    assert "tool change" in page


def test_stops_for_a_person_are_counted_and_not_timed(holewright, job_b):
    timed = holewright("time", job_b, "--json").document
    assert timed["stops"] == 1  # the wash by hand
    assert "stops 1 times" in holewright("time", job_b).out


def test_job_files_and_programs_are_not_mixed(holewright, job_a, program_a):
    assert holewright("backplot", program_a, program_a).code == 2
    assert holewright("backplot", job_a, "--job", job_a).code == 2
