"""A test plate for a job: its holes, its program, its sheet."""

from __future__ import annotations

from pathlib import Path

import pytest

from holewright.errors import InputError, NoAnswerError
from holewright.jobs.bench import open_bench
from holewright.jobs.cut_plate import cut_plate
from holewright.jobs.jobfile import read_job
from holewright.jobs.plate_request import PlateRequest, read_factors, read_without
from holewright.jobs.plate_sheet import plate_check_sheet
from holewright.jobs.plate_steps import plate_program
from holewright.plate.layout import Order
from holewright.program.backplot import read_back

BRAKELUND = Path(__file__).parents[3] / "examples" / "brakelund"


@pytest.fixture(scope="module")
def job():
    return read_job(BRAKELUND / "job_a.toml")


@pytest.fixture(scope="module")
def plate(job):
    return cut_plate(job, PlateRequest(a_row=12))


def request(job, *factors, **more):
    return PlateRequest(read_factors(factors, job), **more)


def test_five_rows_of_feed_are_cut_where_nobody_asks_for_anything(job):
    cut = cut_plate(job, PlateRequest())
    assert [row[0] for row in cut.plate.settings] == [0.7, 0.85, 1.0, 1.15, 1.3]
    assert cut.plate.need.difference == pytest.approx(0.003)  # a fifth of 15 µm
    assert cut.plate.a_row == cut.plate.need.a_row
    assert cut.plate.need.by_size <= cut.plate.need.a_row


def test_a_smaller_difference_asks_for_more_holes(job):
    rows = [cut_plate(job, PlateRequest(see=see)).plate.a_row for see in (0.005, 0.003)]
    assert rows[0] < rows[1]


def test_holes_that_somebody_fixed_say_what_they_can_show(plate):
    (seen,) = [reason for reason in plate.plate.noted if reason.code == "seen"]
    assert 0.003 < seen.value < 0.008
    assert "12 holes a row show a difference of" in seen.text


def test_the_order_taken_is_priced_first_and_the_others_after_it(plate, job):
    assert plate.plate.orders[0].code == "order-blocks"
    by_rows = cut_plate(job, PlateRequest(a_row=12, order=Order.ROWS)).plate.orders
    assert by_rows[0].code == "order-rows"
    assert by_rows[0].value > 4


def test_the_program_reams_each_hole_at_the_feed_of_its_row_in_the_order_of_the_plate(plate):
    program = plate_program(plate)
    sections = read_back(program.text)
    reamed = sections[-1].holes
    planned = plate.ream
    assert len(reamed) == 60
    for hole, made in zip(plate.plate.holes, reamed, strict=True):
        (feed,) = plate.plate.setting_of(hole)
        assert (made.x, made.y) == pytest.approx((hole.x, hole.y))
        assert made.feed_in == pytest.approx(planned.v_f * feed, abs=0.1)
        assert made.feed_out == pytest.approx(made.feed_in)
        assert made.bottom == pytest.approx(-planned.tip_depth, abs=5e-4)
        assert made.n == pytest.approx(planned.n, abs=1)


def test_every_hole_is_drilled_and_chamfered_before_the_first_is_reamed(plate):
    program = plate_program(plate)
    for section in read_back(program.text)[:-1]:
        assert len({(hole.x, hole.y) for hole in section.holes}) == 60
    assert program.text.count(" M6") == len(read_back(program.text))


def test_the_program_says_that_it_is_a_test_and_what_the_rows_are(plate):
    text = plate_program(plate, hold=True).text
    assert "TEST PLATE" in text
    assert "ROW E: FEED 130 PCT" in text.replace("\n(- ", " ").replace(")", "")
    assert "GOES BEYOND WHAT IS PROVEN" in text.replace("\n(- ", " ").replace(")", "")
    assert text.count("\nN") > 0
    assert sum(line.endswith(" M0") for line in text.splitlines()) > 60


