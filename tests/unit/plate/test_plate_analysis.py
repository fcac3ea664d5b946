"""What the holes of a plate show: size, chips, finish, the setting to run, what stays unseen."""

from __future__ import annotations

import math

import numpy as np
import pytest

from holewright.callout.callout import Limits
from holewright.errors import InputError, NoAnswerError
from holewright.gauging.reading import Reading
from holewright.gauging.reading_interval import hole_sizes
from holewright.plate.analyse import analyse
from holewright.plate.chip_form import CHIP_FORMS, ChipForm, fit_ordinal
from holewright.plate.effects import Cuts, size_effects, size_of_setting
from holewright.plate.factors import Factor, FactorKind
from holewright.plate.finish import fit_finish
from holewright.plate.layout import Order, lay_out
from holewright.plate.plate import RowResult
from holewright.plate.recommend import recommend
from holewright.shop.pin import BoreGauge, InstrumentKind, Pin, Sense
from holewright.shop.shop import Shop
from holewright.uncertainty import Known, Tag
from holewright.units import Unit

LIMITS = Limits(8.000, 8.015)
FEED = Factor(FactorKind.FEED, (0.7, 0.85, 1.0, 1.15, 1.3))
SPEED = Factor(FactorKind.SPEED, (0.8, 1.2))
HOLDER = Factor(FactorKind.HOLDER, ("hydraulic", "collet"))
U = 0.0004


def shop(pins=(7.998, 8.0022, 8.0046, 8.0083, 8.0131)):
    known = [Known(size, Tag.MEASURED, "certificate", U) for size in pins]
    gauge = BoreGauge("bore", InstrumentKind.THREE_POINT, Known(0.0005, Tag.MEASURED), 0.0001)
    return Shop(
        name="bench",
        machines=(),
        holders=(),
        drills=(),
        reamers=(),
        pins=tuple(Pin(f"{k.value:.4f}", k.value, Sense.PLUS, "", k) for k in known),
        bore_gauges=(gauge,),
    )


def cut(
    factors, mean_of, *, a_row=12, order=Order.BLOCKS, drift=-1e-5, sd=0.0013, seed=3, room=None
):
    """Return what pins say of a plate whose holes have these mean sizes."""
    from holewright.plate.designs import full_factorial

    room = room or shop()
    settings = full_factorial(factors)
    layout = lay_out(len(settings), a_row, pitch=16, order=order)
    rng = np.random.default_rng(seed)
    readings, by_hole, place = [], {}, {}
    for hole in layout.holes:
        setting = settings[hole.row]
        size = mean_of(*setting) + drift * hole.cut + sd * rng.standard_normal()
        by_hole[hole.name], place[hole.name] = setting, hole.cut
        for pin in room.pins:
            goes = bool(size >= pin.calibrated.value)
            readings.append(Reading(hole.name, pin.id, goes=goes))
            if not goes:
                break
    holes, _ = hole_sizes(readings, room, material_alpha=11.5e-6)
    return holes, Cuts(tuple(factors), by_hole, place)


def by_feed(level):
    return 8.007 + 0.002 * (level - 1) / 0.3


@pytest.fixture(scope="module")
def feed_plate():
    return cut((FEED,), by_feed)


def effect(found, name):
    return next(one for one in found.effects if one.name == name)


def test_the_effect_of_feed_comes_out_of_pin_readings(feed_plate):
    found = size_effects(*feed_plate, scatter=0.0025)
    feed = effect(found, "feed")
    true = 0.002 / 3  # 2 µm in 30 %: 0.667 µm per 10 %
    assert feed.lower < true < feed.upper
    assert feed.shown
    assert "10 % of the planned feed more makes the hole" in feed.sentence
    assert "larger" in feed.sentence


def test_level_by_level_the_means_lie_about_the_line(feed_plate):
    means = size_effects(*feed_plate, scatter=0.0025).means
    assert [mean.level for mean in means] == [f"feed {p} %" for p in (70, 85, 100, 115, 130)]
    assert [mean.holes for mean in means] == [12] * 5
    for mean in means:
        drift = -1e-5 * 30.5
        assert mean.lower < by_feed(mean.place) + drift < mean.upper


def test_drift_is_told_apart_from_the_settings():
    # Row by row, and a reamer that loses 6 µm over the plate: without drift in the fit the last
    # row would be 5 µm smaller by "feed".
    holes, cuts = cut((FEED,), lambda level: 8.010, order=Order.ROWS, drift=-1e-4)
    found = size_effects(holes, cuts, scatter=0.0025)
    assert not effect(found, "feed").shown
    assert found.drift.lower < -1e-4 * 59 < found.drift.upper
    shuffled = size_effects(*cut((FEED,), lambda level: 8.010, drift=-1e-4), scatter=0.0025)
    assert shuffled.drift.lower < -1e-4 * 59 < shuffled.drift.upper < 0
    width = {
        "rows": effect(found, "feed").upper - effect(found, "feed").lower,
        "blocks": effect(shuffled, "feed").upper - effect(shuffled, "feed").lower,
    }
    assert width["rows"] > 3 * width["blocks"]


