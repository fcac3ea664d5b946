"""The life of reamers from a file of readings: due, risk, likes, chart."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest

from holewright.errors import InputError, NoAnswerError
from holewright.jobs.follow_tools import follow_tools
from holewright.jobs.jobfile import read_job
from holewright.jobs.life_chart import life_chart
from holewright.jobs.life_file import by_tool, read_life

BRAKELUND = Path(__file__).parents[3] / "examples" / "brakelund"
ROWS = "hole,cut,gauge,size,unit\n"


@pytest.fixture(scope="module")
def job():
    return read_job(BRAKELUND / "job_a.toml")


@pytest.fixture(scope="module")
def lives(job):
    return follow_tools(job, read_life(BRAKELUND / "life_a.csv", job.shop))


def measured(tmp_path, drift=-4e-6, start=8.0095, holes=60, every=10):
    rng = np.random.default_rng(6)
    rows = [
        f"{i},{1 + every * i},three-point 6-12,"
        f"{start + drift * every * i + 0.0008 * rng.standard_normal():.4f},mm"
        for i in range(holes)
    ]
    file = tmp_path / "life.csv"
    file.write_text(ROWS + "\n".join(rows) + "\n")
    return file


def test_three_reamers_are_followed_one_by_one(lives):
    assert [one.tool for one in lives.followed] == ["R 8-C 1", "R 8-C 2", "R 8-C 3"]
    assert [max(one.cut.values()) for one in lives.followed] == [1991, 1791, 891]
    assert lives.current.tool == "R 8-C 3"
    assert not lives.contradictions


def test_a_reamer_past_its_hole_is_due_and_a_run_with_it_is_no_run_to_leave(lives):
    first = lives.followed[0].change
    assert first.change.hole < 1991
    assert "change it now" in first.sentence
    assert lives.current.change.run.first == 892


def test_a_new_one_of_the_kind_is_foretold_later_than_a_careful_change(lives):
    assert lives.like.names == ("R 8-C 1", "R 8-C 2", "R 8-C 3")
    assert 0 < lives.new.hole < lives.new.likely
    assert lives.like.u_shared > 0.0002  # the pins are the same for all three


def test_parts_at_risk_are_counted_in_whole_parts(lives):
    run = lives.current.change.run
    assert run.holes % 4 == 0
    assert run.parts_at_risk == run.holes / 4
    assert lives.current.change.check_every % 4 == 0


def test_a_bore_gauge_gives_a_life_too(job, tmp_path):
    lives = follow_tools(job, read_life(measured(tmp_path), job.shop))
    trend = lives.current.change.trend
    assert trend.fit is None
    assert trend.slope == pytest.approx(-4e-6, abs=3 * trend.se_slope)
    assert lives.like is None
    assert lives.current.change.sentence.startswith("This reamer: change it after hole")


def test_breaks_that_were_seen_count_in_the_risk(job, tmp_path):
    tools = read_life(BRAKELUND / "life_a.csv", job.shop)
    with_breaks = follow_tools(job, tools, broken=("R 8-C 1", "R 8-C 2"))
    assert with_breaks.survival.failed == 2
    assert 0 < with_breaks.current.change.run.breaks < 1
    one = follow_tools(job, tools, broken=("R 8-C 1",))
    assert [reason.code for reason in one.not_followed] == ["breaks-not-fitted"]


def test_a_tool_without_a_trend_is_named_and_the_others_stand(job, tmp_path):
    whole = (BRAKELUND / "life_a.csv").read_text()
    file = tmp_path / "life.csv"
    file.write_text(whole + "9-1,R 8-C 4,1,8.00,goes,21 C,20.5 C\n")
    lives = follow_tools(job, read_life(file, job.shop))
    assert [reason.code for reason in lives.not_followed] == ["too-few-holes"]
    assert "R 8-C 4" in lives.not_followed[0].text
    assert len(lives.followed) == 3


def test_a_file_that_tells_no_trend_at_all_is_no_answer(job, tmp_path):
    file = tmp_path / "life.csv"
    file.write_text(
        "hole,cut,gauge,result\n" + "".join(f"{i},{i},8.00,goes\n" for i in range(1, 9))
    )
    with pytest.raises(NoAnswerError, match="The tool: Mean and spread can't be told"):
        follow_tools(job, read_life(file, job.shop))


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("hole,gauge,result\n1,8.00,goes\n", "must say how many holes the tool had cut"),
        ("hole,cut,gauge,result\n1,0,8.00,goes\n", "cut = 0"),
        ("hole,cut,gauge,result\n1,4,8.00,goes\n1,5,8.01,does not go\n", "as in another row"),
    ],
)
def test_rows_without_a_sound_count_are_refused(job, tmp_path, text, said):
    file = tmp_path / "life.csv"
    file.write_text(text)
    with pytest.raises(InputError, match=said):
        read_life(file, job.shop)


def test_two_tools_may_have_holes_of_one_name(job):
    from holewright.gauging.reading import Reading

    rows = [("A", 1, Reading("1", "8.00", goes=True)), ("B", 7, Reading("1", "8.00", goes=True))]
    one, other = by_tool(rows)
    assert one.cut == {"A: 1": 1}
    assert other.cut == {"B: 1": 7}


def test_the_chart_runs_from_tool_to_tool_and_foretells_the_last(lives):
    chart = life_chart(lives)
    assert len(chart.lines) == 3
    assert [words for _, words in chart.ticks][:2] == ["R 8-C 2 in", "R 8-C 3 in"]
    assert chart.ticks[0][0] == 1991
    assert chart.lines[-1].foretold_from == 1991 + 1791 + 891
    assert math.isinf(chart.lines[0].foretold_from)
    assert len(chart.marks) == sum(len(one.holes) for one in lives.followed)
