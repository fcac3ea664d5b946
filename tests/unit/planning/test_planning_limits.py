"""Limits as masks with their reasons."""

from __future__ import annotations

import numpy as np
import pytest

from holewright.planning.limits import Limit, all_hold, why_not

SHAPE = (2, 3)


def limit(code: str, value: object, bound: object, at_most: bool = True) -> Limit:
    return Limit(
        code,
        np.atleast_2d(np.array(value, dtype=float)),
        np.atleast_2d(np.array(bound, dtype=float)),
        at_most,
        "W",
        "takes {value}, there is {limit}",
        1,
    )


def test_a_limit_is_kept_on_its_own_value() -> None:
    assert limit("power", [[1.0, 2.0, 3.0]], 2.0).holds.tolist() == [[True, True, False]]
    assert limit("speed", [[1.0, 2.0, 3.0]], 2.0, at_most=False).holds.tolist() == [
        [False, True, True]
    ]


def test_what_could_not_be_computed_is_not_kept() -> None:
    assert not limit("power", [[np.nan]], 2.0).holds.any()


def test_all_limits_must_be_kept_over_the_whole_grid() -> None:
    kept = all_hold([limit("a", [[1, 2, 3]], 2), limit("b", [[5], [9]], 6)], SHAPE)
    assert kept.tolist() == [[True, True, False], [False, False, False]]


def test_a_tool_that_is_out_names_the_limit_that_rules_it_out_at_its_nearest_miss() -> None:
    limits = [limit("a", [[1, 2, 3]], 2), limit("b", [[5, 5, 5], [9, 8, 7]], 6)]
    reasons = why_not(limits, SHAPE, 0, ["first", "second"])
    assert list(reasons) == [1]
    assert reasons[1].code == "b"
    assert reasons[1].value == pytest.approx(7.0)
    assert reasons[1].text == "second: takes 7.0 W, there is 6.0 W"


def test_a_tool_is_not_blamed_for_what_does_not_depend_on_it() -> None:
    limits = [limit("a", [[9, 9, 9]], 2)]
    assert why_not(limits, SHAPE, 0, ["first", "second"]) == {}
    assert set(why_not(limits, SHAPE, 1, ["x", "y", "z"])) == {0, 1, 2}


def test_a_tool_with_one_way_left_is_not_refused() -> None:
    limits = [limit("b", [[9, 9, 9], [9, 9, 6]], 6)]
    assert list(why_not(limits, SHAPE, 0, ["first", "second"])) == [0]
