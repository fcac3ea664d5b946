"""Factors, layouts, orders and their price, and how many holes a row it takes."""

from __future__ import annotations

import math

import numpy as np
import pytest

from holewright.errors import InputError, NoAnswerError, OutOfRangeError
from holewright.gauging.known_scatter import fit_known_scatter
from holewright.gauging.rows import rows_of
from holewright.gauging.shared_pins import fit_model
from holewright.gauging.size_model import SizeModel
from holewright.gauging.statement import difference, root_at, root_for
from holewright.plate.columns import columns_of, model_matrix
from holewright.plate.designs import d_optimal, fractional_factorial, full_factorial
from holewright.plate.factors import ChangedBy, Factor, FactorKind, changes, setting_words
from holewright.plate.layout import Order, lay_out, price_of_order, row_name, usual_pitch, widening
from holewright.plate.power import holes_a_row, pin_information, se_of_contrast
from holewright.units import Unit

FEED = Factor(FactorKind.FEED, (0.70, 0.85, 1.0, 1.15, 1.30))
SPEED = Factor(FactorKind.SPEED, (0.8, 1.2))
STOCK = Factor(FactorKind.STOCK, (0.15, 0.25))
HOLDER = Factor(FactorKind.HOLDER, ("hydraulic 12", "collet 32"))


def test_levels_are_said_as_the_shop_says_them():
    assert FEED.words(1.15) == "feed 115 %"
    assert STOCK.words(0.25) == "stock 0.25 mm"
    assert STOCK.words(0.254, Unit.INCH) == "stock .0100 in"
    assert setting_words((FEED, HOLDER), (0.7, "collet 32")) == "feed 70 %, holder collet 32"


@pytest.mark.parametrize(
    ("kind", "levels", "said"),
    [
        (FactorKind.FEED, (1.0,), "two or more"),
        (FactorKind.FEED, (1.0, 1.0), "each once"),
        (FactorKind.FEED, (1.0, "fast"), "must be a number of more than 0"),
        (FactorKind.FEED, (1.0, -0.5), "must be a number of more than 0"),
        (FactorKind.HOLDER, ("a", 1.0), "must be a name"),
    ],
)
def test_levels_that_make_no_sense_are_refused(kind, levels, said):
    with pytest.raises(InputError, match=said):
        Factor(kind, levels)


def test_every_row_has_one_setting_and_every_hole_its_place():
    plate = lay_out(5, 12, pitch=16.0, order=Order.BLOCKS)
    assert len(plate.holes) == 60
    assert plate.size == (176.0, 64.0)
    assert sorted(hole.cut for hole in plate.holes) == list(range(1, 61))
    assert {hole.name for hole in plate.holes} >= {"A1", "E12"}
    assert len({(hole.x, hole.y) for hole in plate.holes}) == 60


def test_each_block_holds_each_row_once():
    rows = lay_out(5, 12, pitch=16.0, order=Order.BLOCKS).rows.reshape(12, 5)
    assert (np.sort(rows, axis=1) == np.arange(5)).all()
    assert len({tuple(block) for block in rows}) > 1  # and not always in one order


def test_the_same_seed_lays_out_the_same_plate_and_another_another():
    one = lay_out(5, 12, pitch=16.0, order=Order.RANDOM, seed=3)
    assert one == lay_out(5, 12, pitch=16.0, order=Order.RANDOM, seed=3)
    assert one.rows.tolist() != lay_out(5, 12, pitch=16.0, order=Order.RANDOM, seed=4).rows.tolist()


def test_rows_past_z_go_on_as_in_a_spreadsheet():
    assert [row_name(i) for i in (0, 25, 26, 27)] == ["A", "Z", "AA", "AB"]


def test_holes_stand_two_diameters_apart():
    assert usual_pitch(8.0) == 16.0
    assert usual_pitch(7.9375) == 16.0
    assert usual_pitch(7.9375, Unit.INCH) == pytest.approx(0.625 * 25.4)