def test_names_are_held_against_the_first():
    holes, cuts = cut(
        (HOLDER,), lambda name: 8.006 + (0.003 if name == "collet" else 0.0), a_row=30
    )
    found = size_effects(holes, cuts, scatter=0.0025)
    collet = effect(found, "holder = collet")
    assert collet.lower < 0.003 < collet.upper
    assert "Holder collet instead of holder hydraulic makes the hole" in collet.sentence


def test_a_curve_is_noticed_where_there_is_one():
    holes, cuts = cut((FEED,), lambda level: 8.004 + 0.09 * (level - 1) ** 2, a_row=20)
    found = size_effects(holes, cuts, scatter=0.0025)
    assert "not-a-line" in [reason.code for reason in found.noted]


def test_pairs_of_factors_are_looked_at_where_holes_allow_it():
    factors = (Factor(FactorKind.FEED, (0.8, 1.2)), SPEED)

    def both(feed, speed):
        return 8.007 + 0.003 * (feed - 1) / 0.2 * (speed - 1) / 0.2

    found = size_effects(*cut(factors, both, a_row=15), scatter=0.0025)
    pair = effect(found, "feed with speed")
    # A step is 10 % of each: 0.003 in two steps of both, so 0.00075 for one of both.
    assert pair.lower < 0.00075 < pair.upper
    assert pair.shown
    corner = size_of_setting(found, factors, (1.2, 1.2))
    assert corner.value == pytest.approx(8.010 - 1e-5 * 30.5, abs=0.0012)


def test_pins_too_coarse_for_a_spread_still_show_that_rows_differ():
    # One pin at the size: holes go or don't. The forecast's scatter turns shares into sizes.
    room = shop(pins=(8.0075,))
    holes, cuts = cut(
        (HOLDER,), lambda name: 8.0075 + (0.003 if name == "collet" else 0.0), a_row=40, room=room
    )
    found = size_effects(holes, cuts, scatter=0.0013)
    assert "scatter-assumed" in [reason.code for reason in found.noted]
    assert effect(found, "holder = collet").shown


def test_a_setting_that_no_pin_can_tell_anything_of_is_no_answer():
    holes, cuts = cut((HOLDER,), lambda name: 8.2, room=shop(pins=(8.0, 8.01)))
    with pytest.raises(NoAnswerError, match="one side of all pins"):
        size_effects(holes, cuts, scatter=0.0025)


def test_a_hole_that_is_not_on_the_plate_is_refused():
    holes, cuts = cut((HOLDER,), lambda name: 8.007)
    settings = {name: s for name, s in cuts.settings.items() if name != "A1"}
    with pytest.raises(InputError, match="hole = A1: must be a hole of the plate"):
        size_effects(holes, Cuts(cuts.factors, settings, cuts.cut), scatter=0.0025)


def test_one_measured_hole_at_each_setting_is_judged_by_the_effects_themselves():
    # The eddy-current study again, as bore-gauge readings: thousandths over 8 mm.
    kinds = (FactorKind.FEED, FactorKind.SPEED, FactorKind.DEPTH)
    factors = tuple(Factor(kind, (0.8, 1.2)) for kind in kinds)
    values = [1.70, 4.57, 0.55, 3.39, 1.51, 4.59, 0.67, 4.29]
    settings = {
        str(i): tuple(f.levels[i >> k & 1] for k, f in enumerate(factors)) for i in range(8)
    }
    cuts = Cuts(factors, settings, {str(i): [5, 2, 7, 4, 1, 8, 3, 6][i] for i in range(8)})
    readings = [Reading(str(i), "bore", size=8 + v / 1000) for i, v in enumerate(values)]
    holes, _ = hole_sizes(readings, shop(), material_alpha=11.5e-6)
    result = analyse(holes, cuts, LIMITS, scatter=0.001, inside=0.99)
    said = next(r for r in result.noted if r.code == "judged-by-themselves")
    assert said.value == pytest.approx(1.298622e-3, rel=1e-5)
    assert "stand feed;" in said.text


def row(words="feed 100 %", inside=0.999, chips=None, within=None, speed=1.0):
    return RowResult(
        (speed,),
        words,
        12,
        8.007,
        8.006,
        8.008,
        inside,
        chips,
        0.6 if within else None,
        within,
        speed,
    )


def test_of_good_settings_the_fastest_is_run():
    choice = recommend(
        [row(), row("feed 130 %", speed=1.3), row("feed 70 %", speed=0.7)], inside=0.99
    )
    assert choice.row == 1
    assert choice.sentence.startswith("Run feed 130 %.")
    assert "a plate doesn't release a job" in choice.sentence


