"""``holewright window``, ``form``, ``ask``, and ``plan --why``."""

from __future__ import annotations

from xml.etree import ElementTree as ET

import pytest

QUESTIONS = ("--tir", "--tolerance", "--reamer", "--worn", "--quantity")


class TestWindow:
    """Which speeds and feeds the route allows."""

    def test_the_page_shows_the_map_the_point_and_each_border_by_name(self, holewright, job_a):
        answer = holewright("window", job_a)
        assert answer.code == 0
        assert answer.out.count("●") == 2
        assert "spindle's greatest speed" in answer.out
        assert "Just beyond each border" in answer.out
        assert "Stop the spindle before you gauge" in answer.out

    def test_the_document_holds_region_and_borders(self, holewright, job_a):
        document = holewright("window", job_a, "--json").document
        allowed = document["allowed"]
        assert (len(allowed), len(allowed[0])) == (
            len(document["v_c_m_min"]),
            len(document["f_mm_rev"]),
        )
        assert any(any(row) for row in allowed)
        plan = holewright("plan", job_a, "--json").document
        ream = plan["operations"][-1]
        assert document["chosen"]["v_c_m_min"] == pytest.approx(ream["v_c_m_min"])
        assert document["nearest"]["factor"] >= 1
        for border in document["borders"]:
            assert border["text"]
            assert all(len(point) == 2 for line in border["lines"] for point in line)

    def test_picture_and_page_are_files_that_load_nothing(self, holewright, job_b, tmp_path):
        svg, html = tmp_path / "w.svg", tmp_path / "w.html"
        answer = holewright("window", job_b, "--svg", svg, "--html", html)
        assert answer.code == 0
        root = ET.fromstring(svg.read_text(encoding="utf-8"))
        assert root.tag.endswith("svg")
        page = html.read_text(encoding="utf-8")
        for loads in ("<script", "src=", "href=", "@import", "url(http"):
            assert loads not in page
        assert "Invented example" in page
        assert "guards closed" in page

    def test_a_file_is_not_overwritten_unasked(self, holewright, job_a, tmp_path):
        there = tmp_path / "w.svg"
        there.write_text("mine", encoding="utf-8")
        assert holewright("window", job_a, "--svg", there).code == 2
        assert there.read_text(encoding="utf-8") == "mine"
        assert holewright("window", job_a, "--svg", there, "--force").code == 0

    def test_where_nothing_is_reamed_there_is_no_window(self, holewright, job_d):
        answer = holewright("window", job_d)
        assert answer.code == 1
        assert "no reamed route" in answer.err

    @pytest.mark.parametrize("columns", [60, 80, 110])
    def test_no_line_is_longer_than_the_page(self, holewright, job_a, job_b, columns):
        for job in (job_a, job_b):
            page = holewright("window", job, "--columns", columns).out
            assert max(len(line) for line in page.splitlines()) <= columns

    def test_a_plain_page_is_ascii(self, holewright, job_b):
        assert holewright("window", job_b, "--plain").out.isascii()


class TestForm:
    """Does it whirl, and what would gauges read."""

    def test_an_ordinary_reamer_leaves_it_round_and_the_limits_of_the_model_are_said(
        self, holewright, job_a
    ):
        answer = holewright("form", job_a)
        assert answer.code == 0
        assert answer.out.startswith("ROUND")
        assert "no forecast" in answer.out
        assert "three-point" in answer.out

    def test_given_angles_and_readings_are_used(self, holewright, job_a):
        document = holewright(
            "form", job_a, "--spacing", "0 57 121 178 243 299", "--teeth", "0 4 8 4 0 -4 µm",
            "--json",
        ).document  # fmt: skip
        assert document["even"] is False
        assert document["spacing_deg"] == [0, 57, 121, 178, 243, 299]
        assert document["eccentricity_mm"] == pytest.approx(0.0051, abs=0.0005)
        assert len(document["tooth_errors_mm"]) == 6
        level = document["levels"][-1]
        assert level["pin_mm"] <= level["mean_mm"] <= level["circumscribed_mm"]
        assert level["two_point_mm"][0] <= level["two_point_mm"][1]

    def test_the_picture_is_written(self, holewright, job_a, tmp_path):
        plot = tmp_path / "form.svg"
        assert holewright("form", job_a, "--plot", plot).code == 0
        assert ET.fromstring(plot.read_text(encoding="utf-8")).tag.endswith("svg")

    @pytest.mark.parametrize(
        ("option", "value", "said"),
        [
            ("--spacing", "0 60 50 180 240 300", "must rise"),
            ("--spacing", "0 60 400 1 2 3", "under 360"),
            ("--spacing", "0 120 240", "6 angles"),
            ("--teeth", "0 1 2 µm", "6 readings"),
            ("--teeth", "up down up", "readings such as"),
        ],
    )
    def test_what_is_no_reamer_is_refused(self, holewright, job_a, option, value, said):
        answer = holewright("form", job_a, option, value)
        assert answer.code == 2
        assert said in answer.err

    def test_where_nothing_is_reamed_there_is_no_form(self, holewright, job_d):
        assert holewright("form", job_d).code == 1


