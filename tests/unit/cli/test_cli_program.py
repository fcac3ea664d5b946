"""``holewright program``."""

from __future__ import annotations

import pytest


def test_without_a_file_the_program_goes_to_the_screen(holewright, job_a):
    answer = holewright("program", job_a)
    assert answer.code == 0
    assert answer.out.startswith("%\n")
    assert answer.out.rstrip().endswith("%")
    assert answer.out.isascii()


def test_it_is_written_to_a_file_with_the_time_by_operation(holewright, job_a, tmp_path):
    file = tmp_path / "a.ngc"
    answer = holewright("program", job_a, "-o", file)
    assert answer.code == 0
    assert file.read_bytes().startswith(b"%\n")
    assert b"\r" not in file.read_bytes()
    assert "4 holes" in " ".join(answer.out.split())
    assert "ream" in answer.out
    assert "Caution" in answer.out


def test_the_document_adds_up_the_times_and_holds_the_holes(holewright, job_a):
    document = holewright("program", job_a, "--json").document
    assert document["document"] == "program"
    assert document["total_s"] == pytest.approx(
        sum(row["seconds"] for row in document["time_by_operation"])
    )
    # Job A: a rectangle of 60 x 44.
    assert sorted(map(tuple, document["holes_mm"])) == [(0, 0), (0, 44), (60, 0), (60, 44)]
    assert document["path"] is None
    assert document["text"].startswith("%")


def test_a_file_that_is_there_is_not_overwritten_unless_told(holewright, job_a, tmp_path):
    file = tmp_path / "a.ngc"
    file.write_text("precious")
    refused = holewright("program", job_a, "-o", file)
    assert refused.code == 2
    assert "--force" in refused.err
    assert file.read_text() == "precious"
    assert holewright("program", job_a, "-o", file, "--force").code == 0
    assert file.read_text().startswith("%")


def test_a_hole_that_is_bored_gets_its_drilling_and_a_stop_for_the_head(holewright, job_d):
    written = holewright("program", job_d)
    assert written.code == 0
    assert "M0" in written.out
    assert "BORE" in written.out


def test_where_the_plan_has_no_route_there_is_no_program(holewright, valve_bore, tmp_path):
    file = tmp_path / "d.ngc"
    answer = holewright("program", valve_bore, "-o", file)
    assert answer.code == 1
    assert "no program is written" in answer.err
    assert not file.exists()


def test_on_hold_it_stops_between_the_holes(holewright, job_a):
    free = holewright("program", job_a).out
    held = holewright("program", job_a, "--hold").out
    stops = [text.split().count("M0") for text in (free, held)]
    assert stops[1] > stops[0]


def test_a_folder_that_is_not_there_is_said_plainly(holewright, job_a, tmp_path):
    answer = holewright("program", job_a, "-o", tmp_path / "nowhere" / "a.ngc")
    assert answer.code == 2
    assert "nowhere" in answer.err


def test_an_inch_job_gives_an_inch_program(holewright, job_b):
    text = holewright("program", job_b).out
    assert "G20" in text
    assert "G21" not in text


def test_a_metric_job_can_have_an_inch_program(holewright, job_a):
    document = holewright("program", job_a, "--unit", "in", "--json").document
    assert document["unit"] == "in"
    assert "G20" in document["text"]
    # 60 mm is 2.3622 in; the document itself stays in mm.
    assert "X2.3622" in document["text"]
    assert [60.0, 44.0] in document["holes_mm"]


def test_a_setting_is_changed_for_this_once(holewright, job_a):
    text = holewright("program", job_a, "--set", "feed_mode=G95", "--set", "work_offset=G56").out
    assert "G95 G56" in text
    wrong = holewright("program", job_a, "--set", "feed_mode=G93")
    assert wrong.code == 2
    assert "feed_mode" in wrong.err


def test_readings_that_say_hold_keep_the_program_back_unless_told(holewright, job_b, readings_b):
    held = holewright("program", job_b, "--readings", readings_b)
    assert held.code == 1
    assert held.out == ""
    assert "on hold" in held.err
    assert "--despite-hold" in held.err
    told = holewright("program", job_b, "--readings", readings_b, "--despite-hold")
    assert told.code == 0
    assert "WRITTEN DESPITE A HOLD" in told.out


def test_two_jobs_make_one_program(holewright, job_a, tmp_path):
    other = tmp_path / "other.toml"
    text = job_a.read_text(encoding="utf-8").replace("8 H7", "12 H7")
    text = text.replace('"shop.toml"', f'"{(job_a.parent / "shop.toml").as_posix()}"')
    other.write_text(text.replace('rectangle = "60 x 44"', "at = [[30, 22]]"), encoding="utf-8")
    document = holewright("program", job_a, other, "--json").document
    assert [feature["holes"] for feature in document["features"]] == [4, 1]
    assert len(document["holes_mm"]) == 5


def test_the_order_of_an_earlier_program_is_kept(holewright, job_a, tmp_path):
    first = tmp_path / "a.ngc"
    holewright("program", job_a, "-o", first)
    again = holewright("program", job_a, "--order-of", first).out
    assert again == first.read_text()
    assert holewright("program", job_a, "--order-of", job_a).code == 2
