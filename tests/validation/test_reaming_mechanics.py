"""Runout and follow of a reamer against a time-domain simulation of the same mechanics.

Source: own simulation of the quasi-static reaming model (D 10, N 6, lead 45 deg, stock 0.1 a
side, f 0.6, steel, TIR 20 um, so that 2e = 20). Its cutting coefficient is not recorded: 2500
N/mm2 fits its closed form best. Agreement asked for: 10 % of the closed form printed there, and
the printed band of the simulation.
"""

from __future__ import annotations

import numpy as np
import pytest

from holewright.cutting.process_stiffness import follow_share, process_stiffness, runout_share

STIFFNESS = np.array([50, 100, 200, 400, 700, 1500, 3000, 6000, 12000])
CLOSED_FORM_UM = np.array([0.6, 1.3, 2.6, 5.2, 8.7, 15.1, 19.1, 20.2, 20.3])
SIMULATED_UM = np.array([1.4, 1.5, 2.2, 4.1, 7.1, 12.6, 15.3, 17.9, 18.6])

STEEL = {"K_t": 2500.0, "f": 0.6, "a_p": 0.1, "ZEFP": 6, "KAPR": 45.0}


def half_point(**changes: float) -> float:
    """Return the stiffness at which half of the runout survives."""
    k = np.geomspace(10, 1e5, 4000)
    share = runout_share(process_stiffness(1j, **{**STEEL, **changes}), k)
    return float(np.interp(0.5, share, k))


def test_runout_that_survives_agrees_with_the_printed_closed_form() -> None:
    share = runout_share(process_stiffness(1j, **STEEL), STIFFNESS)
    assert 20 * share == pytest.approx(CLOSED_FORM_UM, rel=0.10, abs=0.1)


def test_the_simulation_lies_within_its_stated_band_from_100_n_per_mm_on() -> None:
    stiff = STIFFNESS >= 200
    share = runout_share(process_stiffness(1j, **STEEL), STIFFNESS[stiff])
    ratio = SIMULATED_UM[stiff] / (20 * share)
    assert (ratio > 0.75).all()
    assert (ratio < 1.06).all()


@pytest.mark.parametrize(
    ("changes", "printed"),
    [
        pytest.param({}, 740, id="six teeth"),
        pytest.param({"ZEFP": 4, "f": 0.4}, 655, id="four teeth"),
        pytest.param({"ZEFP": 8, "f": 0.8}, 855, id="eight teeth"),
        pytest.param({"a_p": 0.05}, 640, id="half the stock"),
        pytest.param({"f": 0.3}, 510, id="half the feed"),
    ],
)
def test_the_stiffness_at_which_half_the_runout_survives(
    changes: dict[str, float], printed: float
) -> None:
    """Within 25 %: two figures of the source disagree.

    Its closed-form table crosses half at about 850 N/mm, where this list prints 740 for the same
    case. All five lie 12 to 24 % above the list; half the feed is the farthest.
    """
    assert half_point(**changes) == pytest.approx(printed, rel=0.25)


def test_a_rigid_reamer_cuts_over_by_its_runout_and_keeps_to_the_spindle() -> None:
    z = process_stiffness(1j, **STEEL)
    assert runout_share(z, 1e9) == pytest.approx(1.0)
    assert follow_share(process_stiffness(0j, **STEEL), 1e9) == pytest.approx(0.0, abs=1e-5)


def test_a_slim_reamer_centres_itself_and_follows_the_drilled_hole() -> None:
    assert runout_share(process_stiffness(1j, **STEEL), 50.0) < 0.05
    assert follow_share(process_stiffness(0j, **STEEL), 50.0) > 0.9


def test_half_way_follow_at_the_printed_stiffness() -> None:
    """k for lambda = 0.5 in steel is 1190 N/mm as printed; within 25 %."""
    k = np.geomspace(10, 1e5, 4000)
    share = follow_share(process_stiffness(0j, **STEEL), k)
    assert np.interp(0.5, share[::-1], k[::-1]) == pytest.approx(1190, rel=0.25)
