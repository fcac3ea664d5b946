"""The step-by-step reamer against linear theory and against an own earlier simulation.

Linear theory (closed forms of whirl, runout and follow) and the stepping solve the same
equations in unlike ways, so they prove each other's solving: growth within 3 %, turns within
0.05, runout within 13 % where the margins keep touch, follow within 0.1 µm.

The earlier simulation is another program with land, back taper and elastic recovery; its
printed figures are held loosely, as said in each test. It reports that runout fails below
k = 100 N/mm; here the floor is some 3 µm below 400 N/mm, from one-sided margins.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from holewright.cutting.form_sim import ReamingCase, simulate_reaming
from holewright.cutting.process_stiffness import Contact, process_stiffness, runout_share
from holewright.cutting.whirl import uneven_whirl
from holewright.errors import OutOfRangeError

SIX = tuple(60.0 * np.arange(6))
PLOUGHING = Contact(edge_tangential=4.0, edge_normal=10.0)
SLIM = ReamingCase(
    stiffness=200.0,
    K_t=2500.0,
    f=0.12,
    a_p=0.2,
    KAPR=20.0,
    spacing=SIX,
    spring_back=0.005,
    contact=PLOUGHING,
)
SHORT_LEAD = ReamingCase(stiffness=700.0, K_t=2500.0, f=0.6, a_p=0.1, KAPR=45.0, spacing=SIX)
STEEL = {"K_t": 2500.0, "f": 0.6, "a_p": 0.1, "ZEFP": 6, "KAPR": 45.0}
POINTS = 360


@pytest.mark.parametrize(
    "case",
    [
        pytest.param(SLIM, id="six even teeth"),
        pytest.param(replace(SLIM, f=0.30), id="more feed"),
        pytest.param(replace(SLIM, spacing=(0.0, 54.0, 126.0, 180.0, 234.0, 306.0)), id="6 deg"),
        pytest.param(
            replace(
                SLIM,
                stiffness=100.0,
                a_p=0.3,
                f=0.06,
                contact=replace(PLOUGHING, normal_share=3.6, friction=1.2),
            ),
            id="worn edge, forward",
        ),
    ],
)
def test_a_small_whirl_grows_and_turns_as_linear_theory_says(case: ReamingCase) -> None:
    linear = uneven_whirl(
        case.stiffness,
        spacing=case.spacing,
        K_t=case.K_t,
        f=case.f,
        a_p=case.a_p,
        KAPR=case.KAPR,
        contact=case.contact,
    )
    path = simulate_reaming(case, 12, points=POINTS, nudge=1e-5).path
    reach = np.abs(path).reshape(12, POINTS).max(axis=1)
    growth = (reach[-1] / reach[-4]) ** (1 / 3)
    assert growth == pytest.approx(float(linear.growth_per_revolution), rel=0.03)
    if case.spacing == SIX:  # uneven teeth mix both directions, and the path winds neither way
        phase = np.unwrap(np.angle(path[-3 * POINTS :]))
        turns = (phase[-1] - phase[0]) / (2 * np.pi) / 3
        assert turns == pytest.approx(float(linear.turns_per_revolution), abs=0.05)


@pytest.mark.parametrize(("teeth", "lobes"), [(6, 7), (5, 6)])
def test_an_even_reamer_that_whirls_backward_leaves_one_lobe_more(teeth: int, lobes: int) -> None:
    case = replace(SLIM, spacing=tuple(360 / teeth * np.arange(teeth)), spring_back=0.001)
    wall = simulate_reaming(case, 16, points=240, nudge=5e-3)
    amplitudes = [wall.lobe_amplitude(number)[-1] for number in range(2, 15)]
    assert 2 + int(np.argmax(amplitudes)) == lobes
    assert max(amplitudes) > 0.005


@pytest.mark.parametrize(
    ("stiffness", "printed"), [(400, 4.1), (700, 7.1), (1500, 12.6), (12000, 18.6)]
)
def test_oversize_from_20_um_of_runout(stiffness: float, printed: float) -> None:
    """Linear theory within 13 %; the printed simulation, with its land and recovery, 30 %."""
    case = replace(SHORT_LEAD, stiffness=stiffness, eccentricity=0.010)
    wall = simulate_reaming(case, 4)
    oversize = 1000 * wall.oversize[-1]
    share = runout_share(process_stiffness(1j, **STEEL), stiffness)
    assert oversize == pytest.approx(20 * float(share), rel=0.13)
    assert oversize == pytest.approx(printed, rel=0.30)
    assert 1000 * np.ptp(wall.outlines[-1]) < 1.0  # runout alone makes a round hole


@pytest.mark.parametrize(
    ("stiffness", "printed"), [(100, 47.5 + 5.1j), (700, 28.3 + 17.2j), (5000, 3.7 + 6.9j)]
)
def test_follow_of_a_drilled_hole_50_um_off(stiffness: float, printed: complex) -> None:
    """Linear theory within 0.1 µm; printed by the earlier simulation within 1 µm."""
    wall = simulate_reaming(replace(SHORT_LEAD, stiffness=stiffness, offset=0.05), 6)
    axis = 1000 * wall.axis[-1]
    z = process_stiffness(0j, **STEEL)
    linear = 50 * complex(z / (stiffness + z))
    assert (axis.real, axis.imag) == pytest.approx((linear.real, linear.imag), abs=0.1)
    assert (axis.real, axis.imag) == pytest.approx((printed.real, printed.imag), abs=1.0)
    assert 1000 * wall.oversize[-1] == pytest.approx(0.0, abs=0.01)


@pytest.mark.parametrize(("teeth", "passed_on"), [(4, True), (6, False), (8, False)])
def test_a_three_lobed_drilled_hole_passes_through_four_teeth_only(
    teeth: int, passed_on: bool
) -> None:
    """An even reamer hands on N - 1 and N + 1 lobes and is blind to the rest."""
    case = replace(
        SHORT_LEAD,
        f=0.1 * teeth,
        spacing=tuple(360 / teeth * np.arange(teeth)),
        drilled_lobes=((3, 0.020),),
    )
    out_of_round = 1000 * np.ptp(simulate_reaming(case, 6).outlines[-1])
    assert bool(out_of_round > 10) is passed_on
    assert bool(out_of_round < 0.1) is not passed_on


def test_two_opposite_high_teeth_never_centre_themselves() -> None:
    """Printed +19.4 µm for a pair 10 µm high, +12.6 to +15.7 for one tooth, k 200 to 2000."""
    pair, single = (
        simulate_reaming(replace(SHORT_LEAD, stiffness=200.0, tooth_error=errors), 4)
        for errors in (
            (0.010, 0.0, 0.0, 0.010, 0.0, 0.0),
            (0.010, 0.0, 0.0, 0.0, 0.0, 0.0),
        )
    )
    assert 1000 * pair.oversize[-1] == pytest.approx(20.0, abs=0.7)
    assert 12.0 < 1000 * single.oversize[-1] < 16.0


def test_a_true_reamer_in_a_true_hole_leaves_it_round_and_to_size() -> None:
    wall = simulate_reaming(replace(SHORT_LEAD, f=0.3), 3, nudge=0.0)
    assert np.abs(wall.outlines).max() < 1e-9


def test_too_few_points_are_refused() -> None:
    with pytest.raises(OutOfRangeError, match="points"):
        simulate_reaming(SLIM, 1, points=100)


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"KAPR": 90.0}, "KAPR"),
        ({"spacing": (0.0, 200.0, 100.0)}, "spacing"),
        ({"tooth_error": (0.01,)}, "tooth_error"),
    ],
)
def test_a_case_that_is_no_reamer_is_refused(change: dict[str, object], field: str) -> None:
    with pytest.raises(OutOfRangeError, match=field):
        replace(SLIM, **change)  # type: ignore[arg-type]
