"""What a job's own numbers say, against the sizing and cutting models they come from."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from holewright.cutting.chip import chip_thickness_by_tooth, least_chip_thickness
from holewright.diagnosis.causes import OTHER, causes
from holewright.diagnosis.effects import MOST, Expected, Yardstick, log_weights
from holewright.diagnosis.facts import JobFacts, facts_of
from holewright.diagnosis.finding import diagnose
from holewright.diagnosis.measured import (
    concentration_answer,
    expansion_fact,
    feel_fact,
    plate_fact,
    reamer_answer,
    runout_answer,
    warmth_answer,
)
from holewright.diagnosis.pattern import Feature, Pattern, Trait
from holewright.diagnosis.quick_tests import quick_tests
from holewright.errors import InputError
from holewright.jobs.jobfile import read_job
from holewright.jobs.plan_hole import study_job, task_of

BRAKELUND = Path(__file__).parents[3] / "examples" / "brakelund"
RIGID = JobFacts(width=0.015, expected=8.0075, common_sd=0.003, between_sd=0.0015)


@pytest.fixture(scope="module")
def job_a():
    job = read_job(BRAKELUND / "job_a.toml")
    study = study_job(job)
    return study, facts_of(task_of(job), study)


def answer_to(facts: JobFacts, test: str) -> str:
    fact = next(f for f in facts.facts if f.test == test)
    return quick_tests()[test].answers[fact.answer].words


def test_runout_of_a_rigid_reamer_counts_in_full_and_of_a_slim_one_hardly():
    # 0.85 x 15 µm = 12.8 µm of an oversize of 12 µm: all of it. With 10 % surviving: 1.3 µm.
    assert runout_answer(RIGID, 0.015, 0.012).answer == 2
    slim = JobFacts(0.015, 8.0075, 0.003, 0.0015, runout_share=0.1)
    assert runout_answer(slim, 0.015, 0.012).answer == 0
    assert "12.8 µm of the 12 µm" in runout_answer(RIGID, 0.015, 0.012).text


def test_where_size_is_not_wrong_runout_counts_from_three_tenths():
    # Trade article of 2023: trouble in fast reaming from about .0003 in, 7.6 µm.
    assert [runout_answer(RIGID, t, None).answer for t in (0.007, 0.008, 0.016)] == [0, 1, 2]


def test_a_reamer_is_as_planned_within_a_fifth_of_the_tolerance():
    facts = JobFacts(0.015, 8.0075, 0.003, 0.0015, reamer=8.010)
    assert [reamer_answer(facts, d).answer for d in (8.0125, 8.014, 8.006)] == [0, 1, 2]


def test_coolant_is_held_against_what_the_job_sets_and_not_judged_without():
    facts = JobFacts(0.015, 8.0, 0.003, 0.0015, concentration=8.0)
    found = [concentration_answer(facts, p) for p in (8.0, 5.0, 11.0)]
    assert [f.answer for f in found if f] == [0, 1, 2]
    assert concentration_answer(RIGID, 5.0) is None


def test_warmth_and_what_it_makes_of_the_size():
    assert [warmth_answer(p, 21.0).answer for p in (22.0, 31.0, 15.0)] == [0, 1, 2]
    assert [expansion_fact(RIGID, c).answer for c in (0.001, 0.004, -0.008)] == [0, 1, 2]


def test_a_feel_study_and_a_plate_speak_only_beyond_their_doubt():
    assert [feel_fact(RIGID, sd).answer for sd in (0.001, 0.002)] == [0, 1]
    assert plate_fact(RIGID, "feed", 0.004, 0.001).answer == 1
    assert plate_fact(RIGID, "feed", 0.0015, 0.001).answer == 0
    with pytest.raises(InputError, match="factor = moon: must be one of feed"):
        plate_fact(RIGID, "moon", 0.004, 0.001)


def test_facts_of_a_planned_job_are_those_of_its_candidate(job_a):
    study, facts = job_a
    point = study.point
    assert facts.planned
    assert facts.expected == study.plan.forecast.mean
    assert facts.runout_share == point.at("share")
    assert answer_to(facts, "job-end") == "through"
    assert answer_to(facts, "job-fluid") == "soluble"
    h = chip_thickness_by_tooth(
        point.at("f"),
        point.reamer.KAPR,
        tooth_error=[0.0] * point.reamer.ZEFP,
        eccentricity=point.at("share") * point.at("tir") / 2,
    ).min()
    assert h > 2 * least_chip_thickness(point.reamer.edge_radius)
    assert answer_to(facts, "job-chip-load") == "it cuts"


def test_a_process_in_order_scatters_by_an_eighth_of_its_tolerance_at_most(job_a):
    assert job_a[1].between_sd <= 0.015 / 8 + 1e-9


def test_what_a_drawing_leaves_out_is_no_fact():
    facts = facts_of(task_of(job := read_job(BRAKELUND / "job_c.toml")), study_job(job))
    tests = {fact.test for fact in facts.facts}
    assert "job-face" not in tests  # nobody said that it is flat
    assert answer_to(facts, "job-cross") == "crossed"


def test_a_job_that_is_not_reamed_still_has_the_facts_of_its_drawing():
    facts = facts_of(task_of(job := read_job(BRAKELUND / "job_d.toml")), study_job(job))
    assert not facts.planned
    assert facts.expected == job.callout.limits.middle
    assert answer_to(facts, "job-material") == "steel or cast iron"


def weights_of(feature: Feature, by_cause: dict[str, Expected] | None = None) -> dict[str, float]:
    stick = Yardstick(0.015, 0.003, by_cause or {})
    return log_weights(feature, tuple(causes().values()), stick)


def test_a_drift_downward_speaks_for_wear_and_not_for_a_large_reamer():
    weights = weights_of(Feature(Trait.DRIFT, -0.010, 0.001))
    assert weights["worn"] > 1
    assert weights["reamer-large"] == pytest.approx(0)


def test_no_drift_speaks_against_wear():
    assert weights_of(Feature(Trait.DRIFT, 0.0, 0.001))["worn"] < -1


def test_a_large_entry_speaks_for_an_axis_offset_and_against_a_taper():
    # A taper shows at both ends: large entry and a far end like the middle don't go together.
    entry = weights_of(Feature(Trait.ENTRY, 0.010, 0.001))
    far = weights_of(Feature(Trait.EXIT, 0.0, 0.001))
    assert entry["misaligned"] + far["misaligned"] > entry["drill-taper"] + far["drill-taper"] + 1


def test_the_sizing_model_limits_what_a_cause_can_make():
    # Neat oil makes 2 ± 2 µm beyond the forecast: it does not explain 20 µm.
    known = {"fluid-enlarges": Expected(0.004, 0.002)}
    weights = weights_of(Feature(Trait.OFFSET, 0.020, 0.001), known)
    assert weights["fluid-enlarges"] < weights["reamer-large"] - 1
    near = weights_of(Feature(Trait.OFFSET, 0.005, 0.001), known)
    assert near["fluid-enlarges"] > near["reamer-large"]


def test_no_reading_counts_for_more_than_twenty_to_one_and_noise_for_nothing():
    for trait in Trait:
        for value in (-0.1, -0.01, 0.0, 0.01, 0.1):
            weights = weights_of(Feature(trait, value, 0.001))
            assert max(abs(w) for w in weights.values()) <= MOST + 1e-12
    blurred = weights_of(Feature(Trait.DRIFT, -0.010, 0.5))
    assert max(abs(w) for w in blurred.values()) < 0.7


def test_readings_that_fit_no_listed_cause_raise_what_is_not_in_the_list():
    far = Feature(Trait.TIME, 0.02, 0.001), Feature(Trait.OVAL, 0.02, 0.001)
    plain = diagnose(["T16"], RIGID)
    odd = diagnose(["T16"], RIGID, pattern=Pattern(far, 5))

    def share(finding, key):
        return next(c.share for c in finding.causes if c.cause == key)

    assert share(odd, OTHER) > share(plain, OTHER)


def test_a_finding_says_what_to_do_or_what_to_ask():
    unclear = diagnose(["T01"], RIGID)
    assert unclear.sentence.startswith("Not yet clear:")
    assert not unclear.act
    assert unclear.next[0].minutes > 0
    sure = diagnose(
        ["T01"],
        RIGID,
        answers=[runout_answer(RIGID, 0.02, 0.015), reamer_answer(RIGID, RIGID.expected)],
    )
    assert sure.act
    assert sure.sentence.startswith("Most likely: runout at the reamer's lead")
    assert math.isclose(sum(c.share for c in sure.causes), 1)


def test_titanium_and_magnesium_carry_the_line_about_fire():
    burning = JobFacts(0.015, 8.0, 0.003, 0.0015, fire=True)
    assert any("Class D" in line for line in diagnose(["T07"], burning).cautions)
    assert not any("Class D" in line for line in diagnose(["T07"], RIGID).cautions)


def test_nothing_seen_is_refused():
    with pytest.raises(InputError, match="at least one symptom"):
        diagnose([], RIGID)
