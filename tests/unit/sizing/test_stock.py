"""Stock left for the reamer."""

from __future__ import annotations

import numpy as np
import pytest

from holewright.errors import OutOfRangeError
from holewright.shop.reamer import ReamerKind
from holewright.sizing.stock import least_per_side, least_to_clean_up, stock_range


def test_practice_gives_a_range_and_names_each_source() -> None:
    """5 to 20 mm: 0.2 to 0.3 on diameter, metric trade-school theory; HSS 5-10: 0.15 to 0.20."""
    stock = stock_range(ReamerKind.HSS, 8.0, light_metal=False)
    assert stock.least == pytest.approx(0.15)
    assert stock.most == pytest.approx(0.406)
    assert 0.2 <= stock.usual <= 0.3
    assert len(stock.sources) == 3


def test_light_metals_take_half_as_much_again() -> None:
    steel = stock_range(ReamerKind.HSS, 8.0, light_metal=False)
    light = stock_range(ReamerKind.HSS, 8.0, light_metal=True)
    assert light.most == pytest.approx(1.5 * steel.most)


def test_a_size_beyond_all_sources_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match="diameter"):
        stock_range(ReamerKind.HSS, 501.0, light_metal=False)


def test_the_worked_example_of_the_clean_up_model() -> None:
    """Rz 10 + roundness 10/2 + 2 x edge radius 15 = 45 um a side.

    Hand calculation; the handbook's example of 70 um adds 20 um of axis error and a roundness
    of 20 um, which here come off the stock and halve.
    """
    assert least_to_clean_up(0.010, 0.010, 0.015) == pytest.approx(0.045)


def test_the_thinner_side_loses_what_the_reamer_does_not_follow() -> None:
    rigid, slim = least_per_side(8.0, 7.8, 0.03, np.array([0.0, 1.0]))
    assert rigid == pytest.approx(0.07)
    assert slim == pytest.approx(0.10)
