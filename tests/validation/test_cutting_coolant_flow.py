"""Coolant through a reamer against an own worked case, computed by another program.

D 10, six flutes of 3 mm² each, channel 2 x 90 mm, emulsion; 5 to 70 bar. Roughness and viscosity
of that case aren't recorded: with 12 µm and 1.2 mm²/s all printed flows are met within 3 %. Flows
are printed to two digits. The chip of the case is 0.18 x 0.14 mm of steel and of aluminium.
"""

from __future__ import annotations

import numpy as np
import pytest

from holewright.cutting.coolant_flow import (
    AIR_DENSITY,
    channel_flow,
    chip_slip,
    flow_velocity,
    hydraulic_power,
    jet_force,
    mist_air_flow,
    orifice_flow,
)
from holewright.cutting.evacuation import chip_volume, chips_fit
from holewright.cutting.kinematics import removal_rate

BAR = np.array([5.0, 20.0, 40.0, 70.0])
CHANNEL = np.pi / 4 * 2.0**2


def test_flow_and_velocity_in_the_channel() -> None:
    flow = channel_flow(BAR, 2.0, 90.0)
    assert flow == pytest.approx([3.3, 6.8, 9.7, 12.9], rel=0.03)
    assert flow_velocity(flow, CHANNEL) == pytest.approx([17.7, 36, 52, 68], rel=0.03)


def test_return_along_the_flutes_power_and_jet() -> None:
    flow = channel_flow(BAR, 2.0, 90.0)
    assert flow_velocity(flow, 18.0) == pytest.approx([3.1, 6.3, 9.0, 11.9], rel=0.03)
    assert hydraulic_power(BAR, flow) == pytest.approx([28, 227, 647, 1504], rel=0.03)
    jet = jet_force(flow, flow_velocity(flow, CHANNEL))
    # Printed 1.0, 4.1, 8.3, 14.7: force goes with the square of the flow, so 6 %.
    assert jet == pytest.approx([1.0, 4.1, 8.3, 14.7], rel=0.06)


def test_a_channel_without_length_is_an_orifice() -> None:
    """With no friction p = K rho v² / 2, so C_d = 1 / sqrt(K): exact."""
    channel = channel_flow(BAR, 2.0, 0.0, losses=1.5)
    assert channel == pytest.approx(orifice_flow(BAR, 2.0, discharge=1.5**-0.5), rel=1e-9)


def test_laminar_flow_is_that_of_hagen_and_poiseuille() -> None:
    """Thick oil in a thin long channel: Q = pi d⁴ dp / (128 mu L), entry losses below 0.1 %."""
    mu = 0.5  # Pa·s
    expected = np.pi * 0.001**4 * 10e5 / (128 * mu * 0.5) * 60000
    flow = channel_flow(10.0, 1.0, 500.0, density=900.0, viscosity=mu / 900.0)
    assert flow == pytest.approx(expected, rel=1e-3)


def test_chips_of_the_case() -> None:
    """62 mm³ a hole of 20 mm; 5.9 cm³/min; unflushed they fit below a bulk of 5.8."""
    assert chip_volume(10.0, 9.8, 20.0) == pytest.approx(62, abs=0.5)
    assert removal_rate(10.0, 9.8, 1910.0) / 1000 == pytest.approx(5.9, abs=0.05)
    assert chips_fit(18.0, 10.0, 9.8, 5.79) == pytest.approx(1.0, abs=0.002)


def test_chips_of_aluminium_sink_half_as_fast_as_those_of_steel() -> None:
    """Printed 0.09 and 0.18 m/s; the chip's shape isn't recorded, so only their ratio is held.

    A plate 0.1 mm thick by hand: sqrt(2 x 6.85 x 9.81 x 0.0001 / 1.1) = 0.111 m/s.
    """
    steel = chip_slip(0.1, 1.0, chip_density=7850.0)
    assert steel == pytest.approx(0.111, abs=0.0005)
    assert chip_slip(0.1, 1.0, chip_density=2700.0) / steel == pytest.approx(0.5, abs=0.005)


def test_case_10_from_9_8_at_150_m_min() -> None:
    """8.9 cm³/min; bulk 50 makes 446, which 20.6 mm² pass at 0.36 m/s; 10 L/min come at 8.1."""
    solid = removal_rate(10.0, 9.8, 4775 * 0.6)
    assert solid / 1000 == pytest.approx(8.9, abs=0.05)
    assert 50 * solid / 1000 == pytest.approx(446, abs=1)
    assert flow_velocity(50 * solid / 1e6, 20.6) == pytest.approx(0.36, abs=0.005)
    assert flow_velocity(10.0, 20.6) == pytest.approx(8.1, abs=0.05)


def test_air_through_an_orifice_of_a_sixteenth_at_100_psi() -> None:
    """6.49 ft³/min of free air in charts of compressed air, C_d 1; from memory."""
    flow = mist_air_flow(6.895, 25.4 / 16, discharge=1.0)
    assert flow / 28.317 == pytest.approx(6.49, rel=0.01)


def test_air_of_a_mist_carries_a_reamer_chip_many_times_over() -> None:
    """6 bar, 2 mm, 18 mm² of flutes: some 150 m/s against 5 m/s at which 0.2 mm of steel hangs."""
    back = flow_velocity(mist_air_flow(6.0, 2.0), 18.0)
    slip = chip_slip(0.2, 1.0, density=AIR_DENSITY)
    assert back == pytest.approx(156, abs=5)
    assert slip == pytest.approx(4.8, abs=0.1)
