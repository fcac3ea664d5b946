"""Does the tool stand it: torsion, side stiffness, buckling."""

from __future__ import annotations

import numpy as np
import pytest

from holewright.cutting.strength import (
    bending_stress,
    buckling_load,
    tool_material,
    tool_stiffness,
    torsion_stress,
)
from holewright.errors import InputError


@pytest.mark.parametrize(
    ("DC", "length", "printed"),
    [(10.0, 50.0, 2240), (10.0, 80.0, 546), (6.0, 30.0, 1340)],
)
def test_stiffness_of_fluted_carbide(DC: float, length: float, printed: float) -> None:
    """k = 3 E I / L³ with 0.75 D and 600 GPa; computed by hand, printed to three digits."""
    assert tool_stiffness(0.75 * DC, length, 600e3) == pytest.approx(printed, rel=0.005)


@pytest.mark.parametrize(
    ("DMM", "length", "e_modulus", "printed"),
    [
        pytest.param(10.0, 60.0, 580e3, 3300, id="carbide 10 x 60"),
        pytest.param(8.0, 80.0, 580e3, 660, id="carbide 8 x 80"),
        pytest.param(8.0, 100.0, 210e3, 126, id="HSS 8 x 100"),
        pytest.param(6.0, 100.0, 210e3, 40, id="HSS 6 x 100"),
    ],
)
def test_stiffness_of_shank_and_holder_in_series(
    DMM: float, length: float, e_modulus: float, printed: float
) -> None:
    """Holder 20 kN/mm; own table, printed to two digits."""
    k = tool_stiffness(DMM, length, e_modulus, 20000.0)
    assert k == pytest.approx(printed, rel=0.01)


def test_twenty_newtons_bend_a_slim_drill_by_37_um() -> None:
    assert 20 / tool_stiffness(7.5, 80.0, 600e3) == pytest.approx(0.037, abs=0.0005)


def test_torsion_of_a_plain_bar_by_hand() -> None:
    """10 N·m on 10 mm solid: 16 x 10000 / (pi 1000) = 50.9 MPa; at 0.6 of it 1 / 0.216 times."""
    assert torsion_stress(10_000, 10.0, 1.0) == pytest.approx(50.9, abs=0.05)
    assert torsion_stress(10_000, 10.0, 0.6) == pytest.approx(50.9 / 0.216, rel=0.001)


def test_an_hss_drill_in_steel_stays_below_what_is_allowed() -> None:
    """D 10, 0.2 mm/rev, 200 HB sharp: 11.3 N·m, which no drill of 10 mm breaks at."""
    stress = torsion_stress(11_340, 10.0)
    assert 0.5 < stress / tool_material("HSS").shear_allowable < 1.0


@pytest.mark.parametrize("substrate", ["HSS", "carbide", "tipped"])
def test_allowable_stress_lies_well_below_breaking_and_says_its_source(substrate: str) -> None:
    material = tool_material(substrate)
    assert material.shear_allowable < 0.6 * material.shear_lo
    assert material.source == "common practice, no source"


def test_an_unknown_tool_material_is_refused_with_those_that_are_known() -> None:
    with pytest.raises(InputError, match="HSS, carbide, tipped"):
        tool_material("cheese")


def test_a_started_hole_raises_the_buckling_load_eightfold() -> None:
    """Euler: (2 / 0.699)² = 8.19."""
    free = buckling_load(3.0, np.array([60.0, 120.0]), 210e3)
    guided = buckling_load(3.0, np.array([60.0, 120.0]), 210e3, guided=True)
    assert guided / free == pytest.approx(8.19, abs=0.01)
    assert free[0] / free[1] == pytest.approx(4.0)


def test_bending_of_a_shank_pushed_aside() -> None:
    """32 x 20 N x 60 mm / (pi 8³ mm³) = 23.87 MPa, by hand."""
    assert bending_stress(20.0, 60.0, 8.0) == pytest.approx(23.87, abs=0.01)
