"""Chip form, a heuristic: it must at least point the right way."""

from __future__ import annotations

import numpy as np
import pytest

from holewright.cutting.chip_form import KINDS, ChipKind, breaking_feed, bulk_of, chip_kind
from holewright.shop.material import ChipClass


def kind(f_z: float, a_p: float, KAPR: float, chips: ChipClass) -> ChipKind:
    sin = np.sin(np.radians(KAPR))
    return KINDS[int(chip_kind(f_z * sin, a_p / sin, chips))]


@pytest.mark.parametrize(
    ("f_z", "a_p", "KAPR", "chips", "expected"),
    [
        pytest.param(0.02, 0.2, 20.0, ChipClass.MEDIUM, ChipKind.NEST, id="b/h 85: flat ribbon"),
        pytest.param(0.02, 0.1, 45.0, ChipClass.MEDIUM, ChipKind.NEST, id="h 14 um: long, flat"),
        pytest.param(0.10, 0.1, 45.0, ChipClass.MEDIUM, ChipKind.GOOD, id="h 71 um: can break"),
        pytest.param(0.05, 0.1, 45.0, ChipClass.LONG, ChipKind.LONG, id="tough steel: strings"),
        pytest.param(0.02, 0.1, 45.0, ChipClass.SHORT, ChipKind.GOOD, id="iron breaks anyway"),
        pytest.param(0.30, 0.1, 45.0, ChipClass.MEDIUM, ChipKind.HEAVY, id="more than needed"),
    ],
)
def test_cases_of_own_reckoning(
    f_z: float, a_p: float, KAPR: float, chips: ChipClass, expected: ChipKind
) -> None:
    """Strain 0.021 long and 0.106 broken, b/h of 10 and 85: own table; words by judgement."""
    assert kind(f_z, a_p, KAPR, chips) is expected


@pytest.mark.parametrize("chips", list(ChipClass))
def test_more_feed_never_makes_a_chip_more_awkward(chips: ChipClass) -> None:
    h = np.geomspace(0.002, 0.4, 200)
    assert (np.diff(chip_kind(h, 0.2, chips)) >= 0).all()


def test_more_stock_at_the_same_feed_never_makes_a_chip_easier() -> None:
    b = np.geomspace(0.01, 1.0, 100)
    assert (np.diff(chip_kind(0.02, b, ChipClass.MEDIUM)) <= 0).all()


def test_from_the_breaking_feed_on_chips_are_good() -> None:
    feed = float(breaking_feed(45.0, ChipClass.MEDIUM))
    assert kind(0.99 * feed, 0.1, 45.0, ChipClass.MEDIUM) is ChipKind.LONG
    assert kind(1.01 * feed, 0.1, 45.0, ChipClass.MEDIUM) is ChipKind.GOOD


def test_a_nest_takes_the_most_room() -> None:
    rooms = [bulk_of(one).hi for one in KINDS]
    assert rooms == sorted(rooms, reverse=True)
