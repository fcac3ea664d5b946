"""What instruments see on lobed holes, against `lobing.csv`.

The table was computed separately, contact by contact, for r = r0 + a cos(n theta) with r0 = .125
and a = .00005 in; its rule to first order is in any book on roundness.
"""

import csv
from pathlib import Path

import numpy as np
import pytest

from holewright.errors import InputError, OutOfRangeError
from holewright.gauging.form import hole_form, sizes_seen

DATA = Path(__file__).parents[1] / "data" / "lobing.csv"
ROWS = list(csv.DictReader(DATA.read_text("utf-8").splitlines()))


@pytest.mark.parametrize("row", ROWS, ids=lambda r: f"{r['lobes']} lobes")
def test_each_instrument_sees_what_the_table_says(row):
    r0, a, n = float(row["r0"]), float(row["a"]), int(row["lobes"])
    seen = sizes_seen(hole_form(2 * r0, lobes={n: a}))
    assert seen.two_point == pytest.approx(
        (float(row["two_point_min"]), float(row["two_point_max"])), abs=1e-12
    )
    assert seen.three_point == pytest.approx(
        (float(row["three_point_120_min"]), float(row["three_point_120_max"])), abs=1e-11
    )
    # The table's pin was searched for on a grid of angles: good to 4e-11 in.
    assert seen.pin == pytest.approx(float(row["max_inscribed"]), abs=5e-11)
    assert seen.mean == pytest.approx(float(row["mean_LS_diameter"]), abs=1e-12)


@pytest.mark.parametrize("n", range(2, 13))
def test_the_rule_to_first_order(n):
    # Two-point 2 r0 + a cos(n t)(1 + (-1)^n); three-point sees n divisible by 3; pin 2 r0 - 2 a.
    a = 0.0005
    seen = sizes_seen(hole_form(8.0, lobes={n: a}))
    two = 2 * a if n % 2 == 0 else 0.0
    three = 2 * a if n % 3 == 0 else 0.0
    assert seen.two_point == pytest.approx((8 - two, 8 + two), abs=1e-6)
    assert seen.three_point == pytest.approx((8 - three, 8 + three), abs=1e-6)
    # Eleven valleys fall between points; the pin is larger there by under 1e-6.
    assert seen.pin == pytest.approx(8 - 2 * a, abs=1e-6)


def test_a_shifted_hole_is_no_smaller_for_a_pin():
    assert sizes_seen(hole_form(8.0, lobes={1: 0.01})).pin == pytest.approx(8.0, abs=1e-4)


def test_a_tapered_hole_lets_the_pin_in_only_at_its_narrow_end_size():
    depths = np.linspace(0, 20, 5)
    seen = sizes_seen(hole_form(8.010, depths, taper=-0.006, angles=360), depths)
    assert seen.pin == pytest.approx(8.004, abs=1e-9)
    assert seen.two_point == pytest.approx((8.004, 8.010), abs=1e-9)


def test_a_bell_mouth_hides_from_a_pin_and_shows_on_two_points():
    depths = np.linspace(0, 20, 21)
    seen = sizes_seen(hole_form(8.0, depths, bell=0.02, bell_depth=3.0, angles=360), depths)
    assert seen.pin == pytest.approx(8.0, abs=1e-9)
    assert seen.two_point[1] == pytest.approx(8.02, abs=1e-9)


def test_a_bent_hole_refuses_a_pin_that_every_section_would_take():
    depths = np.linspace(0, 20, 41)
    seen = sizes_seen(hole_form(8.0, depths, bend=0.004, angles=360), depths)
    assert seen.two_point == pytest.approx((8.0, 8.0), abs=1e-9)
    # The axis stands out 4 µm at mid depth; a straight pin shares it between middle and ends:
    # 4 µm smaller in diameter.
    assert seen.pin == pytest.approx(7.996, abs=1e-6)


def test_a_tilted_hole_is_only_tilted():
    depths = np.linspace(0, 20, 5)
    theta = 2 * np.pi * np.arange(360) / 360
    leaning = 4.0 + 0.01 * depths[:, None] / 20 * np.cos(theta)
    assert sizes_seen(leaning, depths).pin == pytest.approx(8.0, abs=1e-9)


def test_what_cannot_be_a_section_is_refused():
    with pytest.raises(OutOfRangeError, match="angles = 100"):
        hole_form(8.0, angles=100)
    with pytest.raises(InputError, match="one for each section"):
        sizes_seen(np.full((2, 12), 4.0))
    with pytest.raises(OutOfRangeError, match="diameter"):
        hole_form(0.0)