def test_chips_come_before_finish_and_finish_before_size():
    rows = [
        row(),
        row("feed 70 %", chips=0.5, within=0.2, inside=0.5, speed=0.7),
        row("feed 130 %", within=0.6, inside=0.5, speed=1.3),
        row("feed 85 %", inside=0.9, speed=0.85),
    ]
    choice = recommend(rows, inside=0.99)
    assert choice.row == 0
    assert [reason.code for reason in choice.because] == [
        "fastest-of-the-good",
        "chips",
        "finish",
        "size",
    ]


def test_where_none_is_good_enough_none_is_recommended():
    choice = recommend([row(chips=0.3), row("feed 130 %", chips=0.6)], inside=0.99)
    assert choice.row is None
    assert choice.sentence.startswith("No setting of this plate is good enough")


def test_a_setting_that_misses_what_is_asked_is_not_sold_as_good():
    choice = recommend([row(inside=0.95)], inside=0.99)
    assert "only 95.0 % are inside" in choice.sentence
    assert "99 % is asked" in choice.sentence


def test_the_result_says_what_it_did_not_show(feed_plate):
    result = analyse(*feed_plate, LIMITS, scatter=0.0025, inside=0.99, ra_most=0.8)
    said = " ".join(result.not_shown)
    assert "only feed was varied" in said
    assert "after hole 60" in said
    assert "chips did: nobody noted them" in said
    assert "finish that the drawing asks for: nobody measured it" in said


def test_a_plate_cut_row_by_row_says_so_at_the_end():
    holes, cuts = cut((FEED,), by_feed, order=Order.ROWS)
    result = analyse(holes, cuts, LIMITS, scatter=0.0025, inside=0.99)
    assert any("Shuffle the order next time" in line for line in result.not_shown)


def test_chips_and_finish_count_in_the_choice(feed_plate):
    holes, cuts = feed_plate
    slow = {name for name, (feed,) in cuts.settings.items() if feed < 1}
    rng = np.random.default_rng(5)
    chips = {
        name: (ChipForm.NEST if rng.random() < 0.8 else ChipForm.LOOSE)
        if name in slow
        else (ChipForm.TIGHT if rng.random() < 0.9 else ChipForm.LOOSE)
        for name in cuts.settings
    }
    ra = {
        name: 0.5 * math.exp(1.6 * (feed - 1) + 0.05 * rng.standard_normal())
        for name, (feed,) in list(cuts.settings.items())[::3]
    }
    result = analyse(
        holes, cuts, LIMITS, scatter=0.0025, inside=0.99, chips=chips, ra=ra, ra_most=0.8
    )
    assert result.rows[result.recommended].words == "feed 115 %"
    assert "tighter" in result.chips[0].sentence
    assert result.finish[0].shown
    assert "changes Ra by +1" in result.finish[0].sentence


def test_chips_that_never_vary_have_no_effect_to_tell():
    with pytest.raises(NoAnswerError, match="all 6 holes gave loose chips"):
        fit_ordinal(["loose"] * 6, np.arange(6.0), CHIP_FORMS)
    with pytest.raises(InputError, match="chips = curly"):
        fit_ordinal(["curly"], np.arange(1.0), CHIP_FORMS)


def test_chips_that_a_setting_parts_without_exception_have_no_number():
    words = ["nest"] * 5 + ["tight curl"] * 5
    with pytest.raises(NoAnswerError, match="without exception"):
        fit_ordinal(words, np.repeat([0.0, 1.0], 5), CHIP_FORMS)


def test_too_few_ra_values_are_said_by_number():
    with pytest.raises(NoAnswerError, match="measured in 3 holes, 5 are needed"):
        fit_finish([0.4, 0.5, 0.6], np.array([[1.0, 1], [1.2, 2], [1.3, 4]]))


def test_an_inch_shop_reads_tenths(feed_plate):
    found = size_effects(*feed_plate, scatter=0.0025, unit=Unit.INCH)
    assert "tenths" in effect(found, "feed").sentence


@pytest.mark.slow
def test_the_interval_of_the_feed_effect_covers_as_often_as_it_says():
    """300 simulated plates of 60 holes, pins with their own errors drawn anew for each."""
    rng = np.random.default_rng(31)
    named = shop()
    covered = 0
    trials = 300
    for seed in range(trials):
        true = tuple(pin.calibrated.value + U * rng.standard_normal() for pin in named.pins)
        holes, cuts = cut((FEED,), by_feed, seed=seed + 100, room=shop(true))
        # The analyst knows the certificates, not the true sizes.
        by_id = {f"{t:.4f}": pin.id for t, pin in zip(true, named.pins, strict=True)}
        readings = [
            Reading(h.hole, by_id[m.reading.gauge], goes=m.reading.goes)
            for h in holes
            for m in (*h.goes, *h.stops)
        ]
        seen, _ = hole_sizes(readings, named, material_alpha=11.5e-6)
        feed = effect(size_effects(seen, cuts, scatter=0.0025), "feed")
        covered += feed.lower <= 0.002 / 3 <= feed.upper
    # 95 % of 300 within three standard errors of a share, 11 plates.
    assert abs(covered - 0.95 * trials) <= 11, covered
