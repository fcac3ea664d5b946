"""Holes read out of models whose holes are known, since the tests built them."""

from __future__ import annotations

import math
import time

import numpy as np
import pytest

pytest.importorskip(
    "OCP", reason="the extra that reads STEP is not installed", exc_type=ImportError
)

from step_parts import (
    block,
    cone,
    cut,
    cylinder,
    drill,
    joined,
    together,
    turned,
    write,
)

from holewright.callout.callout import HoleKind
from holewright.callout.found_hole import group_holes
from holewright.errors import InputError
from holewright.jobs import step_shapes
from holewright.jobs.step_file import read_step


def holes_of(tmp_path, *bodies, **how):
    return read_step(write(tmp_path / "part.step", *bodies, **how))


def one(tmp_path, *bodies, **how):
    (hole,) = holes_of(tmp_path, *bodies, **how)
    return hole


@pytest.mark.parametrize("schema", ["AP203", "AP214IS", "AP242DIS"])
@pytest.mark.parametrize("unit", ["MM", "INCH"])
def test_a_through_hole_in_a_block_whatever_the_edition_and_the_unit(tmp_path, schema, unit):
    body = cut(block(100, 60, 20), cylinder((20, 15, 1), (0, 0, -1), 8.0, 30))
    hole = one(tmp_path, body, schema=schema, unit=unit)
    assert hole.entry == pytest.approx((20, 15, 0), abs=1e-6)
    assert hole.direction == pytest.approx((0, 0, -1))
    assert hole.diameter == pytest.approx(8.0, abs=1e-6)
    assert hole.depth == pytest.approx(20.0, abs=1e-6)
    assert (hole.kind, hole.point, hole.point_angle) == (HoleKind.THROUGH, 0.0, None)
    assert (hole.entry_slope, hole.exit_slope, hole.chamfer) == (0.0, 0.0, None)
    assert (hole.cross_bores, hole.gaps) == ((), ())
    # The nearest side is y = 0, 15 mm from the axis.
    assert hole.wall == pytest.approx(15 - 4, abs=1e-3)


@pytest.mark.parametrize("point", [118.0, 140.0, 90.0])
def test_a_drilled_floor_has_its_point(tmp_path, point):
    hole = one(tmp_path, cut(block(50, 50, 40), drill((25, 25, 0), 8.0, 22.0, point=point)))
    assert (hole.kind, hole.depth) == (HoleKind.BLIND, pytest.approx(22.0))
    assert hole.point == pytest.approx(4 / math.tan(math.radians(point / 2)), abs=1e-5)
    assert hole.point_angle == pytest.approx(point, abs=1e-3)


def test_a_flat_floor_has_none(tmp_path):
    hole = one(tmp_path, cut(block(50, 50, 40), cylinder((25, 25, 1), (0, 0, -1), 8.0, 16)))
    assert (hole.kind, hole.depth, hole.point) == (HoleKind.BLIND, pytest.approx(15.0), 0.0)


@pytest.mark.parametrize("degrees", [5.0, 20.0, 40.0])
def test_a_sloped_entry_is_measured_and_the_depth_counts_from_the_axis(tmp_path, degrees):
    # A block turned about Y so that its top slopes; the hole goes straight down through it.
    body = turned(block(100, 60, 30, at=(-50, -30, 0)), (0, 1, 0), degrees)
    hole = one(tmp_path, cut(body, cylinder((0, 0, 60), (0, 0, -1), 8.0, 120)))
    assert hole.entry == pytest.approx((0, 0, 0), abs=1e-6)
    assert hole.entry_slope == pytest.approx(degrees, abs=1e-2)
    assert hole.exit_slope == pytest.approx(degrees, abs=1e-2)
    assert hole.depth == pytest.approx(30 / math.cos(math.radians(degrees)), abs=1e-5)


def test_a_chamfer_counts_as_part_of_the_depth(tmp_path):
    body = cut(
        block(50, 50, 30),
        cylinder((25, 25, 1), (0, 0, -1), 8.0, 40),
        cone((25, 25, 0), (0, 0, -1), 10.0, 8.0, 1.0),
    )
    hole = one(tmp_path, body)
    assert (hole.depth, hole.chamfer) == (pytest.approx(30.0), pytest.approx(10.0))
    assert hole.entry == pytest.approx((25, 25, 0), abs=1e-6)
    assert hole.entry_slope == 0.0


def test_a_counterbore_and_its_hole_are_two_on_one_axis(tmp_path):
    body = cut(
        block(50, 50, 30),
        cylinder((25, 25, 1), (0, 0, -1), 8.0, 40),
        cylinder((25, 25, 1), (0, 0, -1), 15.0, 9),
    )
    small, large = sorted(holes_of(tmp_path, body), key=lambda hole: hole.diameter)
    assert (small.diameter, small.depth, small.kind) == (8.0, pytest.approx(22), HoleKind.THROUGH)
    assert small.entry == pytest.approx((25, 25, -8), abs=1e-6)
    assert (large.diameter, large.depth, large.kind) == (15.0, pytest.approx(8), HoleKind.BLIND)
    assert large.point == 0.0


