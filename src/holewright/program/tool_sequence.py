"""In which order the tools of several hole features come, with the fewest tool changes."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

_MOST_STATES = 50_000


def tool_sequence(routes: Sequence[Sequence[str]]) -> list[tuple[str, tuple[int, ...]]]:
    """Return the tools in the order in which they are used, each with the features it serves.

    Each feature needs its tools in the order of its route. A tool that several features wait
    for serves all of them before the next comes.

    Parameters
    ----------
    routes : sequence of sequence of str
        Names of the tools of each feature, in order. A tool that comes twice running counts
        once.

    Returns
    -------
    list of (str, tuple of int)
        Tool, and the indices of the features that it serves then.

    Notes
    -----
    The fewest changes, found by looking at every state that can be reached; where these are
    more than 50,000 (some eight features with tools of their own) the tool that fewest
    features will want again comes next, which need not give the fewest.

    Source: derived here; it is the shortest common supersequence of the routes.

    Examples
    --------
    >>> tool_sequence([["spot", "drill 5", "ream 6"], ["spot", "drill 7", "ream 8"]])[0]
    ('spot', (0, 1))
    """
    wanted = [_without_repeats(route) for route in routes]
    states = 1
    for route in wanted:
        states *= len(route) + 1
    choose = _fewest(wanted) if states <= _MOST_STATES else None
    at = tuple(0 for _ in wanted)
    sequence = []
    while any(i < len(route) for i, route in zip(at, wanted, strict=True)):
        tool = choose[at] if choose is not None else _least_wanted_later(wanted, at)
        served = _waiting(wanted, at, tool)
        sequence.append((tool, served))
        at = _after(at, served)
    return sequence


def _without_repeats(route: Sequence[str]) -> list[str]:
    return [*route[:1], *(b for a, b in pairwise(route) if a != b)]


def _waiting(wanted: Sequence[Sequence[str]], at: tuple[int, ...], tool: str) -> tuple[int, ...]:
    return tuple(
        k for k, (i, route) in enumerate(zip(at, wanted, strict=True)) if route[i : i + 1] == [tool]
    )


def _after(at: tuple[int, ...], served: tuple[int, ...]) -> tuple[int, ...]:
    return tuple(i + (k in served) for k, i in enumerate(at))


def _next_tools(wanted: Sequence[Sequence[str]], at: tuple[int, ...]) -> list[str]:
    """Return the tools that a feature waits for, that of the first feature first."""
    tools = (route[i] for i, route in zip(at, wanted, strict=True) if i < len(route))
    return list(dict.fromkeys(tools))


def _least_wanted_later(wanted: Sequence[Sequence[str]], at: tuple[int, ...]) -> str:
    """Return the tool that fewest features will want again later, of these the most wanted now."""

    def preference(tool: str) -> tuple[int, int]:
        now = _waiting(wanted, at, tool)
        later = sum(
            tool in route[i + (k in now) :]
            for k, (i, route) in enumerate(zip(at, wanted, strict=True))
        )
        return later, -len(now)

    return min(_next_tools(wanted, at), key=preference)


def _fewest(wanted: Sequence[Sequence[str]]) -> dict[tuple[int, ...], str]:
    """Return the best next tool in each state that can be reached.

    To serve every feature that waits for a tool is never worse than to leave one out: what
    the left one needs later, it can have anyway.
    """
    begin = tuple(0 for _ in wanted)
    order, seen = [begin], {begin}
    for at in order:  # grows while it is read: breadth first
        for tool in _next_tools(wanted, at):
            following = _after(at, _waiting(wanted, at, tool))
            if following not in seen:
                seen.add(following)
                order.append(following)
    left: dict[tuple[int, ...], int] = {}
    best: dict[tuple[int, ...], str] = {}
    for at in sorted(order, key=sum, reverse=True):
        tools = _next_tools(wanted, at)
        after = [left[_after(at, _waiting(wanted, at, tool))] for tool in tools]
        left[at] = min(after, default=-1) + 1
        if tools:
            best[at] = tools[after.index(min(after))]
    return best
