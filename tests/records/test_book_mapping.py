"""Every document comes back from the book as it was: the same numbers to the last digit."""

from __future__ import annotations

import json
import math
from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from record_book_samples import Begun, signed

from holewright.callout.callout import Limits
from holewright.errors import InputError, Where
from holewright.gauging.estimate import Estimate, HoleInterval
from holewright.gauging.reading import Reading
from holewright.jobs.job import Job
from holewright.jobs.plan_hole import plan
from holewright.jobs.release import judge
from holewright.planning.plan import Plan
from holewright.proof.verdict import Verdict
from holewright.records.entries import (
    EstimateEntry,
    PlanEntry,
    PlateEntry,
    ReadingEntry,
    VerdictEntry,
)
from holewright.records.plain import canonical, from_plain, to_plain


def through_text(document):
    """Return a document after it was written as text and read again."""
    return from_plain(type(document), json.loads(canonical(to_plain(document))))


def test_a_job_with_its_whole_tool_room_comes_back_equal(job_a: Job):
    assert len(job_a.shop.pins) > 100
    assert through_text(job_a) == job_a


def test_plan_estimate_and_verdict_come_back_equal(begun: Begun, job_a, readings_a, an_estimate):
    taken = begun.book.append(begun.reading())
    verdict = judge(job_a, an_estimate, lot=1920)
    planned = begun.book.append(
        PlanEntry(revision_id=begun.revision.id, plan=plan(job_a), **signed())
    )
    estimated = begun.book.append(
        EstimateEntry(
            revision_id=begun.revision.id,
            reading_ids=(taken.id,),
            estimate=an_estimate,
            clearance=0.001,
            **signed(),
        )
    )
    judged = begun.book.append(
        VerdictEntry(
            estimate_id=estimated.id,
            verdict=verdict,
            guard=1.65,
            pass_anyway=("A1", "A2"),
            **signed(),
        )
    )
    for saved in (planned, estimated, judged):
        assert begun.book.get(type(saved.entry), saved.id) == saved
    found = begun.book.get(EstimateEntry, estimated.id).entry.estimate
    assert any(math.isinf(hole.upper) for hole in found.holes)
    assert isinstance(planned.entry.plan, Plan)
    assert isinstance(judged.entry.verdict, Verdict)


def test_a_time_keeps_its_moment_whatever_its_zone(begun: Begun):
    east = timezone(timedelta(hours=2))
    at = datetime(2025, 3, 31, 14, 5, 6, 789, tzinfo=east)
    saved = begun.book.append(begun.reading(at=at))
    found = begun.book.get(ReadingEntry, saved.id).entry.at
    assert found == at
    assert found.tzinfo is not None
    assert found.astimezone(UTC).hour == 12


sizes = st.floats(min_value=0.001, max_value=500, allow_nan=False)
temperatures = st.floats(min_value=-50, max_value=150, allow_nan=False)
letters = st.text(
    st.characters(exclude_categories=["Cs"], exclude_characters="\0"), min_size=1, max_size=20
).filter(str.strip)
readings = st.builds(
    lambda pin, size, **more: Reading(goes=pin if size is None else None, size=size, **more),
    pin=st.booleans(),
    size=st.none() | sizes,
    hole=letters,
    gauge=letters,
    depth=st.none() | sizes,
    part_c=temperatures,
    gauge_c=temperatures,
    where=st.none()
    | st.builds(Where, letters, st.none() | st.integers(1, 99), st.none() | letters),
    note=st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0"), max_size=20),
)


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=60)
@given(reading=readings)
def test_any_reading_comes_back_equal(begun: Begun, reading: Reading):
    saved = begun.book.append(begun.reading(reading=reading))
    assert begun.book.get(ReadingEntry, saved.id).entry.reading == reading


plain_data = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-(2**53), 2**53)
    | st.floats(allow_nan=False, allow_infinity=False)
    | letters,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(letters, inner, max_size=3),
    max_leaves=10,
)


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=60)
@given(payload=st.dictionaries(letters, plain_data, max_size=4))
def test_any_plate_comes_back_equal(begun: Begun, payload):
    entry = PlateEntry(
        revision_id=begun.revision.id, name="plate", payload=payload, key="plate", **signed()
    )
    first = begun.book.append(entry)
    saved = begun.book.change(first, entry)
    assert begun.book.get(PlateEntry, saved.id).entry.payload == payload


@given(lower=st.floats(allow_nan=False), upper=st.floats(allow_nan=False))
def test_every_float_comes_back_the_same(lower: float, upper: float):
    assert through_text(Limits(lower, upper)) == Limits(lower, upper)


def test_a_number_from_an_array_is_kept_as_a_number():
    assert to_plain(Limits(np.float64(8.0), np.float32(8.5))) == {"lower": 8.0, "upper": 8.5}


def test_what_is_no_number_is_not_kept():
    with pytest.raises(InputError, match="must be a number to be kept"):
        to_plain(Limits(8.0, math.nan))
    with pytest.raises(InputError, match="can't be kept in the record book"):
        to_plain(Limits(8.0, object()))


def test_a_field_that_came_later_takes_its_default(an_estimate: Estimate):
    plain = to_plain(an_estimate)
    del plain["contradictions"]
    assert from_plain(Estimate, plain) == replace(an_estimate, contradictions=())


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (lambda p: p.pop("good"), "Estimate.good = not given: must be there"),
        (lambda p: p.update(colour="red"), "Estimate.colour = a field: is not known"),
        (lambda p: p.update(good="many"), "Estimate.good = 'many': must be a whole number"),
        (lambda p: p.update(confidence=True), "Estimate.confidence = True: must be a number"),
        (lambda p: p["holes"].append({}), "must be there"),
        (lambda p: p["holes"][0].update(lower="much"), "Estimate.holes[0].lower"),
        (lambda p: p.update(holes={}), "Estimate.holes = {}: must be a list"),
        (lambda p: p.update(mean_interval=[1.0]), "must be a list of 2"),
    ],
)
def test_data_of_another_shape_are_refused_by_the_path_of_the_field(an_estimate, change, said):
    plain = to_plain(an_estimate)
    change(plain)
    with pytest.raises(InputError) as caught:
        from_plain(Estimate, plain)
    assert said in str(caught.value)


def test_infinite_bounds_are_told_from_numbers():
    hole = HoleInterval("A1", -math.inf, 8.02)
    plain = {"hole": "A1", "lower": "-inf", "upper": 8.02, "u": 0.0, "shown": None}
    assert to_plain(hole) == plain
    assert through_text(hole) == hole