def test_speed_moves_the_spindle_and_leaves_the_feed_per_turn(job):
    cut = cut_plate(job, request(job, "speed=80,120", a_row=2))
    made = read_back(plate_program(cut).text)[-1].holes
    per_turn = {round(hole.feed_in / hole.n, 3) for hole in made}
    assert len({round(hole.n) for hole in made}) == 2
    assert len(per_turn) == 1


def test_stock_takes_another_drill_for_its_holes(job):
    cut = cut_plate(job, request(job, "stock=0.2,0.25", a_row=3))
    sections = read_back(plate_program(cut).text)
    drilled = [section for section in sections if len(section.holes) == 3]
    assert len(drilled) == 2


def test_depth_reams_and_drills_as_deep_as_its_row(job):
    cut = cut_plate(job, request(job, "depth=12,20", a_row=2))
    made = read_back(plate_program(cut).text)[-1].holes
    assert sorted({round(-hole.bottom, 2) for hole in made})[0] == pytest.approx(
        12 + cut.ream.tip_depth - cut.ream.full_depth, abs=0.01
    )


def test_holders_and_reamers_are_tools_of_their_own_and_coolant_a_stop(job):
    cut = cut_plate(
        job,
        request(job, "holder=hydraulic 12;collet 32", "coolant=soluble 8 %, flood;MQL", a_row=2),
    )
    text = plate_program(cut).text
    assert "IN COLLET 32" in text
    assert "CHANGE THE COOLANT TO MQL" in text


def test_what_the_tool_room_cannot_do_is_refused_before_anything_is_cut(job):
    with pytest.raises(InputError, match="what a drill of the tool room leaves"):
        cut_plate(job, request(job, "stock=0.02,0.2", a_row=3))
    with pytest.raises(InputError, match="coolant"):
        cut_plate(job, request(job, "coolant=milk;MQL", a_row=3))


def test_rows_beyond_a_limit_of_the_plan_are_named_before_they_are_cut(job):
    cut = cut_plate(job, request(job, "feed=50,100,300", "speed=100,300", a_row=2))
    beyond = [reason for reason in cut.plate.noted if "goes beyond a limit" in reason.text]
    assert beyond
    assert any("speed 300 %" in reason.text for reason in beyond)


def test_the_machine_itself_is_a_limit_of_the_program(job):
    cut = cut_plate(job, request(job, "speed=100,400", a_row=2))
    with pytest.raises(InputError, match="n of ream with"):
        plate_program(cut)


def test_an_awkward_plate_takes_the_best_few_settings(job):
    factors = read_factors(["feed=70,100,130", "speed=80,100,120"], job)
    without = read_without(["feed=130 & speed=120"], factors, job.unit)
    cut = cut_plate(job, PlateRequest(factors, without, a_row=4, settings=6))
    assert len(cut.plate.settings) == 6
    assert (1.3, 1.2) not in cut.plate.settings
    assert any(reason.code == "best-few" for reason in cut.plate.noted)


def test_a_fraction_says_what_looks_like_what(job):
    cut = cut_plate(
        job, request(job, "feed=80,120", "speed=80,120", "stock=0.2,0.25", a_row=4, halvings=1)
    )
    (said,) = [reason for reason in cut.plate.noted if reason.code == "fraction"]
    assert "stock" in said.text
    assert "looks like" in said.text


def test_a_job_that_is_not_reamed_has_nothing_to_test():
    bored = read_job(BRAKELUND / "job_d.toml")
    with pytest.raises(NoAnswerError, match="There is no reaming to test"):
        cut_plate(bored, PlateRequest())


def test_the_check_sheet_lists_every_hole_in_the_order_of_cutting(plate):
    sheet = plate_check_sheet(plate, open_bench())
    assert sheet.count('<tr><td class="num">') == 60
    assert "Invented example" in sheet
    assert "feed 115 %" in sheet
    assert "somebody beside it" in sheet
