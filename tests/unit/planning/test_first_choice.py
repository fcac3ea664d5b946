"""Which candidate is chosen: a sensible setting, and the drawer before the order."""

from __future__ import annotations

from dataclasses import replace

import pytest

from holewright.callout.notation import read_callout
from holewright.planning.limits import all_hold
from holewright.planning.make_plan import study
from holewright.planning.point import Point
from holewright.planning.rules import limits_of
from holewright.planning.task import Task
from holewright.shop.generic import generic_shop
from holewright.shop.holder import HolderKind
from holewright.shop.materials import find_material
from holewright.shop.reamer import Reamer
from holewright.shop.shop import Shop
from holewright.uncertainty import Known, Tag

SHOP = generic_shop()


def chosen(callout: str, material: str, holes: int, shop: Shop = SHOP) -> Point:
    machine = shop.machines[0]
    task = Task(read_callout(callout), find_material(material), machine, machine.coolants[0], holes)
    point = study(task, shop).point
    assert point is not None
    return point


@pytest.mark.parametrize(
    ("callout", "material", "holes"),
    [
        ("8 H7 x 22 through", "16MnCr5", 1920),
        ("12 ±0.009 x 25 through", "6061-T6", 40),
        (".6250 +.0005/-0 x 1.0 through", "6061-T6", 60),
        ("10 H7 x 20 through", "C45", 20),
        (".2500 +.0005/-0 x .75 through", "4140", 40),
        ("8 G7 x 20 through", "C45", 20),
        ("6 H7 x 18 blind", "X5CrNi18-10", 200),
        ("8 H7 x 16 blind", "Ti-6Al-4V", 30),
    ],
)
def test_speed_and_feed_are_not_at_the_ends_of_what_is_published(
    callout: str, material: str, holes: int
) -> None:
    """Nobody trims a hole by its speed: which way that moves the size is disputed."""
    point = chosen(callout, material, holes)
    start = point.candidates.starts[point.index[1]]
    assert 0.75 < point.at("v_c") / start.vc < 1.35
    assert 0.75 < point.at("f") / start.f < 1.5
    assert start.vc_lo < point.at("v_c") < start.vc_hi
    assert start.f_lo < point.at("f") < start.f_hi


def in_drawer(measured: float) -> Reamer:
    like = next(r for r in SHOP.reamers if r.id.startswith("10 H7 HSS straight"))
    return replace(
        like,
        id="in the drawer",
        DC=Known(measured, Tag.MEASURED, "micrometer", 0.001),
        owned=True,
    )


def test_a_reamer_in_the_drawer_goes_before_one_to_order_for_a_few_holes() -> None:
    shop = replace(SHOP, reamers=(in_drawer(10.007),))
    assert chosen("10 H7 x 20 through", "C45", 40, shop).reamer.owned


def test_for_many_holes_the_fast_reamer_is_ordered_all_the_same() -> None:
    shop = replace(SHOP, reamers=(in_drawer(10.007),))
    assert not chosen("10 H7 x 20 through", "C45", 20000, shop).reamer.owned


def test_one_in_the_drawer_that_would_scrap_far_more_holes_does_not_go_first() -> None:
    shop = replace(SHOP, reamers=(in_drawer(10.0018),))
    assert not chosen("10 H7 x 20 through", "C45", 40, shop).reamer.owned


@pytest.mark.parametrize(
    ("callout", "material"),
    [("6 H7 x 18 blind", "X5CrNi18-10"), ("10 H7 x 20 through", "C45")],
)
def test_no_holder_is_chosen_because_its_runout_opens_the_hole(callout: str, material: str) -> None:
    """Of the rigid holders that will do for the same tools and setting the truest comes first."""
    point = chosen(callout, material, 5000)
    c = point.candidates
    kept = all_hold(limits_of(c), c.shape)
    i, j, _, v, f = point.index
    truer = [
        h
        for k, h in enumerate(c.holders)
        if kept[i, j, k, v, f]
        and h.kind is not HolderKind.FLOATING
        and h.tir.value < point.holder.tir.value
    ]
    assert truer == [] or point.holder.kind is HolderKind.FLOATING
