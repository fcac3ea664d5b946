"""What an estimate hangs on: clearance and feel."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from holewright.jobs.job import GaugingHabits
from holewright.jobs.jobfile import read_job
from holewright.jobs.readingsfile import read_readings
from holewright.jobs.sensitivity import CLEARANCE, FEEL, say_variants, sensitivity
from holewright.jobs.take_readings import estimate_size
from holewright.units import Unit

BRAKELUND = Path(__file__).parents[3] / "examples" / "brakelund"
JOB = read_job(BRAKELUND / "job_a.toml")
READINGS = read_readings(BRAKELUND / "readings_a.csv", JOB.shop)
PINS_ONLY = tuple(reading for reading in READINGS if reading.goes is not None)


def test_a_clearance_shifts_the_mean_by_as_much_and_leaves_the_spread():
    """The identity of a constant clearance: every bound moves by it."""
    none, some, _ = sensitivity(JOB, PINS_ONLY)
    assert (none.clearance, some.clearance) == (0.0, CLEARANCE)
    assert some.mean - none.mean == pytest.approx(CLEARANCE, abs=1e-7)
    assert some.sd == pytest.approx(none.sd, rel=1e-4)


def test_the_clearance_is_a_tenth_of_a_thou():
    assert pytest.approx(CLEARANCE) == 0.0001 * 25.4


def test_a_feel_proves_less_and_takes_its_share_of_the_spread():
    taken, _, felt = sensitivity(JOB, PINS_ONLY)
    assert felt.feel == FEEL
    assert felt.good <= taken.good
    assert felt.inside_lower <= taken.inside_lower
    assert felt.sd == pytest.approx((taken.sd**2 - FEEL**2) ** 0.5)


def test_what_the_job_says_of_its_own_hands_is_taken_and_shown():
    job = replace(JOB, habits=GaugingHabits(clearance=0.001, feel=0.0005))
    variants = sensitivity(job, PINS_ONLY)
    assert [v.clearance for v in variants] == [0.0, 0.001, CLEARANCE, 0.001]
    assert variants[-1].feel == 0.0005
    assert estimate_size(job, PINS_ONLY).mean == pytest.approx(variants[1].mean)


def test_a_bore_gauge_alone_has_neither():
    sizes = [reading for reading in READINGS if reading.size is not None]
    assert sensitivity(JOB, sizes) == ()


def test_each_variant_is_a_sentence_in_the_unit_asked_for():
    sentences = say_variants(sensitivity(JOB, PINS_ONLY), Unit.INCH)
    assert sentences[0].startswith("If a pin goes into a hole of its own size: ")
    assert "tenths" in sentences[1]
    assert "by counting" in sentences[2]
