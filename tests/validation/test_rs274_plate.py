"""The program of a test plate, run by an interpreter that nobody here wrote."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from rs274_machine import Asked, faults, holes_in_order, interpret, needs_rs274

from holewright.jobs.cut_plate import cut_plate
from holewright.jobs.jobfile import read_job
from holewright.jobs.plate_request import PlateRequest, read_factors
from holewright.jobs.plate_steps import plate_program, reamed_at
from holewright.plate.layout import Order
from holewright.program.program import Feature
from holewright.units import Unit

pytestmark = needs_rs274

BRAKELUND = Path(__file__).parents[2] / "examples" / "brakelund"


@pytest.fixture(scope="module")
def job():
    return read_job(BRAKELUND / "job_a.toml")


def asked_of(cut) -> Asked:
    """Return what each row asks for: the plan's route with its own reaming."""
    route = cut.study.plan.route
    features = []
    for row, setting in enumerate(cut.plate.settings):
        own = reamed_at(cut, setting)
        operations = tuple(own if op is route.operations[-1] else op for op in route.operations)
        holes = tuple((h.x, h.y) for h in cut.plate.holes if h.row == row)
        features.append(
            Feature(replace(route, operations=operations), holes, f"row {row}", cut.job.coolant)
        )
    return Asked(features, cut.job.program_unit)


@pytest.mark.parametrize("order", list(Order))
@pytest.mark.parametrize("unit", list(Unit))
def test_the_interpreter_cuts_each_hole_at_its_setting_in_the_order_of_the_plate(
    job, order, unit, tmp_path
):
    cut = cut_plate(replace(job, program_unit=unit), PlateRequest(a_row=6, order=order))
    steps = interpret(plate_program(cut).text, tmp_path)
    assert faults(steps, asked_of(cut)) == []
    reamed = list(holes_in_order(steps).values())[-1]
    wanted = [(hole.x, hole.y) for hole in cut.plate.holes]
    assert len(reamed) == len(wanted)
    for made, hole in zip(reamed, wanted, strict=True):
        assert made == pytest.approx(hole, abs=0.002)


def test_speed_and_feed_together_on_hold(job, tmp_path):
    factors = read_factors(["feed=80,120", "speed=80,120"], job)
    cut = cut_plate(job, PlateRequest(factors, a_row=3))
    steps = interpret(plate_program(cut, hold=True).text, tmp_path)
    assert faults(steps, asked_of(cut)) == []
    assert sum(step.kind == "stop" for step in steps) > 12
