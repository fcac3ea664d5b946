"""Speeds, chips, forces and power: one number, a grid, and what is refused."""

from __future__ import annotations

import numpy as np
import pytest

from holewright.cutting import chip, force, kinematics, power
from holewright.errors import OutOfRangeError


def test_speed_and_its_inverse_over_a_grid_of_drills() -> None:
    DC = np.array([3.0, 10.0, 20.0])[:, None]
    v_c = np.array([10.0, 150.0])
    n = kinematics.spindle_speed(v_c, DC)
    assert n.shape == (3, 2)
    assert kinematics.cutting_speed(n, DC) == pytest.approx(np.broadcast_to(v_c, (3, 2)))


def test_a_flat_drill_has_no_point_and_a_sharp_one_a_long_one() -> None:
    assert kinematics.point_length(10.0, 180.0) == pytest.approx(0.0, abs=1e-12)
    assert kinematics.point_length(10.0, 90.0) == pytest.approx(5.0)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        pytest.param(lambda: kinematics.spindle_speed(-1, 10), "v_c = -1", id="speed"),
        pytest.param(lambda: kinematics.spindle_speed(10, 0), "DC = 0", id="diameter"),
        pytest.param(lambda: kinematics.point_length(10, 200), "SIG = 200", id="point"),
        pytest.param(lambda: chip.chip_thickness(0.1, 0), "KAPR = 0", id="lead"),
        pytest.param(
            lambda: force.reaming_torque(2000, 0.2, 10, 10, 0.6, 6, 45), "d0 = 10", id="no stock"
        ),
        pytest.param(lambda: force.drilling_torque(2000, 0.2, 10, 0), "f = 0", id="no feed"),
        pytest.param(
            lambda: power.cutting_power(np.array([1.0, np.nan]), 100), "torque = nan", id="nan"
        ),
    ],
)
def test_a_value_out_of_range_is_refused_by_name(call, message: str) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(OutOfRangeError, match=message):
        call()


class TestChips:
    def test_a_true_reamer_shares_the_feed_evenly(self) -> None:
        h = chip.chip_thickness_by_tooth(0.6, 45.0, tooth_error=np.zeros(6))
        assert h == pytest.approx(chip.chip_thickness(0.1, 45.0))

    def test_runout_of_10_um_shifts_a_quarter_at_low_feed(self) -> None:
        """Printed: f 0.12, six teeth, 45°: 10.6 to 17.7 µm about 14.1; f 0.6: 67 to 74 µm."""
        low = chip.chip_thickness_by_tooth(0.12, 45.0, tooth_error=np.zeros(6), eccentricity=0.005)
        assert (low.min(), low.max()) == pytest.approx((0.0106, 0.0177), abs=5e-5)
        high = chip.chip_thickness_by_tooth(0.6, 45.0, tooth_error=np.zeros(6), eccentricity=0.005)
        assert (high.min(), high.max()) == pytest.approx((0.067, 0.074), abs=5e-4)

    def test_a_low_tooth_finds_nothing_and_the_next_takes_it_all(self) -> None:
        error = np.array([0.0, 0.0, -0.2, 0.0])
        h = chip.chip_thickness_by_tooth(0.4, 45.0, tooth_error=error)
        usual = 0.1 * np.sin(np.pi / 4)
        assert h == pytest.approx([usual, 2 * usual, 0.0, usual], abs=1e-12) or h == pytest.approx(
            [usual, usual, 0.0, 2 * usual], abs=1e-12
        )

    def test_teeth_far_apart_take_the_more(self) -> None:
        spacing = np.radians([0.0, 100.0, 180.0, 280.0])
        h = chip.chip_thickness_by_tooth(0.36, 90.0, tooth_error=np.zeros(4), spacing=spacing)
        assert h == pytest.approx([0.10, 0.08, 0.10, 0.08])

    def test_a_grid_of_feeds_and_runouts(self) -> None:
        f = np.array([0.1, 0.3, 0.6])[:, None]
        e = np.array([0.0, 0.005])
        h = chip.chip_thickness_by_tooth(f, 45.0, tooth_error=np.zeros(6), eccentricity=e)
        assert h.shape == (3, 2, 6)
        one = chip.chip_thickness_by_tooth(0.3, 45.0, tooth_error=np.zeros(6), eccentricity=0.005)
        assert h[1, 1] == pytest.approx(one)

    def test_angles_that_fall_are_refused(self) -> None:
        with pytest.raises(OutOfRangeError, match="spacing"):
            chip.chip_thickness_by_tooth(
                0.3, 45.0, tooth_error=np.zeros(3), spacing=[0.0, 3.0, 2.0]
            )

    def test_greatest_runout_is_where_the_first_tooth_stops_cutting(self) -> None:
        """Printed: six teeth, 0.02 a tooth: e 20 µm at 45°, TIR 10.7 µm at 15°."""
        tir = chip.greatest_runout(0.02, [45.0, 15.0], 6)
        assert tir == pytest.approx([0.040, 0.0107], abs=5e-5)
        for share, cuts in ((0.99, True), (1.01, False)):
            h = chip.chip_thickness_by_tooth(
                0.12,
                15.0,
                tooth_error=np.zeros(6),
                eccentricity=share * tir[1] / 2,
            )
            assert bool(h.min() > 0) is cuts

    @pytest.mark.parametrize(
        ("edge_um", "at_45", "at_15"),
        [(5, 2.1, 5.8), (10, 4.2, 11.6), (20, 8.5, 23.2)],
    )
    def test_floor_of_feed_without_runout(self, edge_um: float, at_45: float, at_15: float) -> None:
        """Printed for a least thickness of 0.3 of the edge radius, no margin."""
        f_z = chip.least_feed_per_tooth(edge_um / 1000, [45.0, 15.0], 0.0, 6, margin=1.0)
        assert 1000 * f_z == pytest.approx([at_45, at_15], abs=0.05)

    def test_floor_of_feed_leaves_every_tooth_twice_its_least_chip(self) -> None:
        f_z = chip.least_feed_per_tooth(0.010, 30.0, 0.012, 6)
        h = chip.chip_thickness_by_tooth(6 * f_z, 30.0, tooth_error=np.zeros(6), eccentricity=0.006)
        assert h.min() == pytest.approx(2 * chip.least_chip_thickness(0.010))


