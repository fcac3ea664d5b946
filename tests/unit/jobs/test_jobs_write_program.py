"""From planned jobs to a program: holds, several features, an earlier order, what would hit."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

from holewright.errors import InputError, NoAnswerError
from holewright.jobs.back_plot import read_back_file, read_back_job
from holewright.jobs.jobfile import read_job
from holewright.jobs.part_files import read_part
from holewright.jobs.plan_hole import plan
from holewright.jobs.write_program import in_order_of, write_part, write_program
from holewright.program.backplot import read_back
from holewright.program.fixture import Fixture, KeepOut
from holewright.program.settings import FeedMode, HoleOrder, ProgramSettings
from holewright.proof.verdict import Decision, Demands, Verdict

BRAKELUND = Path(__file__).parents[3] / "examples" / "brakelund"
JOB_A, JOB_C = BRAKELUND / "job_a.toml", BRAKELUND / "job_c.toml"


@pytest.fixture(scope="module")
def job():
    return read_job(JOB_A)


@pytest.fixture(scope="module")
def planned(job):
    return plan(job)


def comments(text: str) -> str:
    return " ".join(re.findall(r"^\(- (.*)\)$", text, re.M))


HELD = Verdict(
    decision=Decision.HOLD,
    sentence="Hold: only 90 % of holes are shown to be inside.",
    because=(),
    next=(),
    inside_lower=0.9,
    demands=Demands(),
)


def test_a_job_on_hold_gets_no_program(job, planned):
    held = replace(job, on_hold="pin 8.015 is lost")
    with pytest.raises(NoAnswerError, match=r"on hold\. pin 8\.015 is lost\..*--despite-hold"):
        write_program(held, planned)
    with pytest.raises(NoAnswerError, match="only 90 % of holes"):
        write_program(job, planned, verdict=HELD)


def test_told_to_it_is_written_and_its_header_says_so(job, planned):
    held = replace(job, on_hold="pin 8.015 is lost")
    program = write_program(held, planned, despite_hold=True, verdict=HELD)
    said = comments(program.text)
    assert "WRITTEN DESPITE A HOLD" in said
    assert "PIN 8.015 IS LOST. HOLD: ONLY 90 PCT OF HOLES ARE SHOWN TO BE INSIDE." in said
    assert program.cautions[0].startswith("WRITTEN DESPITE A HOLD")
    # It stops at its start, and between the 4 holes of drill and of reamer.
    stops = [line for line in program.text.splitlines() if line.endswith(" M0")]
    assert len(stops) == 1 + 3 + 3


def test_a_released_job_and_a_good_verdict_say_nothing_of_a_hold(job, planned):
    good = replace(HELD, decision=Decision.RELEASE, sentence="Release.")
    program = write_program(job, planned, verdict=good, despite_hold=True)
    assert program.text == write_program(job, planned).text
    assert "HOLD" not in comments(program.text).replace("FEED HOLD", "")


def test_two_features_of_one_part_make_one_program(job, planned):
    other = replace(
        read_job(JOB_C), holes=((-40.0, 0.0), (-40.0, 44.0)), machine=job.machine, shop=job.shop
    )
    program = write_part([(job, planned), (other, plan(other))])
    assert len(program.holes) == 6
    assert "8 H7 X 22 THROUGH" in comments(program.text)
    assert "12 H7 X 46 THROUGH" in comments(program.text)
    sections = read_back(program.text)
    # Each has drill, chamfer and reamer; the chamfering tool serves both in one go.
    assert len(sections) == 5
    assert max(len(section.holes) for section in sections) == 6


def test_two_features_on_two_machines_are_no_part(job, planned):
    other = replace(job, machine=replace(job.machine, id="mill 9"))
    with pytest.raises(InputError, match="machine = mill 9: must be"):
        write_part([(job, planned), (other, planned)])


def test_an_earlier_program_keeps_its_order(job, planned):
    backwards = replace(job, holes=tuple(reversed(job.holes)))
    given = ProgramSettings(order=HoleOrder.AS_GIVEN)
    earlier = write_program(replace(backwards, program=given), planned)
    assert earlier.holes == backwards.holes
    kept = in_order_of(job, earlier.text)
    assert write_program(kept, planned).holes == earlier.holes
    assert write_program(job, planned).holes != earlier.holes


def test_an_earlier_program_of_other_holes_is_refused(job, planned):
    earlier = write_program(replace(job, holes=job.holes[:3]), planned)
    with pytest.raises(InputError, match="3 holes with its last tool: must make the 4 holes"):
        in_order_of(job, earlier.text)


def test_a_clamp_beside_a_hole_stops_the_program(job, planned):
    # 12 mm beside the hole: the tool passes, the holder's nose (40 mm wide) does not.
    clamp = KeepOut("strap clamp", 12.0, 30.0, -10.0, 10.0, 90.0)
    with pytest.raises(NoAnswerError, match=r"would hit something\. Line \d+: T1 its holder comes"):
        write_program(replace(job, fixture=Fixture((clamp,))), planned)
    low = replace(clamp, top=15.0)
    assert write_program(replace(job, fixture=Fixture((low,))), planned).text


def test_a_floor_above_the_drill_point_stops_the_program(job, planned):
    with pytest.raises(NoAnswerError, match=r"reaches Z-2\d\.\d+; what lies under the part"):
        write_program(replace(job, fixture=Fixture(floor=22.5)), planned)
    assert write_program(replace(job, fixture=Fixture(floor=30.0)), planned).text


def test_settings_are_changed_by_words(tmp_path):
    ((job, _),) = read_part([JOB_A], settings=["feed_mode=G95", "gauge_every = 5", "initial=40"])
    assert job.program.feed_mode is FeedMode.PER_REVOLUTION
    assert job.program.gauge_every == 5
    assert job.program.planes.initial == 40.0
    for words, said in (
        ("feed_mode", "must be such as feed_mode=G95"),
        ("feed_mode=G93", "setting feed_mode: feed_mode = G93: must be one of"),
        ("colour=red", "is not known in"),
    ):
        with pytest.raises(InputError, match=said):
            read_part([JOB_A], settings=[words])


def test_what_is_read_back_from_a_file_is_what_was_written(tmp_path, job, planned):
    program = write_program(job, planned)
    file = tmp_path / "a.ngc"
    file.write_text(program.text)
    alone, with_job, of_job = (
        read_back_file(file),
        read_back_file(file, job),
        read_back_job([(job, planned)]),
    )
    assert alone.sections == with_job.sections == of_job.sections
    assert with_job.times == of_job.times == program.times
    assert (alone.own_machine, with_job.own_machine) == (False, True)
    assert [alone.does(t) for t in (1, 2, 3)] == ["drill", "chamfer", "ream"]
    assert alone.diameter(3) == pytest.approx(8.0, abs=0.05)
    assert of_job.clashes == ()
    assert of_job.invented
