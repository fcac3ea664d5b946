"""Growth of a treatment in the job file, and what readings are held against."""

from __future__ import annotations

from pathlib import Path

import pytest

from holewright.errors import InputError
from holewright.gauging.reading import Reading
from holewright.jobs.job import Job
from holewright.jobs.jobfile import read_job
from holewright.jobs.plan_hole import plan
from holewright.jobs.release import judge
from holewright.jobs.take_readings import estimate_size

INCH = 25.4
TEXT = """\
[hole]
callout = ".3130-.3140 x .5 through"
after = "hard anodize"
{more}

[material]
name = "6061-T6"
"""


def job(tmp_path: Path, *more: str) -> Job:
    path = tmp_path / "plate.toml"
    path.write_text(TEXT.format(more="\n".join(more)), "utf-8")
    return read_job(path)


@pytest.mark.parametrize(
    ("written", "per_side", "doubt"),
    [
        ("0.001 in a side, doubt 0.0002 in", 0.001, 0.0002),
        ("0.001 in per side ± 0.0002 in", 0.001, 0.0002),
        (".001 a side, doubt 0", 0.001, 0.0),
        (".0008 to .0012 in a side", 0.001, 0.0002),
        ("0.0008 in to 0.0012 in a side", 0.001, 0.0002),
        ("0.002 in on diameter, doubt 0.0004 in", 0.001, 0.0002),
        ("-0.0001 in a side, doubt 0.00005 in", -0.0001, 0.00005),
        ("25.4 µm a side, doubt 5.08 µm", 0.001, 0.0002),
    ],
)
def test_growth_as_a_finisher_says_it(
    tmp_path: Path, written: str, per_side: float, doubt: float
) -> None:
    growth = job(tmp_path, f'growth = "{written}"').callout.growth
    assert growth is not None
    assert growth.per_side == pytest.approx(per_side * INCH)
    assert growth.doubt == pytest.approx(doubt * INCH)


@pytest.mark.parametrize(
    ("more", "field", "accepted"),
    [
        ('growth = "0.001 in"', "growth", "a side"),
        ('growth = "0.001 in a side"', "growth", "says no doubt"),
        ('growth = "1 in a side, doubt 0"', "growth", "0.5 mm a side at most"),
        ('growth = "0.001 in a side, doubt -0.0001 in"', "growth", "doubt 0 or more"),
        ('growth = "0.0012 to 0.0008 in a side"', "growth", "lesser growth first"),
        ('growth = "0.0008 to 0.0012 in a side, doubt 0.0001 in"', "growth", "not both"),
        ('growth = "much a side, doubt 0"', "growth", "must be a"),
        ('gauged = "never"', "gauged", '"before" or "after"'),
    ],
)
def test_what_is_no_growth_is_refused_with_its_line(
    tmp_path: Path, more: str, field: str, accepted: str
) -> None:
    with pytest.raises(InputError) as caught:
        job(tmp_path, more)
    assert caught.value.field == field
    assert accepted in caught.value.accepted
    assert caught.value.where is not None
    assert caught.value.where.line == 4


@pytest.mark.parametrize("key", ['growth = "1 µm a side, doubt 0"', 'gauged = "after"'])
def test_without_a_treatment_there_is_no_growth(tmp_path: Path, key: str) -> None:
    path = tmp_path / "plate.toml"
    path.write_text(TEXT.format(more=key).replace('after = "hard anodize"\n', ""), "utf-8")
    with pytest.raises(InputError, match="goes with a treatment"):
        read_job(path)


class TestReadings:
    """.3130 to .3140 after 1 thou a side of growth: .3150 to .3160 before it."""

    GROWN = 'growth = "0.001 in a side, doubt 0"'
    SIZES = (0.3152, 0.3154, 0.3156, 0.3155, 0.3153)

    def readings(self) -> tuple[Reading, ...]:
        return tuple(
            Reading(f"h{i}", "three-point bore gauge", size=size * INCH)
            for i, size in enumerate(self.SIZES)
        )

    def test_taken_before_the_treatment_they_are_held_against_the_limits_before_it(
        self, tmp_path: Path
    ) -> None:
        found = job(tmp_path, self.GROWN)
        assert found.gauged_limits.lower == pytest.approx(0.3150 * INCH)
        assert found.gauged_limits.upper == pytest.approx(0.3160 * INCH)
        estimate = estimate_size(found, self.readings())
        assert (estimate.good, estimate.bad) == (5, 0)
        cautions = " ".join(judge(found, estimate).cautions)
        assert "Gauged before hard anodize" in cautions
        assert any("before hard anodize" in line for line in found.defaults)

    def test_taken_after_it_they_are_held_against_the_drawing(self, tmp_path: Path) -> None:
        found = job(tmp_path, self.GROWN, 'gauged = "after"')
        assert found.gauged_limits == found.callout.limits
        estimate = estimate_size(found, self.readings())
        assert (estimate.good, estimate.bad) == (0, 5)
        assert "after hard anodize" in " ".join(judge(found, estimate).cautions)

    def test_where_the_growth_is_not_known_the_verdict_says_what_it_does_not_release(
        self, tmp_path: Path
    ) -> None:
        found = job(tmp_path)
        assert found.gauged_limits == found.callout.limits
        estimate = estimate_size(found, self.readings())
        assert "no release of the part" in " ".join(judge(found, estimate).cautions)

    def test_the_plan_is_for_the_limits_before_it(self, tmp_path: Path) -> None:
        planned = plan(job(tmp_path, self.GROWN))
        assert planned.forecast is not None
        assert planned.forecast.limits.lower == pytest.approx(0.3150 * INCH)


def test_a_job_without_a_treatment_is_gauged_against_its_callout(tmp_path: Path) -> None:
    path = tmp_path / "plate.toml"
    path.write_text('[hole]\ncallout = "8 H7 x 22 through"\n[material]\nname = "C45"\n', "utf-8")
    found = read_job(path)
    assert found.callout.growth is None
    assert found.gauged_limits == found.callout.limits