def test_row_by_row_makes_drift_look_like_an_effect():
    # By hand: 5 rows of 12, feed rising row by row. Of the order, the variance between rows is
    # 12² (5² - 1)/12 = 288, that of all 60 places (60² - 1)/12 = 299.9: R² = .9603, five times.
    rows = lay_out(5, 12, pitch=16.0, order=Order.ROWS)
    x = np.array([[FEED.levels[row]] for row in rows.rows])
    assert widening(x)[0] == pytest.approx(1 / math.sqrt(1 - 288 / ((60**2 - 1) / 12)), rel=1e-12)
    blocks = lay_out(5, 12, pitch=16.0, order=Order.BLOCKS)
    assert widening(np.array([[FEED.levels[row]] for row in blocks.rows]))[0] < 1.02


def test_the_price_of_an_order_is_said_in_time_and_in_knowledge():
    def price(order, factors):
        settings = full_factorial(factors)
        layout = lay_out(len(settings), 6, pitch=16.0, order=order)
        x = model_matrix(factors, [settings[r] for r in layout.rows], intercept=False)
        return price_of_order(layout, factors, settings, x, drift=-2e-5, change_s=30)

    by_rows = price(Order.ROWS, (FEED,))
    assert "the program makes every change, no time is lost" in by_rows.text
    assert "times as wide" in by_rows.text
    assert by_rows.value > 4
    by_blocks = price(Order.BLOCKS, (FEED, HOLDER))
    assert "changes by hand" in by_blocks.text
    assert "Drift falls on all rows alike" in by_blocks.text
    assert price(Order.ROWS, (FEED, HOLDER)).value > by_blocks.value


def test_changes_are_counted_by_what_they_take():
    settings = [("R 1", "a"), ("R 2", "a"), ("R 2", "b"), ("R 1", "a")]
    factors = (Factor(FactorKind.REAMER, ("R 1", "R 2")), Factor(FactorKind.HOLDER, ("a", "b")))
    found = changes(factors, settings)
    assert found == {ChangedBy.PROGRAM: 0, ChangedBy.TOOL_CHANGE: 2, ChangedBy.HAND: 2}
    assert changes((STOCK,), [(0.15,), (0.25,)])[ChangedBy.TOOL_CHANGE] == 0


def test_a_full_plate_holds_every_combination_once():
    settings = full_factorial((FEED, SPEED, HOLDER))
    assert len(settings) == len(set(settings)) == 20


def test_a_half_says_what_it_cannot_tell_apart():
    depth = Factor(FactorKind.DEPTH, (10.0, 20.0))
    half = fractional_factorial((SPEED, STOCK, depth), 1)
    assert half.resolution == 3
    assert ("depth", "speed with stock") in half.aliases
    assert len(half.settings) == 4
    with pytest.raises(InputError, match="must be two in a fraction"):
        fractional_factorial((FEED, SPEED, STOCK), 1)
    with pytest.raises(InputError, match="must be one of"):
        fractional_factorial((SPEED, STOCK, depth), 2)


def test_too_few_holes_for_the_effects_are_refused():
    with pytest.raises(OutOfRangeError, match="at least 3"):
        d_optimal(np.column_stack([np.ones(8), np.arange(8), np.arange(8) ** 2]), 2)
    with pytest.raises(InputError, match="can be told apart"):
        d_optimal(np.ones((8, 2)), 4)


def test_names_get_a_column_each_and_numbers_one():
    names = [c.name for c in columns_of((FEED, HOLDER))]
    assert names == ["feed", "holder = collet 32"]
    x = model_matrix((FEED, HOLDER), [(0.7, "hydraulic 12"), (1.3, "collet 32")])
    assert x.tolist() == [[1, -1, 0], [1, 1, 1]]


def test_one_pin_at_the_size_tells_two_thirds_of_what_a_measured_size_would():
    # 2/pi of the information about the mean, if the scatter is known: a classical number.
    information, _ = pin_information(8.0, 0.002, [8.0])
    assert information[0, 0, 0] == pytest.approx(2 / math.pi, rel=1e-12)
    assert information[0, 0, 1] == pytest.approx(0, abs=1e-12)