class TestWhy:
    """Any number can be asked for its formula, inputs and source."""

    def test_a_number_tells_formula_inputs_with_tags_and_source(self, holewright, job_a):
        page = " ".join(holewright("plan", job_a, "--why", "torque").out.split())
        assert "k_c = k_c1.1 h^-m_c" in page
        assert "k_c1.1 [N/mm²]: 2100 ± 168 (default;" in page
        assert "(measured;" in page
        assert "Kienzle" in page

    def test_all_tells_every_number_that_there_is(self, holewright, job_a):
        numbers = holewright("plan", job_a, "--why", "all", "--json").document["numbers"]
        names = [one["name"] for one in numbers]
        assert len(set(names)) == len(names)
        assert {"torque", "whirl", "chips", "coolant", "forecast-mean", "cost"} <= set(names)
        assert all(one["formula"] and one["source"] and one["inputs"] for one in numbers)

    def test_why_and_plan_say_the_same_number(self, holewright, job_b):
        ream = holewright("plan", job_b, "--json").document["operations"][-1]
        said = {n["name"]: n["value"] for n in ream["numbers"]}
        (told,) = holewright("plan", job_b, "--why", "torque", "--json").document["numbers"]
        assert told["value"] == pytest.approx(said["torque, worn [N·m]"])

    def test_a_number_that_is_not_there_is_refused_with_those_that_are(self, holewright, job_a):
        answer = holewright("plan", job_a, "--why", "colour")
        assert answer.code == 2
        assert "must be one of speed, feed" in answer.err

    def test_what_belongs_to_readings_has_no_answer_before_there_are_any(self, holewright, job_a):
        assert holewright("plan", job_a, "--why", "ppk").code == 1


class TestAsk:
    """The plan asked backwards."""

    @pytest.mark.parametrize("question", QUESTIONS[1:])
    def test_each_question_is_answered_in_sentences_and_numbers(self, holewright, job_b, question):
        answer = holewright("ask", job_b, question, "--json")
        assert answer.document["question"] == question.removeprefix("--")
        assert answer.document["sentences"]
        assert answer.document["numbers"]
        assert answer.document["method"]

    def test_runout_to_reach_for_a_share_that_can_be_had(self, holewright, job_a):
        document = holewright("ask", job_a, "--tir", "--inside", "90 %", "--json").document
        numbers = {n["name"]: n["value"] for n in document["numbers"]}
        assert numbers["tir-needed"] > numbers["tir-now"] > 0

    def test_where_runout_is_not_the_trouble_the_answer_is_no(self, holewright, job_a):
        answer = holewright("ask", job_a, "--tir", "--inside", "99.9 %")
        assert answer.code == 1
        assert "even without any runout" in answer.err

    def test_a_tolerance_that_would_be_easy_is_wider_than_one_that_is_not(self, holewright, job_a):
        answer = holewright("ask", job_a, "--tolerance", "--json")
        numbers = {n["name"]: n["value"] for n in answer.document["numbers"]}
        assert numbers["width-needed"] > numbers["width-asked"] == pytest.approx(0.015)
        assert answer.code == 1

    def test_the_reamer_to_order_by_rule_and_by_a_measured_offset(self, holewright, job_a):
        """8 H7 by ISO 522: 8.006 to 8.012; hole less reamer -3 µm aims at 8.0075 + 0.003."""
        document = holewright("ask", job_a, "--reamer", "--offset", "-3 µm", "--json").document
        numbers = {n["name"]: n["value"] for n in document["numbers"]}
        assert numbers["rule-lower"] == pytest.approx(8.006)
        assert numbers["rule-upper"] == pytest.approx(8.012)
        assert numbers["diameter"] == pytest.approx(8.0105)
        assert numbers["offset"] == pytest.approx(-0.003)

    def test_a_worn_reamer_makes_the_mean_fall(self, holewright, job_b):
        said = " ".join(holewright("ask", job_b, "--worn").out.split())
        assert "Gauge the first and the last hole" in said

    def test_readings_of_the_edges_are_taken_apart(self, holewright, job_a):
        document = holewright("ask", job_a, "--teeth", "10 5 -5 -10 -5 5 µm", "--json").document
        numbers = {n["name"]: n["value"] for n in document["numbers"]}
        assert numbers["tir"] == pytest.approx(0.020, abs=1e-9)
        assert numbers["uneven"] == pytest.approx(0.0, abs=1e-9)
        idle = holewright("ask", job_a, "--teeth", "0 0 0 0 0 -500 µm")
        assert idle.code == 1
        assert idle.out.startswith("AN EDGE IDLES")

    @pytest.mark.parametrize("asked", [(), ("--tir", "--reamer")])
    def test_one_question_at_a_time(self, holewright, job_a, asked):
        answer = holewright("ask", job_a, *asked)
        assert answer.code == 2
        assert "must be one of --tir" in answer.err

    def test_an_offset_that_cannot_be_meant_is_refused(self, holewright, job_a):
        answer = holewright("ask", job_a, "--reamer", "--offset", "-2 mm")
        assert answer.code == 2
        assert "option --offset" in answer.err
