"""Form of a hole: what is simulated, what is refused, and how it is said."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from holewright.cutting.whirl import Whirl
from holewright.errors import NoAnswerError
from holewright.jobs.form_documents import form_document, form_sentences
from holewright.jobs.form_hole import FormStudy, study_form
from holewright.jobs.job import Job
from holewright.jobs.jobfile import read_job
from holewright.shop.holder import HolderKind
from holewright.units import Unit

BRAKELUND = Path(__file__).parents[3] / "examples" / "brakelund"


@pytest.fixture(scope="module")
def job() -> Job:
    return read_job(BRAKELUND / "job_a.toml")


@pytest.fixture(scope="module")
def study(job: Job) -> FormStudy:
    return study_form(job, revolutions=12)


def test_the_case_is_that_of_the_planned_reamer(study: FormStudy) -> None:
    point = study.point
    assert study.case.stiffness == point.at("stiffness")
    assert study.case.f == point.at("f")
    assert len(study.case.spacing) == point.reamer.ZEFP
    assert study.case.eccentricity == pytest.approx(point.at("tir") / 2)
    assert study.case.a_p == pytest.approx((point.reamer.DC.value - point.prepared.hole.mean) / 2)


def test_runout_makes_it_larger_by_the_share_that_survives(study: FormStudy) -> None:
    """Closed form within a fifth, as the simulation is held to it elsewhere."""
    expected = study.point.at("share") * study.point.at("tir")
    assert study.levels[-1].sizes.mean == pytest.approx(expected, rel=0.2)


def test_the_hole_lies_off_with_the_drilled_one_and_is_round_all_the_same(
    study: FormStudy,
) -> None:
    assert study.lobes[1] > 0.001
    assert study.levels[-1].sizes.roundness < 1e-6
    assert study.quiet


def test_a_straight_pin_feels_no_more_than_any_level(study: FormStudy) -> None:
    # A hundredth of a nanometre is left to the solver of the linear program behind each size.
    assert study.pin <= min(level.sizes.pin for level in study.levels) + 1e-8


@pytest.mark.parametrize(
    ("growth", "turns", "says"),
    [
        (1.5, -5.83, "grows by a factor of 1.50 in a turn, 5.8 times backward in a turn, which "
         "would leave 7 lobes"),
        (0.95, 6.0, "hardly dies out, by a factor of 0.95 in a turn, 6.0 times forward"),
    ],
)  # fmt: skip
def test_whirl_that_does_not_die_out_is_said_with_its_lobes(
    study: FormStudy, growth: float, turns: float, says: str
) -> None:
    root = np.asarray(complex(np.log(growth) / (2 * np.pi), turns))
    loud = replace(study, whirl=Whirl(root))
    assert says in form_sentences(loud, Unit.MM)[0]
    assert loud.unpredictable is (growth > 1.1)


@pytest.mark.parametrize(
    ("lobes", "says"),
    [
        (3, "three points at 120 degrees see them, a two-point gauge doesn't"),
        (4, "a two-point gauge sees them"),
        (6, "both see them"),
        (7, "are both blind to them"),
    ],
)
def test_which_gauge_sees_the_lobes_is_said(study: FormStudy, lobes: int, says: str) -> None:
    amplitudes = [0.0] * 21
    amplitudes[lobes] = 0.004
    said = " ".join(form_sentences(replace(study, lobes=tuple(amplitudes)), Unit.MM))
    assert f"{lobes} lobes of 4 µm amplitude" in said
    assert says in said


def test_a_floating_holder_is_beyond_the_model(job: Job) -> None:
    floating = tuple(replace(h, kind=HolderKind.FLOATING) for h in job.shop.holders)
    with pytest.raises(NoAnswerError, match="floats"):
        study_form(replace(job, shop=replace(job.shop, holders=floating)))


def test_the_document_adds_up(job: Job, study: FormStudy) -> None:
    document = form_document(job, study)
    outline = np.array(document["outline_mm"])
    assert 2 * outline.mean() == pytest.approx(document["levels"][-1]["mean_mm"])
    assert document["lobes"] is None
    assert document["not_in_the_model"]