class TestForces:
    def test_a_pilot_hole_takes_its_share_of_the_torque(self) -> None:
        full = force.drilling_torque(2000, 0.2, 10.0, 0.2)
        opened = force.drilling_torque(2000, 0.2, 10.0, 0.2, d0=5.0)
        assert opened / full == pytest.approx(0.75)

    def test_reaming_is_drilling_with_more_teeth(self) -> None:
        """Two teeth at half the point angle: the same chip, the same torque."""
        drill = force.drilling_torque(2000, 0.2, 10.0, 0.2, 118.0, d0=9.8)
        reamer = force.reaming_torque(2000, 0.2, 10.0, 9.8, 0.2, 2, 59.0)
        assert reamer == pytest.approx(float(drill))

    def test_printed_torques_of_one_reamer_in_five_materials(self) -> None:
        """D 10, N 6, 0.2 on diameter, 45°; own computation, printed to 0.01 N·m."""
        kc11 = np.array([1725, 800, 1350, 2150, 2110])
        mc = np.array([0.24, 0.25, 0.28, 0.20, 0.22])
        low = force.reaming_torque(kc11, mc, 10.0, 9.8, 0.15, 6, 45.0) / 1000
        high = force.reaming_torque(kc11, mc, 10.0, 9.8, 0.6, 6, 45.0) / 1000
        # What is missing is the ploughing, which the source adds: 4 to 10 N/mm by metal, and
        # the same at both feeds.
        plough = force.reaming_edge_torque(10.0, 9.8, 6, 45.0, edge_force=1.0) / 1000
        at_high = (np.array([1.01, 0.48, 0.87, 1.13, 1.16]) - high) / plough
        at_low = (np.array([0.38, 0.18, 0.34, 0.40, 0.42]) - low) / plough
        assert at_high == pytest.approx(at_low, abs=1.2)
        assert ((at_high > 4) & (at_high < 11)).all()

    def test_a_long_lead_pushes_back_less(self) -> None:
        thrust = force.reaming_thrust(2500, 0.0, 10.0, 9.8, 0.6, 6, np.array([15.0, 45.0, 90.0]))
        assert thrust / thrust[2] == pytest.approx(np.sin(np.radians([15.0, 45.0, 90.0])))

    def test_ploughing_is_a_few_percent_of_thick_chips_and_a_tenth_of_thin_ones(self) -> None:
        """Printed: 4 % at 71 µm, 9 to 11 % at 18 µm, for 4 to 10 N/mm."""
        plough = force.reaming_edge_torque(10.0, 9.8, 6, 45.0, edge_force=np.array([4.0, 10.0]))
        thick = force.reaming_torque(1725, 0.24, 10.0, 9.8, 0.6, 6, 45.0)
        thin = force.reaming_torque(1725, 0.24, 10.0, 9.8, 0.15, 6, 45.0)
        assert (plough / (thick + plough) < 0.05).all()
        assert 0.08 < (plough / (thin + plough))[1] < 0.13

    def test_thrust_of_a_drill_in_c45_is_near_the_handbooks(self) -> None:
        """k_c 3131 x 1.44 x 0.2 x 5 x 0.7 = 3156 N by hand."""
        thrust = force.drilling_thrust(2220, 0.14, 10.0, 0.2, correction=1.44)
        assert thrust == pytest.approx(3156, abs=2)


class TestPower:
    def test_power_decides_above_the_base_speed_and_the_cap_below(self) -> None:
        n = np.array([100.0, 1000.0, 10000.0])
        available = power.spindle_torque_available(7500.0, 50_000.0, n)
        assert available == pytest.approx([50_000, 50_000, 7500 * 60000 / (2 * np.pi * 10000)])

    def test_without_a_cap_power_alone_decides(self) -> None:
        torque = power.spindle_torque_available(7500.0, None, 1000.0)
        assert power.cutting_power(torque, 1000.0) == pytest.approx(7500.0)
