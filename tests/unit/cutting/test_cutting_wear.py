"""Tool life: textbook constants, their limits, and a reamer that wears out of size."""

from __future__ import annotations

import numpy as np
import pytest

from holewright.cutting import wear
from holewright.cutting.handbook_drilling import handbook_torque, work_constant
from holewright.errors import InputError, NoAnswerError, OutOfRangeError
from holewright.reference.tables import table


def test_life_and_speed_undo_each_other() -> None:
    v_c = np.array([20.0, 40.0, 80.0])
    life = wear.tool_life(v_c, 0.25, 500.0)
    assert wear.speed_for_life(life, 0.25, 500.0) == pytest.approx(v_c)


def test_half_the_speed_makes_hss_last_two_hundred_and_fifty_six_times() -> None:
    """2^(1/0.125) = 256: why HSS forgives nothing."""
    hss = wear.taylor_constants("HSS")
    lives = wear.tool_life([20.0, 40.0], hss.n, hss.C)
    assert lives[0] / lives[1] == pytest.approx(256.0)


def test_constants_say_that_they_are_from_memory() -> None:
    assert wear.taylor_constants("coated carbide").C == 700.0
    assert wear.taylor_constants("HSS", steel=False).C == 120.0
    assert "from memory" in wear.taylor_constants("HSS").source


def test_no_constant_is_made_up_for_cermet_outside_steel() -> None:
    with pytest.raises(InputError, match="tool_material = cermet"):
        wear.taylor_constants("cermet", steel=False)


def test_textbook_exponent_lies_in_the_textbook_range_but_for_coated_carbide() -> None:
    """Groover prints 0.25 for coated carbide, Kalpakjian 0.40 to 0.60: they disagree."""
    outside = [
        row["tool_material"]
        for row in table("taylor", ("n", "n_lo", "n_hi"))
        if row["n"]
        and row["n_lo"]
        and not float(row["n_lo"]) <= float(row["n"]) <= float(row["n_hi"])
    ]
    assert outside == ["coated carbide"]


def test_an_edge_makes_whole_pieces_and_at_least_one() -> None:
    """Life 10, cut 4: two pieces; cut 12: one, though the edge is past its life."""
    time = wear.piece_time([4.0, 12.0], 10.0, handling=0.0, change=1.0, whole_pieces=True)
    assert time == pytest.approx([4.5, 13.0])


def test_a_reamer_wears_on_both_sides() -> None:
    """4 µm on diameter at 0.5 µm a side in a hundred holes: 400 holes."""
    assert wear.holes_until_worn(0.004, 0.0005) == pytest.approx(400.0)


@pytest.mark.parametrize("n", [0.0, 1.0])
def test_an_exponent_without_an_optimum_is_refused(n: float) -> None:
    with pytest.raises(OutOfRangeError, match="n = "):
        wear.economic_life(n, 2.0)


class TestWorkConstants:
    def test_steel_between_two_printed_hardnesses(self) -> None:
        assert work_constant("alloy-steel", 250.0).torque == pytest.approx(27500.0)
        assert work_constant("alloy-steel", 150.0).torque == 24000.0

    def test_stainless_pushes_back_more_than_it_turns(self) -> None:
        stainless = work_constant("austenitic-stainless", 180.0)
        assert stainless.thrust > stainless.torque

    def test_a_family_without_a_constant_is_said(self) -> None:
        with pytest.raises(NoAnswerError, match="nickel-alloy"):
            work_constant("nickel-alloy", 350.0)

    def test_a_chisel_edge_off_the_table_is_refused(self) -> None:
        with pytest.raises(OutOfRangeError, match=r"chisel = 0\.5"):
            handbook_torque(24000, 10.0, 0.2, chisel=0.5)


def test_wear_of_one_job_is_carried_to_another_by_path() -> None:
    """D 8, 22 deep, 0.7 mm/rev: pi 8 x 22 / 0.7 = 790 mm; twice the depth wears twice as much."""
    assert wear.rubbing_path(8.0, 22.0, 0.7) == pytest.approx(0.790, abs=0.0005)
    assert wear.wear_per_hole(0.001, 8.0, 22.0, 0.7) == pytest.approx(0.001 * 0.0079, rel=1e-3)
    assert wear.wear_per_hole(0.001, 8.0, [22.0, 44.0], [0.7, 0.35]) == pytest.approx(
        [7.9e-6, 31.6e-6], rel=1e-3
    )


def test_wear_known_times_or_over_three_by_simulation() -> None:
    low, high = wear.wear_spread(2.0, 3.0)
    assert high / low == pytest.approx(9.0)
    sigma = np.log(3.0) / 1.96
    drawn = np.random.default_rng(3).lognormal(np.log(2.0) - sigma**2 / 2, sigma, 200_000)
    assert drawn.mean() == pytest.approx(2.0, rel=0.01)
    assert np.quantile(drawn, [0.025, 0.975]) == pytest.approx([low, high], rel=0.02)
