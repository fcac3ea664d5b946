"""How the proof room says counts and names of holes."""

from __future__ import annotations

from collections.abc import Sequence

_NAMES_SHOWN = 6


def holes(count: int) -> str:
    """Return ``1 hole`` or ``5 holes``."""
    return f"{count:,} hole" if count == 1 else f"{count:,} holes"


def named(names: Sequence[str]) -> str:
    """Return the names of holes as a person lists them.

    Examples
    --------
    >>> named(["7"]), named(["3", "7", "9"])
    ('hole 7', 'holes 3, 7 and 9')
    """
    if len(names) == 1:
        return f"hole {names[0]}"
    if len(names) > _NAMES_SHOWN:
        shown = ", ".join(names[:_NAMES_SHOWN])
        return f"holes {shown} and {len(names) - _NAMES_SHOWN} more"
    return f"holes {', '.join(names[:-1])} and {names[-1]}"
