"""The whole way in Python: the commands add nothing but reading and printing."""

from __future__ import annotations

import dataclasses
import json
import re
import subprocess
import sys
from pathlib import Path

import pytest

import holewright as hw

ROOT = Path(__file__).parents[2]
BRAKELUND = ROOT / "examples" / "brakelund"


@pytest.fixture(scope="module")
def job():
    return hw.read_job(BRAKELUND / "job_a.toml")


def test_from_a_callout_to_a_verdict(job):
    assert hw.read_callout("8 H7 x 22 through").limits == job.callout.limits
    plan = hw.plan(job)
    assert plan.forecast == hw.forecast(job)
    program = hw.write_program(job, plan)
    assert len(program.holes) == len(job.holes) == 4
    readings = hw.read_readings(BRAKELUND / "readings_a.csv", job.shop)
    estimate = hw.estimate_size(job, readings)
    verdict = hw.judge(job, estimate, lot=1920)
    assert verdict.decision == "release"
    for document in (job, plan, program, estimate, verdict, readings[0]):
        assert dataclasses.is_dataclass(document)
        assert type(document).__dataclass_params__.frozen


def test_python_and_the_command_say_the_same(job):
    done = subprocess.run(
        [
            sys.executable,
            "-c",
            "from holewright.cli.main import run; run()",
            "plan",
            str(BRAKELUND / "job_a.toml"),
            "--json",
        ],
        capture_output=True,
        check=True,
    )
    document = json.loads(done.stdout)
    plan = hw.plan(job)
    assert document["sentence"] == plan.sentence
    assert document["forecast"]["mean_mm"] == plan.forecast.mean


def test_where_the_plan_says_no_there_is_no_program_and_no_forecast(tmp_path):
    # Scenario A5 of the shop: form and hardness ask for honing, whose size nobody forecasts here.
    file = tmp_path / "valve.toml"
    file.write_text(
        '[hole]\ncallout = "12 H6 x 30 through"\ncylindricity = "0.003"\n'
        '[material]\nname = "42CrMo4"\nhardness = "45 HRC"\n'
    )
    job = hw.read_job(file)
    plan = hw.plan(job)
    assert plan.verdict == "do not ream"
    with pytest.raises(hw.NoAnswerError, match="no program"):
        hw.write_program(job, plan)
    with pytest.raises(hw.NoAnswerError, match="no size can be forecast"):
        hw.forecast(job)


def test_every_public_name_can_be_had_and_is_known_to_a_type_checker():
    source = Path(hw.__file__).read_text(encoding="utf-8")
    typed = set(re.findall(r"import (\w+) as \1$", source, re.MULTILINE))
    assert typed == set(hw.__all__) - {"__version__"}
    for name in hw.__all__:
        assert getattr(hw, name) is not None
    assert set(hw.__all__) <= set(dir(hw))


def test_a_name_that_is_not_there_is_an_attribute_error():
    with pytest.raises(AttributeError, match="wizard"):
        _ = hw.wizard
