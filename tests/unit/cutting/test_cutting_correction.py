"""Corrections of the cutting force, each by name."""

from __future__ import annotations

import numpy as np
import pytest

from holewright.cutting.correction import (
    Substrate,
    hole_correction,
    rake_correction,
    speed_correction,
)


def test_an_hss_drill_needs_1_44_on_data_from_turning() -> None:
    correction = hole_correction(Substrate.HSS)
    assert correction.value == pytest.approx(1.44)
    assert [name for name, _ in correction.factors] == [
        "chip compression in a hole",
        "tool material HSS",
    ]
    assert not correction.notes


def test_data_from_drilling_with_hss_is_not_corrected_again() -> None:
    assert hole_correction(Substrate.HSS, data_from_drilling=True).value == 1.0


def test_speed_counted_beside_hss_gets_a_note() -> None:
    correction = hole_correction(Substrate.HSS, v_c=25.0)
    assert [note.code for note in correction.notes] == ["correction-counted-twice"]
    assert not hole_correction(Substrate.CARBIDE, v_c=80.0).notes


def test_a_worn_tool_takes_a_third_more() -> None:
    worn = hole_correction(Substrate.CARBIDE, worn=True).value
    assert worn / hole_correction(Substrate.CARBIDE).value == pytest.approx(1.3)


def test_both_branches_of_the_speed_factor_meet_at_100() -> None:
    assert speed_correction([100.0, 100.0001]) == pytest.approx(1.0, abs=0.0015)
    assert (np.diff(speed_correction(np.geomspace(20, 500, 30))) < 0).all()
    assert speed_correction(5.0) == speed_correction(20.0)


def test_a_degree_of_rake_saves_one_and_a_half_percent() -> None:
    assert rake_correction([6.0, 7.0, 16.0]) == pytest.approx([1.0, 0.985, 0.85])
