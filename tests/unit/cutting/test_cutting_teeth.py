"""Teeth of unequal height: readings taken apart, load shared, feeds below which one idles."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from holewright.cutting.chip import chip_thickness_by_tooth, greatest_runout
from holewright.cutting.tooth_load import least_feed_by_tooth, load_by_tooth, most_loaded
from holewright.cutting.tooth_readings import separate_by_turning, separate_readings
from holewright.errors import OutOfRangeError

UNEVEN = np.radians([0.0, 54.0, 126.0, 180.0, 234.0, 306.0])
EVEN = 2 * np.pi * np.arange(6) / 6
# Two teeth up, two down, in an order that has no part going once around.
ALTERNATING = 0.003 * np.array([1.0, -1.0, 1.0, -1.0, 1.0, -1.0])

heights = st.lists(st.floats(-0.05, 0.05, allow_subnormal=False), min_size=4, max_size=10).map(
    np.array
)


class TestReadings:
    """One reading an edge."""

    @pytest.mark.parametrize("psi", [EVEN, UNEVEN], ids=["even", "uneven"])
    def test_what_was_put_in_comes_out(self, psi: np.ndarray) -> None:
        """Exact: the edge errors are chosen without a part that looks like eccentricity."""
        design = np.stack([np.ones(6), np.cos(psi), np.sin(psi)], axis=-1)
        error = ALTERNATING - design @ np.linalg.lstsq(design, ALTERNATING, rcond=None)[0]
        readings = 0.100 + 0.008 * np.cos(psi - 1.2) + error
        found = separate_readings(readings, spacing=psi)
        assert found.mean == pytest.approx(0.100)
        assert found.eccentricity == pytest.approx(0.008)
        assert found.high_side == pytest.approx(1.2)
        assert found.tooth_error == pytest.approx(error)
        assert found.tir == pytest.approx(0.016)

    @given(heights, st.floats(-1.0, 1.0))
    def test_parts_add_up_and_the_zero_of_the_dial_does_not_matter(
        self, readings: np.ndarray, zero: float
    ) -> None:
        found, shifted = separate_readings(readings), separate_readings(readings + zero)
        psi = 2 * np.pi * np.arange(readings.size) / readings.size
        again = found.mean + found.eccentricity * np.cos(psi - found.high_side)
        assert again + found.tooth_error == pytest.approx(readings, abs=1e-12)
        assert sum(found.tooth_error) == pytest.approx(0.0, abs=1e-12)
        assert np.dot(found.tooth_error, np.cos(psi)) == pytest.approx(0.0, abs=1e-12)
        assert np.dot(found.tooth_error, np.sin(psi)) == pytest.approx(0.0, abs=1e-12)
        assert shifted.tooth_error == pytest.approx(found.tooth_error, abs=1e-12)
        assert shifted.eccentricity == pytest.approx(found.eccentricity, abs=1e-12)

    def test_beginning_with_another_edge_turns_the_answer_and_changes_nothing_else(self) -> None:
        readings = np.array([0.010, 0.004, 0.001, 0.006, 0.003, 0.008])
        found, rolled = separate_readings(readings), separate_readings(np.roll(readings, -1))
        assert rolled.eccentricity == pytest.approx(found.eccentricity)
        assert (found.high_side - rolled.high_side) % (2 * np.pi) == pytest.approx(np.pi / 3)
        assert rolled.tooth_error == pytest.approx(np.roll(found.tooth_error, -1))

    def test_uncertainty_of_the_eccentricity_falls_with_the_root_of_the_edges(self) -> None:
        """sqrt(2 / N) of that of a reading, for even teeth."""
        four = separate_readings([0.01, 0.0, 0.0, 0.0], u=0.001).u_eccentricity
        eight = separate_readings([0.01, *7 * [0.0]], u=0.001).u_eccentricity
        assert (four, eight) == pytest.approx((0.001 * 0.5**0.5, 0.001 * 0.5))

    def test_three_edges_leave_nothing_to_tell_apart(self) -> None:
        assert separate_readings([0.010, 0.0, 0.0]).uneven == pytest.approx(0.0, abs=1e-15)

    def test_a_simulated_indicator_is_read_within_its_uncertainty(self) -> None:
        """1000 tools, 1 µm of reading error: 95 % of the eccentricities within 2 u, 93 to 97."""
        rng = np.random.default_rng(7)
        inside = 0
        for _ in range(1000):
            readings = 0.010 * np.cos(EVEN - 0.5) + rng.normal(0.0, 0.001, 6)
            found = separate_readings(readings, u=0.001)
            inside += abs(found.eccentricity - 0.010) < 1.96 * found.u_eccentricity
        assert 930 <= inside <= 970

    @pytest.mark.parametrize(
        ("readings", "match"), [([0.0, 0.1], "3 edges"), ([0.0, 0.1, np.nan], "finite")]
    )
    def test_readings_that_tell_nothing_are_refused(
        self, readings: list[float], match: str
    ) -> None:
        with pytest.raises(OutOfRangeError, match=match):
            separate_readings(readings)


class TestTurnedInItsHolder:
    """A second set of readings tells the holder's part from the tool's."""

    @pytest.mark.parametrize("turned", [np.pi, np.pi / 3, -1.0])
    @pytest.mark.parametrize("psi", [EVEN, UNEVEN], ids=["even", "uneven"])
    def test_both_parts_come_out_even_a_bent_tool(self, psi: np.ndarray, turned: float) -> None:
        tool = 0.005 * np.cos(psi - 2.0) + ALTERNATING
        first = 0.2 + tool + 0.009 * np.cos(psi - 0.7)
        second = 0.5 + tool + 0.009 * np.cos(psi + turned - 0.7)
        found = separate_by_turning(first, second, turned, spacing=psi)
        assert found.holder_eccentricity == pytest.approx(0.009)
        assert found.holder_high_side == pytest.approx(0.7)
        alone = separate_readings(tool, spacing=psi)
        assert found.tool.eccentricity == pytest.approx(alone.eccentricity)
        assert found.tool.tooth_error == pytest.approx(alone.tooth_error)

    def test_a_tool_that_was_not_turned_tells_nothing(self) -> None:
        with pytest.raises(OutOfRangeError, match="turned"):
            separate_by_turning([0.0] * 4, [0.0] * 4, 2 * np.pi)

    def test_another_number_of_readings_is_refused(self) -> None:
        with pytest.raises(OutOfRangeError, match="as many as the first"):
            separate_by_turning([0.0] * 4, [0.0] * 5, np.pi)


class TestLoad:
    """How unevenly the teeth work."""

    @pytest.mark.parametrize(
        ("f", "low", "high"),
        [pytest.param(0.12, 10.6, 17.7, id="low feed"), pytest.param(0.6, 67.2, 74.2, id="high")],
    )
    def test_chips_under_10_um_of_runout(self, f: float, low: float, high: float) -> None:
        """N 6, 45°, TIR 10 µm, rigid: printed 10.6 to 17.7 µm, and 67 to 74; own table.

        The worst place of the high side, for six teeth, is at a tooth.
        """
        h = 1000 * chip_thickness_by_tooth(f, 45.0, tooth_error=np.zeros(6), eccentricity=0.005)
        assert (h.min(), h.max()) == pytest.approx((low, high), abs=0.05)

    def test_the_most_loaded_tooth_carries_less_than_its_chip_says(self) -> None:
        h = chip_thickness_by_tooth(0.12, 45.0, tooth_error=np.zeros(6), eccentricity=0.005)
        assert 1 < most_loaded(h, 0.25) < h.max() / h.mean()
        assert most_loaded(h, 0.0) == pytest.approx(h.max() / h.mean())

    def test_shares_add_up_and_one_tooth_can_do_it_all(self) -> None:
        assert load_by_tooth([[0.1, 0.2], [0.0, 0.0]], 0.2).sum(axis=-1) == pytest.approx([1, 0])
        assert most_loaded([0.1, 0.0, 0.0, 0.0], 0.2) == 4

    @given(heights, st.sampled_from([15.0, 30.0, 45.0, 75.0]))
    def test_an_edge_idles_below_its_feed_and_cuts_above_it(
        self, error: np.ndarray, KAPR: float
    ) -> None:
        least = least_feed_by_tooth(KAPR, tooth_error=error)
        for i in np.flatnonzero(least > 1e-9):
            above, below = (
                chip_thickness_by_tooth(factor * least[i], KAPR, tooth_error=error)[i]
                for factor in (1.001, 0.999)
            )
            assert above > 0
            assert below == 0

    @pytest.mark.parametrize("teeth", [4, 6, 8])
    def test_all_cut_from_the_feed_at_which_the_runout_is_the_greatest_allowed(
        self, teeth: int
    ) -> None:
        tir = float(greatest_runout(0.05, 30.0, teeth))
        # That rule takes the worst place of the high side.
        sides = np.linspace(0, 2 * np.pi, 721)
        worst = least_feed_by_tooth(
            30.0, tooth_error=np.zeros((721, teeth)), eccentricity=tir / 2, high_side=sides
        ).max()
        assert worst == pytest.approx(0.05 * teeth, rel=1e-3)

    def test_a_least_chip_asks_for_more_feed(self) -> None:
        feeds = [
            least_feed_by_tooth(45.0, tooth_error=np.zeros(4), h_least=h).max()
            for h in (0.0, 0.003)
        ]
        assert feeds == pytest.approx([0.0, 4 * 0.003 * 2**0.5])
