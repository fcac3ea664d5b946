"""What must hold of plates and lives whatever the numbers are."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from holewright.callout.callout import Limits
from holewright.life.change import change_hole, outside_bound
from holewright.life.crossing import fieller
from holewright.life.survival import fit_survival
from holewright.life.trend import trend_of_sizes
from holewright.life.unattended import run_risk
from holewright.plate.designs import d_optimal
from holewright.plate.layout import Order, lay_out, widening
from holewright.plate.power import pin_information, se_of_contrast
from holewright.sizing.history import Deviation, Kin, hear
from holewright.sizing.pooling import pool

seeds = st.integers(0, 10_000)


def worn(seed, scale=1.0, mirror=1.0, shift=0.0):
    rng = np.random.default_rng(seed)
    x = np.sort(rng.choice(np.arange(1, 400), 30, replace=False)).astype(float)
    size = 8.009 - 2e-5 * x + 0.001 * rng.standard_normal(30)
    return trend_of_sizes(x, shift + mirror * scale * size)


@given(st.integers(1, 12), st.integers(1, 20), st.sampled_from(list(Order)), seeds)
def test_every_plate_has_each_hole_once_and_each_row_its_share(rows, a_row, order, seed):
    layout = lay_out(rows, a_row, pitch=16.0, order=order, seed=seed)
    assert sorted(hole.cut for hole in layout.holes) == list(range(1, rows * a_row + 1))
    assert len({hole.name for hole in layout.holes}) == rows * a_row
    assert np.bincount(layout.rows, minlength=rows).tolist() == [a_row] * rows


@given(st.integers(2, 8), st.integers(4, 20), seeds)
def test_blocks_keep_drift_off_the_rows_better_than_rows_do(rows, a_row, seed):
    def wide(order):
        layout = lay_out(rows, a_row, pitch=1.0, order=order, seed=seed)
        return float(widening(layout.rows[:, None].astype(float))[0])

    assert 1 <= wide(Order.BLOCKS) <= wide(Order.ROWS)


@given(seeds, st.floats(0.02, 500))
def test_the_hole_at_which_to_change_does_not_depend_on_the_unit(seed, scale):
    limits = Limits(8.0, 8.015)
    scaled = Limits(8.0 * scale, 8.015 * scale)
    one = change_hole(worn(seed), limits, target=0.02)
    other = change_hole(worn(seed, scale), scaled, target=0.02)
    assert abs(one.hole - other.hole) <= 1
    assert one.side == other.side


@given(seeds)
def test_a_life_seen_in_a_mirror_ends_at_the_same_hole(seed):
    plain = fieller(worn(seed), 8.0)
    mirrored = fieller(worn(seed, mirror=-1.0, shift=16.0), 8.0)
    assert mirrored.lower == pytest.approx(plain.lower, rel=1e-6)
    assert mirrored.hole == pytest.approx(plain.hole, rel=1e-6)


@given(seeds, st.floats(0.6, 0.98), st.floats(0.001, 0.02))
def test_more_confidence_never_promises_more(seed, confidence, more):
    trend, limits = worn(seed), Limits(8.0, 8.015)
    hole = np.array([50.0, 300.0, 600.0])
    low = outside_bound(trend, hole, limits, confidence)
    high = outside_bound(trend, hole, limits, min(confidence + more, 0.999))
    assert (high >= low - 1e-12).all()
    assert ((low >= 0) & (high <= 1)).all()


@given(seeds, st.integers(0, 400), st.integers(1, 200), st.integers(1, 200))
def test_a_longer_run_never_risks_less(seed, cut, holes, more):
    trend, limits = worn(seed), Limits(8.0, 8.015)
    short = run_risk(trend, limits, cut, holes)
    long = run_risk(trend, limits, cut, holes + more)
    assert 0 <= short.any_outside <= long.any_outside + 1e-3
    assert long.any_outside <= 1


@given(seeds, st.floats(0.01, 100))
def test_lives_in_another_unit_have_the_same_shape(seed, scale):
    rng = np.random.default_rng(seed)
    life = 500 * rng.weibull(1.8, 15) + 1
    censored = np.minimum(life, 600)
    upper = np.where(life <= 600, censored, math.inf)
    if (life <= 600).sum() < 2:
        return
    one, other = fit_survival(censored, upper), fit_survival(censored * scale, upper * scale)
    assert other.shape == pytest.approx(one.shape, rel=1e-6)
    assert other.scale == pytest.approx(one.scale * scale, rel=1e-6)


@given(st.lists(st.floats(-5, 5), min_size=2, max_size=8), st.floats(0.01, 3), st.floats(-50, 50))
def test_a_pool_moves_with_its_members(values, se, shift):
    one = pool(values, [se] * len(values))
    other = pool([v + shift for v in values], [se] * len(values))
    assert other.mean == pytest.approx(one.mean + shift, abs=1e-6)
    assert other.between == pytest.approx(one.between, abs=1e-4)
    assert min(values) - 1e-6 <= one.mean <= max(values) + 1e-6


@given(st.lists(st.floats(-10, 10), min_size=1, max_size=10), st.floats(0.05, 5))
def test_hearing_jobs_of_the_same_kind_lies_between_handbook_and_data(values, u):
    kin, spread = {Kin.MATERIAL: "steel"}, {Kin.MATERIAL: 2.0}
    past = [Deviation(str(i), kin, spread, 0.0, v, u) for i, v in enumerate(values)]
    found = hear(Deviation("now", kin, spread, 0.0), 0.0, past)
    mean = float(np.mean(values))
    assert min(0.0, mean) - 1e-9 <= found.mean <= max(0.0, mean) + 1e-9
    assert found.sd <= 2.0 * found.handbook + 1e-9


@given(st.floats(7.995, 8.012), st.floats(0.0008, 0.005), st.floats(0.001, 0.01))
def test_pins_never_tell_more_than_a_measured_size(mean, sd, step):
    pins = 8.0 + step * np.arange(-6, 7)
    information, prior = pin_information(np.full(24, mean), sd, pins)
    by_pins = se_of_contrast(np.ones((24, 1)), [1.0], information, prior)
    assert by_pins >= 1 / math.sqrt(24) - 1e-9


@given(seeds, st.integers(3, 8))
def test_an_exchanged_design_is_no_worse_than_a_random_one(seed, n):
    rng = np.random.default_rng(seed)
    x = np.column_stack([np.ones(12), rng.uniform(-1, 1, (12, 2))])
    chosen = d_optimal(x, n, repeats=False)
    best = np.linalg.slogdet(x[chosen].T @ x[chosen])[1]
    for _ in range(5):
        other = rng.choice(12, n, replace=False)
        sign, log = np.linalg.slogdet(x[other].T @ x[other])
        assert sign <= 0 or best >= log - 0.02
