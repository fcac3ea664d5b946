"""The grid of candidates: the same formulas as for one point, and sane trade-offs."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from holewright.callout.callout import Callout
from holewright.callout.limits import hole_limits
from holewright.cutting.force import reaming_edge_torque, reaming_torque
from holewright.cutting.kinematics import spindle_speed
from holewright.planning.candidates import Candidates, evaluate
from holewright.planning.limits import all_hold
from holewright.planning.prepare import prepared_holes
from holewright.planning.rules import limits_of
from holewright.planning.task import Task
from holewright.shop.generic import generic_shop
from holewright.shop.materials import find_material
from holewright.shop.reamer import ReamerKind
from holewright.units import Unit

CALLOUT = Callout("8 H7 x 22 through", 8.0, hole_limits(8, "H7"), Unit.MM, fit="H7", depth=22.0)
SHOP = generic_shop()
MACHINE = SHOP.machines[0]
COOLANT = MACHINE.coolants[0]
STEEL = find_material("16MnCr5")
DRILLS = tuple(d for d in SHOP.drills if 7.6 <= d.DC.value <= 7.9)[:4]
REAMERS = tuple(r for r in SHOP.reamers if r.label == "8 H7")[:3]
HOLDERS = SHOP.holders[:3]


TASK = Task(CALLOUT, STEEL, MACHINE, COOLANT, holes=100)


def grid(**changes: Any) -> Candidates:
    parts: dict[str, Any] = {"reamers": REAMERS, "holders": HOLDERS} | changes
    return evaluate(
        TASK,
        prepared_holes(TASK, DRILLS, lead=1.5),
        parts["reamers"],
        parts["holders"],
        speeds=5,
        feeds=4,
    )


def test_one_pass_gives_what_the_plain_formulas_give_at_each_point() -> None:
    candidates = grid()
    shape = candidates.shape
    assert shape == (4, 3, 3, 5, 4)
    for index in [(0, 0, 0, 0, 0), (3, 2, 1, 4, 3), (1, 1, 2, 2, 1)]:
        reamer = REAMERS[index[1]]
        v_c = float(np.broadcast_to(candidates.v_c, shape)[index])
        f = float(np.broadcast_to(candidates.f, shape)[index])
        n = float(np.broadcast_to(candidates.n, shape)[index])
        torque = float(np.broadcast_to(candidates.torque, shape)[index])
        assert n == pytest.approx(float(spindle_speed(v_c, reamer.DC.value)))
        alone = reaming_torque(
            STEEL.kc11.value,
            STEEL.mc.value,
            reamer.DC.value,
            candidates.prepared[index[0]].hole.mean,
            f,
            reamer.ZEFP,
            reamer.KAPR,
            # chip compression 1.2, wear 1.3, and 1.2 for an edge of high-speed steel
            correction=1.2 * 1.3 * (1.2 if reamer.kind is ReamerKind.HSS else 1.0),
        ) + reaming_edge_torque(
            reamer.DC.value,
            candidates.prepared[index[0]].hole.mean,
            reamer.ZEFP,
            reamer.KAPR,
        )
        assert torque == pytest.approx(float(alone))


def test_a_candidate_does_not_depend_on_its_company() -> None:
    whole = grid()
    alone = grid(reamers=REAMERS[1:2], holders=HOLDERS[2:3])
    np.testing.assert_allclose(
        np.broadcast_to(whole.cost, whole.shape)[:, 1:2, 2:3],
        np.broadcast_to(alone.cost, alone.shape),
    )


def test_the_parts_of_the_cost_add_up_to_the_cost_of_a_good_hole() -> None:
    candidates = grid()
    total = sum(np.broadcast_to(p, candidates.shape) for p in candidates.cost_parts.values())
    np.testing.assert_allclose(total / (1 - candidates.scrap), candidates.cost)


def test_faster_takes_less_time_and_more_reamers() -> None:
    candidates = grid()
    assert (np.diff(np.broadcast_to(candidates.time_s, candidates.shape), axis=3) < 0).all()
    assert (np.diff(candidates.life, axis=3) <= 0).all()


def test_more_runout_puts_more_holes_outside_above() -> None:
    loose = replace(HOLDERS[0], tir=replace(HOLDERS[0].tir, value=0.05))
    tight = replace(HOLDERS[0], tir=replace(HOLDERS[0].tir, value=0.002))
    candidates = grid(holders=(tight, loose))
    assert (candidates.size.mean[:, :, 1] > candidates.size.mean[:, :, 0]).all()


def test_limits_never_widen_when_the_machine_gets_weaker() -> None:
    candidates = grid()
    weak = replace(MACHINE, power=MACHINE.power / 20, n_max=500.0)
    strong = all_hold(limits_of(candidates), candidates.shape)
    slower = replace(candidates, task=replace(TASK, machine=weak))
    weaker = all_hold(limits_of(slower), candidates.shape)
    assert not (weaker & ~strong).any()
    assert weaker.sum() < strong.sum()