def test_a_cross_bore_is_found_at_its_depth_and_the_other_way_round(tmp_path):
    body = cut(
        block(80, 40, 40),
        cylinder((30, 20, 1), (0, 0, -1), 12.0, 60),
        cylinder((-1, 20, -18), (1, 0, 0), 5.0, 100),
    )
    main, cross = sorted(holes_of(tmp_path, body), key=lambda hole: -hole.diameter)
    assert [(b.diameter, b.depth) for b in main.cross_bores] == [(5.0, pytest.approx(18.0))]
    # The cross bore is made along X; the end on the +X side is its entry, 50 mm from the axis.
    assert [(b.diameter, b.depth) for b in cross.cross_bores] == [(12.0, pytest.approx(50.0))]
    assert (main.kind, main.depth) == (HoleKind.THROUGH, pytest.approx(40.0))
    assert cross.depth == pytest.approx(80.0)


def test_a_bore_that_passes_beside_does_not_cross(tmp_path):
    body = cut(
        block(80, 60, 40),
        cylinder((30, 20, 1), (0, 0, -1), 8.0, 60),
        cylinder((-1, 30, -18), (1, 0, 0), 6.0, 100),
    )
    beside, down = sorted(holes_of(tmp_path, body), key=lambda hole: hole.diameter)
    assert down.cross_bores == beside.cross_bores == ()
    # Axes 10 mm apart: 10 - 4 - 3 is left between them.
    assert beside.wall == pytest.approx(3.0, abs=0.01)


def test_walls_to_a_side_and_to_a_neighbour(tmp_path):
    body = cut(
        block(100, 60, 20),
        cylinder((3.5 + 4, 30, 1), (0, 0, -1), 8.0, 30),
        cylinder((60, 30, 1), (0, 0, -1), 10.0, 30),
        cylinder((60 + 9.1, 30 + 4.3, 1), (0, 0, -1), 6.0, 30),
    )
    walls = {hole.diameter: hole.wall for hole in holes_of(tmp_path, body)}
    between = math.hypot(9.1, 4.3) - 5 - 3
    assert walls[8.0] == pytest.approx(3.5, abs=1e-3)
    assert walls[10.0] == pytest.approx(between, abs=2e-3)
    assert walls[6.0] == pytest.approx(between, abs=2e-3)


def test_lugs_on_one_axis_are_one_interrupted_hole(tmp_path):
    body = joined(
        block(30, 30, 50, at=(0, 0, 0)),
        block(30, 30, 50, at=(40, 0, 0)),
        block(70, 30, 10, at=(0, 0, -40)),
    )
    hole = one(tmp_path, cut(body, cylinder((-1, 15, -10), (1, 0, 0), 8.0, 80)))
    assert hole.depth == pytest.approx(70.0)
    assert hole.gaps == ((pytest.approx(30.0), pytest.approx(40.0)),)


def test_two_blind_holes_from_both_sides_stay_two(tmp_path):
    body = cut(block(50, 50, 60), drill((25, 25, 0), 8.0, 20.0))
    body = cut(body, drill((25, 25, -60), 8.0, 15.0, way=(0, 0, 1)))
    down, up = holes_of(tmp_path, body)
    assert (down.direction, down.depth) == ((0, 0, -1), pytest.approx(20.0))
    assert (up.direction, up.depth) == ((0, 0, 1), pytest.approx(15.0))


def test_slots_fillets_shafts_and_voids_are_no_holes(tmp_path):
    slot = joined(
        cylinder((20, 20, 1), (0, 0, -1), 8.0, 30),
        cylinder((40, 20, 1), (0, 0, -1), 8.0, 30),
        block(20, 8, 32, at=(20, 16, 1)),
    )
    boss = cylinder((70, 20, 0), (0, 0, 1), 12.0, 10)
    assert holes_of(tmp_path, cut(joined(block(100, 40, 20), boss), slot)) == ()
    void = cylinder((20, 20, -5), (0, 0, -1), 8.0, 10)
    assert holes_of(tmp_path, cut(block(40, 40, 20), void)) == ()


def test_a_hole_that_breaks_out_of_a_side_has_no_wall_left(tmp_path):
    hole = one(tmp_path, cut(block(50, 50, 20), cylinder((3, 25, 1), (0, 0, -1), 8.0, 30)))
    assert hole.wall == 0.0


