"""How long a part takes, with axes and a spindle that have to be brought up to speed."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from holewright.program.backplot import read_back
from holewright.program.motion_time import axis_seconds, section_time
from holewright.shop.machine import Machine
from holewright.uncertainty import Known, Tag

MACHINE = Machine(
    id="VMC",
    n_min=50,
    n_max=12000,
    power=15000,
    thrust=5000,
    rapid=30000,  # 500 mm/s
    feed_max=10000,
    tool_change_s=4,
    rate=60,
    spindle_tir=Known(0.003, Tag.DEFAULT),
    acceleration=5000,
    jerk=100000,
    spindle_run_up_s=2.4,
)


def axis(way, v=30000.0, a=5000.0, j=100000.0):
    return float(axis_seconds(way, v, acceleration=a, jerk=j))


def test_a_move_worked_by_hand_in_each_of_its_four_cases():
    # a/j = 0.05 s to reach 5 m/s², v/a = 0.1 s: so 0.15 s and 37.5 mm up to 500 mm/s.
    assert axis(200) == pytest.approx(200 / 500 + 0.15)
    assert axis(75) == pytest.approx(0.3)  # just reached
    # 60 mm: v_p (v_p/5000 + 0.05) = 60, v_p = (-250 + sqrt(250² + 4·5000·60)) / 2 = 436.80 mm/s
    assert axis(60) == pytest.approx(2 * (436.805 / 5000 + 0.05), abs=1e-5)
    # 25 mm = 2 a³/j²: the acceleration is just reached at the middle: 4 · 0.05 s
    assert axis(25) == pytest.approx(0.2)
    # 1 mm: 4 cbrt(1 / 200000) = 0.0684 s
    assert axis(1) == pytest.approx(0.0684, abs=5e-5)
    # A feed of 600 mm/min = 10 mm/s never reaches the acceleration: 2 sqrt(10/100000) = 20 ms
    assert axis(30, v=600) == pytest.approx(3 + 0.02, abs=1e-9)
    assert axis(0) == 0


@pytest.mark.parametrize("way", [0.05, 1.0, 9.0, 21.0, 60.0, 99.0, 101.0, 400.0])
@pytest.mark.parametrize(
    ("v", "a", "j"), [(30000, 5000, 50000), (600, 3000, 50000), (6e4, 1e4, 2e5)]
)
def test_the_profile_of_that_time_covers_the_way_and_keeps_its_limits(way, v, a, j):
    # Drive the S profile that the formula stands for: jerk +j, 0, -j, none, -j, 0, +j.
    speed = min(v / 60, _peak(way, a, j))
    up = a / j if speed * j >= a * a else np.sqrt(speed / j)
    flat = max(0.0, speed / (up * j) - up)
    cruise = axis(way, v, a, j) - 2 * (2 * up + flat)
    assert cruise > -1e-9
    x = velocity = acceleration = 0.0
    for jerk, t in [(j, up), (0, flat), (-j, up), (0, cruise), (-j, up), (0, flat), (j, up)]:
        x += velocity * t + acceleration * t**2 / 2 + jerk * t**3 / 6
        velocity += acceleration * t + jerk * t**2 / 2
        acceleration += jerk * t
        assert velocity <= v / 60 * (1 + 1e-9)
        assert acceleration <= a * (1 + 1e-9)
    assert x == pytest.approx(way, rel=1e-6)
    assert velocity == pytest.approx(0, abs=1e-6 * speed)


def _peak(way: float, a: float, j: float) -> float:
    """Peak speed where nothing but the way limits it, from v_p t_ramp(v_p) = way by bisection."""
    low, high = 0.0, 1e6
    for _ in range(200):
        v = (low + high) / 2
        ramp = v / a + a / j if v * j >= a * a else 2 * np.sqrt(v / j)
        low, high = (v, high) if v * ramp < way else (low, v)
    return low


HEAD = "G21 G90 G17 G40 G80 G94 G54\nT1 M6\nS6000 M3\nG0 X0. Y0.\nG43 H1 Z25.\nM8\n"


def time_of(blocks: str, **machine):
    (section,) = read_back(HEAD + blocks + "M9\nM5\nM30\n")
    return section_time(section, replace(MACHINE, **machine))


def test_a_program_of_two_holes_adds_up_to_the_sum_worked_by_hand():
    time = time_of("G98 G81 X0. Y0. Z-28. R2. F600.\nX60. Y44.\nG80\nG0 Z100.\n")
    # The first approach begins nowhere known. Rapids, each from rest to rest, slowest axis:
    #   25 -> 2: 23 mm; -28 -> 25: 53 mm; across: max(60, 44) = 60 mm; 23; 53; 25 -> 100: 75 mm.
    #   23 (under 25): 4 cbrt(23/200000) = 0.19452 s
    #   53: v_p = (-250 + sqrt(250² + 20000·53)) / 2 = 404.74, 2 (v_p/5000 + 0.05) = 0.26190 s
    #   60: 0.27472 s as above;  75: 0.3 s
    rapid = 2 * 0.194518 + 2 * 0.261896 + 0.274722 + 0.3
    assert time.rapid_s == pytest.approx(rapid, abs=1e-5)
    # Feeds: 30 mm at 10 mm/s = 3 s and 20 ms each.
    assert time.feed_s == pytest.approx(2 * 3.02)
    assert (time.dwell_s, time.spindle_s, time.change_s, time.stops) == (0, 0, 4, 0)
    assert time.total_s == pytest.approx(rapid + 6.04 + 4, abs=1e-5)
    # Lengths over speeds alone: the way across is 74.4 mm long.
    naive = (23 + 53 + np.hypot(60, 44) + 23 + 53 + 75) / 500 + 6 + 4
    assert time.naive_s == pytest.approx(naive)
    assert time.total_s > time.naive_s


def test_without_mass_the_time_is_the_naive_one_but_for_ways_across():
    time = time_of(
        "G98 G82 X0. Y0. Z-28. R2. P0.5 F600.\nX60.\nG80\nG0 Z100.\n", acceleration=1e9, jerk=1e15
    )
    assert time.total_s == pytest.approx(time.naive_s, rel=1e-4)
    assert time.dwell_s == 1.0


def test_a_dwell_and_a_feed_out_take_their_time():
    plain = time_of("G98 G85 X0. Y0. Z-28. R2. F600.\nG80\n")
    dwelt = time_of("G99 G89 X0. Y0. Z-28. R2. P0.4 F600.\nG80\nG0 Z25.\n")
    assert dwelt.dwell_s == 0.4
    assert dwelt.feed_s == pytest.approx(plain.feed_s)
    assert plain.feed_s == pytest.approx(2 * 3.02)


def test_the_spindle_is_waited_for_after_a_stop_and_the_rapids_shorten_the_wait():
    hole = "G98 G81 X0. Y0. Z-28. R2. F600.\nG80\n"
    time = time_of(f"{hole}G0 Z100.\nM9\nM5\nM0\nS6000 M3\nM8\nG0 Z25.\n{hole}")
    # 6000 of 12000 1/min: 1.2 s down before the stop, 1.2 s up after it, less the rapids
    # 100 -> 25 (75 mm, 0.3 s) and 25 -> 2 (23 mm, 0.1945 s) in that time.
    assert time.spindle_s == pytest.approx(1.2 + 1.2 - 0.3 - 0.19452, abs=1e-5)
    assert time.stops == 1


def test_a_tool_drawn_out_with_a_stopped_spindle_waits_for_it_both_ways():
    time = time_of("G98 G86 X0. Y0. Z-28. R2. P0. F600.\nX60.\nG80\n")
    # Each hole 1.2 s to stop; 1.2 s to start again, of which the way to the next hole is free.
    free = axis(60) + axis(23)
    assert time.spindle_s == pytest.approx(2 * 1.2 + (1.2 - free))


def test_overlapping_rapids_save_their_share_of_the_braking():
    blocks = "G98 G81 X0. Y0. Z-28. R2. F600.\nX60.\nG80\n"
    exact, half, full = (time_of(blocks, rapid_overlap=share) for share in (0.0, 0.5, 1.0))
    # Between the holes three rapids follow each other: 53 up, 60 across, 23 down. At each of
    # the two corners the shorter of braking and starting is shared: half of each short move.
    saved = min(axis(53), axis(60)) / 2 + min(axis(60), axis(23)) / 2
    assert exact.rapid_s - full.rapid_s == pytest.approx(saved)
    assert exact.rapid_s - half.rapid_s == pytest.approx(saved / 2)
    assert (exact.feed_s, exact.naive_s) == (full.feed_s, full.naive_s)
