"""Limits of tools and chips: where they bind, and that they leave ordinary work alone."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from holewright.callout.callout import HoleKind
from holewright.callout.notation import read_callout
from holewright.cutting.whirl import even_whirl
from holewright.planning.candidates import Candidates, evaluate
from holewright.planning.limits import Limit
from holewright.planning.make_plan import study
from holewright.planning.prepare import prepared_holes
from holewright.planning.rules import limits_of
from holewright.planning.task import Task
from holewright.shop.coolant import Coolant, Fluid
from holewright.shop.generic import generic_shop
from holewright.shop.holder import HolderKind
from holewright.shop.materials import find_material
from holewright.shop.reamer import CoolantExit, Reamer, ReamerKind

SHOP = generic_shop()
MACHINE = SHOP.machines[0]
THROUGH = read_callout("8 H7 x 22 through")
STEEL = find_material("16MnCr5")
HSS = next(r for r in SHOP.reamers if r.label == "8 H7" and r.kind is ReamerKind.HSS)
COATED = next(r for r in SHOP.reamers if r.label == "8 H7" and r.kind is ReamerKind.COATED_CARBIDE)
RIGID = next(h for h in SHOP.holders if h.kind is not HolderKind.FLOATING and h.DMM_max >= 10)
FLOATING = next(h for h in SHOP.holders if h.kind is HolderKind.FLOATING)
DRILLS = tuple(d for d in SHOP.drills if 7.55 <= d.DC.value <= 7.85)


def grid(reamer: Reamer, holder: Any = RIGID, **changes: Any) -> Candidates:
    task = replace(Task(THROUGH, STEEL, MACHINE, MACHINE.coolants[0], holes=100), **changes)
    feeds = 12
    return evaluate(task, prepared_holes(task, DRILLS, lead=1.0), (reamer,), (holder,), feeds=feeds)


def limit(c: Candidates, code: str) -> Limit:
    return next(one for one in limits_of(c) if one.code == code)


@pytest.mark.parametrize(
    "code", ["drill-torsion", "drill-buckling", "torsion", "reamer-buckling", "reamer-bending"]
)
def test_ordinary_tools_in_ordinary_steel_stand_it(code: str) -> None:
    """Common practice: 8 H7 in case-hardening steel with tools of the catalogue."""
    assert limit(grid(COATED), code).holds.all()


def test_the_smallest_jobber_drills_of_the_catalogue_are_not_refused() -> None:
    """1 to 3 mm in annealed steel: shops drill them every day, at 1 to 3 % of the diameter."""
    task = Task(read_callout("3 H7 x 8 through"), STEEL, MACHINE, MACHINE.coolants[0], holes=100)
    small = tuple(d for d in SHOP.drills if 1.0 <= d.DC.value <= 3.0)
    assert len(small) > 10
    c = evaluate(task, prepared_holes(task, small, lead=0.5), (HSS,), (RIGID,), speeds=2, feeds=2)
    assert limit(c, "drill-torsion").holds.all()
    assert limit(c, "drill-buckling").holds.all()
    assert all(0.01 <= p.f / p.drill.DC.value <= 0.03 for p in c.prepared)


def test_a_reamer_with_a_neck_of_wire_is_refused_by_name() -> None:
    wire = replace(HSS, DMM=1.0, core=0.1)
    c = grid(wire)
    assert not limit(c, "reamer-buckling").holds.any()
    assert not limit(c, "torsion").holds.any()


def test_a_stiff_tool_forced_into_a_hole_far_off_is_refused() -> None:
    c = grid(replace(COATED, OAL=40.0, LU=24.0, DMM=6.0))
    c = replace(
        c,
        prepared=tuple(replace(p, hole=replace(p.hole, axis_hi=1.0)) for p in c.prepared),
    )
    assert not limit(c, "reamer-bending").holds.any()


class TestWhirl:
    """Growth over the grid, and where it is too much."""

    @pytest.fixture(scope="class")
    @classmethod
    def slim(cls) -> Candidates:
        return grid(replace(HSS, KAPR=20.0, lead=1.5, DMM=6.5, OAL=125.0))

    def test_growth_read_between_feeds_is_that_of_the_full_search(self, slim: Candidates) -> None:
        """Within 0.03 where it counts, over 0.75."""
        shape = slim.growth.shape
        full = even_whirl(
            slim.stiffness,
            K_t=STEEL.kc11.value * slim.h**-STEEL.mc.value,
            f=slim.f,
            a_p=np.maximum(
                slim.reamers[0].DC.value
                - np.array([p.hole.mean for p in slim.prepared]).reshape(-1, 1, 1, 1, 1),
                1e-4,
            )
            / 2,
            ZEFP=slim.reamers[0].ZEFP,
            KAPR=20.0,
        ).growth_per_revolution
        full = np.broadcast_to(full, shape)
        grows = full > 0.75
        assert grows.any()
        assert slim.growth[grows] == pytest.approx(full[grows], abs=0.03)

    def test_low_feed_on_a_slim_tool_with_a_long_lead_is_refused_and_more_feed_is_not(
        self, slim: Candidates
    ) -> None:
        holds = np.broadcast_to(limit(slim, "whirl").holds, slim.growth.shape)
        worst = int(np.argmax(slim.growth[:, 0, 0, 0, 0]))
        assert not holds[worst, 0, 0, 0, 0]
        assert holds[..., -1].any()

    def test_the_forecast_widens_before_it_is_refused(self, slim: Candidates) -> None:
        term = next(t for t in slim.size.terms if t.name == "lobing")
        unsure = (slim.growth > 0.85) & (slim.growth < 1.1)
        assert unsure.any()
        assert (term.sd[unsure] > 0).all()
        assert (term.sd[slim.growth < 0.8] == 0).all()

    def test_a_floating_holder_is_not_reckoned_with(self) -> None:
        c = grid(replace(HSS, KAPR=20.0, DMM=6.5, OAL=125.0), FLOATING)
        assert limit(c, "whirl").holds.all()


class TestChips:
    """Room, transport and built-up edge."""

    BLIND = replace(THROUGH, kind=HoleKind.BLIND)

    def test_room_binds_in_a_blind_hole_where_not_even_crumbs_would_fit(self) -> None:
        full = replace(HSS, core=0.97)
        assert not limit(grid(full, callout=self.BLIND), "chip-room").holds.any()
        assert limit(grid(full), "chip-room").holds.all()
        c = grid(HSS, callout=self.BLIND)
        usual = (c.stock <= 0.3).ravel()
        assert usual.any()
        assert limit(c, "chip-room").holds.ravel()[usual].all()

    def test_transport_binds_where_coolant_only_drips_through(self) -> None:
        side = replace(COATED, coolant_exit=CoolantExit.SIDE)
        good = Coolant(Fluid.SOLUBLE, through=True, pressure=40.0)
        assert limit(grid(side, coolant=good), "chip-transport").holds.all()
        drip = Coolant(Fluid.SOLUBLE, through=True, pressure=0.05)
        assert not limit(grid(side, coolant=drip), "chip-transport").holds.any()

    def test_mist_carries_chips_from_the_pressure_at_which_air_chokes(self) -> None:
        side = replace(COATED, coolant_exit=CoolantExit.SIDE)
        mist = Coolant(Fluid.MQL, through=True, pressure=6.0)
        assert limit(grid(side, coolant=mist), "chip-transport").holds.all()
        weak = Coolant(Fluid.MQL, through=True, pressure=0.3)
        assert not limit(grid(side, coolant=weak), "chip-transport").holds.any()

    def test_a_coated_reamer_keeps_out_of_the_speeds_of_built_up_edge(self) -> None:
        """15 to 40 m/min in steel, from memory: HSS runs below it, coated carbide above."""
        c = grid(COATED, material=find_material("X5CrNi18-10"))
        edge = limit(c, "built-up-edge")
        assert edge.holds.any()
        assert (c.v_c[edge.holds] >= 40).all()
        assert limit(grid(HSS), "built-up-edge").holds.all()
        assert limit(grid(COATED, material=find_material("GG25")), "built-up-edge").holds.all()


class TestNumbersOfTheReamingStep:
    """What the route says of the cut, beside speed and feed."""

    @pytest.fixture(scope="class")
    @classmethod
    def numbers(cls) -> dict[str, float]:
        task = Task(THROUGH, STEEL, MACHINE, MACHINE.coolants[0], holes=2000)
        plan = study(task, SHOP).plan
        assert plan.route is not None
        return {name: known.value for name, known in plan.route.operations[-1].numbers}

    def test_a_retract_mark_would_have_the_lead_of_the_feed(
        self, numbers: dict[str, float]
    ) -> None:
        assert numbers["lead of a retract mark [mm]"] == pytest.approx(numbers["feed [mm/rev]"])

    def test_all_teeth_cut_at_the_feed_chosen(self, numbers: dict[str, float]) -> None:
        assert numbers["feed below which a tooth idles [mm/rev]"] < numbers["feed [mm/rev]"]
        assert 1 <= numbers["load on the most loaded tooth over the mean [-]"] < 1.5

    def test_flow_velocity_and_room_hang_together(self, numbers: dict[str, float]) -> None:
        """v = q / A: the free section that both imply is that of a reamer of 8 mm."""
        area = (
            numbers["flow of coolant [L/min]"] / 0.06 / numbers["velocity along the flutes [m/s]"]
        )
        assert 5 < area < 20
        assert numbers["that over the sinking of a chip [-]"] > 3
        assert 0 < numbers["flutes' room over bulk of the chips [-]"] < 5

    def test_whirl_dies_out_at_the_setting_chosen(self, numbers: dict[str, float]) -> None:
        assert numbers["growth of whirl in a turn [-]"] < 0.8
        assert "lobes it would leave [-]" not in numbers
