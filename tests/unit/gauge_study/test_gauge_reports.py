"""What a gauge study says, and what it refuses to say. Readings are invented."""

import numpy as np
import pytest

from holewright.errors import InputError, NoAnswerError, OutOfRangeError
from holewright.gauging.feel import fit_feel
from holewright.gauging.gauge_bias import bias_at, linearity, pooled_sd, reading_sd
from holewright.gauging.gauge_study import GaugeStudy, study_by_anova, study_by_ranges, study_table
from holewright.gauging.range_constants import d2
from holewright.gauging.straight_line import fit_line


def invented(parts=10, operators=3, trials=2, seed=1):
    rng = np.random.default_rng(seed)
    return (
        8.005
        + rng.normal(0, 0.003, (parts, 1, 1))
        + rng.normal(0, 0.0003, (1, operators, 1))
        + rng.normal(0, 0.0005, (parts, operators, trials))
    )


def test_given_rows_in_any_order_the_study_is_the_same():
    y = invented()
    rows = [
        (part, operator, y[part, operator, trial])
        for trial in range(2)
        for part in range(10)
        for operator in range(3)
    ]
    again = study_table(*zip(*rows, strict=True))
    np.testing.assert_array_equal(again, y)


def test_ten_per_cent_of_tolerance_is_ten_per_cent_of_tolerance():
    study = GaugeStudy("anova", repeatability=0.00025**2, operator=0, interaction=0, part=1e-6)
    assert study.share_of_tolerance(0.015) == pytest.approx(0.1)
    with pytest.raises(OutOfRangeError, match="width"):
        study.share_of_tolerance(0)


def test_a_gauge_as_coarse_as_its_parts_tells_one_category():
    study = GaugeStudy("anova", repeatability=1e-6, operator=0, interaction=0, part=1e-7)
    assert study.categories == 1


def test_ranges_give_no_interval_of_repeatability():
    with pytest.raises(InputError, match="by anova"):
        study_by_ranges(invented()).repeatability_interval()


def test_both_methods_find_the_gauge_within_a_quarter_on_a_plain_study():
    y = invented()
    by_anova, by_ranges = study_by_anova(y), study_by_ranges(y)
    assert by_ranges.gauge_sd == pytest.approx(by_anova.gauge_sd, rel=0.25)


@pytest.mark.parametrize("method", [study_by_anova, study_by_ranges])
def test_repeats_without_any_scatter_say_the_display_is_too_coarse(method):
    y = np.broadcast_to(np.linspace(8.0, 8.01, 5)[:, None, None], (5, 2, 2))
    with pytest.raises(NoAnswerError, match="too few digits"):
        method(y)


def test_a_master_read_ten_times_alike_says_the_display_is_too_coarse():
    with pytest.raises(NoAnswerError, match="too few digits"):
        bias_at([8.0] * 10, 8.0)


def test_a_gauge_that_reads_a_micron_high_everywhere_has_bias_and_no_linearity():
    masters = np.repeat([8.0, 10.0, 12.0], 4)
    noise = np.tile([0.0001, -0.0001, 0.0002, -0.0002], 3)
    found = linearity(masters + 0.001 + noise, masters)
    assert not found.shown
    assert found.bias_at_ends == pytest.approx((0.001, 0.001), abs=1e-9)


def test_one_master_is_no_range():
    with pytest.raises(OutOfRangeError, match="not the same"):
        linearity([8.001, 8.002, 8.0], [8.0] * 3)


def test_a_line_needs_three_points_and_one_y_for_each_x():
    with pytest.raises(OutOfRangeError, match="at least 3"):
        fit_line([1, 2], [1, 2])
    with pytest.raises(OutOfRangeError, match="as many as the 3"):
        fit_line([1, 2, 3], [1, 2])


def test_pooling_weighs_by_freedom():
    assert pooled_sd([3.0, 4.0], [1, 1]) == pytest.approx(np.sqrt(12.5))
    assert pooled_sd([3.0, 4.0], [1, 0.0001]) == pytest.approx(3.0, abs=1e-3)
    with pytest.raises(OutOfRangeError, match="freedom"):
        pooled_sd([3.0], [0])


def test_a_single_repeat_a_day_leaves_the_short_spread_inside_the_days():
    # With J = 1 each daily mean is one reading: its spread is in level 2 already.
    assert reading_sd(5.0, 3.0, 4.0, repeats=1, days_a_run=1) == pytest.approx(4.0)


def test_a_range_of_one_value_is_no_range():
    with pytest.raises(OutOfRangeError, match="from 2 to 100"):
        d2(1)


def test_a_hand_that_answers_the_wrong_way_round_is_told_so():
    with pytest.raises(NoAnswerError, match="swap goes and not"):
        fit_feel([-0.001, 0.0, 0.001], [9, 5, 1], 10)


def test_more_goes_than_trials_is_refused():
    with pytest.raises(OutOfRangeError, match="from 0 to trials"):
        fit_feel([0.0, 0.001], [3, 11], 10)