def test_pins_close_together_tell_all_and_far_apart_nothing():
    fine, _ = pin_information(8.0, 0.002, np.arange(7.99, 8.01, 0.0001))
    assert fine[0, 0, 0] == pytest.approx(1, rel=1e-3)
    assert fine[0, 1, 1] == pytest.approx(2, rel=2e-3)
    coarse, _ = pin_information(8.0, 0.002, [7.99, 8.01])
    assert coarse[0, 0, 0] < 1e-4


def test_information_is_the_curvature_that_simulated_holes_show():
    rng = np.random.default_rng(8)
    pins = np.array([7.998, 8.001, 8.004])
    size = 8.0 + 0.002 * rng.standard_normal(20_000)
    bounds = np.concatenate([[-np.inf], pins, [np.inf]])
    cell = np.searchsorted(pins, size)
    from holewright.gauging.interval_fit import fit_intervals

    fit = fit_intervals(bounds[cell], bounds[cell + 1])
    information, prior = pin_information(np.full(20_000, 8.0), 0.002, pins)
    se = se_of_contrast(np.ones((20_000, 1)), [1.0], information, prior)
    assert fit.se_mean == pytest.approx(0.002 * se, rel=0.02)


def test_coarser_pins_and_more_scatter_ask_for_more_holes():
    def need(step, sd, **more):
        pins = 8.0 + step * np.arange(-3, 7)
        return holes_a_row(0.003, sd, pins, rows=5, mean=8.0073, u_mean=0.003, **more)

    usual = need(0.010, 0.0025)
    assert need(0.004, 0.0025).a_row < usual.a_row < need(0.010, 0.004).a_row
    assert usual.by_size < usual.a_row
    assert usual.at_pin < usual.between
    assert need(0.010, 0.0025, order=Order.ROWS).a_row > usual.a_row


def test_a_difference_that_no_number_of_holes_shows_is_said():
    with pytest.raises(NoAnswerError, match="pins that stand closer together"):
        holes_a_row(0.0005, 0.003, [8.0, 8.01], rows=5, mean=8.005, u_mean=0.001)


def seen(rng, n, pins, mean, sd, difference_mm):
    """Return whether one simulated plate of five rows shows that its second row differs."""
    layout = lay_out(5, n, pitch=16.0, order=Order.BLOCKS)
    row = layout.rows
    size = mean + difference_mm * np.where(row == 1, 0.5, -0.5) - 1e-5 * np.arange(row.size)
    size = size + sd * rng.standard_normal(row.size)
    bounds = np.concatenate([[-np.inf], pins, [np.inf]])
    cell = np.searchsorted(pins, size)
    x = np.column_stack([*(row == i for i in range(1, 5)), np.arange(row.size)]).astype(float)
    none = np.full(row.size, -1)
    rows = rows_of(bounds[cell], bounds[cell + 1], 1)
    names = ("B", "C", "D", "E", "order")
    model = SizeModel(rows, none, none, (), np.empty(0), np.empty(0), names, x)
    try:
        fit = fit_model(model)
    except NoAnswerError:
        fit = fit_known_scatter(model, sd)
    return abs(root_at(difference(fit, {"B": 1.0}), 0.0)) > root_for(fit, 0.975)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("step", "sd", "mean"),
    [(0.010, 0.0025, 8.0), (0.005, 0.0025, 8.0025), (0.010, 0.004, 8.005)],
)
def test_the_holes_a_row_give_the_power_that_was_asked_for(step, sd, mean):
    pins = 8.0 + step * np.arange(-3, 7)
    n = holes_a_row(0.003, sd, pins, rows=5, mean=mean, u_mean=1e-6).a_row
    rng = np.random.default_rng(4)
    trials = 400
    hits = sum(seen(rng, n, pins, mean, sd, 0.003) for _ in range(trials))
    # 80 % asked; three standard errors are 6 %. Coarse pins and few holes may do a little better.
    assert 0.74 <= hits / trials <= 0.90, (n, hits / trials)
    false = sum(seen(rng, n, pins, mean, sd, 0.0) for _ in range(trials))
    assert false / trials <= 0.05 + 0.033, false / trials
