"""Tools of several features, fetched as seldom as can be."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from holewright.program.tool_sequence import tool_sequence


def names(routes) -> list[str]:
    return [tool for tool, _ in tool_sequence(routes)]


def test_what_both_need_is_fetched_once():
    assert names([["spot", "drill 5", "ream 6"], ["spot", "drill 7", "ream 8"]]) == [
        "spot",
        "drill 5",
        "ream 6",
        "drill 7",
        "ream 8",
    ]


def test_a_tool_waits_where_that_saves_a_change():
    # The chamfer tool of the first feature comes last, so that it serves the second as well.
    tools = names([["drill 5", "chamfer"], ["drill 7", "bore 8", "chamfer"]])
    assert len(tools) == 4
    assert tools[-1] == "chamfer"


def test_one_feature_keeps_its_route_and_a_tool_in_the_spindle_stays_there():
    assert names([["spot", "drill", "spot", "ream"]]) == ["spot", "drill", "spot", "ream"]
    assert names([["spot", "spot", "drill"]]) == ["spot", "drill"]
    assert tool_sequence([]) == []


ROUTES = st.lists(st.lists(st.sampled_from("abc"), min_size=1, max_size=3), min_size=1, max_size=3)


@given(ROUTES)
def test_every_feature_gets_its_tools_in_order_with_the_fewest_changes(routes):
    sequence = tool_sequence(routes)
    for k, route in enumerate(routes):
        got = [tool for tool, served in sequence if k in served]
        assert got == [t for i, t in enumerate(route) if i == 0 or t != route[i - 1]]
    assert len(sequence) == fewest(routes)


def fewest(routes) -> int:
    """Length of the shortest sequence that holds every route, by trying all of them."""
    bare = [[t for i, t in enumerate(r) if i == 0 or t != r[i - 1]] for r in routes]
    most = sum(map(len, bare))
    level = {tuple(0 for _ in bare)}
    for count in range(most + 1):
        if any(all(i == len(r) for i, r in zip(at, bare, strict=True)) for at in level):
            return count
        level = {
            tuple(
                i + (i < len(r) and r[i] == tool and bool(take >> k & 1))
                for k, (i, r) in enumerate(zip(at, bare, strict=True))
            )
            for at in level
            for tool in "abc"
            for take in range(1, 2 ** len(bare))
        }
    raise AssertionError


def test_too_many_features_to_try_all_are_still_served_in_order():
    routes = [["spot", f"drill {i}", f"ream {i}", "chamfer"] for i in range(9)]
    sequence = tool_sequence(routes)
    assert sequence[0] == ("spot", tuple(range(9)))
    assert len(sequence) == 1 + 18 + 1
