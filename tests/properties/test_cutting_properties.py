"""What must hold in cutting whatever the numbers."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from holewright.cutting import chip, coolant_flow, force, handbook_drilling, kinematics, wear
from holewright.cutting.whirl import even_whirl

DIAMETER = st.floats(1.0, 50.0)
FEED = st.floats(0.02, 1.5)
LEAD = st.floats(5.0, 90.0)
SPEED = st.floats(1.0, 500.0)
KC11 = st.floats(400.0, 4000.0)
MC = st.floats(0.0, 0.4)


@given(SPEED, DIAMETER)
def test_speed_and_its_inverse(v_c: float, DC: float) -> None:
    n = kinematics.spindle_speed(v_c, DC)
    assert kinematics.cutting_speed(n, DC) == pytest.approx(v_c)


@given(
    FEED,
    LEAD,
    st.lists(st.floats(-0.02, 0.02), min_size=2, max_size=10),
    st.floats(0.0, 0.03),
    st.floats(0.0, 6.3),
)
def test_over_a_turn_the_teeth_share_the_whole_feed(
    f: float, KAPR: float, error: list[float], e: float, side: float
) -> None:
    h = chip.chip_thickness_by_tooth(f, KAPR, tooth_error=error, eccentricity=e, high_side=side)
    assert (h >= 0).all()
    assert h.sum() == pytest.approx(f * np.sin(np.radians(KAPR)), rel=1e-9)


@given(FEED, st.floats(5.0, 80.0), st.integers(3, 12), st.floats(0.0, 0.02), st.floats(0.0, 6.3))
def test_below_the_greatest_runout_every_tooth_cuts(
    f: float, KAPR: float, teeth: int, share: float, side: float
) -> None:
    tir = 50 * share * chip.greatest_runout(f / teeth, KAPR, teeth)  # 0 to 1 of it
    h = chip.chip_thickness_by_tooth(
        f, KAPR, tooth_error=np.zeros(teeth), eccentricity=tir / 2, high_side=side
    )
    assert h.min() >= -1e-12
    if share < 0.0199:
        assert h.min() > 0


@given(KC11, MC, DIAMETER, FEED, st.floats(0.2, 0.99), LEAD, st.integers(2, 12))
def test_more_stock_or_feed_takes_more_torque(
    kc11: float, mc: float, DC: float, f: float, share: float, KAPR: float, teeth: int
) -> None:
    torque = force.reaming_torque(kc11, mc, DC, share * DC, f, teeth, KAPR)
    assert force.reaming_torque(kc11, mc, DC, 0.9 * share * DC, f, teeth, KAPR) > torque
    assert force.reaming_torque(kc11, mc, DC, share * DC, 1.1 * f, teeth, KAPR) > torque


@given(DIAMETER, FEED, st.floats(0.03, 0.40), st.floats(0.03, 0.40))
def test_a_longer_chisel_edge_never_helps(DC: float, f: float, one: float, two: float) -> None:
    short, long = sorted((one, two))
    for method in (handbook_drilling.handbook_thrust, handbook_drilling.handbook_torque):
        assert method(24000, DC, f, chisel=short) <= method(24000, DC, f, chisel=long)


@given(st.floats(0.05, 0.7), st.floats(0.1, 20.0), st.floats(0.01, 100.0), st.floats(0.1, 10.0))
def test_the_cheapest_speed_is_slower_than_the_fastest_production(
    n: float, change: float, edge: float, rate: float
) -> None:
    cheapest = wear.speed_for_life(wear.economic_life(n, change, edge, rate), n, 100.0)
    fastest = wear.speed_for_life(wear.economic_life(n, change), n, 100.0)
    assert cheapest < fastest


@given(st.floats(0.1, 0.6), st.floats(0.5, 10.0), st.floats(0.1, 20.0), st.floats(0.1, 5.0))
def test_the_economic_life_is_where_a_piece_costs_least(
    n: float, change: float, edge: float, rate: float
) -> None:
    """Cost of a piece around it, with time in cut inverse to speed."""
    life = wear.economic_life(n, change, edge, rate) * np.array([0.9, 1.0, 1.1])
    v_c = wear.speed_for_life(life, n, 100.0)
    cost = wear.piece_cost(50 / v_c, life, handling=1.0, change=change, edge_cost=edge, rate=rate)
    assert cost[1] <= cost[0]
    assert cost[1] <= cost[2]


@given(st.floats(0.1, 150.0), st.floats(0.3, 6.0), st.floats(1.0, 400.0))
def test_more_pressure_gives_more_flow_but_never_more_than_an_orifice(
    bar: float, d: float, length: float
) -> None:
    flow = coolant_flow.channel_flow([bar, 1.1 * bar], d, length, losses=1.5)
    assert flow[1] > flow[0]
    assert flow[0] <= coolant_flow.orifice_flow(bar, d, discharge=1.5**-0.5) * (1 + 1e-9)


@settings(max_examples=30)
@given(st.floats(50.0, 5000.0), st.floats(500.0, 5000.0), st.floats(0.1, 1.0), st.integers(3, 8))
def test_a_stiffer_reamer_whirls_less(k: float, K_t: float, f: float, teeth: int) -> None:
    growth = even_whirl(
        np.array([k, 1.3 * k]), K_t=K_t, f=f, a_p=0.1, ZEFP=teeth, KAPR=30.0
    ).growth_per_revolution
    assert growth[1] < growth[0]