def test_a_hole_into_a_round_bar_and_out_into_its_bore(tmp_path):
    bar = cut(
        cylinder((-50, 0, 0), (1, 0, 0), 60.0, 100), cylinder((-51, 0, 0), (1, 0, 0), 30.0, 102)
    )
    holes = holes_of(tmp_path, cut(bar, cylinder((0, 0, 0), (0, 0, 1), 6.0, 40)))
    small = min(holes, key=lambda hole: hole.diameter)
    assert (small.kind, small.direction) == (HoleKind.THROUGH, (0, 0, -1))
    # The face is round: it slopes most at the sides of the hole, asin(3/30) and asin(3/15).
    assert small.entry_slope == pytest.approx(math.degrees(math.asin(3 / 30)), abs=0.05)
    assert small.exit_slope == pytest.approx(math.degrees(math.asin(3 / 15)), abs=0.05)
    assert small.depth == pytest.approx(15.0, abs=0.3)


def test_two_solids_keep_their_holes_apart_by_name(tmp_path):
    first = cut(block(30, 30, 10), cylinder((10, 10, 1), (0, 0, -1), 5.0, 20))
    second = cut(block(30, 30, 10, at=(50, 0, 0)), cylinder((60, 10, 1), (0, 0, -1), 5.0, 20))
    assert [hole.name for hole in holes_of(tmp_path, first, second)] == ["1.1", "2.1"]


def casting():
    """A housing of 200 holes: two decks, sloped pads, a bored middle, holes from four sides."""
    body = joined(block(220, 160, 40), block(120, 100, 70, at=(50, 30, 70)))
    known: list[tuple[float, tuple, tuple, float, str]] = []
    tools = []

    def through(at, diameter, length, way=(0, 0, -1)):
        start = tuple(a - 5 * w for a, w in zip(at, way, strict=True))
        tools.append(cylinder(start, way, diameter, length + 10))
        known.append((diameter, at, way, length, "through"))

    def blind(at, diameter, depth, way=(0, 0, -1)):
        tools.append(drill(at, diameter, depth, way=way))
        known.append((diameter, at, way, depth, "blind"))

    for i in range(21):
        for y in (12, 19, 141, 148):
            through((10 + 10 * i, y, 0), 4.2, 40)
    for i in range(10):
        for j in range(7):
            blind((58 + 11 * i, 40 + 12 * j, 70), 5.0, 12.0)
    for i in range(21):
        blind((10 + 10 * i, 0, -20), 3.3, 4.0, way=(0, 1, 0))
        blind((10 + 10 * i, 160, -30), 3.3, 3.0, way=(0, -1, 0))
    for y in (40, 80):
        blind((0, y, -20), 12.0, 30.0, way=(1, 0, 0))
        blind((220, y, -20), 12.0, 30.0, way=(-1, 0, 0))
    return cut(body, together(tools)), known


def test_a_housing_of_two_hundred_holes(tmp_path):
    body, known = casting()
    assert len(known) == 200
    path = write(tmp_path / "housing.step", body)
    began = time.perf_counter()
    found = read_step(path)
    seconds = time.perf_counter() - began
    assert len(found) == 200
    left = list(known)
    for hole in found:
        match = [
            k
            for k in left
            if abs(k[0] - hole.diameter) < 1e-6
            and np.allclose(k[1], hole.entry, atol=1e-6)
            and np.allclose(k[2], hole.direction, atol=1e-9)
        ]
        assert len(match) == 1, hole
        assert hole.depth == pytest.approx(match[0][3], abs=1e-6)
        assert hole.kind == match[0][4]
        left.remove(match[0])
    assert left == []
    groups = {(g.diameter, g.way, str(g.kind)): len(g.holes) for g in group_holes(found)}
    assert groups == {
        (4.2, "-Z", "through"): 84,
        (5.0, "-Z", "blind"): 70,
        (3.3, "+Y", "blind"): 21,
        (3.3, "-Y", "blind"): 21,
        (12.0, "+X", "blind"): 2,
        (12.0, "-X", "blind"): 2,
    }
    assert seconds < 20  # 1 to 3 s on two slow cores


def test_what_is_no_step_file_is_refused(tmp_path):
    with pytest.raises(InputError, match="is not there"):
        read_step(tmp_path / "nowhere.step")
    wrong = tmp_path / "wrong.step"
    wrong.write_text("%\nG21\n%\n")
    with pytest.raises(InputError, match="ISO 10303-21"):
        read_step(wrong)


def test_without_the_extra_it_says_what_to_install(tmp_path, monkeypatch):
    path = write(tmp_path / "part.step", block(10, 10, 10))
    monkeypatch.setattr(step_shapes, "MISSING", ImportError("libGL.so.1 is not there"))
    with pytest.raises(InputError, match=r"pip install 'holewright\[step\]'.*libGL.so.1"):
        read_step(path)
