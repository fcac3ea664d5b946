"""What a job file says of costs: money in the shop's currency, times in seconds."""

from __future__ import annotations

import pytest

from holewright.errors import InputError
from holewright.jobs.jobfile import read_job_text
from holewright.jobs.plan_hole import plan, task_of
from holewright.planning.economy import Economy
from holewright.shop.generic import generic_shop

JOB = """
[job]
parts = 50
[hole]
callout = "8 H7 x 20 through"
[material]
name = "C45"
[pattern]
grid = "2 x 2 at 20"
"""


def read(table):
    return read_job_text(f"{JOB}{table}", "a job", generic_shop())


def test_without_the_table_all_costs_are_assumed():
    assert read("").economy == Economy()


def test_what_is_said_is_taken_and_the_rest_stays_assumed():
    job = read('[costs]\npart_value = 400\ngauged_share = "100 %"\nmove_s = 2.5')
    assert (job.economy.part_value, job.economy.gauged_share, job.economy.move_s) == (400, 1, 2.5)
    assert job.economy.purchase == Economy().purchase


def test_holes_of_one_part_share_its_tool_changes():
    task = task_of(read(""))
    assert task.holes_per_part == 4
    assert task.change_cost == pytest.approx(
        task.machine.rate / 3600 * task.machine.tool_change_s / 4
    )


def test_a_part_that_is_worth_more_makes_a_good_hole_dearer():
    cheap, dear = (plan(read(f"[costs]\npart_value = {value}")).route for value in (5, 500))
    assert cheap is not None
    assert dear is not None
    scrap = [dict(route.cost_parts)["scrap"] for route in (cheap, dear)]
    assert scrap[1] > 20 * scrap[0]


@pytest.mark.parametrize(
    ("table", "said"),
    [
        ("[costs]\npart_valeu = 5", "did you mean part_value"),
        ("[costs]\npart_value = -5", "must be a number from 0"),
        ('[costs]\ngauged_share = "120 %"', "must lie between 0 and 1"),
        ("[costs]\nmove_s = true", "must be a number"),
    ],
)
def test_a_slip_is_named_with_its_line(table, said):
    with pytest.raises(InputError, match=said) as error:
        read(table)
    assert error.value.where is not None
    assert error.value.where.line == 11
