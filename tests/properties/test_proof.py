"""What must hold of every statement of proof, whatever the numbers."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from holewright.callout.callout import Limits
from holewright.gauging.estimate import Estimate, HoleInterval
from holewright.proof.capability import performance, ppk_interval, ppk_lower_bound
from holewright.proof.conformance import (
    acceptance_limits,
    conformance_probability,
    nonconformance_probability,
    size_given_process,
)
from holewright.proof.judge import judge
from holewright.proof.plans import acceptance_probability, quality_accepted
from holewright.proof.risk import global_risks
from holewright.proof.sampling import (
    holes_needed,
    holes_needed_in_lot,
    lot_statement,
    outside_allowed,
    outside_in_lot_upper,
    outside_upper,
)
from holewright.proof.tolerance_interval import one_sided_factor, two_sided_factor
from holewright.proof.verdict import Decision, Demands

confidences = st.sampled_from([0.8, 0.9, 0.95, 0.99])
sizes = st.floats(7.98, 8.04)
us = st.floats(1e-5, 0.01)


@given(sizes, us)
def test_inside_and_outside_make_one(y, u):
    inside = conformance_probability(y, u, 8.0, 8.015)
    assert abs(inside + nonconformance_probability(y, u, 8.0, 8.015) - 1) < 1e-12


@given(sizes, us)
def test_a_mirrored_hole_is_judged_alike(y, u):
    mirrored = 16.015 - y
    a = conformance_probability(y, u, 8.0, 8.015)
    b = conformance_probability(mirrored, u, 8.0, 8.015)
    assert abs(a - b) < 1e-9


@given(us, st.floats(0, 4))
def test_a_poorer_gauge_leaves_a_narrower_room_to_accept(u, k):
    low, high = acceptance_limits(8.0, 8.015, u, k)
    low_2, high_2 = acceptance_limits(8.0, 8.015, 2 * u, k)
    assert low_2 >= low >= 8.0
    assert high_2 <= high <= 8.015


@given(sizes, us, st.floats(1e-4, 0.02))
def test_a_prior_pulls_towards_the_process_and_sharpens(y, u, sd):
    size, sharper = size_given_process(y, u, 8.0075, sd)
    assert min(y, 8.0075) - 1e-12 <= size <= max(y, 8.0075) + 1e-12
    assert sharper < min(u, sd)


@given(st.floats(7.995, 8.02), st.floats(5e-4, 0.01), us, st.floats(0, 1))
def test_risks_are_shares_and_guarding_trades_one_for_the_other(mean, sd, u, part):
    guard = part * 0.007
    plain = global_risks(mean, sd, u, lower=8.0, upper=8.015)
    guarded = global_risks(
        mean, sd, u, lower=8.0, upper=8.015, accept_from=8.0 + guard, accept_to=8.015 - guard
    )
    for risks in (plain, guarded):
        assert 0 <= risks.consumer <= 1 - risks.conforming + 1e-12
        assert 0 <= risks.producer <= risks.conforming + 1e-12
        assert abs(risks.accepted - risks.conforming + risks.producer - risks.consumer) < 1e-12
    assert guarded.consumer <= plain.consumer + 1e-13
    assert guarded.producer >= plain.producer - 1e-13


@given(st.floats(0.5, 0.999), confidences, st.integers(0, 4))
def test_holes_needed_is_the_smallest_number_that_shows_it(inside, confidence, bad):
    n = holes_needed(inside, confidence, bad)
    assert outside_upper(bad, n, confidence) <= (1 - inside) * (1 + 1e-9)
    if n > bad + 1:
        assert outside_upper(bad, n - 1, confidence) > (1 - inside) * (1 - 1e-9)


@given(st.data(), confidences)
def test_a_lot_bound_never_forgets_what_was_seen(data, confidence):
    lot = data.draw(st.integers(1, 300))
    checked = data.draw(st.integers(1, lot))
    bad = data.draw(st.integers(0, checked))
    said = lot_statement(lot, checked, bad, confidence)
    assert bad <= said.outside_upper <= lot - (checked - bad)
    assert said.outside_upper == said.bad + said.unchecked_outside_upper
    if checked == lot:
        assert said.outside_upper == bad


@given(st.data(), confidences)
def test_checking_one_more_good_item_never_makes_a_lot_worse(data, confidence):
    lot = data.draw(st.integers(2, 300))
    checked = data.draw(st.integers(1, lot - 1))
    bad = data.draw(st.integers(0, min(3, checked)))
    assert outside_in_lot_upper(lot, checked + 1, bad, confidence) <= outside_in_lot_upper(
        lot, checked, bad, confidence
    )


@given(st.data(), confidences)
def test_in_a_lot_too_the_number_asked_for_is_the_smallest(data, confidence):
    lot = data.draw(st.integers(2, 300))
    allowed = data.draw(st.integers(0, lot - 1))
    n = holes_needed_in_lot(lot, allowed, confidence)
    assert outside_in_lot_upper(lot, n, 0, confidence) <= allowed
    if n > 1:
        assert outside_in_lot_upper(lot, n - 1, 0, confidence) > allowed


@given(st.integers(1, 400), st.integers(0, 5), st.floats(0.01, 0.99))
def test_oc_curve_and_its_inverse_agree(n, c, probability):
    n = n + c
    p = quality_accepted(n, c, probability)
    assert abs(acceptance_probability(n, c, p) - probability) < 1e-9


@given(st.floats(0.2, 3), st.integers(2, 500), confidences)
def test_an_index_lies_between_its_bounds(ppk, n, confidence):
    low, high = ppk_interval(ppk, n, confidence)
    assert low < ppk
    assert low < high
    assert ppk_lower_bound(ppk, n + 1, 0.95) >= ppk_lower_bound(ppk, n, 0.95) - 1e-9


@given(st.integers(2, 200), st.floats(0.6, 0.999), confidences)
def test_an_interval_is_wider_than_either_of_its_sides_needs(n, share, confidence):
    assert two_sided_factor(n, share, confidence) > one_sided_factor(n, share, confidence) - 1e-9


@given(st.floats(8.001, 8.014), st.floats(1e-4, 0.01), st.floats(0.1, 10))
def test_an_index_has_no_unit(mean, sd, scale):
    a = performance(mean, sd, 8.0, 8.015).ppk
    b = performance(mean * scale, sd * scale, 8.0 * scale, 8.015 * scale).ppk
    assert abs(a - b) <= 1e-8 * max(1.0, abs(a))


GOOD, UNSURE, BAD = (8.002, 8.012), (7.99, 8.01), (8.015, np.inf)


@given(
    st.lists(st.sampled_from([GOOD] * 20 + [UNSURE]), min_size=1, max_size=60),
    st.floats(0.5, 0.995),
    confidences,
    st.booleans(),
)
def test_no_verdict_releases_more_than_it_shows(plate, inside, confidence, with_lot):
    holes = tuple(HoleInterval(str(i), low, high) for i, (low, high) in enumerate(plate))
    est = Estimate(len(holes), "pins", "pin", holes, 0, 0, 0, 0.0)
    lot = 2 * len(holes) if with_lot else None
    demands = Demands(inside, confidence)
    verdict = judge(est, Limits(8.0, 8.015), demands=demands, lot=lot)
    unproven = sum(h == UNSURE for h in plate)
    if verdict.decision is Decision.RELEASE:
        if lot is None:
            assert outside_upper(unproven, len(plate), confidence) <= 1 - inside + 1e-9
        else:
            most = outside_in_lot_upper(lot, len(plate), unproven, confidence)
            assert most <= outside_allowed(lot, inside)
    else:
        assert verdict.next or unproven
    worse = Estimate(len(holes) + 1, "", "", (*holes, HoleInterval("x", *BAD)), 0, 0, 0, 0.0)
    assert judge(worse, Limits(8.0, 8.015), demands=demands).decision is Decision.HOLD
